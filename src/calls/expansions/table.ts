/**
 * The expansions as data, one row for each: ITU-R M.821-1 §2 (from memory).
 */
import type { Field } from '../fields/index.js';
import {
  courseField,
  finePositionField,
  furtherIdentificationField,
  personsOnBoardField,
  positionSourceField,
  refinedAreaField,
  speedField,
} from './fields.js';
import type { Expansion } from './types.js';

/** One row of the expansions. */
export interface ExpansionRow {
  readonly kind: Exclude<Expansion['kind'], 'unassignedExpansion'>;
  readonly specifier: number;
  readonly field: Field;
}

/** Every expansion that has a specifier. */
export const EXPANSION_TABLE: readonly ExpansionRow[] = [
  {
    kind: 'finePosition',
    specifier: 100,
    field: finePositionField,
  },
  {
    kind: 'positionSource',
    specifier: 101,
    field: positionSourceField,
  },
  { kind: 'speed', specifier: 102, field: speedField },
  { kind: 'course', specifier: 103, field: courseField },
  {
    kind: 'furtherIdentification',
    specifier: 104,
    field: furtherIdentificationField,
  },
  {
    kind: 'refinedArea',
    specifier: 105,
    field: refinedAreaField,
  },
  {
    kind: 'personsOnBoard',
    specifier: 106,
    field: personsOnBoardField,
  },
];

/** The data character that asks for the data. */
export const DATA_REQUESTED = 110;
/** The data character for "no data". */
export const NO_DATA = 126;
