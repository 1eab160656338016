/**
 * Geographic areas: ITU-R M.493 Annex 1 §5.3 (from memory).
 */
import { requireInteger } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import type { Area } from '../values.js';
import {
  DIGIT_PAIR,
  fixedLength,
  pairSet,
  receivedDigits,
  receivedNumber,
  requireRecord,
  type Field,
} from './field.js';
import { QUADRANTS, inQuadrant, quadrantDigit, receivedQuadrant } from './quadrant.js';

/** Quadrant, latitude DD, longitude DDD of the north-west corner, then both sides DD in degrees (M.493 §5.3). */
export const areaField: Field = {
  form: 'north-west corner: quadrant, latitude DD, longitude DDD; then degrees southwards DD and eastwards DD',
  lengthAt: fixedLength(5),
  read(symbols) {
    const match = /^([0-3])(\d\d)(\d{3})(\d\d)(\d\d)$/.exec(symbolsToDigits(symbols) ?? '');
    if (!match) return undefined;
    const [quadrant, latitude, longitude, south, east] = match.slice(1).map(Number);
    return latitude <= 90 && longitude <= 180
      ? { ...inQuadrant(quadrant, latitude, longitude), south, east }
      : undefined;
  },
  write(value, path) {
    const { latitude, longitude, south, east, quadrant } = requireRecord(
      value,
      path,
      ['latitude', 'longitude', 'south', 'east', 'quadrant'],
      '{ latitude, longitude, south, east } in whole degrees',
    );
    const point = {
      latitude: requireInteger(`${path}.latitude`, latitude, -90, 90),
      longitude: requireInteger(`${path}.longitude`, longitude, -180, 180),
      quadrant,
    };
    const digits = [
      String(quadrantDigit(point, path)),
      String(Math.abs(point.latitude)).padStart(2, '0'),
      String(Math.abs(point.longitude)).padStart(3, '0'),
      String(requireInteger(`${path}.south`, south, 0, 99)).padStart(2, '0'),
      String(requireInteger(`${path}.east`, east, 0, 99)).padStart(2, '0'),
    ];
    return digitsToSymbols(digits.join(''));
  },
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
  shapes: [[pairSet([0, 3], [0, 9]), pairSet([0, 9], [0, 1]), DIGIT_PAIR, DIGIT_PAIR, DIGIT_PAIR]],
};
