/**
 * The area that a coast station's relay on MF or HF is addressed to: north-west corner and sides in whole degrees
 * (M.493 §5.3, from memory).
 */
import type { Area, Position } from '../calls/index.js';

/** Latitude on each side of the casualty, degrees: about how far a ship can be and still help. Common practice, no source. */
export const RELAY_RADIUS_DEGREES = { MF: 3, HF: 10 } as const;

/** Half of the widest side that two digits hold, degrees. */
const WIDEST = 49;

/**
 * The area around a position, as far to each side in miles east and west as north and south; cut off at the poles.
 *
 * @param radius - degrees of latitude, above 0
 */
export function areaAround({ latitude, longitude }: Position, radius: number): Area {
  const north = Math.min(90, Math.ceil(latitude + radius));
  const south = Math.max(-90, Math.floor(latitude - radius));
  const nearestPole = Math.min(89, Math.max(Math.abs(north), Math.abs(south)));
  const side = Math.min(WIDEST, radius / Math.cos((nearestPole * Math.PI) / 180));
  const west = Math.floor(longitude - side);
  const east = Math.ceil(longitude + side) - west;
  return { latitude: north, longitude: west < -180 ? west + 360 : west, south: north - south, east };
}
