/**
 * What is measured: recordings, samples through a pipe, and the sound card; each as the calls in it, as they end.
 */
import { Described, DotphaseError } from '../../errors.js';
import { createMeter, type Figure, type Meter, type MeteredCall } from '../../measure/index.js';
import { blocksOf } from '../decode/blocks.js';
import { warn } from '../exit.js';
import { STANDARD_STREAM } from '../input.js';
import { rawInput, type RawFlags } from '../rawflags.js';
import { requireRecording } from '../recording.js';
import { InputLevel } from '../sound/level.js';
import type { SoundInput } from '../sound/port.js';
import { ClockFinder, type ClockFlags } from './reference.js';

/** The options that say how inputs are read. */
export interface InputFlags extends RawFlags, ClockFlags {
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
  const finder = new ClockFinder(flags, isEndless);
  let meter: Meter | undefined;
  let held: MeteredCall[] = [];
  const take = (calls: readonly MeteredCall[]) => {
    held.push(...calls);
    if (!finder.clock || held.length === 0) return;
    const known = held;
    held = [];
    tell(known, finder.clock);
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
    finder.push(channels[referenceChannel], sampleRate);
    take(meter.push(channels[channel]));
    for (const sample of channels[channel]) if (Math.abs(sample) >= FULL_SCALE) clipped++;
    if (isStopped()) break;
  }
  const last = meter?.flush() ?? [];
  const clock = finder.end();
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
