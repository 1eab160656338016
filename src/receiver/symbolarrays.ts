/**
 * Arrays of one number for each symbol or parity, cut from larger ones: to allocate each by itself takes longer than
 * most of what is done with it (measured).
 */
import { SYMBOL_COUNT } from '../symbols/index.js';

/** Arrays allocated at once: 64 kB. */
const AT_ONCE = 64;

let allocated = new Float64Array(0);
let used = 0;

/** A new array of 128 zeros. */
export function newSymbolArray(): Float64Array {
  if (used === allocated.length) {
    allocated = new Float64Array(AT_ONCE * SYMBOL_COUNT);
    used = 0;
  }
  const begin = used;
  used += SYMBOL_COUNT;
  return allocated.subarray(begin, used);
}
