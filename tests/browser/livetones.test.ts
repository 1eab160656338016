import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench, type Bench } from './page.js';
import { judge } from './pictures.js';
import { TEST_CALL, scene, wavFile } from './sounds.js';

let browser: Browser;
beforeAll(async () => {
  browser = await launch(wavFile('coming.wav', [scene([TEST_CALL], 'mf-hf', 1)]));
});
afterAll(() => browser.close());

/** A page that listens while a call comes in. */
async function callComesIn(): Promise<Bench> {
  const bench = await openBench(browser, inject('url'));
  const { page } = bench;
  await goTo(page, 'Listen');
  await page.getByRole('button', { name: 'Use the microphone' }).click();
  await page.locator('.live-tones').waitFor({ timeout: 20_000 });
  return bench;
}

describe('Listen, while a call comes in,', () => {
  it('shows tones, bits and characters, then the call', async () => {
    const { page, complaints } = await callComesIn();
    const tones = page.locator('.live-tones');
    await page.waitForTimeout(700);
    const bits = await tones.locator('g > text:not(.character)').allTextContents();
    expect(bits.length % 10).toBe(0);
    expect(bits.every((bit) => bit === 'B' || bit === 'Y')).toBe(true);
    await page.locator('.heard', { hasText: 'Test call from ship 299 456 789' }).waitFor({ timeout: 20_000 });
    await tones.waitFor({ state: 'detached' });
    expect(complaints).toEqual([]);
  });

  // By itself: to look at a page takes so long that its sound has gaps.
  it('can be read by everyone', async () => {
    const { page } = await callComesIn();
    await judge(page, 'listen-live');
  });
});
