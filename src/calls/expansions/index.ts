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
} from './codec.js';
export { DATUMS, SOURCES } from './fields.js';
export { DATA_REQUESTED, EXPANSION_TABLE, NO_DATA } from './table.js';
export { EXPANSION_TEXTS } from './texts.js';
export type { DatumName, Expansion, PositionSourceName } from './types.js';
