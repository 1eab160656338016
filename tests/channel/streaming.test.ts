import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import {
  type ChannelOptions,
  type ChannelStage,
  applyChannel,
  createChannel,
} from '../../src/channel/index.js';
import { tone } from './measure.js';

const sampleRate = 12_000;
const input = tone(sampleRate, 1700, 1);

const stages: ChannelStage[] = [
  { kind: 'noise', snrDb: 10 },
  { kind: 'fading', condition: 'high-latitude-disturbed' },
  {
    kind: 'fading',
    paths: [
      { delayMs: 0.55, spreadHz: 3, shiftHz: 1 },
      { delayMs: 1.234, levelDb: -3 },
    ],
  },
  { kind: 'offset', offsetHz: 12, driftHzPerSecond: 1 },
  { kind: 'clock', ppm: 400 },
  { kind: 'clock', ppm: -400 },
  { kind: 'delay', delayMs: 12.34 },
  { kind: 'delay', delayMs: 20 },
  { kind: 'inversion' },
  { kind: 'passband' },
  { kind: 'agc', hangMs: 30 },
  { kind: 'impulses', levelDb: 10, ratePerSecond: 30 },
  { kind: 'carrier', frequencyHz: 1234.5, levelDb: -3 },
  { kind: 'fsk', levelDb: 0, baud: 45.45, startSeconds: 0.2, stopSeconds: 0.7 },
  { kind: 'nbdp', levelDb: 3 },
  { kind: 'voice', levelDb: 0, spurtSeconds: 0.2, pauseSeconds: 0.1 },
  { kind: 'audio', source: 'other', startSeconds: 0.1, repeat: true },
  { kind: 'gain', gainDb: -6, startSeconds: 0.3 },
  { kind: 'dc', offset: 0.01 },
  { kind: 'clip', overDb: 3 },
  { kind: 'quantise', bits: 8, dither: true },
];

const chains: [string, ChannelStage[]][] = [
  ...stages.map((stage): [string, ChannelStage[]] => [JSON.stringify(stage), [stage]]),
  ['all of them', stages],
];

function options(chain: ChannelStage[], seed = 11): ChannelOptions {
  return {
    sampleRate,
    seed,
    signalLevelDb: -9,
    sources: { other: tone(sampleRate, 800, 0.3) },
    stages: chain,
  };
}

function inBlocks(chain: ChannelStage[], cuts: readonly number[]): Float32Array {
  const channel = createChannel(options(chain));
  const out: number[] = [];
  let start = 0;
  for (const cut of [...cuts, input.length]) {
    const end = Math.min(input.length, start + cut);
    out.push(...channel.push(input.subarray(start, end)));
    start = end;
  }
  out.push(...channel.flush());
  return Float32Array.from(out);
}

/** Equality of the bytes; faster than comparing element by element in an assertion. */
function same(a: Float32Array, b: Float32Array): boolean {
  return (
    Buffer.compare(
      Buffer.from(a.buffer, a.byteOffset, a.byteLength),
      Buffer.from(b.buffer, b.byteOffset, b.byteLength),
    ) === 0
  );
}

describe.each(chains)('a stream through %s', (_, chain) => {
  const whole = applyChannel(input, options(chain));

  it('comes out the same however it is cut into blocks', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 5000 }), { maxLength: 10 }), (cuts) => {
        expect(same(inBlocks(chain, cuts), whole)).toBe(true);
      }),
      { numRuns: 6 },
    );
    expect(same(inBlocks(chain, new Array<number>(300).fill(1)), whole)).toBe(true);
  });

  it('is the same again from the same seed, and after a reset', () => {
    expect(applyChannel(input, options(chain))).toEqual(whole);
    const channel = createChannel(options(chain));
    channel.push(input.subarray(0, 5000));
    channel.reset();
    const head = channel.push(input);
    expect(head).toEqual(whole.subarray(0, head.length));
  });

  it('stays as it was where the caller kept the input', () => {
    const copy = input.slice();
    applyChannel(input, options(chain));
    expect(input).toEqual(copy);
  });

  it('ends at once where nothing went in', () => {
    expect(applyChannel(new Float32Array(0), options(chain)).every(Number.isFinite)).toBe(true);
  });
});

it('gives other noise and other fading from another seed', () => {
  for (const chain of [[stages[0]], [stages[1]]]) {
    expect(applyChannel(input, options(chain, 1))).not.toEqual(applyChannel(input, options(chain, 2)));
  }
});

it('keeps a stage’s noise when a stage of another kind joins the chain', () => {
  const alone = applyChannel(input, options([stages[0]]));
  const joined = applyChannel(input, options([stages[0], { kind: 'delay', delayMs: 10 }]));
  expect(joined.subarray(120)).toEqual(alone);
});
