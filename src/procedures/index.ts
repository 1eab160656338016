/**
 * Procedures: what one station may and must do, as a pure state machine with the time passed in (ITU-R M.541, from
 * memory). No audio, no clock.
 *
 * @example
 * ```ts
 * import { createStation, stepStation } from 'dotphase/procedures';
 *
 * const ship = createStation({ identity: '299123456' }, 0);
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const { actions } = stepStation(ship, { type: 'call', call, frequencyHz: 2_187_500 }, 1000);
 * console.log(actions.map(({ type }) => type).join(' ')); // phase transmit
 * ```
 *
 * @packageDocumentation
 */
export {
  acknowledgementOf,
  acknowledges,
  asksForAcknowledgement,
  cancellationOf,
  distressAcknowledgementOf,
  type Answer,
  type Answering,
  type RequestCall,
  type RequestKind,
} from './acknowledgement.js';
export {
  CHOICE_NAMES,
  type Choice,
  type ChoiceName,
  type ChooseEvent,
  type StationAction,
  type StationEvent,
} from './actions.js';
export {
  addressedOf,
  addressing,
  isCoastStation,
  isWithin,
  roleOf,
  type Addressee,
  type Addressing,
} from './addressing.js';
export { CALLS_IN_A_ROW } from './distress.js';
export { RELAY_RADIUS_DEGREES, areaAround } from './relayarea.js';
export type {
  AlertExchange,
  DistressExchange,
  Exchange,
  ExchangeBase,
  IncomingExchange,
  OutgoingExchange,
  OwnDistress,
  Reception,
} from './exchange.js';
export { radioOf } from './radio.js';
export { receivedKind } from './receiving.js';
export type { Cancellation, Notice, Refusal } from './notices.js';
export type { RuleName } from './rules.js';
export type { AutomaticAnswers, StationSettings } from './settings.js';
export {
  createStation,
  type Deadline,
  type RadioName,
  type StationState,
  type Transmission,
  type Transmitter,
} from './state.js';
export { choicesFor, dueAt, stepStation, type Step } from './step.js';
export {
  REPEAT_TABLE,
  STATION_TABLE,
  reachOf,
  repeatOf,
  rulingOn,
  type Addressed,
  type Deed,
  type Reach,
  type ReceivedKind,
  type RepeatRow,
  type Role,
  type Ruling,
  type Situation,
  type TableRow,
  type Verdict,
} from './table.js';
export {
  COAST_ANSWERS_FROM_MS,
  COAST_ANSWERS_UNTIL_MS,
  COAST_DELAY_MS,
  COAST_LIMIT_MS,
  COAST_REPEATS_MS,
  DEFAULT_TIMING,
  REPETITION_MS,
  ROUTINE_FURTHER_MS,
  ROUTINE_WAIT_MS,
  UNACKNOWLEDGED_MS,
  type ProcedureTiming,
} from './timing.js';
