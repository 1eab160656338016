import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ALERT, TEST_CALL } from '../measure/faults.js';
import { madeUpAudio, type MadeUpSet } from '../measure/madeupset.js';
import { writeWav } from '../../src/wav/index.js';
import { encodeCall } from '../../src/calls/index.js';
import { createSlice } from '../scenes/slice.js';
import { here } from './here.js';
import { measured, type Line } from './measured.js';
import { PROGRAM_RATE, recorder } from './programs.js';

const sampleRate = 8000;
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Writes a recording of a made-up set, perhaps with a steady tone of 0.1 in it or on a channel of its own. */
function recording(
  name: string,
  symbols: readonly number[],
  set: MadeUpSet,
  toneHz?: number,
  isBeside = false,
) {
  const audio = madeUpAudio(symbols, set, { sampleRate, ratioDb: 25 });
  const tone = audio.map((_, n) =>
    toneHz === undefined ? 0 : 0.1 * Math.sin((2 * Math.PI * toneHz * n) / sampleRate),
  );
  const mixed = isBeside ? audio : audio.map((value, n) => value + tone[n]);
  const path = join(folder, name);
  writeFileSync(path, writeWav({ sampleRate, channels: isBeside ? [mixed, tone] : [mixed] }));
  return path;
}

const verdict = ({ verdicts }: Line, figure: string) =>
  verdicts.find((one) => one.figure === figure)?.verdict;

describe('dotphase measure', () => {
  it("can't tell the rate by a clock that may be 100 ppm off, but by one within 1 ppm", async () => {
    const file = recording('fast.wav', TEST_CALL, { baud: 100 * (1 + 20e-6) });
    const [open] = await measured(file);
    expect(verdict(open, 'rateErrorPpm')).toBe('cannotTell');
    // 100/√3 = 57.7 ppm of a uniform distribution.
    expect(open.rateErrorPpm.uncertainty).toBeCloseTo(57.7, 1);
    const [close] = await measured('--clock-ppm', '1', file);
    expect(verdict(close, 'rateErrorPpm')).toBe('within');
    expect(Math.abs(close.rateErrorPpm.value - 20)).toBeLessThan(3 * close.rateErrorPpm.uncertainty);
    expect(close.dots).toEqual({ value: 200, uncertainty: 0 });
  });

  it.each([false, true])(
    'takes the clock out against a tone of 1000 Hz, on a channel of its own: %s',
    async (isBeside) => {
      // Recorded with a clock 40 ppm fast, all is slower by as much.
      const slow = 1 / (1 + 40e-6);
      const set = { baud: 100 * slow, centreHz: 1700 * slow, shiftHz: 170 * slow };
      const file = recording('reference.wav', TEST_CALL, set, 1000 * slow, isBeside);
      const [line] = await measured(
        '--reference-hz',
        '1000',
        ...(isBeside ? ['--reference-channel', '1'] : []),
        file,
      );
      expect(Math.abs(line.rateErrorPpm.value)).toBeLessThan(3 * line.rateErrorPpm.uncertainty);
      expect(line.rateErrorPpm.uncertainty).toBeLessThan(1);
      expect(Math.abs(line.centreHz.value - 1700)).toBeLessThan(3 * line.centreHz.uncertainty);
    },
  );

  it('says for people what lies outside and puts the sendings together', async () => {
    const file = recording('two.wav', ALERT, { sendings: 2, gapSeconds: 0.05, dots: 198 });
    const { code, stdout } = await here(['measure', '--clock-ppm', '1', '--identity', '299123457', file]);
    expect(code).toBe(0);
    expect(stdout).toMatch(/dots +198 +OUTSIDE \(200\)/);
    expect(stdout).toMatch(/gap before the sending +\d+\.\d+ ± \d\.\d+ ms +OUTSIDE \(−10 to 10\)/);
    expect(stdout).toContain('identity: DIFFERS');
    expect(stdout).toContain('2 calls at 100 Bd together');
    expect(stdout).toContain('a decoded distress alert is not a watch');
  });

  it('holds to limits of the user', async () => {
    const file = recording('own.wav', TEST_CALL, { y: 0.45 });
    const limits = join(folder, 'limits.json');
    writeFileSync(limits, '{"levelDifferenceDb": [-0.5, 0.5], "dots": null}');
    const [line] = await measured('--limits', limits, '--time', '12:00', file);
    expect(verdict(line, 'levelDifferenceDb')).toBe('outside');
    expect(verdict(line, 'dots')).toBeUndefined();
    expect(line.truth).toEqual({ time: 'notSent' });
  });

  it('says that it measured nothing, with status 1', async () => {
    const path = join(folder, 'silence.wav');
    writeFileSync(path, writeWav({ sampleRate, channels: [new Float32Array(12_000)] }));
    const { code, stdout, stderr } = await here(['measure', path]);
    expect([code, stdout]).toEqual([1, '']);
    expect(stderr).toContain('no call was measured');
  });

  it.each([
    [['--channel', '1'], '--channel: got 1, expected 0: the recording has one channel'],
    [['--reference-hz', '1000'], 'referenceHz: got 1000, expected a steady tone'],
    [['--limits', 'nowhere.json'], '--limits: got "nowhere.json", expected a file that can be read'],
    [['--time', '25:00'], '--time'],
    [['--identity', '12'], 'identity: got "12", expected nine digits'],
    [['--clock-ppm', '-1'], '--clock-ppm'],
  ])('refuses %j in one line, with status 2', async (flags, message) => {
    const path = join(folder, 'short.wav');
    writeFileSync(path, writeWav({ sampleRate, channels: [new Float32Array(12_000)] }));
    const { code, stderr } = await here(['measure', ...flags, path]);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
    expect(stderr.trim().split('\n')).toHaveLength(1);
  });
});

describe('a report of dotphase measure', () => {
  it('is written as a page and as JSON, and compared with an earlier one', async () => {
    const file = recording('reported.wav', TEST_CALL, {});
    const [page, kept] = [join(folder, 'report.html'), join(folder, 'report.json')];
    const first = await here(['measure', file, '--report', kept, '--set', 'bridge set']);
    expect([first.code, first.stdout]).toEqual([0, expect.stringContaining(`Report: ${kept}`)]);
    const second = await here(['measure', file, '--report', page, '--before', kept]);
    expect(second.code).toBe(0);
    expect(readFileSync(page, 'utf8')).toContain('<dt>compared with</dt><dd>bridge set');
    expect((JSON.parse(readFileSync(kept, 'utf8')) as { format: string }).format).toBe(
      'dotphase measurement report',
    );
  });

  it.each([
    [['--report', 'report.txt'], 'a name that ends in .html or .json'],
    [['--by', 'somebody'], '--report: got nothing, expected the name of a report, beside --by'],
    [['--report', 'x.html', '--before', 'package.json'], 'report: got'],
    [['--report', 'x.html', '--before', 'nowhere.json'], '--before: got "nowhere.json"'],
  ])('refuses %j', async (flags, message) => {
    const { code, stderr } = await here(['measure', 'any.wav', ...flags]);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });
});

describe('dotphase measure, live', () => {
  const vhf = { baud: 1200, shiftHz: 800, dots: 20 };
  const set = madeUpAudio(TEST_CALL, vhf, { ratioDb: 30, sampleRate: PROGRAM_RATE });
  const rate = ['--rate-hz', String(PROGRAM_RATE)];

  it('measures what a recorder gives as it comes, and ends after so many calls', async () => {
    const flags = ['--recorder', recorder(folder, set), ...rate, '--calls', '1', '--json'];
    const { code, stdout } = await here(['measure', ...flags]);
    expect(code).toBe(0);
    const line = JSON.parse(stdout) as Line & { time: string; file: string };
    expect(Math.abs(Date.parse(line.time) - Date.now())).toBeLessThan(60_000);
    expect(line.file).toContain('recorder');
    expect(line.dots.value).toBe(20);
  });

  it.each([
    ['no input at all', [], /recordings, - for standard input, or --sound auto/],
    ['a file beside the sound card', ['any.wav', '--sound', 'auto'], /either files, or the options/],
    ['raw samples beside it', ['--sound', 'auto', '--raw', 's16', ...rate], /nothing beside a sound card/],
    ['a recorder that is not there', ['--recorder', 'no-such-recorder'], /it was not found/],
  ])('refuses %s', async (_, flags, expected) => {
    const { code, stderr } = await here(['measure', ...flags]);
    expect(code).toBe(2);
    expect(stderr).toMatch(expected);
  });
});

describe('dotphase measure, slices of spectrum', () => {
  const call = { kind: 'testCall', self: '299123456', to: { station: '002991234' } } as const;
  const write = (
    name: string,
    slice: { sampleRate: number; tunedHz: number },
    channel: 'vhf' | 'mf-hf',
    hz: number,
  ) => {
    const at = { symbols: encodeCall(call), hz, at: 1, amplitude: 0.4 };
    const { i, q } = createSlice({ ...slice, seconds: channel === 'vhf' ? 3 : 10 }, [at], -60, 5);
    const path = join(folder, name);
    writeFileSync(path, writeWav({ sampleRate: slice.sampleRate, channels: [i, q] }));
    return path;
  };

  it('gives the deviation and the carrier of a set on channel 70', async () => {
    const slice = { sampleRate: 96_000, tunedHz: 156_510_000 };
    const path = write('vhf.wav', slice, 'vhf', 156_525_000);
    const [line] = await measured('--iq', '--tuned', '156.51MHz', '--clock-ppm', '0.2', path);
    const { modulationIndexB, carrierErrorHz, frequencyHz } = line as unknown as Record<string, Line['dots']>;
    expect(frequencyHz).toBe(156_525_000);
    expect(Math.abs(modulationIndexB.value - 2)).toBeLessThan(0.02);
    expect(Math.abs(carrierErrorHz.value)).toBeLessThan(20);
    for (const figure of [
      'modulationIndexB',
      'modulationIndexY',
      'preEmphasisDb',
      'carrierErrorHz',
      'peakDeviationHz',
    ])
      expect(verdict(line, figure), figure).toBe('within');
    const { stdout } = await here(['measure', '--iq', '--tuned', '156.51MHz', path]);
    expect(stdout).toContain('clock of the receiver');
    expect(stdout).toMatch(/156\.525 MHz: Test call/);
    expect(stdout).toMatch(/modulation index of B +(2\.00|1\.99)/);
  });

  it('gives the error of the assigned frequency on HF', async () => {
    const slice = { sampleRate: 32_000, tunedHz: 8_420_000 };
    const path = write('hf.wav', slice, 'mf-hf', 8_414_512);
    const [line] = await measured('--iq', '--tuned', '8420', '--clock-ppm', '0.05', path);
    const { assignedErrorHz } = line as unknown as Record<string, Line['dots']>;
    expect(Math.abs(assignedErrorHz.value - 12)).toBeLessThan(1);
    expect(verdict(line, 'assignedErrorHz')).toBe('outside');
    const [known] = await measured(
      '--iq',
      '--tuned',
      '8420',
      '--oscillator-ppm',
      '1.426',
      '--clock-ppm',
      '0.05',
      path,
    );
    // 12 Hz of 8.42 MHz are 1.426 ppm: tuned that much higher, the set is 24 Hz high.
    const { assignedErrorHz: moved } = known as unknown as Record<string, Line['dots']>;
    expect(Math.abs(moved.value - 24)).toBeLessThan(1);
  });

  it.each([
    ['without the frequency', ['--iq'], /--tuned/],
    [
      'with a reference',
      ['--iq', '--tuned', '8420', '--reference-hz', '1000'],
      /--clock-ppm tells its clock/,
    ],
    ['without a DSC frequency in it', ['--iq', '--tuned', '9000'], /a slice with a DSC frequency in it/],
    ['beside a sound card', ['--iq', '--sound', 'auto'], /nothing beside a sound card/],
  ])('refuses one %s', async (name, flags, expected) => {
    const path = write('other.wav', { sampleRate: 32_000, tunedHz: 8_420_000 }, 'mf-hf', 8_414_500);
    const { code, stderr } = await here([
      'measure',
      ...flags,
      ...(name === 'beside a sound card' ? [] : [path]),
    ]);
    expect(code).toBe(2);
    expect(stderr).toMatch(expected);
  });
});
