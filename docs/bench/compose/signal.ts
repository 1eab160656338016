/**
 * The signal of a call as a lesson wants it: with faults made on purpose, and through a channel.
 */
import { BIT_RATE, encodeCall, frameCall, modulate, type Band, type Call, type Frame } from 'dotphase';
import { applyChannel, channelPreset, type ChannelPresetName, type ChannelStage } from 'dotphase/channel';

/** Faults made on purpose. */
export interface Faults {
  /** The error check carries another character. */
  wrongCheck: boolean;
  /** The DX sendings of the information characters are silent. */
  lostDx: boolean;
  /** The signal ends after this share of it, percent; 100 for the whole. */
  cutPercent: number;
}

export const NO_FAULTS: Faults = { wrongCheck: false, lostDx: false, cutPercent: 100 };

/** What the call goes through. */
export interface Between {
  condition: 'none' | ChannelPresetName;
  /** Signal-to-noise ratio in 3 kHz, dB. */
  snrDb: number;
  /** Chooses everything random. */
  seed: number;
}

export const NOTHING_BETWEEN: Between = { condition: 'none', snrDb: 10, seed: 1 };

/** Conditions in plain words, in groups; what is not for VHF is left out there. */
export const CONDITIONS: readonly {
  readonly title: string;
  readonly choices: readonly {
    readonly value: Between['condition'];
    readonly text: string;
    readonly onVhf?: true;
  }[];
}[] = [
  {
    title: 'Noise',
    choices: [
      { value: 'none', text: 'Nothing: a cable', onVhf: true },
      { value: 'clear', text: 'Noise alone', onVhf: true },
    ],
  },
  {
    title: 'The set',
    choices: [
      { value: 'mistuned', text: 'Tuned 45 Hz too low, drifting' },
      { value: 'wrong-sideband', text: 'The wrong sideband' },
      { value: 'poor-recording', text: 'A poor recording', onVhf: true },
    ],
  },
  {
    title: 'The band',
    choices: [
      { value: 'summer-static', text: 'Static from thunderstorms' },
      { value: 'crowded-band', text: 'A crowded band' },
      { value: 'strong-neighbour', text: 'A strong neighbour' },
    ],
  },
  {
    title: 'Fading (ITU-R F.1487)',
    choices: [
      { value: 'mid-latitude-quiet', text: 'Middle latitudes, quiet' },
      { value: 'mid-latitude-moderate', text: 'Middle latitudes, moderate' },
      { value: 'mid-latitude-disturbed', text: 'Middle latitudes, disturbed' },
      { value: 'low-latitude-disturbed', text: 'Low latitudes, disturbed' },
      { value: 'high-latitude-disturbed', text: 'High latitudes, disturbed' },
    ],
  },
];

/** A call on the air, with what is wrong with it. */
export interface Signal {
  readonly frame: Frame;
  /** The characters as they are sent. */
  readonly symbols: readonly number[];
  readonly expansions: readonly (readonly number[])[];
  /** Whether a slot of a sending is silent. */
  readonly isLost: (slot: number) => boolean;
  /** How many bits go out before the signal ends. */
  readonly bits: number;
}

const BITS = 10;
/** Characters that differ from the right error check by so much. */
const CHECK_OFFSET = 1;

export function signalOf(call: Call, band: Band, repeat: number, faults: Faults): Signal {
  const { symbols, expansions } = encodeCall(call);
  const sent = [...symbols];
  if (faults.wrongCheck) sent[sent.length - 1] = (sent[sent.length - 1] + CHECK_OFFSET) % 128;
  const frame = frameCall({ symbols: sent, expansions }, { band, repeat });
  const [{ slots }] = frame.sendings;
  return {
    frame,
    symbols: sent,
    expansions,
    isLost: (slot) => faults.lostDx && slots[slot].position === 'DX' && slots[slot].character !== undefined,
    bits: Math.round((frame.bits.length * faults.cutPercent) / 100),
  };
}

function silence(samples: Float32Array, { frame, isLost, bits }: Signal, sampleRate: number): void {
  const at = (bit: number) => Math.round((bit / BIT_RATE[frame.band]) * sampleRate);
  let bit = 0;
  for (const { dots, slots } of frame.sendings) {
    bit += dots;
    slots.forEach((_, i) => {
      if (isLost(i)) samples.fill(0, at(bit), at(bit + BITS));
      bit += BITS;
    });
  }
  if (bits < frame.bits.length) samples.fill(0, at(bits));
}

/** Silence before and behind what goes through a channel, so that its noise is heard. */
const AROUND_SECONDS = 0.5;

/** Seconds of the sound at which the call begins. */
export function leadOf({ condition }: Between): number {
  return condition === 'none' ? 0 : AROUND_SECONDS;
}

function stagesOf({ condition, snrDb }: Between): ChannelStage[] {
  if (condition === 'none') return [];
  const { stages } = channelPreset(condition);
  // The noise is set by the person; what a condition has besides stays.
  return [...stages.filter(({ kind }) => kind !== 'noise'), { kind: 'noise', snrDb }];
}

/** The sound of a signal through what lies between. */
export function soundThrough(
  signal: Signal,
  between: Between,
  sampleRate: number,
): Float32Array<ArrayBuffer> {
  const samples = modulate(signal.frame, { sampleRate }) as Float32Array<ArrayBuffer>;
  silence(samples, signal, sampleRate);
  if (between.condition === 'none') return samples;
  const lead = Math.round(AROUND_SECONDS * sampleRate);
  const padded = new Float32Array(samples.length + 2 * lead);
  padded.set(samples, lead);
  return applyChannel(padded, {
    sampleRate,
    seed: between.seed,
    signalLevelDb: -9,
    stages: stagesOf(between),
  }) as Float32Array<ArrayBuffer>;
}
