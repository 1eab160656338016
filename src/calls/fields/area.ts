/**
 * Geographic areas: ITU-R M.493 Annex 1 §5.3 (from memory).
 */
import { requireInteger, requireRecord } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { DIGIT_PAIR, fixedLength, pairSet, type Field, type FieldWriter } from './field.js';
import { inQuadrant, quadrantDigit } from './quadrant.js';

const lengthAt = /* @__PURE__ */ fixedLength(5);

/** Quadrant, latitude DD, longitude DDD of the north-west corner, then both sides DD in degrees (M.493 §5.3). */
export const areaField: Field = {
  kind: 'area',
  length: 5,
  lengthAt,
  read(symbols) {
    const match = /^([0-3])(\d\d)(\d{3})(\d\d)(\d\d)$/.exec(symbolsToDigits(symbols) ?? '');
    if (!match) return undefined;
    const [quadrant, latitude, longitude, south, east] = match.slice(1).map(Number);
    return latitude <= 90 && longitude <= 180
      ? { ...inQuadrant(quadrant, latitude, longitude), south, east }
      : undefined;
  },
  shapes: () => [[pairSet([0, 3], [0, 9]), pairSet([0, 9], [0, 1]), DIGIT_PAIR, DIGIT_PAIR, DIGIT_PAIR]],
};

/** How that is written. */
export const areaWriter: FieldWriter = {
  lengthAt,
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
};
