/**
 * Pictures of the bench in the guides, drawn anew where GUIDE_PICTURES is set.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const PAGES = fileURLToPath(new URL('../../docs/pages', import.meta.url));
/** Paper around what is drawn, pixels. */
const MARGIN = 16;

/**
 * A picture of a part of the page.
 *
 * @param name - below docs/pages, without its ending
 * @param part - which part, by its selector
 * @param tallest - what is further down is left out, pixels
 */
export async function guidePicture(
  page: Page,
  name: string,
  part = 'main',
  tallest = Infinity,
): Promise<void> {
  if (process.env.GUIDE_PICTURES === undefined) return;
  const path = join(PAGES, `${name}.jpg`);
  mkdirSync(dirname(path), { recursive: true });
  const box = await page.locator(part).first().boundingBox();
  if (!box) throw new Error(`${part} is not shown`);
  const isWall = part === '.wall';
  const margin = isWall ? 0 : MARGIN;
  const top = await page.evaluate(() => scrollY);
  const drawn = await page.screenshot({
    type: 'jpeg',
    quality: 82,
    fullPage: !isWall,
    clip: {
      x: box.x - margin,
      y: box.y + (isWall ? 0 : top) - margin,
      width: box.width + 2 * margin,
      height: Math.min(tallest, box.height + 2 * margin),
    },
  });
  writeFileSync(path, drawn);
}
