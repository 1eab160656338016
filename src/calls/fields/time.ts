/**
 * Time of day: ITU-R M.493 Annex 1 §8.1.3 (from memory).
 */
import { DotphaseError } from '../../errors.js';
import { fixedLength, only, symbolSet, type Field, type FieldWriter } from './field.js';

const lengthAt = /* @__PURE__ */ fixedLength(2);
const NO_TIME = [88, 88];

/** Hours and minutes UTC, 88 88 where not given (M.493 §8.1.3). */
export const timeField: Field = {
  kind: 'time',
  length: 2,
  lengthAt,
  read([hours, minutes]) {
    if (hours === 88 && minutes === 88) return 'none';
    if (hours > 23 || minutes > 59) return undefined;
    return `${String(hours).padStart(2, '0')}:${String(minutes).padStart(2, '0')}`;
  },
  shapes: () => [[symbolSet([0, 23]), symbolSet([0, 59])], only(NO_TIME)],
};

/** How that is written. */
export const timeWriter: FieldWriter = {
  lengthAt,
  write(value, path) {
    if (value === 'none') return [...NO_TIME];
    if (typeof value !== 'string' || !/^([01]\d|2[0-3]):[0-5]\d$/.test(value)) {
      throw new DotphaseError(path, value, "a time UTC from '00:00' to '23:59', or 'none'");
    }
    return value.split(':').map(Number);
  },
};
