/**
 * Typed arrays with the same bytes are equal at once: element by element, as vitest compares them, audio of a minute takes
 * many seconds. Where they differ, vitest compares them and shows the difference.
 */
import { expect } from 'vitest';

const bytesOf = ({ buffer, byteOffset, byteLength }: ArrayBufferView) =>
  Buffer.from(buffer, byteOffset, byteLength);

expect.addEqualityTesters([
  (a: unknown, b: unknown) => {
    if (!ArrayBuffer.isView(a) || !ArrayBuffer.isView(b) || a.constructor !== b.constructor) return undefined;
    return bytesOf(a).equals(bytesOf(b)) || undefined;
  },
]);
