/** Random calls through a channel, read by our receiver and by the textbook one. */
import { encodeCall, type TableKind } from '../../src/calls/index.js';
import { airSlots, frameCall } from '../../src/frames/index.js';
import { modulateBits } from '../../src/modem/index.js';
import { PHASING_SLOTS } from '../../src/receiver/phasingsequence.js';
import { receiveCalls, type Quality } from '../../src/receiver/index.js';
import { BITS_PER_SYMBOL } from '../../src/symbols/index.js';
import { KINDS, randomCall } from './calls.js';
import { createChoices } from './random.js';
import { between, impair } from './transmission.js';
import { CHANNELS, type ChannelName } from './channels.js';
import { readByTextbook } from './textbook.js';

/** Samples per second. */
export const SAMPLE_RATE = 8000;
const BAUD = 100;
const CENTRE_HZ = 1700;
/** How far the receiver's idea of centre and clock is off, at most either way. */
const MOST_OFFSET_HZ = 20;
const MOST_PPM = 100;
const LONGEST_DELAY_SECONDS = 0.002;

/** Calls to send. */
export interface DecodeJob {
  channel: ChannelName;
  /** Signal-to-noise ratio in 3 kHz, dB; a pair stands for anything between. */
  snrDb: number | readonly [number, number];
  /** Distress alerts alone, or calls of every kind. */
  calls: 'alerts' | 'all';
  count: number;
  seed: number;
  /** Whether the textbook receiver listens too. */
  textbook: boolean;
  /** Share of the calls that break off anywhere behind their phasing; default 0. */
  cutShare?: number;
}

/** A call that came out of the receiver. */
export interface Reported {
  right: boolean;
  quality: Quality;
  errorProbability: number;
  /** Each character, with the certainty that the receiver gives it. */
  characters: { certainty: number; right: boolean }[];
}

/** What came of one call. */
export interface Outcome {
  snrDb: number;
  channel: ChannelName;
  kind: TableKind;
  seed: number;
  reported: Reported[];
  /** Whether it broke off. */
  cut: boolean;
  /** Whether the textbook receiver read it, and whether it read something else. */
  textbook?: { right: boolean; wrong: boolean };
}

/** A call on the air, and what the receiver is not told of it. */
export interface OnTheAir {
  readonly audio: Float32Array;
  readonly kind: TableKind;
  readonly symbols: readonly number[];
  readonly snrDb: number;
  /** Bits of all sendings. */
  readonly bits: number;
  /** Seconds to the first bit, midway between the two paths of a fading channel. */
  readonly start: number;
  /** Bits per second and hertz midway between the tones, as received. */
  readonly baud: number;
  readonly centreHz: number;
  readonly cut: boolean;
}

/** How a call breaks off: the recording ends, or the transmission does and the noise goes on. */
type Cut = 'recording' | 'transmission' | undefined;

/** Sends a random call through a channel. */
export function send(
  job: Pick<DecodeJob, 'channel' | 'snrDb' | 'calls' | 'cutShare'>,
  seed: number,
): OnTheAir {
  const choices = createChoices(seed);
  const { fading, sendings, dotsBefore } = CHANNELS[job.channel];
  const kind = job.calls === 'alerts' ? 'distressAlert' : choices.pick(KINDS);
  const symbols = encodeCall(randomCall(choices, kind)).symbols;
  const { bits } = frameCall(symbols, { repeat: sendings, dotsBefore });
  const before = choices.uniform(0.2, 1.2);
  const ppm = choices.uniform(-MOST_PPM, MOST_PPM);
  const offsetHz = choices.uniform(-MOST_OFFSET_HZ, MOST_OFFSET_HZ);
  const snrDb = typeof job.snrDb === 'number' ? job.snrDb : choices.uniform(...job.snrDb);
  const isCut = job.cutShare !== undefined && choices.uniform(0, 1) < job.cutShare;
  const cut: Cut = isCut ? choices.pick(['recording', 'transmission'] as const) : undefined;
  const phased = bits.length - (airSlots(symbols).length - PHASING_SLOTS) * BITS_PER_SYMBOL;
  const cutAt = Math.round((before + choices.uniform(phased, bits.length) / BAUD) * SAMPLE_RATE);
  const air = between(
    modulateBits(bits, { sampleRate: SAMPLE_RATE, centreHz: CENTRE_HZ }),
    SAMPLE_RATE,
    before,
    1,
  );
  if (cut === 'transmission') air.fill(0, cutAt);
  const whole = impair(air, SAMPLE_RATE, seed, [
    ...fading,
    { kind: 'offset', offsetHz },
    { kind: 'clock', ppm },
    { kind: 'noise', snrDb },
  ]);
  const audio = cut === 'recording' ? whole.subarray(0, cutAt) : whole;
  const speed = 1 + ppm * 1e-6;
  const delay = fading.length > 0 ? LONGEST_DELAY_SECONDS / 4 : 0;
  return {
    audio,
    kind,
    symbols,
    snrDb,
    bits: bits.length,
    start: (Math.round(before * SAMPLE_RATE) / SAMPLE_RATE + delay) / speed,
    baud: BAUD * speed,
    centreHz: (CENTRE_HZ + offsetHz) * speed,
    cut: isCut,
  };
}

function sendOne(job: DecodeJob, seed: number): Outcome {
  const sent = send(job, seed);
  const isRight = (symbols: readonly number[]) => symbols.join() === sent.symbols.join();
  const reported = receiveCalls(sent.audio, { sampleRate: SAMPLE_RATE, bands: ['mf-hf'] }).map((call) => ({
    right: isRight(call.symbols),
    quality: call.quality,
    errorProbability: call.errorProbability,
    characters: call.certainty.map((certainty, i) => ({
      certainty,
      right: call.symbols[i] === sent.symbols[i],
    })),
  }));
  const { snrDb, kind, cut } = sent;
  const outcome: Outcome = { snrDb, channel: job.channel, kind, seed, reported, cut };
  if (!job.textbook) return outcome;
  const read = readByTextbook(sent.audio, { ...sent, sampleRate: SAMPLE_RATE });
  outcome.textbook = { right: read.some(isRight), wrong: !read.every(isRight) };
  return outcome;
}

/** Sends the calls of a job, each with a seed of its own. */
export function runDecodeJob(job: DecodeJob): Outcome[] {
  return Array.from({ length: job.count }, (_, i) => sendOne(job, job.seed + i));
}

/** Whether a call was read right, or wrong, as `clean` or `recovered`. */
export function judge(outcome: Outcome): { right: boolean; wrong: boolean } {
  const sure = outcome.reported.filter(({ quality }) => quality !== 'doubtful');
  return { right: sure.some((call) => call.right), wrong: sure.some((call) => !call.right) };
}
