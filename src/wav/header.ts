/**
 * The header of a written WAV file: RIFF, or RF64 (EBU Tech 3306) beyond 4 GiB (from memory).
 */
import { viewOf } from './bytes.js';
import type { WrittenSamples } from './samples.js';

/** What a header tells. */
export interface WrittenHeader extends WrittenSamples {
  readonly sampleRate: number;
  readonly channelCount: number;
  /** Frames in the data chunk; `undefined` while that is not known. */
  readonly frames: number | undefined;
  /** Whether to keep room for the long sizes of RF64, so that the header can be written again at the same length. */
  readonly roomForLongSizes: boolean;
}

const UNKNOWN = 0xffff_ffff;
/** Body of a `ds64` chunk with an empty table. */
const DS64_BODY_BYTES = 28;

/**
 * The bytes before the first sample: `RIFF`, `JUNK` or `ds64` if wanted or needed, `fmt `, for floating point `fact`
 * (which everything but PCM must have), and the head of `data`. Unknown sizes are 0xFFFFFFFF.
 */
export function wavHeader(header: WrittenHeader): Uint8Array {
  const { sampleRate, channelCount, bitDepth, float, frames, roomForLongSizes } = header;
  const frameBytes = (channelCount * bitDepth) / 8;
  const tail = 8 + (float ? 18 + 8 + 4 : 16) + 8;
  const dataBytes = frames === undefined ? undefined : frames * frameBytes;
  const padded = dataBytes === undefined ? undefined : dataBytes + (dataBytes % 2);
  const long = padded !== undefined && 4 + 8 + DS64_BODY_BYTES + tail + padded >= UNKNOWN;
  const room = long || roomForLongSizes;
  const bytes = new Uint8Array(12 + (room ? 8 + DS64_BODY_BYTES : 0) + tail);
  const riffBytes = padded === undefined ? undefined : bytes.length - 8 + padded;

  const view = viewOf(bytes);
  let at = 0;
  const name = (text: string): void => {
    for (const character of text) view.setUint8(at++, character.charCodeAt(0));
  };
  const u16 = (value: number): void => {
    view.setUint16(at, value, true);
    at += 2;
  };
  const u32 = (value: number): void => {
    view.setUint32(at, value, true);
    at += 4;
  };
  const u64 = (value: number): void => {
    view.setBigUint64(at, BigInt(value), true);
    at += 8;
  };
  const size = (value: number | undefined): void => {
    u32(long ? UNKNOWN : (value ?? UNKNOWN));
  };

  name(long ? 'RF64' : 'RIFF');
  size(riffBytes);
  name('WAVE');
  if (room) {
    name(long ? 'ds64' : 'JUNK');
    u32(DS64_BODY_BYTES);
    u64(long ? (riffBytes ?? 0) : 0);
    u64(long ? (dataBytes ?? 0) : 0);
    u64(long ? (frames ?? 0) : 0);
    u32(0);
  }
  name('fmt ');
  u32(float ? 18 : 16);
  u16(float ? 3 : 1);
  u16(channelCount);
  u32(sampleRate);
  u32(sampleRate * frameBytes);
  u16(frameBytes);
  u16(bitDepth);
  if (float) {
    u16(0);
    name('fact');
    u32(4);
    size(frames);
  }
  name('data');
  size(dataBytes);
  return bytes;
}
