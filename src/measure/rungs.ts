/**
 * What a ladder steps, and the call at each of its rungs as audio.
 */
import { encodeCall, type Call } from '../calls/index.js';
import { createChannel, type ChannelStage, type FadingConditionName } from '../channel/index.js';
import { DotphaseError } from '../errors.js';
import { frameCall } from '../frames/index.js';
import { MODULATIONS, modulateBits } from '../modem/index.js';
import { createReceiver } from '../receiver/index.js';
import type { Band } from '../symbols/index.js';
import { createLadder, type Ladder, type LadderEstimate, type LadderTrial } from './ladder.js';
import { readByTextbook } from './textbook.js';

/** What can be stepped. */
export const LADDER_STEPS = ['ratio', 'level', 'offset', 'rate'] as const;

/** The name of what is stepped. */
export type LadderStep = (typeof LADDER_STEPS)[number];

/** What is stepped, in words, and how. */
export interface StepWords {
  /** As in "Calls acknowledged, by …". */
  readonly name: string;
  readonly unit: string;
  /** Range unless another is given, and how fine it is told apart. */
  readonly lowest: number;
  readonly highest: number;
  readonly resolution: number;
  /** The farthest that may be asked for. */
  readonly least: number;
  readonly most: number;
}

/** The words of each step. */
export const STEP_WORDS: Readonly<Record<LadderStep, StepWords>> = {
  ratio: {
    name: 'signal-to-noise ratio in 3 kHz',
    unit: 'dB',
    lowest: -15,
    highest: 25,
    resolution: 0.1,
    least: -30,
    most: 60,
  },
  level: {
    name: 'peak level, full scale',
    unit: 'dB',
    lowest: -80,
    highest: -6,
    resolution: 0.25,
    least: -96,
    most: 0,
  },
  offset: {
    name: 'offset of the tones',
    unit: 'Hz',
    lowest: 0,
    highest: 400,
    resolution: 1,
    least: -1000,
    most: 1000,
  },
  rate: {
    name: 'error of the symbol rate',
    unit: 'ppm',
    lowest: 0,
    highest: 20_000,
    resolution: 50,
    least: -50_000,
    most: 50_000,
  },
};

/** What the calls of a ladder go through. */
export interface LadderAir {
  readonly band: Band;
  readonly step: LadderStep;
  readonly lowest: number;
  readonly highest: number;
  /** Signal-to-noise ratio in 3 kHz, dB, where another thing is stepped; undefined for no noise. */
  readonly snrDb?: number | undefined;
  /** Fading of ITU-R F.1487; on MF and HF only. */
  readonly fading?: FadingConditionName | undefined;
}

/** Whether fewer calls are taken the higher the value: of what is an error, on the upper side. */
const isFalling = ({ step, lowest, highest }: LadderAir) =>
  (step === 'offset' || step === 'rate') && Math.abs(highest) > Math.abs(lowest);

/**
 * Opens a ladder.
 *
 * @throws DotphaseError where its range does not fit what is stepped
 */
export function openLadder(
  air: LadderAir,
  more: { readonly calls?: number; readonly trials?: readonly LadderTrial[] } = {},
): Ladder {
  const { step, lowest, highest, band, fading } = air;
  const { resolution, least, most, unit } = STEP_WORDS[step];
  for (const [field, value] of [
    ['lowest', lowest],
    ['highest', highest],
  ] as const)
    if (!(value >= least && value <= most))
      throw new DotphaseError(field, value, `from ${least} to ${most} ${unit}`);
  if ((step === 'offset' || step === 'rate') && lowest < 0 && highest > 0)
    throw new DotphaseError(
      'lowest',
      lowest,
      'a range on one side of 0: what is above and below are two ladders',
    );
  if (fading !== undefined && band === 'vhf')
    throw new DotphaseError('channel', fading, 'none on VHF: these are conditions of HF');
  return createLadder({ lowest, highest, resolution, isFalling: isFalling(air), ...more });
}

/** Seconds of noise before and behind each call, for the set's gain control to settle. */
const NOISE_SECONDS = 1;
/** Signal and noise together stay below full scale: the root mean square lies so far below their peak, dB. */
const CREST_DB = 12;

const amplitudeOf = (db: number) => 10 ** (db / 20);

/** A call at one rung. */
export interface Rung {
  readonly audio: Float32Array;
  /** What a receiver that knows all of it would be told. */
  readonly start: number;
  readonly baud: number;
  readonly centreHz: number;
  readonly bits: number;
}

/**
 * The call at a rung, with a second before and behind it.
 *
 * @param levelDb - peak of all that is sent, dB of full scale; where the level is stepped, the value is the tones'
 */
export function rungAudio(
  call: Call,
  air: LadderAir,
  value: number,
  {
    sampleRate,
    seed,
    levelDb,
  }: { readonly sampleRate: number; readonly seed: number; readonly levelDb: number },
): Rung {
  const { band, step, fading } = air;
  const usual = MODULATIONS[band];
  const frame = frameCall(encodeCall(call), { band });
  const baud = usual.baud * (step === 'rate' ? 1 + value * 1e-6 : 1);
  const centreHz = usual.centreHz + (step === 'offset' ? value : 0);
  const amplitude = 0.5;
  const clean = modulateBits(frame.bits, {
    sampleRate,
    centreHz,
    level: amplitude,
    modulation: { ...usual, baud },
  });
  const silence = Math.round(NOISE_SECONDS * sampleRate);
  const padded = new Float32Array(clean.length + 2 * silence);
  padded.set(clean, silence);
  const snrDb = step === 'ratio' ? value : air.snrDb;
  const stages: ChannelStage[] = [
    ...(fading === undefined ? [] : [{ kind: 'fading' as const, condition: fading }]),
    ...(snrDb === undefined ? [] : [{ kind: 'noise' as const, snrDb }]),
  ];
  const through = stages.length === 0 ? padded : passed(padded, sampleRate, seed, amplitude, stages);
  const { dots, slots } = frame.sendings[0];
  return {
    audio: scaled(through, air, value, levelDb, amplitude),
    start: silence / sampleRate + dots / baud,
    baud,
    centreHz,
    bits: slots.length * 10,
  };
}

function passed(
  samples: Float32Array,
  sampleRate: number,
  seed: number,
  amplitude: number,
  stages: readonly ChannelStage[],
): Float32Array {
  const channel = createChannel({
    sampleRate,
    seed,
    signalLevelDb: 20 * Math.log10(amplitude / Math.SQRT2),
    stages: [...stages],
  });
  const body = channel.push(samples);
  const rest = channel.flush();
  const whole = new Float32Array(body.length + rest.length);
  whole.set(body);
  whole.set(rest, body.length);
  return whole;
}

function scaled(
  samples: Float32Array,
  { step, snrDb, fading }: LadderAir,
  value: number,
  levelDb: number,
  amplitude: number,
): Float32Array {
  if (step === 'level') return samples.map((sample) => (amplitudeOf(value) / amplitude) * sample);
  if (step !== 'ratio' && snrDb === undefined && fading === undefined)
    return samples.map((sample) => (amplitudeOf(levelDb) / amplitude) * sample);
  const power = samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length;
  const gain = amplitudeOf(levelDb - CREST_DB) / Math.sqrt(power);
  return samples.map((sample) => gain * sample);
}

/** What receivers come to on the same ladder, worked out with calls of their own. */
export type Beside = Readonly<Record<'textbook' | 'dotphase', LadderEstimate>>;

type LadderReceiver = keyof Beside;

const BESIDE_CALLS = 60;
const BESIDE_RATE: Readonly<Record<Band, number>> = { 'mf-hf': 8000, vhf: 12_000 };
const SEED_STEP = 7919;

/**
 * Walks the same ladder with the textbook receiver and with this one, in memory: about a second a call. What is stepped
 * must be more than the level, which moves neither.
 *
 * @param settings.calls - for each receiver at most; default 60
 * @param settings.onCall - told how many calls are done; where it gives a promise, that is waited for
 */
export async function ladderBeside(
  call: Call,
  air: LadderAir,
  settings: {
    readonly seed: number;
    readonly calls?: number;
    readonly onCall?: (done: number) => unknown;
  },
): Promise<Beside> {
  const sampleRate = BESIDE_RATE[air.band];
  const wanted = encodeCall(call).symbols.join();
  const { shiftHz } = MODULATIONS[air.band];
  const takes: Record<LadderReceiver, (rung: Rung) => boolean> = {
    textbook: ({ audio, ...known }) =>
      readByTextbook(audio, { sampleRate, shiftHz, ...known, ...nominal(air) }).some(
        (symbols) => symbols.join() === wanted,
      ),
    dotphase: ({ audio }) => {
      const receiver = createReceiver({ sampleRate, bands: [air.band] });
      return [...receiver.push(audio), ...receiver.flush()].some(
        ({ symbols, quality }) => quality !== 'doubtful' && symbols.join() === wanted,
      );
    },
  };
  let done = 0;
  const walk = async (name: LadderReceiver) => {
    const ladder = openLadder(air, { calls: settings.calls ?? BESIDE_CALLS });
    for (;;) {
      const value = ladder.next();
      if (value === undefined) return ladder.estimate();
      const own = settings.seed + SEED_STEP * (1 + ladder.trials.length);
      const rung = rungAudio(call, air, value, { sampleRate, seed: own, levelDb: -6 });
      ladder.record({ value, isAcknowledged: takes[name](rung) });
      await settings.onCall?.(++done);
    }
  };
  return { textbook: await walk('textbook'), dotphase: await walk('dotphase') };
}

/** What the textbook receiver goes by though the sender does not: that is what is stepped. */
function nominal({ band, step }: LadderAir): { baud?: number; centreHz?: number } {
  const { baud, centreHz } = MODULATIONS[band];
  if (step === 'rate') return { baud };
  return step === 'offset' ? { centreHz } : {};
}
