/** Seeded choices for scenes, so that the same seed gives the same scene everywhere. */
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of choices. */
export interface Choices {
  /** Integer from `min` to `max`, both included. */
  integer(min: number, max: number): number;
  /** From `min` up to `max`. */
  uniform(min: number, max: number): number;
  /** One of a list. */
  pick<Item>(list: readonly Item[]): Item;
}

const WARM_UP = 20;

/** @param seed - integer, its low 32 bits count */
export function createChoices(seed: number): Choices {
  const generator = xoroshiro128plus(Math.imul(seed + 1, 0x9e3779b1) | 0);
  // The first numbers of neighbouring seeds are alike.
  for (let i = 0; i < WARM_UP; i++) generator.next();
  return {
    integer: (min, max) => uniformInt(generator, min, max),
    uniform: (min, max) => min + (max - min) * uniformFloat64(generator),
    pick: (list) => list[uniformInt(generator, 0, list.length - 1)],
  };
}

/** Random bits. */
export function randomBits(choices: Choices, count: number): Uint8Array {
  return Uint8Array.from({ length: count }, () => choices.integer(0, 1));
}
