/** What ladders step; the receivers beside them: rungs.long.test.ts. */
import { describe, expect, it } from 'vitest';
import { openLadder, rungAudio, type LadderAir } from '../../src/measure/index.js';
import { receiveCalls } from '../../src/receiver/index.js';

const call = { kind: 'testCall', to: { station: '299123456' }, self: '002991234' } as const;
const RATIO = { band: 'mf-hf', step: 'ratio', lowest: -15, highest: 10 } as const;
const sampleRate = 12_000;

const rung = (air: LadderAir, value: number) =>
  rungAudio(call, air, value, { sampleRate, seed: 3, levelDb: -6 });
const peakDb = (audio: Float32Array) =>
  20 * Math.log10(audio.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0));

describe('a rung', () => {
  it('moves what is stepped and nothing else', () => {
    const level = rung({ band: 'mf-hf', step: 'level', lowest: -80, highest: -6 }, -30);
    expect(peakDb(level.audio)).toBeCloseTo(-30, 1);
    const offset = rung({ band: 'mf-hf', step: 'offset', lowest: 0, highest: 400 }, 100);
    expect(peakDb(offset.audio)).toBeCloseTo(-6, 1);
    const [heard] = receiveCalls(offset.audio, { sampleRate });
    expect(heard.centreHz).toBeCloseTo(1800, 0);
    // A second of silence and 200 dots before the phasing.
    expect(heard.start).toBeCloseTo(3, 2);
    expect(offset).toMatchObject({ start: 3, baud: 100, centreHz: 1800, bits: 620 });
    // 1 % faster: 820 bits in 8.119 s, and two seconds about them.
    const rate = rung({ band: 'mf-hf', step: 'rate', lowest: 0, highest: 20_000 }, 10_000);
    expect(rate.audio.length / sampleRate).toBeCloseTo(2 + 8.2 / 1.01, 2);
    const noisy = rung(RATIO, 3);
    expect(peakDb(noisy.audio)).toBeLessThan(0);
    expect(receiveCalls(noisy.audio, { sampleRate })[0].snrDb).toBeCloseTo(3, 0);
  });

  it('goes through fading', () => {
    const faded = rung({ ...RATIO, fading: 'mid-latitude-moderate' }, 30).audio;
    const steady = rung(RATIO, 30).audio;
    const spread = (audio: Float32Array) => {
      const powers = Array.from({ length: 80 }, (_, i) =>
        audio.subarray(sampleRate + i * 1200, sampleRate + (i + 1) * 1200).reduce((sum, x) => sum + x * x, 0),
      );
      return Math.max(...powers) / Math.min(...powers);
    };
    expect(spread(steady)).toBeLessThan(1.5);
    expect(spread(faded)).toBeGreaterThan(3);
  });
});

describe('a ladder of errors', () => {
  it.each([
    [{ band: 'mf-hf', step: 'offset', lowest: -100, highest: 100 }, 'one side of 0'],
    [{ band: 'mf-hf', step: 'level', lowest: -80, highest: 10 }, 'from -96 to 0 dB'],
    [{ band: 'vhf', step: 'ratio', lowest: 0, highest: 20, fading: 'mid-latitude-quiet' }, 'none on VHF'],
  ] as const)('refuses %j', (air, message) => {
    expect(() => openLadder(air)).toThrow(message);
  });
});
