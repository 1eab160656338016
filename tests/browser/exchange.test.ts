import { receiveCalls } from 'dotphase';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { goTo, launch, openBench } from './page.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

/** What the page plays, noted by a patch of its audio. */
interface Sounded {
  at: number;
  rate: number;
  samples: number[];
}

interface Noted {
  sounded: Sounded[];
  /** When the first test call was shown. */
  heardAt?: number;
}

async function noteSounds(page: Page): Promise<void> {
  await page.evaluate(() => {
    const sounded: Sounded[] = [];
    const noted: Noted = { sounded };
    (window as unknown as { noted: Noted }).noted = noted;
    new MutationObserver(() => {
      if (document.querySelector('.timeline .ship')) noted.heardAt ??= performance.now();
    }).observe(document.body, { subtree: true, childList: true });
    const node = AudioBufferSourceNode.prototype;
    // eslint-disable-next-line @typescript-eslint/unbound-method -- called on the node below
    const start = node.start;
    node.start = function (this: AudioBufferSourceNode) {
      const { buffer } = this;
      if (buffer) {
        const samples = [...buffer.getChannelData(0)];
        sounded.push({ at: performance.now(), rate: buffer.sampleRate, samples });
      }
      start.call(this);
    };
  });
}

function notesOf(page: Page): Promise<Noted> {
  return page.evaluate(() => (window as unknown as { noted: Noted }).noted);
}

let browser: Browser;
beforeAll(async () => {
  browser = await launch(wavFile('radio.wav', [scene([TEST_CALL, ALERT], 'vhf', 1)]));
});
afterAll(() => browser.close());

async function open(): Promise<{ page: Page; complaints: string[] }> {
  const bench = await openBench(browser, inject('url'));
  await goTo(bench.page, 'Exchange');
  return bench;
}

describe('the coast station', () => {
  it('answers a test call on the microphone after the set delay, and never a distress alert', async () => {
    const { page, complaints } = await open();
    await noteSounds(page);
    await page.getByRole('radio', { name: 'A radio on the microphone' }).check();
    await page.getByRole('slider').fill('2');
    await page.getByText('Connect the radio to a dummy load or by a cable').waitFor();
    await page.getByRole('button', { name: 'Open the station' }).click();
    await page.locator('.timeline').getByText('Test call from').waitFor();
    await page.locator('.timeline').getByText('Distress alert from').waitFor();
    await page.getByText('the station here never acknowledges one').waitFor();
    await page.getByText('The station answers').waitFor();
    await page.waitForTimeout(1500);
    const { sounded: sounds, heardAt = NaN } = await notesOf(page);
    expect(sounds).toHaveLength(1);
    expect(sounds[0].at - heardAt).toBeGreaterThan(1950);
    expect(sounds[0].at - heardAt).toBeLessThan(8000);
    const heard = receiveCalls(Float32Array.from(sounds[0].samples), { sampleRate: sounds[0].rate });
    expect(heard.map(({ call }) => call)).toEqual([
      { kind: 'testAcknowledgement', to: { station: '299456789' }, self: '002991234' },
    ]);
    await page.getByRole('button', { name: 'Close the station' }).click();
    expect(complaints).toEqual([]);
  });
});

describe('both sides in the page', () => {
  it('call and answer each other through noise', async () => {
    const { page, complaints } = await open();
    await noteSounds(page);
    await page.getByLabel('Between the two').selectOption('weak');
    await page.getByLabel('Let me hear it').uncheck();
    await page.getByRole('button', { name: 'Send the test call' }).click();
    await page.getByText('The vessel hears').waitFor();
    const titles = await page.locator('.timeline .when b').allInnerTexts();
    expect(titles).toEqual([
      'The vessel calls',
      'The station hears',
      'The station answers',
      'The vessel hears',
    ]);
    // 20 dots and 62 slots at 100 Bd are 6.4 s, with 0.4 s of silence around them 7.2 s; then 5 s until the answer.
    expect(await page.locator('.timeline .when').nth(2).innerText()).toContain('after 12.2 s');
    expect((await notesOf(page)).sounded).toHaveLength(0);
    expect(complaints).toEqual([]);
  });

  it('are heard as long as they last', async () => {
    const { page } = await open();
    await noteSounds(page);
    await page.getByRole('slider').fill('1');
    await page.getByLabel('Radio', { exact: true }).selectOption('vhf');
    await page.getByRole('button', { name: 'Send the test call' }).click();
    await page.getByText('The vessel hears').waitFor();
    const { sounded: sounds } = await notesOf(page);
    expect(sounds).toHaveLength(2);
    // VHF: 20 dots and 620 bits at 1200 Bd, 0.53 s, with 0.4 s of silence on both sides.
    expect(sounds[0].samples.length / sounds[0].rate).toBeCloseTo(640 / 1200 + 0.8, 2);
    expect(sounds[1].at - sounds[0].at).toBeGreaterThan(2200);
  });
});
