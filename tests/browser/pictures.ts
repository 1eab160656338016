/**
 * Pictures of the bench, and whether everyone can read what they show.
 */
import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Where to put a picture of each view; none unless asked for. */
const pictures = process.env.BENCH_PICTURES;

const EVERYTHING = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe finds wrong with a page as it is shown; by all of its rules, or by some of them. */
export async function violations(page: Page, runOnly = EVERYTHING): Promise<string[]> {
  await page.evaluate(AXE);
  const { violations: found } = await page.evaluate((rules) => {
    const { axe } = window as unknown as { axe: { run(options: RunOptions): Promise<AxeResults> } };
    // Style sheets of a page from disk cannot be loaded once more.
    return axe.run({ preload: false, runOnly: rules });
  }, runOnly);
  return found.flatMap(({ id, nodes }) => nodes.map(({ target }) => `${id}: ${target.join(' ')}`));
}

const WIDTHS = [
  { width: 1280, height: 800 },
  { width: 390, height: 844 },
  { width: 1920, height: 1080 },
] as const;

/** The page as it is, whole, or as much of it as the screen shows. */
export async function picture(page: Page, name: string, fullPage = true): Promise<void> {
  if (pictures === undefined) return;
  mkdirSync(pictures, { recursive: true });
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage });
}

/** Holds a state of the page to what everyone needs, by day and by night, on a desk, a phone and a wide screen. */
export async function judge(page: Page, name: string): Promise<void> {
  for (const viewport of WIDTHS) {
    for (const colorScheme of ['light', 'dark'] as const) {
      // A desk by day and a phone by night show all that differs; the rest is for the pictures.
      const isTold = (viewport.width === 1280) === (colorScheme === 'light') && viewport.width < 1900;
      if (!isTold && pictures === undefined) continue;
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize(viewport);
      const at = `${name}-${viewport.width}-${colorScheme}`;
      if (isTold) expect(await violations(page), at).toEqual([]);
      const width = await page.evaluate(() => document.documentElement.scrollWidth);
      expect(width, `${at} fits the screen`).toBeLessThanOrEqual(viewport.width);
      await picture(page, at);
    }
  }
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize(WIDTHS[0]);
}
