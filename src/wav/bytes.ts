/**
 * Reading fields of a header, and refusing them by their byte.
 */
import { DotphaseError } from '../errors.js';

/** A view of exactly these bytes. */
export function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/** The characters of `bytes`, one each. */
export function textOf(bytes: Uint8Array): string {
  return String.fromCharCode(...bytes);
}

/** The error for a field of the file that cannot be used. */
export function refusal(byte: number, value: unknown, expected: string): DotphaseError {
  return new DotphaseError(`byte ${byte}`, value, expected);
}
