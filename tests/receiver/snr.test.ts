import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { sized } from '../size.js';
import { impair, transmit } from '../scenes/transmission.js';

const symbols = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' }).symbols;

const CALLS = sized(2, 4);

/** The mean of the ratios estimated for calls in white noise of one strength over the whole band. */
function meanSnr(
  how: { band: 'mf-hf' | 'vhf'; sampleRate: number; centreHz: number },
  snrDb: number,
): number {
  const { band, sampleRate, centreHz } = how;
  const ratios = Array.from({ length: CALLS }, (_, seed) => {
    const audio = transmit(symbols, { ...how, before: 0.3, after: 0.4 });
    const noisy = impair(audio, sampleRate, 1000 * (snrDb + 10) + seed, [{ kind: 'noise', snrDb }]);
    const call = receiveCalls(noisy, { sampleRate, bands: [band], centreHz }).find(
      (one) => one.symbols.join() === symbols.join(),
    );
    expect(call, `${snrDb} dB`).toBeDefined();
    return call?.snrDb ?? NaN;
  });
  return ratios.reduce((a, b) => a + b) / CALLS;
}

describe('the signal-to-noise ratio in white noise is right within 1 dB', () => {
  it.each([
    { band: 'mf-hf', sampleRate: 8000, centreHz: 1700 },
    { band: 'mf-hf', sampleRate: 48_000, centreHz: 900 },
    { band: 'mf-hf', sampleRate: 44_100, centreHz: 2400 },
  ] as const)('at 100 Bd, $sampleRate Hz, centre $centreHz Hz', (how) => {
    for (const snrDb of sized([-10, 10, 40], [-10, 0, 10, 20, 30, 40])) {
      expect(Math.abs(meanSnr(how, snrDb) - snrDb), `${snrDb} dB`).toBeLessThan(1);
    }
  });

  it.each([
    { band: 'vhf', sampleRate: 12_000, centreHz: 1700 },
    { band: 'vhf', sampleRate: 48_000, centreHz: 1690 },
  ] as const)('at 1200 Bd, $sampleRate Hz, centre $centreHz Hz', (how) => {
    // A bit there has a twelfth of the energy: below 0 dB few calls are read.
    for (const snrDb of sized([0, 20, 40], [0, 10, 20, 30, 40])) {
      expect(Math.abs(meanSnr(how, snrDb) - snrDb), `${snrDb} dB`).toBeLessThan(1);
    }
  });
});
