/**
 * Expansions of calls: ITU-R M.821-1 (from memory).
 */
export {
  asSent,
  mergeFinePosition,
  readExpansions,
  requireRow,
  splitFinePosition,
  splitPieces,
  writeExpansions,
  type SequenceEnd,
} from './codec.js';
export { DATUMS, SOURCES } from './fields.js';
export { DATA_REQUESTED, EXPANSION_TABLE, NO_DATA, type ExpansionRow } from './table.js';
export { EXPANSION_TEXTS } from './texts.js';
export type {
  Course,
  DatumName,
  Expansion,
  ExpansionPlace,
  FinePosition,
  FurtherIdentification,
  NoData,
  PersonsOnBoard,
  PositionSource,
  PositionSourceName,
  RefinedArea,
  Speed,
  UnassignedExpansion,
} from './types.js';
