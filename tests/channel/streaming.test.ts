import fc from 'fast-check';
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
];

const chains: [string, ChannelStage[]][] = [
  ...stages.map((stage): [string, ChannelStage[]] => [JSON.stringify(stage), [stage]]),
  ['all of them', stages],
];

function options(chain: ChannelStage[], seed = 11): ChannelOptions {
  return { sampleRate, seed, signalLevelDb: -9, stages: chain };
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
