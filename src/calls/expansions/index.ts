/**
 * Expansions of calls: ITU-R M.821-1 (from memory).
 */
export * from './codec.js';
export * from './table.js';
export type * from './types.js';
