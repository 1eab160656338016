import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openIn, type Bench } from './page.js';
import { judge } from './pictures.js';
import { wired } from './wire.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch();
});
afterAll(() => browser.close());

/** A page that listens while a call comes in from another one. */
async function callComesIn(): Promise<Bench> {
  const context = await browser.newContext();
  const set = await openIn(await wired(context), inject('url'));
  const bench = await openIn(await wired(context), inject('url'));
  const { page } = bench;
  await goTo(page, 'Listen');
  await page.getByRole('button', { name: 'Use the microphone' }).click();
  await page.getByText('so far').first().waitFor();
  await goTo(set.page, 'Exchange');
  await set.page.getByLabel('A real set on the sound card').check();
  await set.page.getByLabel('DSC frequency', { exact: true }).selectOption('2187500');
  await set.page.getByRole('button', { name: 'Call', exact: true }).click();
  await page.bringToFront();
  await page.locator('.live-tones').waitFor({ timeout: 20_000 });
  return bench;
}

describe('Listen, while a call comes in,', () => {
  // Two pages draw while the sound comes in: on two processors a third of the tries have a gap in it (measured).
  it('shows tones, bits and characters, then the call', { retry: 5 }, async () => {
    const { page, complaints } = await callComesIn();
    const tones = page.locator('.live-tones');
    await page.waitForTimeout(700);
    const bits = await tones.locator('g > text:not(.character)').allTextContents();
    expect(bits.length % 10).toBe(0);
    expect(bits.every((bit) => bit === 'B' || bit === 'Y')).toBe(true);
    await page.locator('.heard', { hasText: 'Test call from ship 299 123 456' }).waitFor({ timeout: 20_000 });
    await tones.waitFor({ state: 'detached' });
    expect(complaints).toEqual([]);
  });

  // By itself: to look at a page takes so long that its sound has gaps.
  it('can be read by everyone', async () => {
    const { page } = await callComesIn();
    await judge(page, 'listen-live');
  });
});
