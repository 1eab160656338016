/** Inputs out of inputs. */
import type { Choices } from '../scenes/random.js';

const BYTES = [
  0, 1, 9, 10, 13, 32, 34, 39, 44, 48, 57, 58, 59, 61, 91, 92, 110, 117, 122, 125, 126, 127, 128, 192, 239,
  254, 255,
];
const WORDS = [
  0, 1, 0x7f, 0x80, 0xff, 0x100, 0x7fff, 0x8000, 0xffff, 0x10000, 0x7fff_ffff, 0x8000_0000, 0xffff_fffe,
  0xffff_ffff,
];
const MOST_STEPS = 6;

function spliced(bytes: Uint8Array, at: number, removed: number, put: ArrayLike<number>): Uint8Array {
  const result = new Uint8Array(bytes.length - removed + put.length);
  result.set(bytes.subarray(0, at));
  result.set(put, at);
  result.set(bytes.subarray(at + removed), at + put.length);
  return result;
}

function step(
  bytes: Uint8Array,
  other: Uint8Array,
  words: readonly Uint8Array[],
  choices: Choices,
): Uint8Array {
  const { length } = bytes;
  const at = choices.integer(0, length);
  const some = (most: number) => Math.min(length - at, choices.integer(1, choices.pick([1, 4, most])));
  if (length === 0) return Uint8Array.from({ length: choices.integer(1, 16) }, () => choices.integer(0, 255));
  const result = bytes.slice();
  const place = Math.min(at, length - 1);
  switch (choices.integer(0, words.length > 0 ? 12 : 10)) {
    case 0:
      result[place] ^= 1 << choices.integer(0, 7);
      return result;
    case 1:
      result[place] = choices.pick(BYTES);
      return result;
    case 2:
      result[place] += choices.integer(-9, 9);
      return result;
    case 3:
      result[place] = choices.integer(0, 255);
      return result;
    case 4:
      return spliced(bytes, at, some(64), []);
    case 5:
      return spliced(
        bytes,
        at,
        0,
        Uint8Array.from({ length: choices.integer(1, 8) }, () => choices.integer(0, 255)),
      );
    case 6:
      return spliced(bytes, choices.integer(0, length), 0, bytes.subarray(at, at + some(64)));
    case 7: {
      const piece = bytes.slice(at, at + some(32));
      result.set(piece, choices.integer(0, length - piece.length));
      return result;
    }
    case 8: {
      const from = choices.integer(0, other.length);
      return spliced(bytes, at, some(length), other.subarray(from, from + choices.integer(1, 128)));
    }
    case 9: {
      if (length < 4) return result;
      const word = choices.pick(WORDS) + choices.integer(-1, 1);
      new DataView(result.buffer).setUint32(
        choices.integer(0, length - 4),
        word >>> 0,
        choices.integer(0, 1) === 1,
      );
      return result;
    }
    case 10:
      return spliced(bytes, at, 0, new Uint8Array(choices.integer(1, 300)).fill(bytes[place]));
    case 11:
      return spliced(bytes, at, 0, choices.pick(words));
    default:
      return spliced(bytes, at, some(8), choices.pick(words));
  }
}

/**
 * An input somewhat like another.
 *
 * @param other - of which parts may be taken
 * @param words - pieces worth putting in
 */
export function mutate(
  input: Uint8Array,
  other: Uint8Array,
  words: readonly Uint8Array[],
  maxBytes: number,
  choices: Choices,
): Uint8Array {
  let bytes = input;
  for (let left = choices.integer(1, MOST_STEPS); left > 0; left--)
    bytes = step(bytes, other, words, choices);
  return bytes.slice(0, maxBytes);
}
