/**
 * Keyed choices: the same key and label give the same ones everywhere, and nobody who sees some of them can work out
 * others (HMAC-SHA-256, RFC 2104, over a counter).
 */
import { hmac } from '@noble/hashes/hmac.js';
import { sha256 } from '@noble/hashes/sha2.js';

/** A stream of choices. */
export interface Draw {
  /** An integer from `min` to `max`, both included. */
  integer(min: number, max: number): number;
  /** One of a list that is not empty. */
  pick<Item>(list: readonly Item[]): Item;
  /** So many of a list that is long enough, in any order. */
  some<Item>(list: readonly Item[], count: number): Item[];
  /** Whether it happens, with so many chances in a hundred. */
  chance(percent: number): boolean;
  /** The list in another order. */
  shuffle<Item>(list: readonly Item[]): Item[];
}

const WORDS_IN_BLOCK = 8;

/** 32-bit words, not negative. */
function* wordsOf(key: Uint8Array, label: string): Generator<number, never> {
  for (let block = 0; ; block++) {
    const view = new DataView(hmac(sha256, key, `${label}/${block}`).buffer);
    for (let i = 0; i < WORDS_IN_BLOCK; i++) yield view.getUint32(4 * i);
  }
}

/**
 * Starts a stream.
 *
 * @param key - the paper's, 32 bytes
 * @param label - names the stream among those of the key
 */
export function createDraw(key: Uint8Array, label: string): Draw {
  const words = wordsOf(key, label);
  const integer = (min: number, max: number) => {
    const range = max - min + 1;
    // Words above the last whole multiple would make small integers likelier.
    const limit = 2 ** 32 - (2 ** 32 % range);
    let word = words.next().value;
    while (word >= limit) word = words.next().value;
    return min + (word % range);
  };
  const draw: Draw = {
    integer,
    pick: (list) => list[integer(0, list.length - 1)],
    some: (list, count) => draw.shuffle(list).slice(0, count),
    chance: (percent) => integer(0, 99) < percent,
    shuffle(list) {
      const shuffled = [...list];
      for (let i = shuffled.length - 1; i > 0; i--) {
        const j = integer(0, i);
        [shuffled[i], shuffled[j]] = [shuffled[j], shuffled[i]];
      }
      return shuffled;
    },
  };
  return draw;
}
