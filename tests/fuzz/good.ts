/** Good data that hostile data is made from. */
import { encodeCall, toSentences, type Call } from '../../src/calls/index.js';
import { CHANNEL_PRESETS } from '../../src/channel/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';

/** Expansions of every kind. */
const EXPANSIONS: unknown[] = [
  { kind: 'speed', value: 12.5 },
  { kind: 'personsOnBoard', value: 7, joined: true },
  { kind: 'furtherIdentification', value: 'PETREL' },
  { kind: 'course', value: 'none' },
  { kind: 'unassignedExpansion', symbols: [119, 1] },
];

const choices = createChoices(493);

/** Calls of every kind, three of each, and one with expansions. */
const CALLS: readonly Call[] = [
  ...KINDS.flatMap((kind) => [1, 2, 3].map(() => randomCall(choices, kind))),
  { ...randomCall(choices, 'distressAlert'), expansions: EXPANSIONS } as unknown as Call,
  { kind: 'unassignedCall', symbols: [99, 1, 2, 127] } as unknown as Call,
];

/** Those that can be encoded. */
export const SENDABLE: readonly Call[] = CALLS.filter((call) => {
  try {
    encodeCall(call);
    return true;
  } catch {
    return false;
  }
});

/** Sentences of each of them that a sentence can carry. */
export const SENTENCES: readonly (readonly string[])[] = SENDABLE.flatMap((call) => {
  try {
    return [toSentences(call)];
  } catch {
    return [];
  }
});

/** Channels that come with the package, and one stage of each kind. */
export const CHANNELS: readonly unknown[] = [
  ...Object.values(CHANNEL_PRESETS),
  {
    seed: 3,
    signalLevelDb: -9,
    stages: [
      { kind: 'noise', snrDb: 3, bandwidthHz: 300 },
      { kind: 'offset', offsetHz: 40, driftHzPerSecond: 3 },
      { kind: 'inversion' },
      { kind: 'clock', ppm: 30 },
      { kind: 'delay', delayMs: 7 },
      { kind: 'passband' },
      { kind: 'agc' },
      { kind: 'impulses', levelDb: -3 },
      { kind: 'carrier', frequencyHz: 900, levelDb: 3 },
      { kind: 'fsk', levelDb: 0 },
      { kind: 'nbdp', levelDb: 0 },
      { kind: 'voice', levelDb: 0 },
      { kind: 'audio', source: 'other' },
      { kind: 'gain', gainDb: -3 },
      { kind: 'dc', offset: 0.01 },
      { kind: 'clip', limit: 0.9 },
      { kind: 'quantise', bits: 8 },
    ],
  },
];
