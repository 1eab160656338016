/**
 * Everything that the pages let one hear, made by the library from seeds: nothing of it is kept in the repository.
 */
import {
  MODULATIONS,
  callToAudio,
  modulateBits,
  symbolToBits,
  type Band,
  type Call,
} from '../../../src/index.js';
import {
  applyChannel,
  channelPreset,
  measureLevelDb,
  type ChannelPresetName,
  type ChannelStage,
} from '../../../src/channel/index.js';
import { benchSignal } from '../../../src/transmitter/index.js';
import { writeWav } from '../../../src/wav/index.js';
import { ALERT, TEST_ACKNOWLEDGEMENT, TEST_CALL } from './calls.js';
import type { SoundFacts } from '../soundfigure.js';
import { PARTS, partAudio } from './parts.js';

/** Samples per second: enough for the highest tone, 2100 Hz, and what lies around it. */
export const SAMPLE_RATE = 12_000;
/** Noise of the walk: its signal-to-noise ratio in 3 kHz, and what it is drawn from. */
export const WALK_NOISE = { snrDb: -7, seed: 5 } as const;

/** Mean square of a sound, dB: all of them are equally loud, and noise has room for its peaks. */
const LEVEL_DB = -19;
const PEAK = 0.97;
/** Silence or noise before and after a call, seconds. */
export const MARGIN = 0.5;

/** A sound of the site. */
export interface Sound {
  readonly samples: Float32Array;
  /** Whether it holds characters of a distress, urgency or safety call; a test call is a safety call. */
  readonly isCall: boolean;
}

const silence = (seconds: number) => new Float32Array(Math.round(seconds * SAMPLE_RATE));

function joined(...pieces: readonly Float32Array[]): Float32Array {
  const all = new Float32Array(pieces.reduce((length, piece) => length + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/** A call with half a second around it, as it leaves. */
function leaving(call: Call, band: Band = 'mf-hf'): Float32Array {
  return joined(silence(MARGIN), callToAudio(call, { band, sampleRate: SAMPLE_RATE }), silence(MARGIN));
}

/** The same through a chain of stages. */
function arriving(samples: Float32Array, seed: number, stages: readonly ChannelStage[]): Float32Array {
  return applyChannel(samples, { sampleRate: SAMPLE_RATE, seed, stages: [...stages] });
}

const inNoise = (snrDb: number): ChannelStage[] => [{ kind: 'noise', snrDb }, { kind: 'passband' }];

function throughPreset(name: ChannelPresetName): Float32Array {
  const { stages, seed = 0 } = channelPreset(name);
  const isOnlyFading = stages.every(({ kind }) => kind === 'fading');
  return arriving(leaving(TEST_CALL), seed, isOnlyFading ? [...stages, ...inNoise(20)] : stages);
}

function steady(signal: 'b' | 'y' | 'dots'): Float32Array {
  return joined(...benchSignal(signal, { band: 'mf-hf', sampleRate: SAMPLE_RATE, seconds: 1 }));
}

/** A character at a tenth of its speed, so that each of its ten bits can be told. */
function slowCharacter(symbol: number): Float32Array {
  const modulation = { ...MODULATIONS['mf-hf'], baud: MODULATIONS['mf-hf'].baud / 10 };
  return modulateBits(symbolToBits(symbol), { sampleRate: SAMPLE_RATE, modulation });
}

/** Short sounds are heard three times. */
function thrice(samples: Float32Array): Float32Array {
  const pause = silence(MARGIN);
  return joined(samples, pause, samples, pause, samples);
}

const call = (make: () => Float32Array) => ({ make, isCall: true });
const signal = (make: () => Float32Array) => ({ make, isCall: false });

const SHORT_SECONDS = 1;

interface Recipe {
  readonly make: () => Float32Array;
  readonly isCall: boolean;
}

/** How each sound is made, by its name. */
const RECIPES: Readonly<Record<string, Recipe>> = {
  'test-call': call(() => leaving(TEST_CALL)),
  'test-call-vhf': call(() => leaving(TEST_CALL, 'vhf')),
  'test-exchange': call(() => joined(leaving(TEST_CALL), silence(2), leaving(TEST_ACKNOWLEDGEMENT))),
  'distress-alert': call(() => leaving(ALERT)),
  'distress-alert-vhf': call(() => leaving(ALERT, 'vhf')),
  'distress-alert-0-db': call(() => arriving(leaving(ALERT), 1, inNoise(0))),
  'distress-alert-weak': call(() => arriving(leaving(ALERT), WALK_NOISE.seed, inNoise(WALK_NOISE.snrDb))),
  'distress-alert-buried': call(() => arriving(leaving(ALERT), 2, inNoise(-11))),
  'distress-alert-fading': call(() =>
    arriving(leaving(ALERT), 4, [{ kind: 'fading', condition: 'mid-latitude-moderate' }, ...inNoise(6)]),
  ),
  'distress-alert-disturbed': call(() =>
    arriving(leaving(ALERT), 3, [{ kind: 'fading', condition: 'mid-latitude-disturbed' }, ...inNoise(6)]),
  ),
  ...Object.fromEntries(
    PARTS.map((part) => [
      `part-${part}`,
      call(() => {
        const samples = partAudio(ALERT, part, SAMPLE_RATE);
        return samples.length < SHORT_SECONDS * SAMPLE_RATE ? thrice(samples) : samples;
      }),
    ]),
  ),
  'test-call-overdriven': call(() =>
    arriving(leaving(TEST_CALL), 1, [
      { kind: 'noise', snrDb: 20 },
      { kind: 'clip', overDb: 18 },
    ]),
  ),
  'tones-y-b': signal(() => joined(steady('y'), silence(0.2), steady('b'))),
  'character-slow': signal(() => slowCharacter(112)),
  'signal-dots': signal(() => steady('dots')),
  ...Object.fromEntries(
    (
      [
        'mid-latitude-quiet',
        'mid-latitude-moderate',
        'high-latitude-disturbed',
        'mistuned',
        'wrong-sideband',
        'summer-static',
        'crowded-band',
        'strong-neighbour',
      ] as const
    ).map((name) => [`channel-${name}`, call(() => throughPreset(name))]),
  ),
};

/** The names of all sounds. */
export const SOUND_NAMES: readonly string[] = Object.keys(RECIPES);

const made = new Map<string, Sound>();

/** A sound of the site by its name. */
export function makeSound(name: string): Sound {
  const known = made.get(name);
  if (known) return known;
  if (!Object.hasOwn(RECIPES, name)) {
    throw new Error(`no sound is called ${name}; there are ${SOUND_NAMES.join(', ')}`);
  }
  const { make, isCall } = RECIPES[name];
  const sound = { samples: make(), isCall };
  made.set(name, sound);
  return sound;
}

/** What pages tell of a sound. */
export function soundFacts(name: string): SoundFacts {
  const { samples, isCall } = makeSound(name);
  return { seconds: samples.length / SAMPLE_RATE, isCall };
}

/** A sound as a WAV file, one channel of 16 bits, as loud as the others. */
export function soundFile(name: string): Uint8Array {
  const { samples } = makeSound(name);
  const gain = 10 ** ((LEVEL_DB - measureLevelDb(samples)) / 20);
  const loud = samples.map((value) => Math.max(-PEAK, Math.min(PEAK, value * gain)));
  return writeWav({ sampleRate: SAMPLE_RATE, channels: [loud] });
}
