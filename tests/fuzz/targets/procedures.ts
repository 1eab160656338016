/** Events of every kind in any order through the procedures of one station. */
import { walk } from '../../procedures/walk.js';
import { bytesOf, type Target } from '../target.js';

const STEPS = 100;

/** A seed out of the bytes of an input: FNV-1a. */
function seedOf(input: Uint8Array): number {
  return input.reduce((hash, byte) => Math.imul(hash ^ byte, 0x01000193), 0x811c9dc5) >>> 0;
}

export const procedures: Target = {
  name: 'procedures',
  seeds: () => ['1', '2', '3'].map(bytesOf),
  maxBytes: 16,
  limitMs: () => 4000,
  limitMiB: 256,
  run(input) {
    walk(seedOf(input), STEPS);
  },
};
