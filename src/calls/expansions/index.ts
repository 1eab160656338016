/**
 * Expansions of calls: ITU-R M.821-1 (from memory).
 */
export * from './codec.js';
export { DATUMS, SOURCES } from './fields.js';
export * from './table.js';
export * from './texts.js';
export type * from './types.js';
