import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { createOwnSound } from '../../src/receiver/index.js';

describe('the own sound', () => {
  const { symbols } = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
  const certainty = symbols.map(() => 1);
  const own = createOwnSound();
  own.add(symbols, 10_000, 16_000);

  it('is known at its time, and a little late', () => {
    expect(own.isOwn({ symbols, certainty, quality: 'clean' }, 10_200)).toBe(true);
    expect(own.isOwn({ symbols, certainty, quality: 'clean' }, 17_000)).toBe(true);
  });

  it('is not what comes at another time, or says something else', () => {
    expect(own.isOwn({ symbols, certainty, quality: 'clean' }, 30_000)).toBe(false);
    expect(own.isOwn({ symbols, certainty, quality: 'clean' }, 5000)).toBe(false);
    const other = symbols.with(3, 55);
    expect(own.isOwn({ symbols: other, certainty, quality: 'clean' }, 10_200)).toBe(false);
  });

  it('is known though characters that are not certain differ', () => {
    const unsure = certainty.with(3, 0.5);
    const call = { symbols: symbols.with(3, 55), quality: 'recovered' } as const;
    expect(own.isOwn({ ...call, certainty: unsure }, 10_200)).toBe(true);
    expect(own.isOwn({ ...call, certainty }, 10_200)).toBe(false);
  });

  it('is not the acknowledgement of another, even read with doubt', () => {
    const answer = encodeCall({
      kind: 'testAcknowledgement',
      to: { station: '299123456' },
      self: '002991234',
    });
    for (const quality of ['clean', 'recovered', 'doubtful'] as const) {
      expect(own.isOwn({ symbols: answer.symbols, certainty, quality }, 16_500), quality).toBe(false);
    }
  });

  it('is known with doubt where most of its characters are there', () => {
    const worn = symbols.map((symbol, i) => (i % 4 === 0 ? 99 : symbol));
    const quality = 'doubtful';
    expect(own.isOwn({ symbols: worn, certainty, quality }, 10_200)).toBe(true);
    expect(own.isOwn({ symbols: symbols.map(() => 99), certainty, quality }, 10_200)).toBe(false);
  });
});
