import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { encodeCall, receiveCalls } from 'dotphase';
import { createMeter } from 'dotphase/measure';
import { readWav } from 'dotphase/wav';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { createSlice } from '../scenes/slice.js';
import { madeUpAudio } from '../measure/madeupset.js';
import { drop, goTo, launch, openBench, saved, shown, wholeFile } from './page.js';
import { judge, picture } from './pictures.js';
import { ALERT, TEST_CALL, scene, wavFile } from './sounds.js';

let browser: Browser;
let good: string;
let bad: string;
beforeAll(async () => {
  const { symbols } = encodeCall(TEST_CALL);
  const sampleRate = 12_000;
  // 20 dots before a call to a coast station (M.493 Annex 1 §3.4, from memory).
  good = wavFile('good.wav', [madeUpAudio(symbols, { dots: 20 }, { ratioDb: 30 })], sampleRate);
  // Its shift is 168 Hz, Y is 3 dB down, and two sendings follow each other.
  bad = wavFile(
    'bad.wav',
    [madeUpAudio(symbols, { dots: 20, shiftHz: 168, y: 0.354, sendings: 2 }, { ratioDb: 30 })],
    sampleRate,
  );
  browser = await launch(wavFile('live.wav', [scene([TEST_CALL], 'vhf', 2)]));
});
afterAll(() => browser.close());

const row = (page: Page, name: string) =>
  shown(page).locator('.figures tr', { has: page.getByRole('rowheader', { name, exact: true }) });

const measured = (page: Page) =>
  shown(page)
    .getByText(/measured in \d+ s\.$/)
    .waitFor();

describe('Measure', () => {
  it('gives the figures of a dropped recording with uncertainties and verdicts', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    await judge(page, 'measure-empty');
    await drop(page, good);
    await measured(page);
    await page.getByText('Nothing measured lies outside its limits.').waitFor();
    expect(await row(page, 'centre of the tones').locator('.value').innerText()).toMatch(
      /^1(700|699)\.\d+ ± \d/,
    );
    // A sound card that may be 100 ppm off can't tell 30 ppm.
    expect(await row(page, 'symbol rate error').locator('.verdict').innerText()).toBe('can’t tell');
    await shown(page).getByLabel('Known', { exact: true }).check();
    await shown(page).getByLabel('Off by at most, ppm either way').fill('1');
    expect(await row(page, 'symbol rate error').locator('.verdict').innerText()).toBe('within');
    expect(await shown(page).locator('.charts svg').count()).toBe(4);
    await judge(page, 'measure');
    await page.emulateMedia({ media: 'print' });
    await picture(page, 'measure-print');
    const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true });
    expect(pdf.toString('latin1').match(/\/Type \/Page\b/g)?.length).toBe(2);
    expect(complaints).toEqual([]);
  });

  it('names what is wrong, call by call and together, with limits of one’s own, and saves reports to compare', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    await drop(page, good);
    await measured(page);
    await shown(page).getByLabel('Which set').fill('Bridge set');
    const json = await saved(page, 'Save JSON');
    expect(json.name).toBe('report.json');
    await drop(page, bad);
    await page.getByText('bad.wav: 2 calls measured').waitFor();
    await page.getByText(/^Outside the limits: shift, level of B over Y\.$/).waitFor();
    await shown(page).locator('.measured-calls button').nth(1).click();
    expect(await shown(page).locator('.figures caption').innerText()).toContain('Test call from ship');
    expect(await row(page, 'gap before the sending').count()).toBe(1);
    await shown(page).locator('.measured-calls button').nth(1).click();
    await shown(page).getByText('What it ought to send').click();
    await shown(page).getByLabel('Limits in JSON').fill('{"levelDifferenceDb": [-4, 4], "shiftHz": null}');
    await page.getByText('Nothing measured lies outside its limits.').waitFor();
    await shown(page).getByLabel('Limits in JSON').fill('{"levelDifferenceDb": 4}');
    await page.getByText('limits.levelDifferenceDb: expected two numbers').waitFor();
    await shown(page).locator('.file-button input').setInputFiles(json.path);
    await page.getByText('Compared with').waitFor();
    expect(await row(page, 'level of B over Y').locator('td').nth(1).innerText()).toMatch(
      /^(3\.0|2\.9[89])\d* ± /,
    );
    expect(await row(page, 'centre of the tones').locator('td').nth(1).innerText()).toBe('none seen');
    await judge(page, 'measure-bad');
    const report = await saved(page, 'Save report');
    const html = report.bytes.toString('utf8');
    expect(html).toContain('<h1>Bridge set: what was measured</h1>');
    expect(html).toContain('before');
    const sheet = await (await browser.newContext()).newPage();
    await sheet.setContent(html);
    const pdf = await sheet.pdf({ format: 'A4', preferCSSPageSize: true });
    expect(pdf.toString('latin1').match(/\/Type \/Page\b/g)?.length).toBe(2);
    expect(complaints).toEqual([]);
  });

  it('calibrates the clock against a tone on the second channel', async () => {
    const { page } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    const { channels, sampleRate } = readWav(readFileSync(good));
    // A clock 40 ppm fast counts 1000 Hz as 999.96.
    const tone = Float32Array.from(
      channels[0],
      (_, n) => 0.2 * Math.sin((2 * Math.PI * 1000 * n) / (sampleRate * (1 + 40e-6))),
    );
    await shown(page).getByLabel('By a reference in the sound').check();
    await shown(page).getByLabel('It is').selectOption('1');
    await drop(page, wavFile('reference.wav', [channels[0], tone], sampleRate));
    await measured(page);
    await page
      .getByText(
        /^Clock of the sound card: (40\.0|39\.9)\d* ± 0\.\d+ ppm fast, calibrated against 1000 Hz\.$/,
      )
      .waitFor();
    await drop(page, good);
    await page.getByText('expected a recording with two channels').waitFor();
  });

  it('measures the input live, and a call that was heard', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    await page.getByRole('button', { name: 'Measure the line input' }).click();
    await row(page, 'dots').waitFor();
    expect(await row(page, 'dots').locator('.value').innerText()).toBe('20');
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByText(/one call measured in \d+ s/).waitFor();
    await goTo(page, 'Listen');
    await drop(page, wavFile('heard.wav', [scene([ALERT], 'vhf', 1)]));
    await wholeFile(page);
    await shown(page).locator('.heard-head').click();
    await page.getByRole('button', { name: 'Measure this call' }).click();
    await page.getByRole('heading', { level: 1, name: 'Measure' }).waitFor();
    await shown(page).getByText('VHF, 1200 Bd: Distress alert').waitFor();
    await shown(page).getByText('A decoded distress alert is not a watch. Keep').waitFor();
    expect(complaints).toEqual([]);
  });

  it('takes slices of spectrum: I and Q as WAV, and SigMF that tells where it was tuned', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    const { symbols } = encodeCall(TEST_CALL);
    const at70 = { sampleRate: 96_000, tunedHz: 156_510_000, seconds: 3 };
    const vhf = createSlice(at70, [{ symbols, hz: 156_525_000, at: 1, amplitude: 0.4 }], -60, 5);
    await drop(page, wavFile('vhf.wav', [vhf.i, vhf.q], at70.sampleRate));
    await page.getByText(/No call was measured/).waitFor();
    await shown(page).getByLabel('A slice of spectrum, I and Q').check();
    await drop(page, wavFile('vhf.wav', [vhf.i, vhf.q], at70.sampleRate));
    await page.getByText(/vhf.wav cannot be read: tuned/).waitFor();
    await shown(page).getByLabel('Tuned to, kHz: the middle of the slice').fill('156510');
    await shown(page).getByLabel('Known', { exact: true }).check();
    await shown(page).getByLabel('Off by at most, ppm either way').fill('0.2');
    await drop(page, wavFile('vhf.wav', [vhf.i, vhf.q], at70.sampleRate));
    await measured(page);
    await page.getByText('VHF, 1200 Bd on 156.525 MHz:').waitFor();
    for (const figure of ['peak deviation', 'modulation index of B', 'error of the carrier'])
      expect(await row(page, figure).locator('.verdict').innerText(), figure).toBe('within');
    await judge(page, 'measure-slice');

    // Two pieces: the first where no DSC frequency lies, the other on 8414.5 kHz.
    const at8 = { sampleRate: 48_000, tunedHz: 8_420_000, seconds: 10 };
    const hf = createSlice(at8, [{ symbols, hz: 8_414_500, at: 1, amplitude: 0.4 }], -60, 5);
    const silence = at8.sampleRate;
    const samples = new Float32Array(2 * (silence + hf.i.length));
    hf.i.forEach((value, n) => {
      samples.set([value, hf.q[n]], 2 * (silence + n));
    });
    const meta = {
      global: { 'core:datatype': 'cf32_le', 'core:sample_rate': at8.sampleRate },
      captures: [
        { 'core:sample_start': 0, 'core:frequency': 7_000_000 },
        { 'core:sample_start': silence, 'core:frequency': 8_420_000 },
      ],
    };
    const metadata = {
      name: 'hf.sigmf-meta',
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify(meta)),
    };
    const data = { name: 'hf.sigmf-data', mimeType: '', buffer: Buffer.from(samples.buffer) };
    await shown(page).getByLabel('Tuned to, kHz: the middle of the slice').fill('');
    await shown(page).locator('.drop input').setInputFiles([data]);
    await page.getByText('hf.sigmf-data: a SigMF recording is two files').waitFor();
    await shown(page).getByLabel('Audio', { exact: true }).check();
    await shown(page).locator('.drop input').setInputFiles([data, metadata]);
    await measured(page);
    await page.getByText(/From sample 0 on: expected a slice with a DSC frequency in it/).waitFor();
    await page.getByText('MF/HF, 100 Bd on 8414.5 kHz:').waitFor();
    expect(await row(page, 'error of the assigned frequency').locator('.value').innerText()).toMatch(/Hz$/);
    expect(complaints).toEqual([]);
  });

  it('says so where nothing could be measured', async () => {
    const { page, complaints } = await openBench(browser, inject('url'));
    await goTo(page, 'Measure');
    await drop(page, wavFile('quiet.wav', [new Float32Array(48_000)]));
    await page.getByText('No call was measured.').waitFor();
    await drop(page, join(import.meta.dirname, 'page.ts'), 'letter.wav');
    await page.getByText('letter.wav cannot be read').waitFor();
    expect(complaints).toEqual([]);
  });
});

describe('signals for the bench', () => {
  it('are made as they are named', async () => {
    const { page, complaints } = await openBench(browser, `${inject('url')}#measure/signals`);
    const section = shown(page).locator('.bench-signals');
    await section.getByText('The tone of B, 1785 Hz; peak −6.0 dB of full scale.').waitFor();
    await section.getByLabel('In the file: seconds').fill('2');
    const b = readWav((await saved(page, 'Save WAV')).bytes);
    const { channels, sampleRate } = b;
    expect(channels[0].length).toBe(2 * sampleRate);
    const peak = channels[0].reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(20 * Math.log10(peak)).toBeCloseTo(-6, 2);
    let crossings = 0;
    for (let n = 1; n < channels[0].length; n++)
      if (channels[0][n - 1] < 0 && channels[0][n] >= 0) crossings++;
    expect(Math.abs(crossings - 2 * 1785)).toBeLessThanOrEqual(1);

    await section.getByLabel('Signal', { exact: true }).selectOption('wrong-character');
    await section.getByLabel('B over Y, dB').fill('2');
    await section.getByLabel('Noise', { exact: true }).selectOption('some');
    await section.getByLabel('Signal to noise, dB').fill('25');
    await section.getByLabel('Peak level, dB of full scale').fill('0');
    await section.getByText('at most −').waitFor();
    await section.getByLabel('Peak level, dB of full scale').fill('-12');
    await section.getByLabel('From one beginning to the next, s').fill('5');
    await section.getByText('at least 8.20 s, the length of the call').waitFor();
    await section.getByLabel('From one beginning to the next, s').fill('10');
    await section.getByLabel('In the file: so many times').fill('2');
    await judge(page, 'bench-signals');
    const wav = readWav((await saved(page, 'Save WAV')).bytes);
    expect(wav.channels[0].length).toBe(20 * wav.sampleRate);
    const meter = createMeter({ sampleRate: wav.sampleRate });
    const calls = [...meter.push(wav.channels[0]), ...meter.flush()];
    expect(calls).toHaveLength(2);
    const [first, second] = calls.map((call) => call.measured);
    if (!first || !second) throw new Error('both are whole');
    expect(second.start - first.start).toBeCloseTo(10, 4);
    for (const { figures, sequence } of [first, second]) {
      const { snrDb, levelDifferenceDb } = figures;
      expect(Math.abs((snrDb?.value ?? 0) - 25)).toBeLessThan(0.5);
      expect(Math.abs((levelDifferenceDb?.value ?? 0) - 2)).toBeLessThan(0.1);
      expect(sequence.odd).toMatchObject([{ position: 'RX', character: 4, sent: null }]);
    }

    await section.getByLabel('Signal', { exact: true }).selectOption('wrong-check');
    await section.getByLabel('In the file: so many times').fill('1');
    const wrong = readWav((await saved(page, 'Save WAV')).bytes);
    const heard = receiveCalls(wrong.channels[0], { sampleRate: wrong.sampleRate });
    expect(heard.map(({ quality }) => quality)).toEqual(['doubtful']);
    expect(complaints).toEqual([]);
  });

  it('sound until they are stopped, and never beside what they are not', async () => {
    const { page, complaints } = await openBench(browser, `${inject('url')}#measure/signals`);
    const section = shown(page).locator('.bench-signals');
    await section.getByLabel('Signal', { exact: true }).selectOption('dots');
    await section.getByRole('button', { name: 'Play without an end' }).click();
    await section.getByRole('button', { name: 'Stop the signal' }).click();
    await section.getByRole('button', { name: 'Play without an end' }).click();
    await section.getByRole('button', { name: 'Stop the signal' }).waitFor();
    await section.getByLabel('B over Y, dB').fill('3');
    await section.getByRole('button', { name: 'Play without an end' }).click();
    await section.getByRole('button', { name: 'Stop the signal' }).waitFor();
    await goTo(page, 'Log');
    await goTo(page, 'Measure');
    await section.getByRole('button', { name: 'Play without an end' }).waitFor();
    await goTo(page, 'Compose');
    await shown(page).getByLabel('What do you want to do?').selectOption('distressAlert');
    await goTo(page, 'Measure');
    await section.getByLabel('Signal', { exact: true }).selectOption('call');
    await section.getByLabel('Call', { exact: true }).selectOption('composed');
    await section.getByText('Caution: distress audio').waitFor();
    expect(await section.getByRole('button', { name: 'Play without an end' }).isDisabled()).toBe(true);
    await section.getByLabel('No transmitter on the air').check();
    expect(await section.getByRole('button', { name: 'Play without an end' }).isDisabled()).toBe(false);
    await judge(page, 'bench-signals-distress');
    expect(complaints).toEqual([]);
  });
});

it('keeps what was typed over a reload', async () => {
  const { page } = await openBench(browser, inject('url'));
  await goTo(page, 'Measure');
  await shown(page).getByLabel('Known', { exact: true }).check();
  await shown(page).getByLabel('Off by at most, ppm either way').fill('nine');
  await page.getByText('expected a number from 0 to 1000').waitFor();
  await shown(page).getByLabel('Off by at most, ppm either way').fill('3');
  await page.reload();
  expect(await shown(page).getByLabel('Off by at most, ppm either way').inputValue()).toBe('3');
});
