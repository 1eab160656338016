import { mkdirSync } from 'node:fs';
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { drop, goTo, launch, openBench, wholeFile } from './page.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Where to put a picture of each view; none unless asked for. */
const pictures = process.env.BENCH_PICTURES;

let browser: Browser;
let recording: string;
beforeAll(async () => {
  recording = wavFile('looks.wav', [scene([TEST_CALL, ALERT], 'vhf', 0.5)]);
  browser = await launch();
});
afterAll(() => browser.close());

async function violations(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  const { violations: found } = await page.evaluate(() => {
    const { axe } = window as unknown as { axe: { run(options: RunOptions): Promise<AxeResults> } };
    return axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] });
  });
  return found.flatMap(({ id, nodes }) => nodes.map(({ target }) => `${id}: ${target.join(' ')}`));
}

const LOOKS = [
  { name: 'day', colorScheme: 'light', viewport: { width: 1280, height: 900 } },
  { name: 'night-phone', colorScheme: 'dark', viewport: { width: 360, height: 740 } },
] as const;

async function judge(page: Page, view: string): Promise<void> {
  for (const { name, colorScheme, viewport } of LOOKS) {
    await page.emulateMedia({ colorScheme });
    await page.setViewportSize(viewport);
    expect(await violations(page), `${view}, ${name}`).toEqual([]);
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(width, `${view} fits the screen, ${name}`).toBeLessThanOrEqual(viewport.width);
    if (pictures !== undefined) {
      mkdirSync(pictures, { recursive: true });
      await page.screenshot({ path: join(pictures, `${view}-${name}.png`), fullPage: true });
    }
  }
}

describe('every view is readable by everyone and fits the screen, by day on a desk and by night on a phone', () => {
  it('Compose', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await page.getByLabel('What do you want to do?').selectOption('distressRelay');
    await page.getByText('Say it more precisely').click();
    await page.getByRole('button', { name: 'position' }).click();
    await judge(page, 'compose');
    await page.getByLabel('Latitude, minutes').fill('75');
    await judge(page, 'compose-wrong');
    expect(complaints).toEqual([]);
  });

  it('Listen and Log', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await drop(page, recording);
    await wholeFile(page);
    await page.locator('.heard-head').first().click();
    await judge(page, 'listen');
    await goTo(page, 'Log');
    await page.getByText('2 entries').waitFor();
    await page.locator('.entry summary').first().click();
    await judge(page, 'log');
    expect(complaints).toEqual([]);
  });

  it('Exchange', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Exchange');
    await page.getByLabel('Let me hear it').uncheck();
    await page.getByLabel('Radio', { exact: true }).selectOption('vhf');
    await page.getByRole('button', { name: 'Send the test call' }).click();
    await page.getByText('The vessel hears').waitFor();
    await page.locator('.timeline summary').first().click();
    await judge(page, 'exchange');
    await page.getByRole('radio', { name: 'A radio on the microphone' }).check();
    await judge(page, 'exchange-radio');
    expect(complaints).toEqual([]);
  });
});
