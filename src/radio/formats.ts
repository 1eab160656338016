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

interface Coding {
  readonly bytes: number;
  readonly read: (view: DataView, at: number) => number;
}

const CODINGS: Readonly<Record<IqFormat, Coding>> = {
  cu8: { bytes: 1, read: (view, at) => (view.getUint8(at) - 127.5) / 127.5 },
  cs8: { bytes: 1, read: (view, at) => view.getInt8(at) / 128 },
  cs16: { bytes: 2, read: (view, at) => view.getInt16(at, true) / 32_768 },
  cf32: { bytes: 4, read: (view, at) => view.getFloat32(at, true) },
};

/**
 * How I and Q are coded: unsigned bytes with silence between 127 and 128, signed bytes, signed integers of 16 bits, or
 * 32-bit floating point.
 */
export type IqFormat = 'cu8' | 'cs8' | 'cs16' | 'cf32';

/** Every {@link IqFormat}. */
export const IQ_FORMATS = Object.keys(CODINGS) as readonly IqFormat[];

/**
 * Bytes to complex samples, whatever pieces they come in; what is left of a sample at the end says nothing.
 *
 * @throws DotphaseError when the format is none of {@link IQ_FORMATS}
 */
export async function* readIqBlocks(
  source: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  format: IqFormat,
): AsyncGenerator<IqBlock, void, undefined> {
  if (!Object.hasOwn(CODINGS, format)) throw new DotphaseError('format', format, IQ_FORMATS.join(', '));
  const { bytes, read } = CODINGS[format];
  let left = new Uint8Array(0);
  for await (const chunk of source) {
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
    if (count > 0) yield { i, q };
  }
}
