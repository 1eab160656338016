/**
 * FLAC → blocks of audio. A damaged frame is left out and silence stands in its place, so that times stay right.
 */
import type { AudioBlock, ChannelChoice } from '../wav/index.js';
import { DotphaseError, Described } from '../errors.js';
import type { ByteReader } from './bytereader.js';
import { DecodedAudio } from './decoders.js';
import { FlacFramer, STREAM_INFO_BYTES, streamInfoOf, type FlacFrame } from './flacframes.js';
import type { ReadFrames, Warn } from './types.js';

const MARK_BYTES = 4;
const BLOCK_HEAD_BYTES = 4;
/** Silence is put in the place of no more than this; a longer gap is damage of the numbers themselves. */
const MOST_SILENT_SECONDS = 60;

/** Takes the metadata blocks. */
async function skipMetadata(reader: ByteReader): Promise<void> {
  await reader.take(MARK_BYTES);
  for (let isLast = false; !isLast;) {
    const head = await reader.take(BLOCK_HEAD_BYTES);
    if (head.length < BLOCK_HEAD_BYTES) return;
    isLast = (head[0] & 0x80) !== 0;
    await reader.skip((head[1] << 16) | (head[2] << 8) | head[3]);
  }
}

/**
 * Reads a FLAC file block by block.
 *
 * @throws DotphaseError if nothing in it can be decoded, or it has no such channel
 */
export async function* flacBlocks(
  reader: ByteReader,
  channel: ChannelChoice,
  warn: Warn,
): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
  const info = streamInfoOf(await reader.peek(STREAM_INFO_BYTES));
  if (!info)
    throw new DotphaseError('file', new Described('a FLAC file without its first block'), 'a whole one');
  await skipMetadata(reader);
  const { FLACDecoder } = await import('@wasm-audio-decoders/flac');
  const decoder = new FLACDecoder();
  await decoder.ready;
  try {
    const audio = new DecodedAudio('flac', channel, warn);
    const framer = new FlacFramer(info);
    const give = async function* (
      frames: readonly FlacFrame[],
    ): AsyncGenerator<AudioBlock, undefined, undefined> {
      for (const { bytes, firstSample, blockSize } of frames) {
        const gap = firstSample - audio.frames;
        if (gap !== 0) {
          audio.damage();
          // A decoder that went on would complain of the frames that it did not get.
          await decoder.reset();
        }
        if (gap > 0 && gap <= MOST_SILENT_SECONDS * info.sampleRate) yield* audio.silence(gap, info);
        const end = audio.frames + blockSize;
        yield* audio.take(() => decoder.decodeFrames([bytes]));
        if (audio.frames < end) yield* audio.silence(end - audio.frames, info);
      }
    };
    for await (const piece of reader.pieces()) yield* give(framer.push(piece));
    yield* give(framer.end());
    audio.end();
    if (audio.frames < info.frames) {
      warn(`The file ends early: ${audio.frames} of the ${info.frames} frames that it promises are there.`);
    }
    return { frames: audio.frames };
  } finally {
    decoder.free();
  }
}
