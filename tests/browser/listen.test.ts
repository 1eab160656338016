import { closeSync, openSync, writeFileSync, writeSync } from 'node:fs';
import { receiveCalls } from 'dotphase';
import { createWavWriter, readWav } from 'dotphase/wav';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { drop, goTo, launch, openBench, saved, shown, wholeFile } from './page.js';
import { judge } from './pictures.js';
import { ALERT, TEST_CALL, folder, scene, wavFile } from './sounds.js';

const TEST_TEXT =
  'Test call from ship 299 456 789 to coast station 00 299 1234; an acknowledgement is requested.';

let browser: Browser;
let recording: string;
beforeAll(async () => {
  recording = wavFile('scene.wav', [scene([TEST_CALL, ALERT], 'vhf', 1)]);
  browser = await launch(recording);
});
afterAll(() => browser.close());

let long: string | undefined;

/** A test call, then twenty minutes of silence at 48 kHz. */
function longRecording(): string {
  if (long !== undefined) return long;
  const begin = scene([TEST_CALL], 'vhf', 0.25);
  const writer = createWavWriter({ sampleRate: 48_000 });
  long = join(folder, 'long.wav');
  const file = openSync(long, 'w');
  let at = 0;
  const write = (bytes: Uint8Array, position = at) => {
    writeSync(file, bytes, 0, bytes.length, position);
    at = Math.max(at, position + bytes.length);
  };
  write(writer.header);
  write(writer.push([begin]));
  for (let minute = 0; minute < 20; minute++) write(writer.push([new Float32Array(60 * 48_000)]));
  const { tail, header } = writer.end();
  write(tail);
  write(header, 0);
  closeSync(file);
  return long;
}

/** How many colours the spectrogram shows. */
function coloursOf(page: Page): Promise<number> {
  return page.locator('.spectrogram canvas').evaluate((canvas) => {
    const { width, height } = canvas as HTMLCanvasElement;
    const data = (canvas as HTMLCanvasElement).getContext('2d')?.getImageData(0, 0, width, height).data ?? [];
    const colours = new Set<number>();
    for (let i = 0; i < data.length; i += 4) colours.add((data[i] << 16) | (data[i + 1] << 8) | data[i + 2]);
    return colours.size;
  });
}

describe('Listen', () => {
  const disk = new URL('../../docs/site/bench/index.html', import.meta.url).href;
  it.each(['over http', 'from disk'])('hears the microphone, opened %s', async (way) => {
    const { page, complaints } = await openBench(browser, way === 'from disk' ? disk : inject('url'));
    await goTo(page, 'Listen');
    await page.getByRole('button', { name: 'Use the microphone' }).click();
    await page.locator('.heard').nth(1).waitFor();
    const [alert, test] = await page.locator('.heard-head .what').allInnerTexts();
    expect(test).toBe(TEST_TEXT);
    expect(alert).toMatch(/^Distress alert from ship 299 456 789: flooding at 45°30′N 030°15′W/);
    await page.getByText('A decoded distress alert is not a watch. Keep').waitFor();
    expect(await coloursOf(page)).toBeGreaterThan(20);
    await page.getByRole('button', { name: 'Stop' }).click();
    await page.getByText('Stopped, 2 calls.').waitFor();
    await goTo(page, 'Log');
    await page.getByText('2 entries').waitFor();
    expect(complaints).toEqual([]);
  });

  it('takes two channels that carry the same for one call, and two that differ for two', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    const [left, right] = [scene([TEST_CALL], 'vhf', 0.5), scene([ALERT], 'vhf', 0.5)];
    const quieter = left.map((sample) => 0.5 * sample);
    await drop(page, wavFile('same.wav', [left, quieter]));
    await wholeFile(page);
    expect(await page.locator('.heard').count()).toBe(1);
    const shorter = right.subarray(0, left.length);
    const padded = new Float32Array(left.length);
    padded.set(shorter);
    await drop(page, wavFile('other.wav', [left, padded]));
    await page.getByText(/^other\.wav: 2 calls in/).waitFor();
  });

  it('shows the sendings of one attempt as one call and keeps each, and logs a recording once', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    const five = wavFile('five.wav', [scene([ALERT, ALERT, ALERT, ALERT, ALERT, TEST_CALL], 'vhf', 0.1)]);
    for (const name of ['five.wav', 'renamed.wav']) {
      await drop(page, five, name);
      await page.getByText(new RegExp(`^${name}: 2 calls in`)).waitFor();
    }
    const alert = page.locator('.heard.distress');
    expect(await alert.locator('.span').innerText()).toMatch(/^5 sendings, 0:00\.\d to 0:02\.[78]$/);
    await alert.locator('.heard-head').click();
    expect(await alert.locator('.sendings tbody tr').count()).toBe(5);
    await page.getByText('They agree.').waitFor();
    await goTo(page, 'Log');
    await page.getByText('2 entries').waitFor();
    const entry = page.locator('.entry', { hasText: '5 sendings' });
    await entry.getByText('Characters and sendings').click();
    await entry.locator('.sendings li').nth(4).waitFor();
    expect(await entry.locator('.sendings li').count()).toBe(5);
    expect(complaints).toEqual([]);
  });

  it('stops in a file, says how far it came, and keeps and logs what was heard until then', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await shown(page).locator('input[type=file]').setInputFiles(longRecording());
    await page.locator('.heard').first().waitFor();
    await page.getByRole('button', { name: 'Stop' }).click();
    await page.getByText(/^long\.wav: stopped after \d+ of 1201 s, one call so far\.$/).waitFor();
    expect(await page.locator('.heard').count()).toBe(1);
    await goTo(page, 'Log');
    await page.getByText('1 entry').waitFor();
    expect(await page.locator('.entry').innerText()).toContain('long.wav');
    expect(complaints).toEqual([]);
  });

  it('reads a large file without keeping the page from answering', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await page.evaluate(() => {
      const noted = window as unknown as { longestPause: number };
      noted.longestPause = 0;
      let last = performance.now();
      setInterval(() => {
        noted.longestPause = Math.max(noted.longestPause, performance.now() - last);
        last = performance.now();
      }, 10);
    });
    await shown(page).locator('input[type=file]').setInputFiles(longRecording());
    await page.getByText(/^Looking through long\.wav: \d+ %/).waitFor();
    await page.getByText(/^Reading long\.wav: one call so far/).waitFor();
    const longest = await page.evaluate(() => (window as unknown as { longestPause: number }).longestPause);
    // A page that reads 115 MB by itself stands still for seconds.
    expect(longest).toBeLessThan(1000);
    await page.getByRole('button', { name: 'Stop' }).click();
    expect(complaints).toEqual([]);
  });

  it('says so where no call was found, and takes several files at once, dropped beside the zone', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    const quiet = wavFile('quiet.wav', [new Float32Array(48_000)]);
    await goTo(page, 'Listen');
    await drop(page, quiet);
    await page.getByText('quiet.wav: no calls in 1 s.').waitFor();
    await page.getByText('No call was found.').waitFor();
    await goTo(page, 'Log');
    await drop(page, recording, 'beside.wav', 'footer');
    await page.getByRole('heading', { level: 1, name: 'Listen' }).waitFor();
    await page.getByText(/^beside\.wav: 2 calls in/).waitFor();
    await shown(page).locator('input[type=file]').setInputFiles([quiet, recording]);
    await page.getByText('quiet.wav: no calls in 1 s.').waitFor();
    await page.getByText(/^scene\.wav: 2 calls in/).waitFor();
    expect(complaints).toEqual([]);
  });

  it('shows a call by its box, draws it, plays it and keeps its audio', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await drop(page, recording);
    await wholeFile(page);
    await page.getByRole('button', { name: /^Show: Test call/ }).click();
    await page.getByText('They agree.').waitFor();
    expect(await page.locator('.heard-head[aria-expanded=true] .what').innerText()).toBe(TEST_TEXT);
    await page.getByText('What follows:').waitFor();
    await page.getByRole('button', { name: 'Draw its tones and bits' }).click();
    const drawn = page.locator('.drawing img');
    await drawn.waitFor();
    expect(
      await drawn.evaluate((image: HTMLImageElement) => image.decode().then(() => image.naturalWidth)),
    ).toBe(1000);
    await judge(page, 'listen-call');
    const file = await saved(page, 'Keep its audio');
    const { sampleRate, channels } = readWav(file.bytes);
    expect(receiveCalls(channels[0], { sampleRate }).map(({ call }) => call)).toEqual([TEST_CALL]);
    await page.getByRole('button', { name: 'Play this call' }).click();
    await page.getByRole('button', { name: 'Stop', exact: true }).waitFor();
    await page.getByRole('button', { name: 'Play this call' }).waitFor();
    expect(complaints).toEqual([]);
  });

  it('draws the spectrogram anew in the light of the moment', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    await drop(page, recording);
    await wholeFile(page);
    const corner = () =>
      page
        .locator('.spectrogram canvas')
        .evaluate((canvas) => [
          ...((canvas as HTMLCanvasElement).getContext('2d')?.getImageData(880, 2, 1, 1).data ?? []),
        ]);
    const day = await corner();
    await page.emulateMedia({ colorScheme: 'dark' });
    await page.waitForTimeout(200);
    const night = await corner();
    expect(day[0] - night[0]).toBeGreaterThan(80);
  });

  it('refuses what is no recording with one clear line', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Listen');
    const path = join(folder, 'letter.wav');
    writeFileSync(path, 'Dear Sir, this is no sound.');
    await drop(page, path);
    await page.getByText('letter.wav cannot be read', { exact: false }).waitFor();
    writeFileSync(path, 'RIFF    WAVEnothing more');
    await drop(page, path);
    await page.getByRole('alert').getByText('byte').waitFor();
    expect(complaints).toEqual([]);
  });

  it('is worked by keyboard alone', async () => {
    const { page } = await openBench(browser, inject('url'));
    await page.getByRole('link', { name: 'Listen' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Listen' }).waitFor();
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).type)).toBe('file');
    await shown(page).locator('input[type=file]').setInputFiles(recording);
    await wholeFile(page);
    for (let i = 0; i < 14; i++) {
      await page.keyboard.press('Tab');
      if (await page.evaluate(() => document.activeElement?.className === 'heard-head')) break;
    }
    await page.keyboard.press('Enter');
    await page.getByText('They agree.').waitFor();
  });
});

it('keeps the log over a reload, exports it, and deletes it when asked twice', async () => {
  const { page, complaints } = await openBench(browser, inject('url'));
  await goTo(page, 'Listen');
  await drop(page, recording);
  await wholeFile(page);
  await goTo(page, 'Log');
  await page.getByText('2 entries').waitFor();
  await page.reload();
  await page.getByText('2 entries').waitFor();
  const csv = await saved(page, 'Export CSV');
  expect(csv.name).toMatch(/^dsc-log-\d{4}-\d\d-\d\d\.csv$/);
  const lines = csv.bytes.toString('utf8').trim().split(/\r?\n/);
  expect(lines).toHaveLength(3);
  expect(lines[0]).toMatch(/^.?id,time,direction,/);
  expect(lines[1]).toContain('299 456 789');
  const json = await saved(page, 'Export JSON');
  expect(json.name).toMatch(/\.jsonl$/);
  const entries = json.bytes
    .toString('utf8')
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as { id: number; call: unknown });
  expect(entries.map(({ id, call }) => [id, call])).toEqual([
    [1, TEST_CALL],
    [2, ALERT],
  ]);
  await page.getByLabel('Containing').fill('flooding');
  await page.getByText('1 of 2 entries').waitFor();
  await page.getByRole('button', { name: 'Delete all…' }).click();
  await page.getByRole('button', { name: 'Keep' }).click();
  await page.getByText('1 of 2 entries').waitFor();
  await page.getByRole('button', { name: 'Delete all…' }).click();
  await page.getByRole('button', { name: 'Delete', exact: true }).click();
  await page.getByText('0 entries').waitFor();
  expect(complaints).toEqual([]);
});
