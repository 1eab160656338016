/**
 * Signals for the bench as audio that has no end, block after block.
 */
import { DotphaseError, encodeCall, frameCall, modulate, type Band, type Call, type Frame } from 'dotphase';
import { createChannel } from 'dotphase/channel';
import {
  benchSignal,
  withWrongCharacter,
  withWrongErrorCheck,
  type BenchSignal,
  type CharacterFault,
} from 'dotphase/transmitter';

/** What is sent. */
export type Sent =
  | { readonly kind: 'signal'; readonly signal: BenchSignal }
  | {
      readonly kind: 'call';
      readonly call: Call;
      /** Seconds from one beginning to the next. */
      readonly every: number;
      readonly isCheckWrong: boolean;
      readonly wrongCharacter: CharacterFault | undefined;
    };

/** How it is sent. */
export interface Air {
  readonly band: Band;
  readonly sampleRate: number;
  /** Peak of the tones, dB of full scale. */
  readonly levelDb: number;
  readonly bOverYDb: number;
  /** Signal-to-noise ratio in 3 kHz; undefined for none. */
  readonly snrDb: number | undefined;
}

const amplitudeOf = (db: number) => 10 ** (db / 20);
/** Samples of silence made in one go. */
const BLOCK = 4096;
/** White noise hardly ever reaches so many standard deviations. */
const NOISE_PEAK = 4.5;
/** Ratios are in this bandwidth, hertz. */
const RATIO_HZ = 3000;

/** Mean square of what is sent while a tone sounds. */
function powerOf(sent: Sent, { levelDb, bOverYDb }: Air): number {
  const [b, y] = [bOverYDb, -bOverYDb].map((db) => amplitudeOf(levelDb + Math.min(0, db)) ** 2 / 2);
  if (sent.kind === 'signal' && sent.signal === 'b') return b;
  if (sent.kind === 'signal' && sent.signal === 'y') return y;
  return (b + y) / 2;
}

/** The highest peak level at which tones and noise together stay below full scale, dB. */
export function highestLevelDb(sent: Sent, air: Air): number {
  if (air.snrDb === undefined) return 0;
  const noise =
    (powerOf(sent, { ...air, levelDb: 0 }) / 10 ** (air.snrDb / 10)) * (air.sampleRate / 2 / RATIO_HZ);
  return -20 * Math.log10(1 + NOISE_PEAK * Math.sqrt(noise));
}

function frameOf({ call, isCheckWrong, wrongCharacter }: Extract<Sent, { kind: 'call' }>, band: Band): Frame {
  const { symbols, expansions } = encodeCall(call);
  const frame = frameCall(
    { symbols: isCheckWrong ? withWrongErrorCheck(symbols) : symbols, expansions },
    { band },
  );
  return wrongCharacter ? withWrongCharacter(frame, wrongCharacter) : frame;
}

/** A call over and over; each beginning is rounded to a sample by itself, so that nothing adds up. */
function* callAgain(sent: Extract<Sent, { kind: 'call' }>, air: Air): Generator<Float32Array> {
  const { band, sampleRate, levelDb, bOverYDb } = air;
  const audio = modulate(frameOf(sent, band), {
    sampleRate,
    level: amplitudeOf(levelDb),
    bOverYDb,
  });
  const begin = (turn: number) => Math.round(turn * sent.every * sampleRate);
  if (begin(1) < audio.length)
    throw new DotphaseError(
      'every',
      sent.every,
      `at least ${(audio.length / sampleRate).toFixed(2)} s, the length of the call`,
    );
  for (let turn = 0; ; turn++) {
    yield audio.slice();
    for (let left = begin(turn + 1) - begin(turn) - audio.length; left > 0; left -= BLOCK)
      yield new Float32Array(Math.min(left, BLOCK));
  }
}

/**
 * The audio of what is sent, without an end.
 *
 * @throws DotphaseError where a value is out of range; at the first block where it is that of a call
 */
export function* benchAudio(sent: Sent, air: Air): Generator<Float32Array<ArrayBuffer>> {
  const { band, sampleRate, levelDb, bOverYDb, snrDb } = air;
  const level = amplitudeOf(levelDb);
  const clean =
    sent.kind === 'call'
      ? callAgain(sent, air)
      : benchSignal(sent.signal, { band, sampleRate, seconds: Infinity, level, bOverYDb });
  const channel =
    snrDb === undefined
      ? undefined
      : createChannel({
          sampleRate,
          seed: 1,
          signalLevelDb: 10 * Math.log10(powerOf(sent, air)),
          stages: [{ kind: 'noise', snrDb }],
        });
  for (const block of clean)
    yield (channel ? channel.push(block).slice() : block) as Float32Array<ArrayBuffer>;
}

/** How long a call of so many bits lasts, and whether a fault fits it. */
export function lengthOf(sent: Extract<Sent, { kind: 'call' }>, band: Band): number {
  return frameOf(sent, band).duration;
}
