/**
 * AIFF and AIFF-C with samples that are not compressed → blocks of audio (Apple, Audio Interchange File Format 1.3 and
 * AIFF-C, from memory). Numbers are big endian.
 */
import { DotphaseError, Described } from '../errors.js';
import { createRawReader, type AudioBlock, type RawFormat } from '../wav/index.js';
import type { ByteReader } from './bytereader.js';
import type { ReadFrames, Wanted, Warn } from './types.js';

interface Common {
  readonly channels: number;
  readonly frames: number;
  readonly bytesPerSample: number;
  readonly sampleRate: number;
  readonly format: RawFormat;
  /** Samples have their last byte first already. */
  readonly isLittleEndian: boolean;
}

/** How samples of so many bytes are read once their bytes are turned round. */
const INTEGERS: Readonly<Record<number, RawFormat | undefined>> = { 1: 'u8', 2: 's16', 3: 's24', 4: 's32' };
/** A header chunk is never longer than this. */
const MOST_HEADER_BYTES = 1024;
const FORM_BYTES = 12;
const COMMON_BYTES = 18;

function wrong(what: string, expected: string): DotphaseError {
  return new DotphaseError('file', new Described(`an AIFF file ${what}`), expected);
}

/** A floating-point number of 80 bits: sign and exponent in 16, then 64 bits of mantissa. */
function extended(view: DataView, at: number): number {
  const exponent = (view.getUint16(at) & 0x7fff) - 16_383 - 63;
  return (view.getUint32(at + 2) * 2 ** 32 + view.getUint32(at + 6)) * 2 ** exponent;
}

function commonOf(bytes: Uint8Array): Common {
  if (bytes.length < COMMON_BYTES) throw wrong('whose COMM chunk is cut off', 'a whole one');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const bits = view.getInt16(6);
  const compression = bytes.length < 22 ? 'NONE' : String.fromCharCode(...bytes.subarray(18, 22));
  const isFloat = compression.toLowerCase() === 'fl32';
  if (!isFloat && !['NONE', 'twos', 'sowt'].includes(compression)) {
    throw wrong(`compressed by ${JSON.stringify(compression)}`, 'samples that are not compressed');
  }
  const bytesPerSample = Math.ceil(bits / 8);
  const format = isFloat ? ('f32' as const) : INTEGERS[bytesPerSample];
  if (format === undefined) throw wrong(`with samples of ${bits} bits`, '1 to 32 bits');
  const sampleRate = Math.round(extended(view, 8));
  return {
    channels: view.getInt16(0),
    frames: view.getUint32(2),
    bytesPerSample,
    sampleRate,
    format,
    isLittleEndian: compression === 'sowt',
  };
}

/** Turns whole samples into what the reader of raw samples takes: last byte first, single bytes without a sign. */
function convert(bytes: Uint8Array, { bytesPerSample, isLittleEndian }: Common): Uint8Array {
  if (bytesPerSample === 1) return bytes.map((byte) => byte ^ 0x80);
  if (isLittleEndian) return bytes;
  const turned = new Uint8Array(bytes.length);
  for (let at = 0; at < bytes.length; at += bytesPerSample) {
    for (let i = 0; i < bytesPerSample; i++) turned[at + i] = bytes[at + bytesPerSample - 1 - i];
  }
  return turned;
}

const STEP_BYTES = 65_536;

async function* samplesOf(
  reader: ByteReader,
  common: Common,
  size: number,
  { channel, from }: Wanted,
  warn: Warn,
): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
  const { format, sampleRate, channels, bytesPerSample } = common;
  const raw = createRawReader({ format, sampleRate, channels, channel, from });
  const step = STEP_BYTES - (STEP_BYTES % bytesPerSample);
  let left = Math.min(size, common.frames * channels * bytesPerSample);
  const skipped = await reader.skip(Math.max(0, Math.min(left, raw.toSkip)));
  raw.skip(skipped);
  left -= skipped;
  while (left > 0) {
    const piece = await reader.take(Math.min(left, step));
    if (piece.length === 0) break;
    left -= piece.length;
    yield* raw.push(convert(piece.subarray(0, piece.length - (piece.length % bytesPerSample)), common));
  }
  const end = raw.end();
  yield* end.blocks;
  for (const { text } of end.warnings) warn(text);
  const there = end.frames + Math.floor(skipped / (channels * bytesPerSample));
  if (there < common.frames) {
    warn(`The file ends early: ${there} of the ${common.frames} frames that it promises are there.`);
  }
  return { frames: end.frames };
}

/**
 * Reads AIFF block by block.
 *
 * @throws DotphaseError if its samples are compressed or its chunks cannot be understood
 */
export async function* aiffBlocks(
  reader: ByteReader,
  wanted: Wanted,
  warn: Warn,
): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
  await reader.take(FORM_BYTES);
  let common: Common | undefined;
  for (;;) {
    const head = await reader.take(8);
    if (head.length < 8) throw wrong('that ends before its samples', 'a COMM and an SSND chunk');
    const id = String.fromCharCode(...head.subarray(0, 4));
    const size = new DataView(head.buffer, head.byteOffset, 8).getUint32(4);
    if (id === 'SSND') {
      if (!common) throw wrong('with its samples before its COMM chunk', 'the COMM chunk first');
      const offsets = await reader.take(8);
      const offset =
        offsets.length < 8 ? 0 : new DataView(offsets.buffer, offsets.byteOffset, 8).getUint32(0);
      await reader.skip(offset);
      return yield* samplesOf(reader, common, size - 8 - offset, wanted, warn);
    }
    const padded = size + (size % 2);
    if (id === 'COMM') {
      if (size > MOST_HEADER_BYTES) throw wrong(`with a COMM chunk of ${size} bytes`, 'at most 1024');
      common = commonOf((await reader.take(padded)).subarray(0, size));
    } else {
      await reader.skip(padded);
    }
  }
}
