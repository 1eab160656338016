/**
 * What every reader of samples here gives and takes: blocks of audio, the choice of channels, warnings.
 */
import { isUint8Array } from '../dsp/index.js';
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';

/** A run of audio samples. */
export interface AudioBlock {
  /** Frames per second, 1 to 768000 Hz. */
  readonly sampleRate: number;
  /**
   * One array per channel, all of the same length; full scale is ±1. Integer samples of n bits are divided by
   * 2^(n−1), so silence is 0, the lowest code is −1 and the highest is one step below +1.
   */
  readonly channels: Float32Array[];
}

/**
 * Which channels to give: one of them (0 is the first, the left one of a stereo pair), their mean (`mix`), or all
 * of them side by side (`each`). A mix cancels what two channels carry in opposite phase; `each` loses nothing.
 */
export type ChannelChoice = number | 'mix' | 'each';

/**
 * What a reader found wrong without having to stop:
 * - `data-cut-short`: the file ends before the data chunk does; all samples that are there were given.
 * - `partial-frame`: the samples end within a frame; the incomplete frame was left out.
 * - `data-size`: the size of the data chunk cannot be true; what was done instead is in the text.
 * - `riff-size`: the size in the RIFF header does not fit the file.
 * - `unread-bytes`: bytes behind the samples belong to no chunk and were not read.
 * - `repeated-chunk`: a second `fmt ` or `data` chunk was not used.
 * - `pad-byte`: the pad byte after a chunk of odd size is missing.
 * - `container-width`: samples sit in containers wider than their bits ask for.
 * - `non-finite-samples`: floating-point samples that are not numbers or infinite were given as 0.
 */
export type WavWarningKind =
  | 'data-cut-short'
  | 'partial-frame'
  | 'data-size'
  | 'riff-size'
  | 'unread-bytes'
  | 'repeated-chunk'
  | 'pad-byte'
  | 'container-width'
  | 'non-finite-samples';

/** Something wrong in a file or stream that did not stop the reading. */
export interface WavWarning {
  /** What is wrong, for programs. */
  readonly kind: WavWarningKind;
  /** Offset from the start of the file or stream, in bytes, of the place the warning is about. */
  readonly byte: number;
  /** One sentence for people. */
  readonly text: string;
}

/** How samples are handed over, for files and raw streams alike. */
export interface BlockOptions {
  /** Which channels to give; all of them (`each`) by default. */
  readonly channel?: ChannelChoice | undefined;
  /**
   * Give blocks of exactly this many frames, the last one shorter: 1 to 1048576. Without it every push gives at
   * once all whole frames there are, in blocks of at most 65536 samples (frames × channels).
   */
  readonly blockFrames?: number | undefined;
  /**
   * Give only what lies from so many seconds on, to the frame: `Math.floor(from * sampleRate)` is the first. What is
   * left out is not looked at. Default 0.
   */
  readonly from?: number | undefined;
  /** Called with each warning as it arises. The warnings are also in what `end()` gives. */
  readonly onWarning?: ((warning: WavWarning) => void) | undefined;
}

/** What is left at the end of a stream. */
export interface BlocksEnd {
  /** The last blocks; empty unless `blockFrames` held some frames back. */
  readonly blocks: AudioBlock[];
  /** Every warning of the whole stream, in the order they arose. */
  readonly warnings: readonly WavWarning[];
  /** How many frames were given in all. */
  readonly frames: number;
}

/** A push reader: bytes in, blocks of audio out. */
export interface BlockReader<End extends BlocksEnd = BlocksEnd> {
  /**
   * Takes the next bytes, any number of them, and gives the blocks they complete. The chunk is not kept: its
   * memory may be used again after the call.
   *
   * @throws `DotphaseError` naming the byte where the stream cannot be read, or if the stream was ended.
   */
  push(chunk: Uint8Array): AudioBlock[];
  /** How many of the next bytes hold only samples before `from`: they may be left out by `skip`. */
  readonly toSkip: number;
  /** Says that the next bytes, as many as `toSkip` or fewer, are not pushed. */
  skip(bytes: number): void;
  /**
   * Says that the stream is over.
   *
   * @throws `DotphaseError` if the stream ended before any sample could be expected.
   */
  end(): End;
}

/** Bytes as they come from a file, a pipe or the network. */
export type ByteSource = AsyncIterable<Uint8Array> | Iterable<Uint8Array>;

/** Bytes some of which can be left out without being read, as in a file. */
export interface SkippableSource extends AsyncIterable<Uint8Array> {
  /** Leaves out bytes behind the chunk that was given last; gives how many, fewer where it cannot or there are none. */
  skip(bytes: number): Promise<number>;
  /** Goes on with a byte of the file, back or forth; gives false, and does nothing, where there is none to go to. */
  readonly seek?: (byte: number) => Promise<boolean>;
}

/** Whether bytes of a source can be left out. */
export const isSkippable = (source: ByteSource): source is SkippableSource => 'skip' in source;

/** The highest sample rate read or written, in Hz. */
export const MAX_SAMPLE_RATE = 768_000;
/** The largest number of channels read or written. */
export const MAX_CHANNELS = 1024;
/** The largest number of samples, frames × channels, converted in one go. */
export const MAX_BLOCK_SAMPLES = 65_536;

/** Longer than any recording. */
const MAX_FROM_SECONDS = 1e9;
const MAX_BLOCK_FRAMES = 1_048_576;
const MAX_PUSH_BYTES = 1_048_576;

/** Checks the options that do not depend on the format of the samples. */
export function requireBlockOptions(options: BlockOptions): void {
  const { channel, blockFrames, from } = options;
  if (from !== undefined) requireNumber('from', from, 0, MAX_FROM_SECONDS, 's');
  if (channel !== undefined && channel !== 'mix' && channel !== 'each') {
    if (typeof channel !== 'number') throw new DotphaseError('channel', channel, "a number, 'mix' or 'each'");
    requireInteger('channel', channel, 0, MAX_CHANNELS - 1);
  }
  if (blockFrames !== undefined) requireInteger('blockFrames', blockFrames, 1, MAX_BLOCK_FRAMES);
}

/** Checks that the chosen channel exists among `count`. */
export function requireChannel(channel: ChannelChoice, count: number): void {
  if (typeof channel === 'number' && channel >= count) {
    throw new DotphaseError(
      'channel',
      channel,
      `a channel below ${count}: there are ${count}, counted from 0`,
    );
  }
}

/** Wraps a reader so that it takes nothing but bytes, nothing after its end, and after an error fails the same way. */
export function guardReader<End extends BlocksEnd>(reader: BlockReader<End>): BlockReader<End> {
  let ended = false;
  let failure: { readonly error: unknown } | undefined;
  const guarded = <T>(call: string, run: () => T): T => {
    if (failure !== undefined) throw failure.error;
    if (ended) throw new DotphaseError(call, 'a call after end()', 'no call after end()');
    try {
      return run();
    } catch (error) {
      failure = { error };
      throw error;
    }
  };
  return {
    push: (chunk) =>
      guarded('push', () => {
        requireBytes('chunk', chunk);
        return reader.push(chunk);
      }),
    get toSkip() {
      return reader.toSkip;
    },
    skip: (bytes) => {
      guarded('skip', () => {
        requireInteger('bytes', bytes, 0, reader.toSkip);
        reader.skip(bytes);
      });
    },
    end: () =>
      guarded('end', () => {
        ended = true;
        return reader.end();
      }),
  };
}

/** Throws unless `bytes` is a Uint8Array. */
export function requireBytes(field: string, bytes: unknown): void {
  if (!isUint8Array(bytes)) throw new DotphaseError(field, bytes, 'bytes in a Uint8Array');
}

/** Drives a reader from a source, at most a mebibyte at a time. */
export async function* pumpBlocks<End extends BlocksEnd>(
  source: ByteSource,
  reader: BlockReader<End>,
): AsyncGenerator<AudioBlock, End, undefined> {
  for await (const chunk of source) {
    requireBytes('chunk', chunk);
    for (let at = 0; at < chunk.length; at += MAX_PUSH_BYTES) {
      yield* reader.push(chunk.subarray(at, at + MAX_PUSH_BYTES));
    }
    if (reader.toSkip > 0 && isSkippable(source)) reader.skip(await source.skip(reader.toSkip));
  }
  const end = reader.end();
  yield* end.blocks;
  return end;
}
