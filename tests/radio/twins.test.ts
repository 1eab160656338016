/** Which of several readings of one sending are told. */
import { expect, it } from 'vitest';
import type { SliceCall } from '../../src/radio/index.js';
import { createTwins } from '../../src/radio/twins.js';

const TUNED = 8_426_000;
const call = (measuredHz: number, snrDb: number, rest: Partial<SliceCall> = {}) =>
  ({
    ...{ start: 1, end: 7, measuredHz, frequencyHz: measuredHz, snrDb, inverted: false },
    ...{ symbols: [120, 1, 2], quality: 'clean', errorProbability: 1e-9, ...rest },
  }) as SliceCall;
const strong = call(8_414_500, 50);

it.each<[string, SliceCall, boolean]>([
  ['its image', call(8_437_505, 20, { inverted: true }), false],
  [
    'its image, read wrongly',
    call(8_437_500, 5, { inverted: true, symbols: [1], quality: 'doubtful' }),
    false,
  ],
  ['what is as strong where its image would be', call(8_437_500, 45, { inverted: true }), true],
  ['its side lobe', call(8_414_306, 30, { inverted: true }), false],
  [
    'its side lobe, read wrongly',
    call(8_414_900, 9, { symbols: [9], quality: 'doubtful', errorProbability: 0.3 }),
    false,
  ],
  [
    'what is read wrongly out of its remains',
    call(8_415_900, -74, { symbols: [116, 9], quality: 'doubtful', errorProbability: 0.9 }),
    false,
  ],
  [
    'what is doubtful beside it but not that weak',
    call(8_415_900, 25, { symbols: [120, 9], quality: 'doubtful', errorProbability: 0.3 }),
    true,
  ],
  ['another call beside it', call(8_415_000, 9, { symbols: [120, 9, 9] }), true],
  ['the same call of a second set', call(8_431_000, 25), true],
  ['the same call out of an overdriven receiver', call(8_431_000, 15), false],
  ['the same call sent later', call(8_431_000, 15, { start: 9, end: 15 }), true],
])('%s', (_, other, isTold) => {
  for (const order of [
    [strong, other],
    [other, strong],
  ]) {
    const twins = createTwins(TUNED, true);
    const told = [
      ...twins.sort(order.slice(0, 1), 7.5),
      ...twins.sort(order.slice(1), 8),
      ...twins.sort([], Infinity),
    ];
    expect(told.includes(strong)).toBe(true);
    expect(told.includes(other)).toBe(isTold);
  }
});

it('comes from an overlapping channel once, as the surer of both', () => {
  const [sure, less] = [call(8_420_000, 30), call(8_420_003, 30, { errorProbability: 1e-5 })];
  const twins = createTwins(TUNED, true);
  expect(twins.sort([less, sure], 8)).toEqual([]);
  expect(twins.sort([], 9.5)).toEqual([sure]);
});
