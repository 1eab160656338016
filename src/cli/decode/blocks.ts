/**
 * Recordings, and samples without a container, as bytes and blocks of audio.
 */
import { createReadStream } from 'node:fs';
import { DotphaseError, reasonOf } from '../../errors.js';
import { readAudioBlocks } from '../../containers/index.js';
import { audioFileBlocks } from '../../containers/node.js';
import { readRawBlocks, type AudioBlock, type ChannelChoice, type RawFormat } from '../../wav/index.js';
import { STANDARD_STREAM } from '../input.js';

/** How audio is read. */
export interface BlockSettings {
  /** One channel, their mean, each by itself, or (`'best'`) each, with a call on several printed once. */
  readonly channel: ChannelChoice | 'best';
  /** Set where the input is samples without a container. */
  readonly raw?: { readonly format: RawFormat; readonly sampleRate: number; readonly channels: number };
}

/** The bytes of a file, or of standard input. */
export async function* bytesOf(file: string, onBytes: (bytes: number) => void): AsyncGenerator<Uint8Array> {
  let bytes = 0;
  try {
    for await (const chunk of file === STANDARD_STREAM ? process.stdin : createReadStream(file)) {
      bytes += (chunk as Uint8Array).length;
      yield chunk as Uint8Array;
      onBytes(bytes);
    }
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('file', file, `a file that can be read: ${reasonOf(error)}`);
  }
}

/** The blocks of a file, or of standard input. */
export function blocksOf(
  file: string,
  settings: BlockSettings,
  tell: (warning: { readonly type: 'warning'; readonly text: string }) => void,
  onBytes: (bytes: number) => void,
): AsyncGenerator<AudioBlock> {
  const { raw, channel } = settings;
  const options = {
    channel: channel === 'best' ? ('each' as const) : channel,
    onWarning: ({ text }: { text: string }) => {
      tell({ type: 'warning', text });
    },
  };
  if (raw) return readRawBlocks(bytesOf(file, onBytes), { ...raw, ...options });
  if (file === STANDARD_STREAM) return readAudioBlocks(bytesOf(file, onBytes), options);
  return audioFileBlocks(file, { ...options, onProgress: onBytes });
}
