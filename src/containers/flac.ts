/**
 * FLAC → blocks of audio. A damaged frame is left out and silence stands in its place, so that times stay right. What
 * lies before the wanted seconds is jumped over by the seek table, or else cut into frames but not decoded.
 */
import type { AudioBlock } from '../wav/index.js';
import { DotphaseError, Described } from '../errors.js';
import type { ByteReader } from './bytereader.js';
import { requireChannel } from './channels.js';
import { DecodedAudio } from './decoders.js';
import {
  FlacFramer,
  MOST_HEADER_BYTES,
  STREAM_INFO_BYTES,
  firstSampleIn,
  seekPointBefore,
  streamInfoOf,
  type FlacFrame,
  type SeekPoint,
  type StreamInfo,
} from './flacframes.js';
import type { ReadFrames, Wanted, Warn } from './types.js';

const MARK_BYTES = 4;
const BLOCK_HEAD_BYTES = 4;
/** Silence is put in the place of no more than this; a longer gap is damage of the numbers themselves. */
const MOST_SILENT_SECONDS = 60;

const SEEK_TABLE = 3;

/** Takes the metadata blocks; gives the last point of the seek table at or before a sample. */
async function takeMetadata(reader: ByteReader, wanted: number): Promise<SeekPoint | undefined> {
  await reader.take(MARK_BYTES);
  let point: SeekPoint | undefined;
  for (let isLast = false; !isLast;) {
    const head = await reader.take(BLOCK_HEAD_BYTES);
    if (head.length < BLOCK_HEAD_BYTES) break;
    isLast = (head[0] & 0x80) !== 0;
    const size = (head[1] << 16) | (head[2] << 8) | head[3];
    if ((head[0] & 0x7f) === SEEK_TABLE && wanted > 0)
      point = seekPointBefore(await reader.take(size), wanted);
    else await reader.skip(size);
  }
  return point;
}

/** Goes to the frame that a seek point tells of; does nothing and gives false where that frame is not there. */
async function goTo({ sample, offset }: SeekPoint, reader: ByteReader, info: StreamInfo): Promise<boolean> {
  const begin = reader.position;
  // A source that is read to its end does not go back.
  if (!(await reader.seek(begin + offset + MOST_HEADER_BYTES))) return false;
  await reader.seek(begin + offset);
  if (firstSampleIn(await reader.peek(MOST_HEADER_BYTES), info) === sample) return true;
  await reader.seek(begin);
  return false;
}

/**
 * Reads a FLAC file block by block.
 *
 * @throws DotphaseError if nothing in it can be decoded, or it has no such channel
 */
export async function* flacBlocks(
  reader: ByteReader,
  wanted: Wanted,
  warn: Warn,
): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
  const info = streamInfoOf(await reader.peek(STREAM_INFO_BYTES));
  if (!info)
    throw new DotphaseError('file', new Described('a FLAC file without its first block'), 'a whole one');
  requireChannel(wanted.channel, info.channels);
  const first = Math.floor(wanted.from * info.sampleRate);
  const point = await takeMetadata(reader, first);
  const { FLACDecoder } = await import('@wasm-audio-decoders/flac');
  const decoder = new FLACDecoder();
  await decoder.ready;
  try {
    const audio = new DecodedAudio('flac', wanted, warn);
    if (point && (await goTo(point, reader, info))) audio.leaveOut(point.sample, info.sampleRate);
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
        if (end <= first) {
          audio.leaveOut(blockSize, info.sampleRate);
          continue;
        }
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
    return { frames: audio.given };
  } finally {
    decoder.free();
  }
}
