/**
 * A station's procedures as one pure function: ITU-R M.541 Annexes 1 and 3 (from memory).
 */
import { DotphaseError } from '../errors.js';
import { formatFrequency } from '../frequencies/index.js';
import type { Choice, ChooseEvent, StationAction, StationEvent } from './actions.js';
import { alertProcedure } from './alerts.js';
import { incomingProcedure } from './answering.js';
import { outgoingProcedure, refusesRelay, startCall } from './calling.js';
import { StepContext } from './stepcontext.js';
import { distressProcedure, startDistress } from './distress.js';
import type { Exchange } from './exchange.js';
import type { Procedure } from './procedure.js';
import { dispatch, giveUp, radioDeadlines, release } from './radio.js';
import { takeCall } from './receiving.js';
import { takePosition } from './position.js';
import type { Deadline, StationState, Transmission } from './state.js';
import { DAY_MS, requireNow } from './timing.js';

const PROCEDURES: { [Kind in Exchange['kind']]: Procedure<Extract<Exchange, { kind: Kind }>> } = {
  distress: distressProcedure,
  outgoing: outgoingProcedure,
  incoming: incomingProcedure,
  alert: alertProcedure,
};

function procedureOf<E extends Exchange>(exchange: E): Procedure<E> {
  return PROCEDURES[exchange.kind] as unknown as Procedure<E>;
}

/** What one step gives. */
export interface Step {
  readonly state: StationState;
  /** In the order in which they are to be done. */
  readonly actions: readonly StationAction[];
}

/** Phases in which an exchange goes on by itself, or has something in a queue. */
const BUSY_PHASES: readonly Exchange['phase'][] = [
  'sending',
  'waiting',
  'awaiting',
  'cancelling',
  'answering',
];

/** An exchange at rest is forgotten after this, milliseconds; distress and calls that count by the day later. */
const KEEP_MS = 3_600_000;

/** At most so many exchanges at rest are remembered of others, and so many of the own distress alerts. */
const MOST_AT_REST = 500;
const MOST_OWN_ALERTS = 20;

function isKept(exchange: Exchange, now: number): boolean {
  if (BUSY_PHASES.includes(exchange.phase)) return true;
  const isDistress = exchange.kind === 'distress' || exchange.kind === 'alert';
  const isCounted = exchange.kind === 'outgoing' && exchange.sentTimes.length > 0;
  return now - exchange.since < (isDistress || isCounted ? DAY_MS : KEEP_MS);
}

/** The order in which exchanges are forgotten when there are too many: lowest first. */
function worth(exchange: Exchange): number {
  if (exchange.phase === 'open') return 2;
  return exchange.phase === 'acknowledged' ? 1 : 0;
}

function tooMany(exchanges: readonly Exchange[], most: number): Exchange[] {
  const sorted = [...exchanges].sort((a, b) => worth(a) - worth(b) || a.id - b.id);
  return sorted.slice(0, Math.max(0, exchanges.length - most));
}

/** The own distress is counted apart, so that alerts of others never displace it. */
function forget(context: StepContext): void {
  const { state } = context;
  const kept = state.exchanges.filter((exchange) => isKept(exchange, state.now));
  const atRest = kept.filter((exchange) => !BUSY_PHASES.includes(exchange.phase));
  const own = atRest.filter(({ kind }) => kind === 'distress');
  const others = atRest.filter(({ kind }) => kind !== 'distress');
  const surplus = new Set([...tooMany(own, MOST_OWN_ALERTS), ...tooMany(others, MOST_AT_REST)]);
  state.exchanges = kept.filter((exchange) => !surplus.has(exchange));
  for (const exchange of surplus) {
    context.unqueue(exchange);
    if (exchange.phase === 'open') context.tell({ type: 'forgotten' }, 'memory', exchange);
  }
}

function deadlinesOf(state: StationState): Deadline[] {
  return [
    ...radioDeadlines(state),
    ...state.exchanges.flatMap((exchange) => procedureOf(exchange).deadlines(exchange)),
  ];
}

function nextDeadline(state: StationState): Deadline | undefined {
  return deadlinesOf(state)
    .filter(({ at }) => at > state.now)
    .reduce<Deadline | undefined>((first, each) => (first && first.at <= each.at ? first : each), undefined);
}

/**
 * When a station goes on by itself: give it a `tick` then. Undefined while it waits for nothing but events.
 *
 * @param state - a station
 * @returns milliseconds, later than the latest time that the station was told
 */
export function dueAt(state: StationState): number | undefined {
  return nextDeadline(state)?.at;
}

/**
 * What the operator may do with an exchange.
 *
 * @param state - a station
 * @param exchange - the exchange's id
 */
export function choicesFor(state: StationState, exchange: number): Choice[] {
  const found = state.exchanges.find(({ id }) => id === exchange);
  return found ? procedureOf(found).choices(found, state) : [];
}

function choose(context: StepContext, event: ChooseEvent): void {
  const exchange = context.find(event.exchange);
  if (!exchange) {
    context.refuse({ type: 'noExchange', exchange: event.exchange }, 'onlyWhatIsOffered');
    return;
  }
  if (exchange.kind === 'outgoing' && exchange.call.kind === 'distressRelay' && event.choice === 'resend') {
    if (event.necessary) exchange.isNecessary = true;
    if (refusesRelay(context, exchange.call, exchange.isNecessary ?? false)) return;
  }
  const procedure = procedureOf(exchange);
  const choice = procedure.choices(exchange, context.state).find((each) => each.choice === event.choice);
  if (!choice) {
    context.refuse({ type: 'notOffered', phase: exchange.phase }, 'onlyWhatIsOffered');
    return;
  }
  // An acknowledgement is put off until its time by the procedure itself.
  const isEarly = event.choice !== 'acknowledge' && (choice.from === undefined || choice.from > context.now);
  if (isEarly) {
    const seconds = choice.from === undefined ? undefined : Math.ceil((choice.from - context.now) / 1000);
    context.refuse({ type: 'early', seconds }, choice.rule);
    return;
  }
  if (event.frequencyHz !== undefined) formatFrequency(event.frequencyHz);
  procedure.choose(context, exchange, event);
}

function end(context: StepContext, transmission: Transmission | undefined, whole: boolean): void {
  const exchange = transmission && context.find(transmission.exchange);
  if (exchange) procedureOf(exchange).ended(context, exchange, transmission, whole);
}

function occupy(
  context: StepContext,
  { frequencyHz, busy }: Extract<StationEvent, { type: 'channel' }>,
): void {
  const others = context.state.busy.filter((hz) => hz !== frequencyHz);
  context.state.busy = busy ? [...others, frequencyHz] : others;
}

function take(context: StepContext, event: StationEvent): void {
  switch (event.type) {
    case 'distress':
      startDistress(context, event);
      return;
    case 'call':
      formatFrequency(event.frequencyHz);
      if (event.call.kind === 'distressRelay' && refusesRelay(context, event.call, false)) return;
      startCall(context, event.call, event.frequencyHz);
      return;
    case 'choose':
      choose(context, event);
      return;
    case 'position':
      takePosition(context, event.position, event.time);
      return;
    case 'received':
      formatFrequency(event.frequencyHz);
      takeCall(context, event);
      return;
    case 'sent':
    case 'unsent':
      end(context, release(context.state, event.transmission), event.type === 'sent');
      return;
    case 'channel':
      formatFrequency(event.frequencyHz);
      occupy(context, event);
      return;
    case 'tick':
      return;
    default:
      throw new DotphaseError('event', event, 'an event of a station');
  }
}

/** Tells when the station goes on by itself, where that changed. */
function setTimer(context: StepContext, before: number | undefined): void {
  const next = nextDeadline(context.state);
  if (!next || next.at === before) return;
  const { at, exchange, rule } = next;
  context.actions.push({ type: 'timer', exchange, at, rule });
}

/**
 * What a station becomes by an event, and what it wants done. A pure function: the same state, event and time give
 * the same step, and nothing given is changed.
 *
 * The caller carries out the actions: it sends what `transmit` says and reports `sent` or `unsent`, breaks off at
 * `cease`, and gives a `tick` when {@link dueAt} has come. One transmission at a time goes out on VHF and one on MF
 * and HF.
 *
 * @param state - from {@link createStation} or the step before
 * @param event - what happened
 * @param now - milliseconds since 1970 UTC; a time before the latest counts as the latest
 * @throws DotphaseError when a call, a frequency or the event itself is wrong; the state given stays good
 */
export function stepStation(state: StationState, event: StationEvent, now: number): Step {
  requireNow(now);
  const before = dueAt(state);
  const context = new StepContext(state, now);
  take(context, event);
  for (const late of giveUp(context.state)) end(context, late, false);
  for (const exchange of [...context.state.exchanges]) procedureOf(exchange).due(context, exchange);
  dispatch(
    context.state,
    (action) => context.actions.push(action),
    (transmission) => {
      const exchange = context.find(transmission.exchange);
      if (exchange) procedureOf(exchange).started(context, exchange, transmission);
    },
  );
  forget(context);
  setTimer(context, before);
  return { state: context.state, actions: context.actions };
}
