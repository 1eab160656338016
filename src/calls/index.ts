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
} from './expansions/types.js';
export type { SymbolSet } from './fields/index.js';
export { formatPosition } from './phrases/index.js';
export { callLayouts, type CallLayout } from './layouts.js';
export {
  IDENTITY_KINDS,
  describeIdentity,
  formatIdentity,
  identityKind,
  identityMid,
  parseIdentity,
  type IdentityKind,
} from './identity.js';
export { bandOf, maritimeBand, type MaritimeBand } from './maritimebands.js';
export { isAllocatedMid, midAdministration } from './mids.js';
export { parseArea, parsePosition } from './typedposition.js';
export { fromSentences, toSentences, type SentenceOptions } from './sentences/index.js';
export type {
  AutomaticAcknowledgement,
  AutomaticCall,
  Call,
  CallExtras,
  CallKind,
  CommunicationCall,
  DecodedCall,
  DistressAcknowledgement,
  DistressAlert,
  DistressMessage,
  DistressRelay,
  FixedCall,
  IrregularAutomaticCall,
  IrregularCall,
  IrregularDistressCall,
  OwnAlertCancellation,
  PartialCall,
  PollingReply,
  PollingRequest,
  PositionReport,
  PositionRequest,
  RelayAcknowledgement,
  RoutineAcknowledgement,
  RoutineCall,
  RowKind,
  SafetyAcknowledgement,
  SafetyCall,
  TableKind,
  TestAcknowledgement,
  TestCall,
  ToStation,
  ToStationOrGroup,
  UnassignedCall,
  UrgencyAcknowledgement,
  UrgencyCall,
} from './types.js';
export {
  LEAST_CERTAINTY,
  hasValue,
  isNotReceived,
  isUnassigned,
  type Address,
  type Area,
  type Category,
  type Channel,
  type Character,
  type EndOfSequence,
  type FirstTelecommand,
  type FollowOn,
  type FrequencyMessage,
  type Identity,
  type Message,
  type Nature,
  type NotReceived,
  type Position,
  type PositionMessage,
  type Quadrant,
  type SecondTelecommand,
  timeOfDay,
  type TimeOfDay,
  type Unassigned,
  type WithNotReceived,
} from './values.js';
