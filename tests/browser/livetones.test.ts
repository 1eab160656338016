import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, it } from 'vitest';
import { goTo, launch, openIn } from './page.js';
import { judge } from './pictures.js';
import { wired } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

it('Listen shows tones, bits and characters while a call comes in', async () => {
  const context = await browser.newContext();
  const set = await openIn(await wired(context), inject('url'));
  const { page, complaints } = await openIn(await wired(context), inject('url'));
  await goTo(page, 'Listen');
  await page.getByRole('button', { name: 'Use the microphone' }).click();
  await page.getByText('so far').first().waitFor();
  await goTo(set.page, 'Exchange');
  await set.page.getByLabel('A real set on the sound card').check();
  await set.page.getByLabel('DSC frequency', { exact: true }).selectOption('2187500');
  await set.page.getByRole('button', { name: 'Call', exact: true }).click();
  await page.bringToFront();
  const tones = page.locator('.live-tones');
  await tones.waitFor({ timeout: 20_000 });
  await page.waitForTimeout(700);
  const bits = await tones.locator('g > text:not(.character)').allTextContents();
  expect(bits.length % 10).toBe(0);
  expect(bits.every((bit) => bit === 'B' || bit === 'Y')).toBe(true);
  await judge(page, 'listen-live');
  await page.locator('.heard', { hasText: 'Test call from ship 299 123 456' }).waitFor({ timeout: 20_000 });
  await tones.waitFor({ state: 'detached' });
  expect(complaints).toEqual([]);
});
