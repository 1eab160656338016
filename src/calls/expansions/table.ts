/**
 * The expansions as data, one row for each: ITU-R M.821-1 §2 (from memory).
 */
import type { DataKind } from '../fields/index.js';

/** One row of the expansions. */
export interface ExpansionRow {
  readonly kind: DataKind;
  readonly specifier: number;
}

/** Every expansion that has a specifier. */
export const EXPANSION_TABLE: readonly ExpansionRow[] = [
  {
    kind: 'finePosition',
    specifier: 100,
  },
  {
    kind: 'positionSource',
    specifier: 101,
  },
  { kind: 'speed', specifier: 102 },
  { kind: 'course', specifier: 103 },
  {
    kind: 'furtherIdentification',
    specifier: 104,
  },
  {
    kind: 'refinedArea',
    specifier: 105,
  },
  {
    kind: 'personsOnBoard',
    specifier: 106,
  },
];

/** The data character that asks for the data. */
export const DATA_REQUESTED = 110;
/** The data character for "no data". */
export const NO_DATA = 126;
