/**
 * How far the samples really go: what the sizes in the headers of RIFF (1991), RF64 (EBU Tech 3306) and BW64
 * (ITU-R BS.2088) say, and what recorders write when they do not know the size (all from memory).
 */
import { viewOf } from './bytes.js';

/** The 64-bit sizes of a `ds64` chunk. */
export interface LongSizes {
  readonly riffSize: number;
  readonly dataSize: number;
}

/** Bytes of a `ds64` chunk before its table of further chunks. */
export const DS64_BYTES = 24;

/** The body of a `ds64` chunk. */
export function parseLongSizes(body: Uint8Array): LongSizes {
  const view = viewOf(body);
  return { riffSize: Number(view.getBigUint64(0, true)), dataSize: Number(view.getBigUint64(8, true)) };
}

const UNKNOWN = 0xffff_ffff;
const WRAP = 0x1_0000_0000;

/**
 * Sizes that stand for "not known": all bits set or nearly so, and the largest positive 32-bit number or nearly so,
 * before or after rounding to whole frames or adding the header (common practice of programs that write to a pipe,
 * no source).
 */
function isPlaceholder(size: number): boolean {
  return size >= 0xffff_0000 || (size >= 0x7fff_0000 && size <= 0x8000_1000);
}

/** Offset where the RIFF chunk ends according to its header; `undefined` if the header does not know. */
export function riffEnd(declared: number, long: LongSizes | undefined): number | undefined {
  const size = long !== undefined && declared === UNKNOWN ? long.riffSize : declared;
  if (size === 0 || (long === undefined && isPlaceholder(size))) return undefined;
  return Number.isSafeInteger(size + 8) ? size + 8 : undefined;
}

/** What the header says about the samples. */
export interface DeclaredSizes {
  /** Size in the header of the data chunk. */
  readonly data: number;
  /** Size in the RIFF header. */
  readonly riff: number;
  readonly long: LongSizes | undefined;
  /** Offset of the first sample. */
  readonly dataStart: number;
  /** Length of the whole file, if known. */
  readonly totalBytes: number | undefined;
}

/** How many bytes of samples to read, `Infinity` for all there are, and the lie found in the header, if one was. */
export interface DataExtent {
  readonly bytes: number;
  readonly lie?: string;
}

/** Decides how many bytes of samples to read. */
export function dataExtent({ data, riff, long, dataStart, totalBytes }: DeclaredSizes): DataExtent {
  if (long !== undefined && data === UNKNOWN) {
    const known = long.dataSize > 0 && Number.isSafeInteger(dataStart + long.dataSize);
    return { bytes: known ? long.dataSize : Infinity };
  }
  if (data === 0) {
    const end = riffEnd(riff, long);
    if (end === undefined) return { bytes: Infinity };
    return end > dataStart
      ? { bytes: 0 }
      : {
          bytes: Infinity,
          lie: 'The data chunk has size 0 and the file ends with it, as when a recording was never closed; all that follows was read as samples.',
        };
  }
  if (totalBytes !== undefined && totalBytes > WRAP && long === undefined) {
    const wraps = Math.floor((totalBytes - dataStart - data) / WRAP);
    if (wraps > 0 && riff === (totalBytes - 8) % WRAP) {
      const bytes = data + wraps * WRAP;
      return {
        bytes,
        lie: `The data chunk says ${data} bytes, ${bytes} were read: the size of the file, ${totalBytes} bytes, does not fit into 32 bits.`,
      };
    }
  }
  if (isPlaceholder(data)) {
    const end = dataStart + data;
    const fits =
      totalBytes !== undefined && (end === totalBytes || (end < totalBytes && riff + 8 === totalBytes));
    return { bytes: fits ? data : Infinity };
  }
  return { bytes: data };
}
