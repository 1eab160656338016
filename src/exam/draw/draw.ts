/**
 * Seeded choices: the same seed and label give the same ones everywhere.
 */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of choices. */
export interface Draw {
  /** An integer from `min` to `max`, both included. */
  integer(min: number, max: number): number;
  /** One of a list that is not empty. */
  pick<Item>(list: readonly Item[]): Item;
  /** Whether it happens, with so many chances in a hundred. */
  chance(percent: number): boolean;
  /** The list in another order. */
  shuffle<Item>(list: readonly Item[]): Item[];
}

/** One 32-bit word of the state: FNV-1a from a basis of its own, then murmur3's finaliser. */
function hashWord(text: string, basis: number): number {
  let h = 0x811c9dc5 ^ Math.imul(basis + 1, 0x9e3779b1);
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) | 0;
}

/**
 * Starts a stream.
 *
 * @param seed - integer 0 to 2⁵³ − 1
 * @param label - names the stream among those of the seed
 */
export function createDraw(seed: number, label: string): Draw {
  const text = `${seed}/${label}`;
  const generator = xoroshiro128plusFromState([0, 1, 2, 3].map((basis) => hashWord(text, basis)));
  const integer = (min: number, max: number) => uniformInt(generator, min, max);
  return {
    integer,
    pick: (list) => list[integer(0, list.length - 1)],
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
}
