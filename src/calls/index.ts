/**
 * Calls: typed calls to characters and back, by the tables of ITU-R M.493.
 *
 * @example
 * ```ts
 * import { decodeCall, describeCall, encodeCall } from 'dotphase/calls';
 *
 * const { symbols } = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
 * console.log(symbols.slice(0, 7).join(' ')); // 120 0 29 91 23 40 108
 * console.log(describeCall(decodeCall(symbols)));
 * // Test call from ship 299 123 456 to coast station 00 299 1234; an acknowledgement is requested.
 * ```
 *
 * @packageDocumentation
 */
export { addressField } from './address.js';
export {
  checkCall,
  readCall,
  type CallReading,
  type CheckOptions,
  type EquipmentClass,
  type Problem,
} from './check/index.js';
export {
  certainCharacters,
  decodeCall,
  encodeCall,
  isReceivedWhole,
  receivedCharacters,
  type DecodeOptions,
  type EncodedCall,
} from './codec.js';
export { describeCall, type DescribeOptions } from './describe.js';
export { CALL_KINDS, callFields, explainFields, nameExpansion, type ExplainedField } from './explain.js';
export type * from './expansions/types.js';
export type { SymbolSet } from './fields/index.js';
export { formatPosition } from './phrases/index.js';
export { callLayouts, type CallLayout } from './layouts.js';
export * from './identity.js';
export { maritimeBand, type MaritimeBand } from './maritimebands.js';
export * from './mids.js';
export { fromSentences, toSentences, type SentenceOptions } from './sentences/index.js';
export type * from './types.js';
export * from './values.js';
