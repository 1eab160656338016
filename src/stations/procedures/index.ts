/**
 * The procedures of DSC as a pure state machine with a clock passed in: ITU-R M.541 (from memory).
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
export type * from './actions.js';
export { addressing, isCoastStation, isWithin, type Addressee, type Addressing } from './addressing.js';
export { CALLS_IN_A_ROW } from './distress.js';
export type * from './exchange.js';
export { radioOf } from './radio.js';
export { RULES, type Rule, type RuleName } from './rules.js';
export * from './state.js';
export { choicesFor, dueAt, stepStation, type Step } from './step.js';
export {
  COAST_DELAY_MS,
  COAST_LIMIT_MS,
  DEFAULT_TIMING,
  REPETITION_MS,
  ROUTINE_FURTHER_MS,
  ROUTINE_WAIT_MS,
  SHIP_LISTENS_MS,
  type ProcedureTiming,
} from './timing.js';
export { followUpOf } from './voice.js';
