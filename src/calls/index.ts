/**
 * Calls: typed calls to characters and back, by the tables of ITU-R M.493.
 *
 * @packageDocumentation
 */
export { addressField } from './address.js';
export { decodeCall, describeCall, encodeCall, type DecodeOptions } from './codec.js';
export { errorCheck } from './errorcheck.js';
export { formatPosition, type SymbolSet } from './fields.js';
export { callLayouts, type CallLayout } from './layouts.js';
export * from './identity.js';
export * from './mids.js';
export type * from './types.js';
export * from './values.js';
