/**
 * The expansions as data, one row for each: ITU-R M.821-1 §2 (from memory).
 */
import type { Certainty } from '../../symbols/index.js';
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
  readonly text: string;
  readonly field: Field;
  /** How well the layout of the data is remembered. */
  readonly certainty: Certainty;
}

/** Every expansion that has a specifier. */
export const EXPANSION_TABLE: readonly ExpansionRow[] = [
  {
    kind: 'finePosition',
    specifier: 100,
    text: 'finer position',
    field: finePositionField,
    certainty: 'likely',
  },
  {
    kind: 'positionSource',
    specifier: 101,
    text: 'source and datum of the position',
    field: positionSourceField,
    certainty: 'uncertain',
  },
  { kind: 'speed', specifier: 102, text: 'speed', field: speedField, certainty: 'likely' },
  { kind: 'course', specifier: 103, text: 'course', field: courseField, certainty: 'likely' },
  {
    kind: 'furtherIdentification',
    specifier: 104,
    text: 'further identification',
    field: furtherIdentificationField,
    certainty: 'likely',
  },
  {
    kind: 'refinedArea',
    specifier: 105,
    text: 'refined area',
    field: refinedAreaField,
    certainty: 'uncertain',
  },
  {
    kind: 'personsOnBoard',
    specifier: 106,
    text: 'persons on board',
    field: personsOnBoardField,
    certainty: 'likely',
  },
];

/** The data character that asks for the data. */
export const DATA_REQUESTED = 110;
/** The data character that says there are none. */
export const NO_DATA = 126;
