/**
 * What is measured: recordings, samples through a pipe, and the sound card; each as the calls in it, as they end.
 */
import { Described, DotphaseError } from '../../errors.js';
import {
  clockWithin,
  createClockFinder,
  createMeter,
  createSliceMeter,
  type ClockFinder,
  type Figure,
  type Meter,
  type MeteredCall,
  type SliceMeter,
} from '../../measure/index.js';
import { blocksOf } from '../decode/blocks.js';
import { isSigmf } from '../decode/sigmf.js';
import { pieceBlocks, requireTuned, type SliceSettings } from '../decode/sliceblocks.js';
import { sliceOf, type SliceFlags } from '../decode/sliceflags.js';
import { warn } from '../exit.js';
import { STANDARD_STREAM } from '../input.js';
import { originFinder } from '../origin.js';
import { rawInput, type RawFlags } from '../rawflags.js';
import { requireRecording } from '../recording.js';
import { InputLevel } from '../sound/level.js';
import type { SoundInput } from '../sound/port.js';
import type { ClockFlags } from './reference.js';

/** The options that say how inputs are read. */
export interface InputFlags extends RawFlags, ClockFlags, SliceFlags {
  readonly channel: number;
  readonly centre?: number;
}

/** Audio, block after block. */
interface Blocks {
  readonly name: string;
  /** Whether its calls are wanted before its end. */
  readonly isEndless: boolean;
  readonly blocks: AsyncIterable<{
    readonly sampleRate: number;
    readonly channels: readonly Float32Array[];
  }>;
}

/** Takes calls, and the clock they were counted by. */
type Tell = (calls: readonly MeteredCall[], clock: Figure) => void;

/** A sample this large is at full scale, in 16 bits too. */
const FULL_SCALE = 32_766 / 32_768;
/** Clicks alone bring a few samples there. */
const MOST_AT_FULL_SCALE = 10;

const clippedText = (samples: number) =>
  `${samples} samples at full scale: it is clipped, and its figures are worth little; record it softer`;

async function measureBlocks(
  { name, isEndless, blocks }: Blocks,
  flags: InputFlags,
  tell: Tell,
  isStopped: () => boolean = () => false,
): Promise<Figure> {
  const { referenceHz, channel, centre } = flags;
  const referenceChannel = referenceHz === undefined ? channel : (flags.referenceChannel ?? channel);
  let clock = referenceHz === undefined ? clockWithin(flags.clockPpm) : undefined;
  let finder: ClockFinder | undefined;
  let meter: Meter | undefined;
  let held: MeteredCall[] = [];
  const take = (calls: readonly MeteredCall[]) => {
    held.push(...calls);
    if (!clock || held.length === 0) return;
    const known = held;
    held = [];
    tell(known, clock);
  };
  let clipped = 0;
  for await (const { sampleRate, channels } of blocks) {
    const wanted = Math.max(channel, referenceChannel);
    if (wanted >= channels.length) {
      throw new DotphaseError(
        channel >= channels.length ? '--channel' : '--reference-channel',
        wanted,
        channels.length === 1
          ? '0: the recording has one channel'
          : `a channel from 0 to ${channels.length - 1}`,
      );
    }
    meter ??= createMeter({ sampleRate, ...(centre !== undefined && { centreHz: centre, searchHz: 100 }) });
    if (referenceHz !== undefined && !clock) {
      finder ??= createClockFinder({ sampleRate, referenceHz, isEndless });
      finder.push(channels[referenceChannel]);
      // Nothing can be told without it.
      clock = isEndless && finder.isOver ? finder.end() : finder.clock;
    }
    take(meter.push(channels[channel]));
    for (const sample of channels[channel]) if (Math.abs(sample) >= FULL_SCALE) clipped++;
    if (isStopped()) break;
  }
  const last = meter?.flush() ?? [];
  clock ??= finder?.end() ?? clockWithin(flags.clockPpm);
  take(last);
  if (clipped > MOST_AT_FULL_SCALE) warn(`${name}: ${clippedText(clipped)}`);
  return clock;
}

/**
 * Tells the calls of a recording, or of samples from standard input, as they end; with a reference in a file when it
 * has been read whole.
 *
 * @returns the clock's error
 * @throws DotphaseError where it cannot be read, or does not hold the reference
 */
export async function measureFile(
  file: string,
  flags: InputFlags,
  tell: Tell,
  isStopped: () => boolean,
): Promise<Figure> {
  if (file !== STANDARD_STREAM && flags.raw === undefined) await requireRecording(file);
  const raw = rawInput(flags);
  const isOne = flags.channel === 0 && (flags.referenceChannel ?? 0) === 0;
  const blocks = blocksOf(
    file,
    { channel: isOne ? 0 : 'each', ...(raw && { raw: { ...raw, channels: 1 } }) },
    ({ text }) => {
      warn(`${file}: ${text}`);
    },
    () => undefined,
  );
  return measureBlocks({ name: file, isEndless: file === STANDARD_STREAM, blocks }, flags, tell, isStopped);
}

/** What is known of a slice; its name may tell where the receiver was tuned. */
async function settingsOf(file: string, flags: InputFlags): Promise<SliceSettings> {
  const settings = sliceOf(flags) ?? { isGiven: true };
  const { tuned } = flags;
  const find = await originFinder(tuned === undefined ? {} : { tuned });
  const { tunedHz } = await find(file);
  return { ...settings, ...(tunedHz !== undefined && { tunedHz }) };
}

/** Whether a file is a slice of spectrum, by what is said of it or by its kind. */
export const isSliceFile = (file: string, flags: InputFlags): boolean =>
  sliceOf(flags)?.isGiven === true || isSigmf(file);

/**
 * Tells the calls of a slice of spectrum, on every DSC channel in it, as they end.
 *
 * @returns the error of the receiver's clock
 * @throws DotphaseError where it cannot be read or holds no DSC channel
 */
export async function measureSlice(
  file: string,
  flags: InputFlags,
  tell: Tell,
  isStopped: () => boolean,
): Promise<Figure> {
  for (const [flag, value] of [
    ['--reference-hz', flags.referenceHz],
    ['--centre', flags.centre],
  ] as const) {
    if (value !== undefined)
      throw new DotphaseError(flag, value, 'nothing with a slice of spectrum; --clock-ppm tells its clock');
  }
  if (flags.channel !== 0)
    throw new DotphaseError(
      '--channel',
      flags.channel,
      'nothing with a slice of spectrum: its channels are I and Q',
    );
  const settings = await settingsOf(file, flags);
  const { oscillatorPpm } = settings;
  const clock = clockWithin(flags.clockPpm);
  const warnOf = (text: string) => {
    warn(`${file}: ${text}`);
  };
  let meter: SliceMeter | undefined;
  let clipped = 0;
  const take = (calls: readonly MeteredCall[] = []) => {
    if (calls.length > 0) tell(calls, clock);
  };
  for await (const { i, q, sampleRate, piece, isFirst, isOnly } of pieceBlocks(file, settings, {
    warn: warnOf,
    onBytes: () => undefined,
    from: 0,
  })) {
    if (isFirst) {
      take(meter?.flush());
      meter = undefined;
      try {
        meter = createSliceMeter({
          sampleRate,
          tunedHz: requireTuned(piece),
          from: piece.begin,
          ...(oscillatorPpm !== undefined && { oscillatorPpm }),
        });
      } catch (error) {
        // Of a recording that was tuned to and fro, the other pieces are measured.
        if (!(error instanceof DotphaseError) || isOnly) throw error;
        warnOf(`From sample ${piece.start} on: ${error.message}`);
      }
    }
    for (const sample of i) if (Math.abs(sample) >= FULL_SCALE) clipped++;
    take(meter?.push(i, q));
    if (isStopped()) break;
  }
  take(meter?.flush());
  if (clipped > MOST_AT_FULL_SCALE) warn(`${file}: ${clippedText(clipped)}`);
  return clock;
}

/**
 * Tells the calls that come in by a sound card, until it is closed.
 *
 * @returns the clock's error
 * @throws DotphaseError when the sound fails, or the reference does not come
 */
export async function measureSound(input: SoundInput, flags: InputFlags, tell: Tell): Promise<Figure> {
  const { sampleRate, inputName } = input;
  const level = new InputLevel(sampleRate);
  if (flags.channel !== 0 || (flags.referenceChannel ?? 0) !== 0)
    throw new DotphaseError(
      flags.channel === 0 ? '--reference-channel' : '--channel',
      new Described('another channel than 0'),
      '0: a recorder gives one channel',
    );
  async function* blocks() {
    for await (const samples of input.blocks()) {
      for (const text of level.push(samples)) warn(text);
      yield { sampleRate, channels: [samples] };
    }
  }
  return measureBlocks({ name: inputName, isEndless: true, blocks: blocks() }, flags, tell);
}
