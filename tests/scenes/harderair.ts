/** Faults of the air and of receivers that no model of the decision foresees, and what is read through them. */
import { encodeCall } from '../../src/calls/index.js';
import type { ChannelStage } from '../../src/channel/index.js';
import { receiveCalls, type ReceivedCall } from '../../src/receiver/index.js';
import { KINDS, randomCall } from './calls.js';
import { createChoices, type Choices } from './random.js';
import { impair, mix, spelled, transmit } from './transmission.js';
import { FM_RATE, throughFm } from './fmradio.js';

const SAMPLE_RATE = 8000;

/** Ratios in 3 kHz, dB: any between. */
const RATIOS = [-8, 8] as const;

/** What is on the air: the audio, and the calls that it holds as their characters. */
interface Scene {
  readonly audio: Float32Array;
  readonly sent: readonly string[];
}

const anyCall = (choices: Choices) => encodeCall(randomCall(choices, choices.pick(KINDS))).symbols;

/** One call through stages that end with noise. */
function oneCall(choices: Choices, seed: number, stages: readonly ChannelStage[]): Scene {
  const symbols = anyCall(choices);
  const audio = impair(transmit(symbols, { sampleRate: SAMPLE_RATE }), SAMPLE_RATE, seed, stages);
  return { audio, sent: [symbols.join(' ')] };
}

/**
 * Two all-pass sections, of which each delays what lies at its frequency by 10 ms more than what lies far off: pole
 * radius r, delay (1 + r) / (1 − r) samples at the pole.
 */
function delayEdges(audio: Float32Array, edgesHz: readonly number[]): Float32Array {
  const delay = 0.01 * SAMPLE_RATE;
  const radius = (delay - 1) / (delay + 1);
  return edgesHz.reduce((input, hz) => {
    const a1 = -2 * radius * Math.cos((2 * Math.PI * hz) / SAMPLE_RATE);
    const a2 = radius ** 2;
    const output = new Float32Array(input.length);
    for (let n = 0; n < input.length; n++) {
      const x = (back: number) => (n >= back ? input[n - back] : 0);
      const y = (back: number) => (n >= back ? output[n - back] : 0);
      output[n] = a2 * x(0) + a1 * x(1) + x(2) - a1 * y(1) - a2 * y(2);
    }
    return output;
  }, audio);
}

/** Each kind of harder air. */
export const HARDER_AIR: Readonly<
  Record<string, { title: string; create: (choices: Choices, seed: number) => Scene }>
> = {
  impulses: {
    title: 'crashes 10 dB above the call and more, ten a second',
    create: (choices, seed) =>
      oneCall(choices, seed, [
        { kind: 'impulses', levelDb: 10, ratePerSecond: 10 },
        { kind: 'noise', snrDb: choices.uniform(...RATIOS) },
      ]),
  },
  stronger: {
    title: 'another call 3 to 20 dB stronger on top, its centre up to 300 Hz off',
    create(choices, seed) {
      const [weak, strong] = [anyCall(choices), anyCall(choices)];
      const offsetHz = choices.uniform(-300, 300);
      const audio = mix(SAMPLE_RATE, [
        { audio: transmit(weak, { sampleRate: SAMPLE_RATE }), at: choices.uniform(0, 6) },
        {
          audio: transmit(strong, { sampleRate: SAMPLE_RATE, centreHz: 1700 + offsetHz }),
          at: choices.uniform(0, 6),
          gain: 10 ** (choices.uniform(3, 20) / 20),
        },
      ]);
      const noise: ChannelStage = { kind: 'noise', snrDb: choices.uniform(...RATIOS) };
      return {
        audio: impair(audio, SAMPLE_RATE, seed, [noise]),
        sent: [weak, strong].map((symbols) => symbols.join(' ')),
      };
    },
  },
  pumping: {
    title: 'a gain control that crashes hold down, recovering in 0.3 s',
    create: (choices, seed) =>
      oneCall(choices, seed, [
        { kind: 'noise', snrDb: choices.uniform(...RATIOS) },
        { kind: 'impulses', levelDb: 20, ratePerSecond: 2 },
        { kind: 'agc', decayMs: 300 },
      ]),
  },
  edges: {
    title: 'a filter that delays its edges, 1500 and 1900 Hz, by 10 ms',
    create(choices, seed) {
      const { audio, sent } = oneCall(choices, seed, [{ kind: 'noise', snrDb: choices.uniform(...RATIOS) }]);
      return { audio: delayEdges(audio, [1500, 1900]), sent };
    },
  },
  drift: {
    title: 'a frequency that drifts by 1 Hz a second',
    create: (choices, seed) =>
      oneCall(choices, seed, [
        { kind: 'offset', driftHzPerSecond: choices.pick([-1, 1]) },
        { kind: 'noise', snrDb: choices.uniform(...RATIOS) },
      ]),
  },
  clock: {
    title: 'a clock 300 ppm fast or slow',
    create: (choices, seed) =>
      oneCall(choices, seed, [
        { kind: 'clock', ppm: choices.pick([-300, 300]) },
        { kind: 'noise', snrDb: choices.uniform(...RATIOS) },
      ]),
  },
};

/** Scenes to receive. */
export interface HarderAirJob {
  name: string;
  count: number;
  seed: number;
}

/** What was read of them. */
export interface HarderAir {
  name: string;
  /** Calls sent, and how many of them were read right as `clean` or `recovered`. */
  sent: number;
  right: number;
  /** Calls given as `clean` or `recovered` that nobody sent, and their seeds. */
  wrong: number;
  seeds: number[];
}

const isSure = ({ quality }: ReceivedCall) => quality !== 'doubtful';

export function runHarderAirJob({ name, count, seed }: HarderAirJob): HarderAir {
  const result: HarderAir = { name, sent: 0, right: 0, wrong: 0, seeds: [] };
  for (let i = 0; i < count; i++) {
    const { audio, sent } = HARDER_AIR[name].create(createChoices(seed + i), seed + i);
    const read = spelled(receiveCalls(audio, { sampleRate: SAMPLE_RATE, bands: ['mf-hf'] }).filter(isSure));
    const wrong = read.filter((symbols) => !sent.includes(symbols));
    result.sent += sent.length;
    result.right += sent.filter((symbols) => read.includes(symbols)).length;
    result.wrong += wrong.length;
    if (wrong.length > 0) result.seeds.push(seed + i);
  }
  return result;
}

/** Calls through a VHF radio. */
export interface FmJob {
  /** In 16 kHz. */
  carrierToNoiseDb: number;
  count: number;
  seed: number;
}

/** What was read of them. */
export interface FmPoint extends FmJob {
  right: number;
  wrong: number;
}

export function runFmJob(job: FmJob): FmPoint {
  const point: FmPoint = { ...job, right: 0, wrong: 0 };
  for (let i = 0; i < job.count; i++) {
    const symbols = anyCall(createChoices(job.seed + i));
    const sent = transmit(symbols, { sampleRate: FM_RATE, band: 'vhf', before: 0.2, after: 0.3 });
    const audio = throughFm(sent, job.carrierToNoiseDb, job.seed + i);
    const read = spelled(receiveCalls(audio, { sampleRate: FM_RATE, bands: ['vhf'] }).filter(isSure));
    if (read.includes(symbols.join(' '))) point.right++;
    if (read.some((other) => other !== symbols.join(' '))) point.wrong++;
  }
  return point;
}
