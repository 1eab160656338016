/**
 * The channel against the error rates that theory gives for it: noncoherent binary frequency-shift keying with
 * orthogonal tones (Proakis, "Digital Communications"; from memory).
 */
import { describe, expect, it } from 'vitest';
import { type ChannelStage, applyChannel } from '../../src/channel/index.js';
import { sineLevelDb } from './measure.js';

const sampleRate = 4000;
const BAUD = 100;
/** Samples per bit. At 100 Bd tones 200 Hz apart are orthogonal, whatever their phases. */
const LENGTH = sampleRate / BAUD;
const TONES = [800, 1000];

/** Share of bits that the optimum noncoherent receiver, which knows when they begin, reads wrongly. */
function errorRate(bits: number, stages: ChannelStage[], seed: number): number {
  const data = Uint8Array.from({ length: bits }, (_, k) => ((k * 2654435761) >>> 13) & 1);
  const input = new Float32Array(bits * LENGTH);
  for (let n = 0; n < input.length; n++) {
    input[n] = 0.5 * Math.cos((2 * Math.PI * TONES[data[Math.floor(n / LENGTH)]] * n) / sampleRate);
  }
  const output = applyChannel(input, { sampleRate, seed, signalLevelDb: sineLevelDb(0.5), stages });
  const references = TONES.map((f) => [
    Float64Array.from({ length: LENGTH }, (_, i) => Math.cos((2 * Math.PI * f * i) / sampleRate)),
    Float64Array.from({ length: LENGTH }, (_, i) => Math.sin((2 * Math.PI * f * i) / sampleRate)),
  ]);
  let errors = 0;
  for (let k = 0; k < bits; k++) {
    const [low, high] = references.map(([cos, sin]) => {
      let re = 0;
      let im = 0;
      for (let i = 0, at = k * LENGTH; i < LENGTH; i++, at++) {
        re += output[at] * cos[i];
        im += output[at] * sin[i];
      }
      return re * re + im * im;
    });
    if ((high > low ? 1 : 0) !== data[k]) errors++;
  }
  return errors / bits;
}

describe('bit error rates', () => {
  it.each([4, 7, 9])('in white noise are ½·exp(−Eb/2N0) at %i dB', (ebN0Db) => {
    const bits = 40_000;
    const theory = 0.5 * Math.exp(-0.5 * 10 ** (ebN0Db / 10));
    const measured = errorRate(bits, [{ kind: 'noise', ebN0Db, bitRate: BAUD }], 1);
    expect(Math.abs(measured - theory)).toBeLessThan(3 * Math.sqrt(theory / bits));
  });

  it.each([5, 12])('under slow Rayleigh fading are 1/(2 + mean Eb/N0) at %i dB', (ebN0Db) => {
    const theory = 1 / (2 + 10 ** (ebN0Db / 10));
    const stages: ChannelStage[] = [
      { kind: 'fading', paths: [{ spreadHz: 2 }] },
      { kind: 'noise', ebN0Db, bitRate: BAUD },
    ];
    // 800 s hold some 2800 independent fades.
    expect(Math.abs(errorRate(80_000, stages, 2) / theory - 1)).toBeLessThan(0.1);
  });
});
