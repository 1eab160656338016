/**
 * The arithmetic of the search: tone powers against the Fourier sum they are defined by, and the vectorised code
 * against the plain one.
 */
import { describe, expect, it, vi } from 'vitest';
import { BAND_PARAMETERS, WORKING_RATE } from '../../src/receiver/bandparameters.js';
import { KEPT_BITS } from '../../src/receiver/search/rowconstants.js';
import { createRows, type Rows } from '../../src/receiver/search/rows.js';
import type { Band } from '../../src/symbols/index.js';
import { encodeCall } from '../../src/calls/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { createChoices } from '../scenes/random.js';
import { transmit } from '../scenes/transmission.js';

type Centres = readonly [number, number];

/** Takes all samples and gives what is kept of each of the rows, the newest row of each step last. */
function each(rows: Rows, samples: Float32Array, look: (row: number, look: number) => void): void {
  for (let at = 0; samples.length - at >= rows.hop;) {
    const first = rows.count;
    const count = rows.take(samples.subarray(at));
    for (let n = 0; n < count; n++) look(first + n, rows.looks[n]);
    at += count * rows.hop;
  }
}

function noise(seed: number, length: number): Float32Array {
  const choices = createChoices(seed);
  return Float32Array.from({ length }, () => choices.uniform(-1, 1));
}

describe('tone powers', () => {
  // |Σ x[n]·exp(−2πi·f·n)| over the 72 samples of a bit, worked out sample by sample.
  it.each<[string, boolean]>([
    ['plain', true],
    ['vectorised', false],
  ])('differ between two tones as the sums over a bit do (%s)', (_, isPlain) => {
    const parameters = BAND_PARAMETERS['mf-hf'];
    const centres: Centres = [1000, 1100];
    const samples = noise(3, 24 * 40);
    const rows = createRows(parameters, centres, isPlain);
    const amplitude = (end: number, hz: number) => {
      let re = 0;
      let im = 0;
      for (let n = end - 72; n < end; n++) {
        const angle = (2 * Math.PI * hz * n) / WORKING_RATE;
        re += samples[n] * Math.cos(angle);
        im += samples[n] * Math.sin(angle);
      }
      return Math.hypot(re, im);
    };
    each(rows, samples, () => undefined);
    // Tones lie 7200 / 256 Hz apart, six to a shift.
    const half = (3 * WORKING_RATE) / 256;
    for (let row = 3; row < 40; row++) {
      const end = 24 * (row + 1);
      for (let centre = 0; centre < rows.width; centre++) {
        const hz = rows.centreHz(centre);
        const upper = amplitude(end, hz + half);
        const lower = amplitude(end, hz - half);
        expect(rows.difference(row, centre)).toBeCloseTo(upper - lower, 3);
        const contrast = (upper ** 2 - lower ** 2) / (upper ** 2 + lower ** 2);
        expect(rows.contrasts[rows.rowOf(row) + centre]).toBeCloseTo(contrast, 3);
      }
    }
  });
});

describe('contrasts kept for attempts', () => {
  it.each<[string, boolean]>([
    ['plain', true],
    ['vectorised', false],
  ])('are those of each row and centre, over more rows than five sendings take (%s)', (_, isPlain) => {
    const rows = createRows(BAND_PARAMETERS['mf-hf'], [1650, 1750], isPlain);
    const count = 13_000;
    const expected: Float32Array[] = [];
    each(rows, noise(7, 24 * count), (row) => {
      const from = rows.rowOf(row);
      expected.push(rows.contrasts.slice(from, from + rows.width));
    });
    // Five sendings with their dots: 5 · 720 bits of three rows each.
    for (let row = count - 10_800; row < count; row++) {
      const bit = Math.floor(row / 3) % KEPT_BITS;
      const kept = expected[row].map(
        (_value, centre) => rows.keptContrasts[rows.keptBitsOf(centre, row) + bit],
      );
      expect(kept).toEqual(expected[row]);
    }
  });
});

describe('plain and vectorised rows', () => {
  it.each<[Band, Centres]>([
    ['mf-hf', [400, 2600]],
    ['mf-hf', [1650, 1750]],
    ['mf-hf', [1700, 1700]],
    ['vhf', [1650, 1750]],
    ['vhf', [1400, 2000]],
  ])('are alike for %s between %j Hz', (band, centres) => {
    const { symbols } = encodeCall(randomCall(createChoices(5), KINDS[0]));
    // Every other sample of twice the rate, at which nothing lies above 3 kHz.
    const call = transmit(symbols, { sampleRate: 2 * WORKING_RATE, band }).filter((_, n) => n % 2 === 0);
    const samples = noise(4, call.length + 20_000);
    call.forEach((sample, n) => (samples[9000 + n] += 2 * sample));
    const parameters = BAND_PARAMETERS[band];
    const plain = createRows(parameters, centres, true);
    const vector = createRows(parameters, centres);
    const looksOfPlain: number[] = [];
    each(plain, samples, (_, look) => looksOfPlain.push(look));
    const looks: number[] = [];
    each(vector, samples, (row, look) => {
      looks.push(look);
      if (row % 50 !== 0 || row < plain.count - 200) return;
      for (let centre = 0; centre < plain.width; centre++) {
        const place = plain.rowOf(row) + centre;
        expect(vector.contrasts[place]).toBeCloseTo(plain.contrasts[place], 3);
        expect(vector.runs[place]).toBeCloseTo(plain.runs[place], 2);
      }
    });
    expect(looks.length).toBe(looksOfPlain.length);
    expect(looksOfPlain.some((look) => look !== 0)).toBe(true);
    const others = looks.filter((look, row) => look !== looksOfPlain[row]);
    // A value may round to either side of a threshold.
    expect(others.length).toBeLessThan(looks.length / 500);
  });

  it('are vectorised where nothing forbids it, as here', () => {
    expect(createRows(BAND_PARAMETERS['mf-hf'], [400, 2600]).isVectorised).toBe(true);
    expect(createRows(BAND_PARAMETERS['mf-hf'], [400, 2600], true).isVectorised).toBe(false);
  });

  it('give the same calls where a page forbids WebAssembly', () => {
    const choices = createChoices(6);
    const { symbols } = encodeCall(randomCall(choices, 'distressAlert'));
    const audio = transmit(symbols, { sampleRate: 12_000 });
    const read = receiveCalls(audio, { sampleRate: 12_000 });
    vi.stubGlobal('WebAssembly', undefined);
    const plainly = receiveCalls(audio, { sampleRate: 12_000 });
    vi.unstubAllGlobals();
    expect(plainly.map((call) => call.symbols)).toEqual([symbols]);
    expect(read.map((call) => call.symbols)).toEqual([symbols]);
  });
});
