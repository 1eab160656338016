/**
 * Typed arrays of any realm: `instanceof` knows only those of its own window, worker or context.
 */

function isOfKind(kind: string, value: unknown): boolean {
  return ArrayBuffer.isView(value) && Object.prototype.toString.call(value) === `[object ${kind}]`;
}

/** Whether a value is a Float32Array, wherever it was made. */
export function isFloat32Array(value: unknown): value is Float32Array {
  return isOfKind('Float32Array', value);
}

/** Whether a value is a Uint8Array or a Buffer, wherever it was made. */
export function isUint8Array(value: unknown): value is Uint8Array {
  return isOfKind('Uint8Array', value);
}
