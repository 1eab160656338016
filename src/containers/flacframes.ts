/**
 * FLAC bytes → frames, each whole or known to be damaged (RFC 9639 §8 and §9). The decoder takes one frame at a time,
 * so that a damaged one costs no more than itself, and its number tells how long what is missing was.
 */

/** Samples as the header of a frame tells them. */
export interface FlacFrame {
  /** The whole frame, from its sync code to its check. */
  readonly bytes: Uint8Array;
  /** The number of its first frame of samples, counted from the beginning of the file. */
  readonly firstSample: number;
  readonly blockSize: number;
}

/** What the STREAMINFO block says (RFC 9639 §8.2). */
export interface StreamInfo {
  readonly sampleRate: number;
  readonly channels: number;
  /** 0 where it is not known. */
  readonly frames: number;
  /** Samples in each block but the last, where all are alike. */
  readonly maxBlockSize: number;
  /** Bytes of the longest frame; 0 where it is not known. */
  readonly maxFrameBytes: number;
}

/** Bytes of `fLaC`, the head of the first block and STREAMINFO itself. */
export const STREAM_INFO_BYTES = 42;

/** Reads STREAMINFO, which stands first in every file; undefined where the bytes are cut off or something else. */
export function streamInfoOf(head: Uint8Array): StreamInfo | undefined {
  if (head.length < STREAM_INFO_BYTES || (head[4] & 0x7f) !== 0) return undefined;
  const info = new DataView(head.buffer, head.byteOffset + 8, 34);
  return {
    maxBlockSize: info.getUint16(2),
    maxFrameBytes: (info.getUint8(7) << 16) | info.getUint16(8),
    sampleRate: info.getUint32(10) >>> 12,
    channels: ((info.getUint8(12) >> 1) & 7) + 1,
    frames: (info.getUint8(13) & 15) * 2 ** 32 + info.getUint32(14),
  };
}

/** A frame that the seek table tells of. */
export interface SeekPoint {
  /** Its first sample. */
  readonly sample: number;
  /** Bytes from the first frame to it. */
  readonly offset: number;
}

const SEEK_POINT_BYTES = 18;

/** The last point of a SEEKTABLE block at or before a sample, in whatever order they stand (RFC 9639 §8.5). */
export function seekPointBefore(block: Uint8Array, wanted: number): SeekPoint | undefined {
  const view = new DataView(block.buffer, block.byteOffset, block.length);
  let best: SeekPoint | undefined;
  for (let at = 0; at + SEEK_POINT_BYTES <= block.length; at += SEEK_POINT_BYTES) {
    // Placeholders have the highest number there is, and lie behind every sample.
    const sample = Number(view.getBigUint64(at));
    if (sample <= wanted && (!best || sample > best.sample))
      best = { sample, offset: Number(view.getBigUint64(at + 8)) };
  }
  return best;
}

function crcTable(polynomial: number, width: number): Uint16Array {
  const top = 1 << (width - 1);
  const mask = 2 ** width - 1;
  return Uint16Array.from({ length: 256 }, (_, byte) => {
    let crc = byte << (width - 8);
    for (let bit = 0; bit < 8; bit++) crc = (crc & top ? (crc << 1) ^ polynomial : crc << 1) & mask;
    return crc;
  });
}

/** x⁸ + x² + x + 1 for headers (§9.1.8), x¹⁶ + x¹⁵ + x² + 1 for frames (§9.3). */
const CRC8 = crcTable(0x07, 8);
const CRC16 = crcTable(0x8005, 16);

function crc8(bytes: Uint8Array, from: number, to: number): number {
  let crc = 0;
  for (let i = from; i < to; i++) crc = CRC8[crc ^ bytes[i]];
  return crc;
}

function crc16(bytes: Uint8Array, from: number, to: number): number {
  let crc = 0;
  for (let i = from; i < to; i++) crc = ((crc << 8) & 0xffff) ^ CRC16[(crc >> 8) ^ bytes[i]];
  return crc;
}

/** Bytes of the longest header of a frame, and fewer than any frame has. */
export const MOST_HEADER_BYTES = 16;
const LEAST_FRAME_BYTES = 8;

interface Header {
  readonly blockSize: number;
  /** Frame number, or sample number where blocks differ in size. */
  readonly coded: number;
  readonly isVariable: boolean;
}

/** The block size that four bits stand for (§9.1.1), or how many bytes behind the number hold it less one. */
function blockSizeOf(code: number): { size?: number; bytes?: number } {
  if (code === 1) return { size: 192 };
  if (code >= 2 && code <= 5) return { size: 144 << code };
  if (code === 6 || code === 7) return { bytes: code - 5 };
  return code >= 8 ? { size: 1 << code } : {};
}

/** The header of a frame at a place; undefined where there is none. Needs 16 bytes behind it, or the end of the file. */
function headerAt(bytes: Uint8Array, at: number): Header | undefined {
  if (bytes[at] !== 0xff || (bytes[at + 1] & 0xfe) !== 0xf8) return undefined;
  const { size, bytes: sizeBytes = 0 } = blockSizeOf(bytes[at + 2] >> 4);
  const rateCode = bytes[at + 2] & 15;
  if ((size === undefined && sizeBytes === 0) || rateCode === 15 || (bytes[at + 3] & 1) !== 0)
    return undefined;
  // The number is coded like a character of UTF-8, up to 36 bits.
  const first = bytes[at + 4];
  const following = Math.max(0, Math.clz32(~(first << 24)) - 1);
  if ((first & 0xc0) === 0x80 || following > 6) return undefined;
  let coded = following === 0 ? first : first & (0x3f >> following);
  let end = at + 5;
  for (let i = 0; i < following; i++) coded = coded * 64 + (bytes[end++] & 0x3f);
  let blockSize = size ?? 0;
  if (sizeBytes > 0) {
    for (let i = 0; i < sizeBytes; i++) blockSize = blockSize * 256 + bytes[end++];
    blockSize += 1;
  }
  if (rateCode === 12) end += 1;
  if (rateCode === 13 || rateCode === 14) end += 2;
  if (end >= bytes.length || crc8(bytes, at, end) !== bytes[end]) return undefined;
  return { blockSize, coded, isVariable: (bytes[at + 1] & 1) === 1 };
}

/** The first sample of a frame, by its header. */
const firstSampleOf = ({ isVariable, coded }: Header, { maxBlockSize }: StreamInfo): number =>
  isVariable ? coded : coded * maxBlockSize;

/** The first sample of the frame that bytes begin with; undefined where none begins. */
export function firstSampleIn(bytes: Uint8Array, info: StreamInfo): number | undefined {
  const header = headerAt(bytes, 0);
  return header && firstSampleOf(header, info);
}

/** No frame is searched for its end farther than this where the file does not say how long its longest is. */
const MOST_FRAME_BYTES = 1 << 20;

/** Cuts the bytes behind the metadata of a FLAC file into frames. */
export class FlacFramer {
  #held = new Uint8Array(0);
  readonly #longest: number;

  constructor(private readonly info: StreamInfo) {
    this.#longest = info.maxFrameBytes > 0 ? info.maxFrameBytes : MOST_FRAME_BYTES;
  }

  /** Takes the next bytes and gives the whole frames that they complete. */
  push(bytes: Uint8Array): FlacFrame[] {
    const joined = new Uint8Array(this.#held.length + bytes.length);
    joined.set(this.#held);
    joined.set(bytes, this.#held.length);
    this.#held = joined;
    return this.#frames(false);
  }

  /** The frames that are left at the end of the file. */
  end(): FlacFrame[] {
    return this.#frames(true);
  }

  #frames(isOver: boolean): FlacFrame[] {
    const bytes = this.#held;
    const frames: FlacFrame[] = [];
    let at = 0;
    while (at + MOST_HEADER_BYTES <= bytes.length || (isOver && at < bytes.length)) {
      const header = headerAt(bytes, at);
      if (!header) {
        at++;
        continue;
      }
      const end = this.#endOf(at, isOver);
      if (end === 'later') break;
      if (end === undefined) {
        at++;
        continue;
      }
      const firstSample = firstSampleOf(header, this.info);
      frames.push({ bytes: bytes.slice(at, end), firstSample, blockSize: header.blockSize });
      at = end;
    }
    this.#held = bytes.slice(at);
    return frames;
  }

  /** Where the frame at a place ends: where the next one begins, or the file ends, and its check agrees. */
  #endOf(at: number, isOver: boolean): number | 'later' | undefined {
    const bytes = this.#held;
    const agrees = (end: number) => crc16(bytes, at, end - 2) === ((bytes[end - 2] << 8) | bytes[end - 1]);
    const last = Math.min(at + this.#longest, isOver ? bytes.length : bytes.length - MOST_HEADER_BYTES);
    let next = at + LEAST_FRAME_BYTES - 1;
    while ((next = bytes.indexOf(0xff, next + 1)) !== -1 && next <= last)
      if (headerAt(bytes, next) && agrees(next)) return next;
    const end = bytes.length;
    if (isOver && end >= at + LEAST_FRAME_BYTES && end <= last && agrees(end)) return end;
    return isOver || bytes.length >= at + this.#longest + MOST_HEADER_BYTES ? undefined : 'later';
  }
}
