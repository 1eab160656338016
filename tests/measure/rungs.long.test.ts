/** The receivers that a ladder is walked with beside a set: dozens of calls each. */
import { describe, expect, it } from 'vitest';
import { ladderBeside } from '../../src/measure/index.js';

const call = { kind: 'testCall', to: { station: '299123456' }, self: '002991234' } as const;

describe('receivers beside a set', () => {
  it('are found where they are known to be in white noise', async () => {
    const { textbook, dotphase } = await ladderBeside(
      call,
      { band: 'mf-hf', step: 'ratio', lowest: -12, highest: -2 },
      { seed: 5, calls: 24 },
    );
    // Measured by itself, see ladder.test.ts; theory says -6.5 dB.
    expect(Math.abs(textbook.half.value + 6.73)).toBeLessThan(3 * textbook.half.uncertainty);
    expect(textbook.half.uncertainty).toBeLessThan(0.4);
    expect(dotphase.half.value).toBeLessThan(textbook.half.value - 1);
  });

  it('bear an offset as they are made to: the textbook receiver about half the shift', async () => {
    const air = { band: 'mf-hf', step: 'offset', lowest: 0, highest: 300, snrDb: 10 } as const;
    const { textbook, dotphase } = await ladderBeside(call, air, { seed: 5, calls: 24 });
    expect(textbook.isInRange).toBe(true);
    expect(textbook.half.value).toBeGreaterThan(20);
    expect(textbook.half.value).toBeLessThan(85);
    // It looks for calls anywhere in the band.
    expect(dotphase.isInRange).toBe(false);
  });
});
