/**
 * Quadrants: the digit 0–3 before a position or an area, ITU-R M.493 Annex 1 §5.3 and §8.1.2 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import type { Quadrant } from '../values.js';

/** Indexed by the quadrant digit: the 2 in it means south, the 1 west. */
export const QUADRANTS: readonly Quadrant[] = ['NE', 'NW', 'SE', 'SW'];

interface Point {
  latitude: number;
  longitude: number;
  quadrant?: unknown;
}

/** The quadrant digit that the signs of a point say. */
const signDigit = ({ latitude, longitude }: Point) => (latitude < 0 ? 2 : 0) + (longitude < 0 ? 1 : 0);

/** The quadrant digit of a point that was read. */
export function readDigit(point: Point & { quadrant?: Quadrant }): number {
  return point.quadrant === undefined ? signDigit(point) : QUADRANTS.indexOf(point.quadrant);
}

/** The quadrant digit of a point; where a coordinate is zero the sender may name another side of zero. */
export function quadrantDigit(point: Point, path: string): number {
  const digit = signDigit(point);
  if (point.quadrant === undefined) return digit;
  const named = QUADRANTS.indexOf(point.quadrant as Quadrant);
  const differs = digit ^ named;
  if (named < 0 || (differs & 2 && point.latitude !== 0) || (differs & 1 && point.longitude !== 0)) {
    throw new DotphaseError(`${path}.quadrant`, point.quadrant, 'NE, NW, SE or SW, agreeing with the signs');
  }
  return named;
}

/** Signs the magnitudes by the quadrant digit and names the quadrant only where a zero hides it. */
export function inQuadrant(
  digit: number,
  latitude: number,
  longitude: number,
): { latitude: number; longitude: number; quadrant?: Quadrant } {
  const point = {
    latitude: digit & 2 && latitude !== 0 ? -latitude : latitude,
    longitude: digit & 1 && longitude !== 0 ? -longitude : longitude,
  };
  return signDigit(point) === digit ? point : { ...point, quadrant: QUADRANTS[digit] };
}
