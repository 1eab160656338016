/**
 * Positions for people.
 */
import { MINUTES_PER_DEGREE, QUADRANTS, STEPS_PER_MINUTE, toSteps } from '../fields/index.js';
import type { Position } from '../values.js';
import { receivedDigits, type Phrase } from './phrase.js';
import { receivedQuadrant } from './quadrant.js';

/** Degrees and minutes of a coordinate, for example `50°30′` or, finer, `50°30.0000′`. */
function sayCoordinate(steps: number, width: number, fine: boolean): string {
  const degrees = Math.floor(steps / (MINUTES_PER_DEGREE * STEPS_PER_MINUTE));
  const minutes = (steps % (MINUTES_PER_DEGREE * STEPS_PER_MINUTE)) / STEPS_PER_MINUTE;
  const shown = fine ? minutes.toFixed(4).padStart(7, '0') : String(minutes).padStart(2, '0');
  return `${String(degrees).padStart(width, '0')}°${shown}′`;
}

/**
 * A position for people, for example `50°30′N 004°12′W`; minutes have four decimals where they are not whole,
 * none otherwise: a call carries whole minutes.
 *
 * @throws DotphaseError when a coordinate is out of range
 */
export function formatPosition(position: Position): string {
  const { quadrant, latitude, longitude } = toSteps(position, 'position');
  const [northOrSouth, eastOrWest] = QUADRANTS[quadrant];
  const fine = latitude % STEPS_PER_MINUTE !== 0 || longitude % STEPS_PER_MINUTE !== 0;
  return `${sayCoordinate(latitude, 2, fine)}${northOrSouth} ${sayCoordinate(longitude, 3, fine)}${eastOrWest}`;
}

/** A position, to the minute where it was not received whole. */
export const positionPhrase: Phrase = {
  describe: (value) => (value === 'none' ? 'position not given' : formatPosition(value as Position)),
  describeReceived(characters) {
    const match = /^([?0-3])(..)([?0-5].)(...)([?0-5].)$/.exec(receivedDigits(characters) ?? '');
    if (!match) return undefined;
    const [quadrant, latitude, latitudeMinutes, longitude, longitudeMinutes] = match.slice(1);
    if (Number(latitude) > 90 || Number(longitude) > 180) return undefined;
    const [northOrSouth, eastOrWest] = receivedQuadrant(quadrant);
    // The hundreds of the longitude share a character with the latitude; alone they say too little.
    const isLost = (degrees: string, minutes: string) => /^.?\?{4}$/.test(degrees + minutes);
    const coordinate = (name: string, degrees: string, minutes: string, side: string) =>
      isLost(degrees, minutes) ? `${name} not received` : `${degrees}°${minutes}′${side}`;
    const north = coordinate('latitude', latitude, latitudeMinutes, northOrSouth);
    const east = coordinate('longitude', longitude, longitudeMinutes, eastOrWest);
    if (isLost(latitude, latitudeMinutes) && isLost(longitude, longitudeMinutes)) return undefined;
    return (north + east).includes('received') ? `${north}, ${east}` : `${north} ${east}`;
  },
};
