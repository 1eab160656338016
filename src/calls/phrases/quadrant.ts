/**
 * Quadrants for people, where the digit may not have been received.
 */
import { QUADRANTS } from '../fields/index.js';

/** The letters of a quadrant digit, both sides where it is `?`. */
export function receivedQuadrant(digit: string): readonly [northOrSouth: string, eastOrWest: string] {
  if (digit === '?') return ['N/S', 'E/W'];
  const [northOrSouth, eastOrWest] = QUADRANTS[Number(digit)];
  return [northOrSouth, eastOrWest];
}
