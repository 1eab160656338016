/**
 * Calls: typed calls to characters and back, by the tables of ITU-R M.493.
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
export { decodeCall, encodeCall, encodeExpansions, type DecodeOptions } from './codec.js';
export { describeCall, type DescribeOptions } from './describe.js';
export { errorCheck } from './errorcheck.js';
export { CALL_KINDS, callFields, explainFields, nameExpansion, type ExplainedField } from './explain.js';
export type * from './expansions/types.js';
export { formatPosition, type SymbolSet } from './fields/index.js';
export { callLayouts, type CallLayout } from './layouts.js';
export * from './identity.js';
export * from './mids.js';
export { fromSentences, toSentences, type SentenceOptions } from './sentences/index.js';
export type * from './types.js';
export * from './values.js';
