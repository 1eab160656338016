/**
 * Recordings, and samples without a container, as bytes and blocks of audio.
 */
import { DotphaseError, reasonOf } from '../../errors.js';
import { readAudioBlocks } from '../../containers/index.js';
import { audioFileBlocks } from '../../containers/node.js';
import { readRawBlocks, type AudioBlock, type ChannelChoice, type RawFormat } from '../../wav/index.js';
import { diskBytes } from '../../wav/node.js';
import { STANDARD_STREAM } from '../input.js';
import { STOPPING } from '../stopsignal.js';

/** How audio is read. */
export interface BlockSettings {
  /** One channel, their mean, each by itself, or (`'best'`) each, with a call on several printed once. */
  readonly channel: ChannelChoice | 'best';
  /** Set where the input is samples without a container. */
  readonly raw?: { readonly format: RawFormat; readonly sampleRate: number; readonly channels: number };
}

const refusing = (file: string) => (error: unknown) =>
  error instanceof DotphaseError
    ? error
    : new DotphaseError('file', file, `a file that can be read: ${reasonOf(error)}`);

/** A recorder that the same Ctrl-C ends gives what it still holds within this time, milliseconds. */
const LAST_MS = 500;

/** Standard input to its end, or until it is told to stop, whether or not anything comes. */
async function* standardInput(onBytes: (bytes: number) => void): AsyncGenerator<Uint8Array> {
  const stopped = new AbortController();
  const stop = () => {
    stopped.abort();
    setTimeout(() => process.stdin.destroy(), LAST_MS).unref();
  };
  for (const signal of STOPPING) process.once(signal, stop);
  let bytes = 0;
  try {
    for await (const chunk of process.stdin) {
      bytes += (chunk as Uint8Array).length;
      yield chunk as Uint8Array;
      onBytes(bytes);
    }
  } catch (error) {
    if (!stopped.signal.aborted) throw refusing(STANDARD_STREAM)(error);
  } finally {
    for (const signal of STOPPING) process.off(signal, stop);
  }
}

/** The bytes of a file, or of standard input. */
export function bytesOf(file: string, onBytes: (bytes: number) => void): AsyncIterable<Uint8Array> {
  return file === STANDARD_STREAM ? standardInput(onBytes) : diskBytes(file, onBytes, refusing(file));
}

/**
 * The blocks of a file, or of standard input.
 *
 * @param from - seconds that are left out, to the frame: `Math.floor(from * sampleRate)` is the first
 */
export function blocksOf(
  file: string,
  settings: BlockSettings,
  tell: (warning: { readonly type: 'warning'; readonly text: string }) => void,
  onBytes: (bytes: number) => void,
  from = 0,
): AsyncGenerator<AudioBlock> {
  const { raw, channel } = settings;
  const options = {
    from,
    channel: channel === 'best' ? ('each' as const) : channel,
    onWarning: ({ text }: { text: string }) => {
      tell({ type: 'warning', text });
    },
  };
  if (raw) return readRawBlocks(bytesOf(file, onBytes), { ...raw, ...options });
  if (file === STANDARD_STREAM) return readAudioBlocks(bytesOf(file, onBytes), options);
  return audioFileBlocks(file, { ...options, onProgress: onBytes });
}
