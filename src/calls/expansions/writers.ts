/**
 * How the data of each expansion are written: ITU-R M.821-1 §2 (from memory).
 */
import { DotphaseError, requireRecord } from '../../errors.js';
import { digitsToSymbols } from '../../symbols/index.js';
import type { DataKind, FieldWriter } from '../fields/index.js';
import {
  COURSE,
  DATUMS,
  FINE_POSITION,
  LETTERS,
  LONGEST_TEXT,
  PERSONS_ON_BOARD,
  REFINED_AREA,
  RESOLUTION,
  SOURCES,
  SPEED,
  dataLengthAt as lengthAt,
  type Quantity,
} from './fields.js';

function quantityDigits(quantity: Quantity, value: unknown, path: string): string {
  const steps = typeof value === 'number' ? Math.round(value * quantity.stepsPerUnit) : NaN;
  const highest = Math.round(quantity.highest * quantity.stepsPerUnit);
  if (!(steps >= 0 && steps <= highest && steps / quantity.stepsPerUnit === value)) {
    throw new DotphaseError(
      path,
      value,
      `a number from 0 to ${quantity.highest} in steps of ${1 / quantity.stepsPerUnit}`,
    );
  }
  return String(steps).padStart(quantity.digits, '0');
}

function quantitiesWriter(quantities: readonly Quantity[]): FieldWriter {
  const names = quantities.map((quantity) => quantity.name);
  const write: FieldWriter['write'] = (value, path) => {
    const record = requireRecord(value, path, names, `{ ${names.join(', ')} }`);
    const digits = quantities.map((quantity) =>
      quantityDigits(quantity, record[quantity.name], `${path}.${quantity.name}`),
    );
    return digitsToSymbols(digits.join(''));
  };
  return { lengthAt, write };
}

function quantityWriter(quantity: Quantity): FieldWriter {
  return { lengthAt, write: (value, path) => digitsToSymbols(quantityDigits(quantity, value, path)) };
}

function indexOfName(names: readonly string[], value: unknown, path: string): string {
  const index = names.findIndex((name) => name === value);
  if (index < 0) throw new DotphaseError(path, value, `one of ${names.join(', ')}`);
  return String(index).padStart(2, '0');
}

const writePositionSource: FieldWriter['write'] = (value, path) => {
  const keys = ['source', 'resolutionMinutes', 'datum'];
  const record = requireRecord(value, path, keys, `{ ${keys.join(', ')} }`);
  return digitsToSymbols(
    indexOfName(SOURCES, record.source, `${path}.source`) +
      quantityDigits(RESOLUTION, record.resolutionMinutes, `${path}.resolutionMinutes`) +
      indexOfName(DATUMS, record.datum, `${path}.datum`),
  );
};

const writeText: FieldWriter['write'] = (value, path) => {
  const letters = typeof value === 'string' ? Array.from(value) : [];
  const symbols = letters.map((letter) => LETTERS.indexOf(letter));
  if (
    letters.length === 0 ||
    letters.length > LONGEST_TEXT ||
    letters.includes('\0') ||
    symbols.includes(-1)
  ) {
    throw new DotphaseError(
      path,
      value,
      `1 to ${LONGEST_TEXT} of A–Z, 0–9, full stop, comma, -, / and space`,
    );
  }
  return symbols;
};

/** Each is marked as pure, so that a bundle that only reads leaves them out. */
export const DATA_WRITERS: Readonly<Record<DataKind, FieldWriter>> = {
  finePosition: /* @__PURE__ */ quantitiesWriter(FINE_POSITION),
  positionSource: { lengthAt, write: writePositionSource },
  speed: /* @__PURE__ */ quantityWriter(SPEED),
  course: /* @__PURE__ */ quantityWriter(COURSE),
  furtherIdentification: { lengthAt, write: writeText },
  refinedArea: /* @__PURE__ */ quantitiesWriter(REFINED_AREA),
  personsOnBoard: /* @__PURE__ */ quantityWriter(PERSONS_ON_BOARD),
};
