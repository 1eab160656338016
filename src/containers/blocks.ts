/**
 * Audio files of any kind that can be read → blocks of audio.
 */
import { DotphaseError, Described } from '../errors.js';
import { readWavBlocks, type AudioBlock, type ByteSource } from '../wav/index.js';
import { aiffBlocks } from './aiff.js';
import { ByteReader } from './bytereader.js';
import { streamBlocks } from './streams.js';
import { flacBlocks } from './flac.js';
import { HEAD_BYTES, audioKindOf, type AudioKind } from './kinds.js';
import type { AudioFileEnd, AudioFileOptions, AudioFileWarning, ReadFrames } from './types.js';

/**
 * Reads an audio file block by block, in constant memory: WAV, FLAC, MP3, Ogg with Vorbis, Opus or FLAC, AIFF. Its kind
 * is told by its content. What is damaged is left out and said in a warning.
 *
 * @param source - the bytes of the file, in chunks of any length
 * @throws DotphaseError if it is none of these, nothing in it can be read, or it has no such channel
 */
export async function* readAudioBlocks(
  source: ByteSource,
  options: AudioFileOptions = {},
): AsyncGenerator<AudioBlock, AudioFileEnd, undefined> {
  const { channel = 'each', totalBytes, onWarning } = options;
  const warnings: AudioFileWarning[] = [];
  const warn = (text: string): void => {
    warnings.push({ text });
    onWarning?.({ text });
  };
  const reader = new ByteReader(source);
  const kind = audioKindOf(await reader.peek(HEAD_BYTES));
  if (kind === undefined) {
    const expected = 'a WAV, FLAC, MP3, Ogg Vorbis, Ogg Opus or AIFF file';
    throw new DotphaseError('file', new Described('a file of another kind'), expected);
  }
  const { frames } = yield* blocksOf(kind);
  return { kind, frames, warnings };

  function blocksOf(kind: AudioKind): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
    switch (kind) {
      case 'wav':
        return readWavBlocks(reader.pieces(), {
          channel,
          totalBytes,
          onWarning: ({ text }) => {
            warn(text);
          },
        });
      case 'aiff':
        return aiffBlocks(reader, channel, warn);
      case 'flac':
        return flacBlocks(reader, channel, warn);
      default:
        return streamBlocks(kind, reader, channel, warn);
    }
  }
}
