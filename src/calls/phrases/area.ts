/**
 * Geographic areas for people.
 */
import { QUADRANTS, quadrantDigit } from '../fields/index.js';
import type { Area } from '../values.js';
import { receivedDigits, receivedNumber, type Phrase } from './phrase.js';
import { receivedQuadrant } from './quadrant.js';

/** An area by its north-west corner and its sides. */
export const areaPhrase: Phrase = {
  describe(value) {
    const area = value as Area;
    const [northOrSouth, eastOrWest] = QUADRANTS[quadrantDigit(area, 'area')];
    const latitude = String(Math.abs(area.latitude)).padStart(2, '0');
    const longitude = String(Math.abs(area.longitude)).padStart(3, '0');
    return (
      `the area ${area.south}° southwards and ${area.east}° eastwards of ` +
      `${latitude}°${northOrSouth} ${longitude}°${eastOrWest}`
    );
  },
  describeReceived(characters) {
    const match = /^([?0-3])(..)(...)(..)(..)$/.exec(receivedDigits(characters) ?? '');
    if (!match) return undefined;
    const [quadrant, latitude, longitude, south, east] = match.slice(1);
    const [northOrSouth, eastOrWest] = receivedQuadrant(quadrant);
    if (Number(latitude) > 90 || Number(longitude) > 180) return undefined;
    return (
      `the area ${receivedNumber(south)}° southwards and ${receivedNumber(east)}° eastwards of ` +
      `${latitude}°${northOrSouth} ${longitude}°${eastOrWest}`
    );
  },
};
