import { describe, expect, it } from 'vitest';
import { createFilterSums } from '../../src/dsp/filtersums.js';
import { FILTER_SUMS_MODULE } from '../../src/dsp/filtersumsmodule.js';
import { createResampler, createVectorModule } from '../../src/dsp/index.js';
import { createChoices } from '../scenes/random.js';

describe.each([
  ['plain', true],
  ['vectorised', false],
])('%s sums of products', (_, isPlain) => {
  it('are those of a response with samples that lie a stride apart, written a stride apart', () => {
    const { numbers, sums, add } = createFilterSums(16, 12, isPlain);
    numbers.set([1, 2, 3, 4], 2);
    numbers.set([1, -1, 2, 0, 5, 1, 1, 3, -2, 4], 6);
    add(2, 4, 6, 1, 1, 2, 6);
    // 1·1 + 2·(−1) + 3·2 + 4·0 = 5, one sample on 1·(−1) + 2·2 + 3·0 + 4·5 = 23, and so on.
    expect([...sums]).toEqual([0, 5, 0, 23, 0, 21, 0, 17, 0, 22, 0, 4]);
  });

  it('are none where none are wanted', () => {
    const { sums, add } = createFilterSums(4, 1, isPlain);
    add(0, 2, 2, 1, 0, 1, 0);
    expect([...sums]).toEqual([0]);
  });
});

describe('plain and vectorised sums of products', () => {
  it('are vectorised where nothing forbids it, as here', () => {
    expect(createVectorModule(FILTER_SUMS_MODULE)(8)).toBeDefined();
    expect(createVectorModule('00')(8)).toBeUndefined();
  });

  it.each([8000, 11_025, 12_000, 24_000])('resample from %i Hz to the same samples', (from) => {
    const choices = createChoices(from);
    const samples = Float32Array.from({ length: 3 * from }, () => choices.uniform(-1, 1));
    const options = { from, to: 7200, pass: 2750, stop: 4450 };
    const plain = createResampler(options, true).push(samples).slice();
    expect(plain.length).toBeGreaterThan(21_500);
    expect(createResampler(options).push(samples)).toEqual(plain);
  });
});
