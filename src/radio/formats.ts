/**
 * Complex samples (I and Q in turn) as receivers on a computer record them, little endian.
 */
import { DotphaseError } from '../errors.js';

/** A piece of a slice of spectrum. */
export interface IqBlock {
  /** Full scale ±1; as many as `q`. */
  readonly i: Float32Array;
  readonly q: Float32Array;
}

const READ: Readonly<Record<IqFormat, (view: DataView, at: number) => number>> = {
  cu8: (view, at) => (view.getUint8(at) - 127.5) / 127.5,
  cs8: (view, at) => view.getInt8(at) / 128,
  cs16: (view, at) => view.getInt16(at, true) / 32_768,
  cf32(view, at) {
    const sample = view.getFloat32(at, true);
    return Number.isFinite(sample) ? sample : 0;
  },
};

/**
 * How I and Q are coded: unsigned bytes with silence between 127 and 128, signed bytes, signed integers of 16 bits, or
 * 32-bit floating point, where what is no number counts as silence.
 */
export type IqFormat = 'cu8' | 'cs8' | 'cs16' | 'cf32';

/** Every {@link IqFormat}. */
export const IQ_FORMATS = Object.keys(READ) as readonly IqFormat[];

/** Bytes of a complex sample in each format. */
export const IQ_BYTES: Readonly<Record<IqFormat, number>> = { cu8: 2, cs8: 2, cs16: 4, cf32: 8 };

function requireFormat(format: IqFormat): void {
  if (!Object.hasOwn(READ, format)) throw new DotphaseError('format', format, IQ_FORMATS.join(', '));
}

/** Takes bytes in pieces of any length and gives complex samples. */
export interface IqReader {
  /** The samples that are whole now. */
  push(bytes: Uint8Array): IqBlock;
  /** Bytes of a sample that is not whole yet: at the end of a stream, those that say nothing. */
  readonly left: number;
}

/**
 * Bytes to complex samples.
 *
 * @throws DotphaseError when the format is none of {@link IQ_FORMATS}
 */
export function createIqReader(format: IqFormat): IqReader {
  requireFormat(format);
  const read = READ[format];
  const bytes = IQ_BYTES[format] / 2;
  let left = new Uint8Array(0);
  return {
    push(chunk) {
      const all = new Uint8Array(left.length + chunk.length);
      all.set(left);
      all.set(chunk, left.length);
      const count = Math.floor(all.length / (2 * bytes));
      const view = new DataView(all.buffer);
      const i = new Float32Array(count);
      const q = new Float32Array(count);
      for (let n = 0, at = 0; n < count; n++, at += 2 * bytes) {
        i[n] = read(view, at);
        q[n] = read(view, at + bytes);
      }
      left = all.slice(2 * bytes * count);
      return { i, q };
    },
    get left() {
      return left.length;
    },
  };
}

/**
 * Bytes to complex samples, whatever pieces they come in.
 *
 * @param onWarning - told where the last sample is not whole
 * @throws DotphaseError when the format is none of {@link IQ_FORMATS}
 */
export async function* readIqBlocks(
  source: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  format: IqFormat,
  onWarning?: (warning: { readonly text: string }) => void,
): AsyncGenerator<IqBlock, void, undefined> {
  const reader = createIqReader(format);
  for await (const chunk of source) {
    const block = reader.push(chunk);
    if (block.i.length > 0) yield block;
  }
  const { left } = reader;
  if (left > 0) {
    onWarning?.({ text: `The last sample is not whole: ${left} of its ${IQ_BYTES[format]} bytes are there` });
  }
}

/** A sample as a number of steps of each format, and the lowest and highest of them. */
const INTEGERS: Readonly<Record<Exclude<IqFormat, 'cf32'>, (sample: number) => number>> = {
  cu8: (sample) => 127.5 + 127.5 * sample,
  cs8: (sample) => 128 * sample,
  cs16: (sample) => 32_768 * sample,
};
const LIMITS: Readonly<Record<Exclude<IqFormat, 'cf32'>, readonly [number, number]>> = {
  cu8: [0, 255],
  cs8: [-128, 127],
  cs16: [-32_768, 32_767],
};

/** Takes complex samples and gives bytes. */
export interface IqWriter {
  /**
   * The bytes of samples. What lies beyond full scale is clipped, but in floating point.
   *
   * @throws DotphaseError where there are not as many of `q` as of `i`
   */
  push(block: IqBlock): Uint8Array;
  /** Samples, counted in I and Q, that were clipped. */
  readonly clipped: number;
}

/**
 * Complex samples to bytes, as {@link createIqReader} reads them.
 *
 * @throws DotphaseError when the format is none of {@link IQ_FORMATS}
 */
export function createIqWriter(format: IqFormat): IqWriter {
  requireFormat(format);
  const bytes = IQ_BYTES[format] / 2;
  let clipped = 0;
  const put = (view: DataView, at: number, sample: number): void => {
    if (format === 'cf32') {
      view.setFloat32(at, sample, true);
      return;
    }
    const [lowest, highest] = LIMITS[format];
    const whole = Math.round(INTEGERS[format](sample));
    const kept = Math.min(highest, Math.max(lowest, whole));
    // The highest step stands for a little less than full scale: to lose a step there is rounding.
    if (whole < lowest - 1 || whole > highest + 1) clipped++;
    if (format === 'cs16') view.setInt16(at, kept, true);
    else view.setUint8(at, kept & 0xff);
  };
  return {
    push({ i, q }) {
      if (i.length !== q.length)
        throw new DotphaseError('q', `${q.length} samples`, `${i.length}, as many as of I`);
      const view = new DataView(new ArrayBuffer(2 * bytes * i.length));
      for (let n = 0, at = 0; n < i.length; n++, at += 2 * bytes) {
        put(view, at, i[n]);
        put(view, at + bytes, q[n]);
      }
      return new Uint8Array(view.buffer);
    },
    get clipped() {
      return clipped;
    },
  };
}
