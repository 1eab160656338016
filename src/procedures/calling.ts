/**
 * Calls that a station sends on its own initiative, apart from a distress alert: urgency and safety, individual, group and
 * area calls, tests, position requests, polling, relays. ITU-R M.541 Annex 1 §3.4 and §4, Annex 3 §2 to §5 (from
 * memory).
 */
import {
  encodeCall,
  type Call,
  type CommunicationCall,
  type DistressRelay,
  type Identity,
} from '../calls/index.js';
import { isFollowed, isInPlace, outlineCall } from '../frequencies/index.js';
import {
  acknowledges,
  asksForAcknowledgement,
  calledStation,
  isRequest,
  senderOf,
  type RequestCall,
} from './acknowledgement.js';
import type { Choice } from './actions.js';
import type { StepContext } from './stepcontext.js';
import type { OutgoingExchange } from './exchange.js';
import type { Procedure } from './procedure.js';
import type { Notice } from './notices.js';
import type { RuleName } from './rules.js';
import { roleOf } from './addressing.js';
import { objectionToRelay, rulingOnRelay } from './situation.js';
import { DISTRESS_PRIORITY, type StationState } from './state.js';
import { repeatOf, type RepeatRow } from './table.js';
import { DAY_MS } from './timing.js';

const PRIORITY = { distress: DISTRESS_PRIORITY, urgency: 2, safety: 3, routine: 4 } as const;

/** The priority of a call in the queue, by its category. */
export function priorityOf(call: Call): number {
  return PRIORITY[outlineCall(call).category];
}

function isRoutine(call: RequestCall): boolean {
  return call.kind === 'routineCall' || call.kind === 'automaticCall';
}

function repeatRow(call: RequestCall, attempts: number): RepeatRow {
  return repeatOf(roleOf(senderOf(call)), isRoutine(call) ? 'routine' : 'other', attempts);
}

function waitRule(call: RequestCall): RuleName {
  return repeatRow(call, 1).rule;
}

/** The rule by which a call goes out. */
function callRule(call: RequestCall): RuleName {
  if (call.kind === 'distressRelay') {
    return roleOf(senderOf(call)) === 'coastStation' ? 'coastRelays' : 'relayOnBehalf';
  }
  if (asksForAcknowledgement(call)) return 'individualAcknowledged';
  return call.kind === 'urgencyCall' || call.kind === 'safetyCall' ? 'announced' : 'notToMany';
}

function queue(context: StepContext, exchange: OutgoingExchange): void {
  const { call, frequencyHz } = exchange;
  context.send(exchange, { call, frequencyHz, priority: priorityOf(call), rule: callRule(call) });
}

/**
 * Puts a call in the queue as an exchange of its own.
 *
 * @param isNecessary - of a relay: whether the operator confirmed that further help is necessary
 */
export function startOutgoing(
  context: StepContext,
  call: RequestCall,
  frequencyHz: number,
  rule: RuleName,
  isNecessary = false,
): void {
  encodeCall(call);
  const exchange = context.begin<OutgoingExchange>(
    {
      kind: 'outgoing',
      phase: 'sending',
      call,
      frequencyHz,
      ...(isNecessary && { isNecessary }),
      attempts: 0,
      sentTimes: [],
      acknowledgements: 0,
    },
    rule,
  );
  if (!isInPlace(outlineCall(call), frequencyHz)) {
    context.tell({ type: 'frequency', call, frequencyHz }, rule, exchange);
  }
  queue(context, exchange);
}

/** The operator sends a call. */
export function startCall(context: StepContext, call: Call, frequencyHz: number): void {
  encodeCall(call);
  if (!isRequest(call)) {
    context.refuse({ type: 'notByItself', kind: call.kind }, 'onlyWhatWasReceived');
    return;
  }
  if (senderOf(call) !== context.state.identity) {
    context.refuse({ type: 'otherSender', identity: context.state.identity }, 'operator');
    return;
  }
  const early = earlyRepeat(context.state, call);
  if (early) {
    const seconds = Math.ceil((early.from - context.now) / 1000);
    context.refuse({ type: 'early', seconds }, early.rule);
    return;
  }
  startOutgoing(context, call, frequencyHz, callRule(call));
}

/** The call of before that a new one only repeats: the table of repetitions holds for it too. */
function earlyRepeat(state: StationState, call: RequestCall): { from: number; rule: RuleName } | undefined {
  if (!isRoutine(call) || calledStation(call) === undefined) return undefined;
  const same = state.exchanges.findLast(
    (exchange): exchange is OutgoingExchange =>
      exchange.kind === 'outgoing' &&
      exchange.acknowledgement === undefined &&
      JSON.stringify(exchange.call) === JSON.stringify(call),
  );
  const from = Math.max(same ? resendFrom(same, state) : 0, dayLimitEnds(state, call));
  return from > state.now ? { from, rule: waitRule(call) } : undefined;
}

/** When a coast station may call a ship again that it has called as often as it may in 24 hours; 0 if it has not. */
function dayLimitEnds(state: StationState, call: RequestCall): number {
  const { mostInADay } = repeatRow(call, 1);
  const called = calledStation(call);
  if (mostInADay === undefined || called === undefined) return 0;
  const times = state.exchanges.flatMap((exchange) =>
    exchange.kind === 'outgoing' && isRoutine(exchange.call) && calledStation(exchange.call) === called
      ? exchange.sentTimes
      : [],
  );
  const today = times.filter((at) => at > state.now - DAY_MS).sort((a, b) => a - b);
  return today.length < mostInADay ? 0 : today[today.length - mostInADay] + DAY_MS;
}

/** When an unanswered call may go out again, by the table of repetitions. */
function resendFrom({ call, attempts, sentAt, since }: OutgoingExchange, state: StationState): number {
  if (!isRoutine(call) || sentAt === undefined) return since;
  const { wait } = repeatRow(call, attempts);
  const from = sentAt + (typeof wait === 'number' ? wait : state.timing[wait]);
  return Math.max(from, dayLimitEnds(state, call));
}

/** So many times of sending are remembered: as many as a coast station may call in a day. */
const MOST_TIMES = 5;

function watchFor(context: StepContext, exchange: OutgoingExchange, call: Call, rule: RuleName): void {
  if (!isFollowed(call)) {
    context.tell({ type: 'complete' }, 'complete', exchange);
    return;
  }
  context.watch(call, exchange.frequencyHz, 'caller', rule, exchange);
}

function unanswered(context: StepContext, exchange: OutgoingExchange, rule: RuleName, notice: Notice): void {
  delete exchange.waitUntil;
  context.enter(exchange, 'unanswered', rule);
  context.tell(notice, rule, exchange);
  context.offer(exchange, outgoingProcedure.choices(exchange, context.state), rule);
}

/** The procedure of an outgoing call. */
export const outgoingProcedure: Procedure<OutgoingExchange> = {
  choices(exchange, state) {
    const { phase, call } = exchange;
    const choices: Choice[] = [];
    if (phase === 'unanswered' || phase === 'declined') {
      const relay = call.kind === 'distressRelay' ? rulingOnRelay(state, call) : undefined;
      if (relay?.verdict !== 'mustNot') {
        choices.push({
          choice: 'resend',
          kind: 'outgoing',
          from: Math.max(resendFrom(exchange, state), relay?.fromMs ?? 0),
          ...(relay?.needs && !exchange.isNecessary && { needs: relay.needs }),
          rule: relay?.rule ?? waitRule(call),
        });
      }
    }
    if (phase === 'sending' || phase === 'awaiting' || phase === 'unanswered') {
      choices.push({ choice: 'stop', kind: 'outgoing', from: 0, rule: 'operator' });
    }
    return choices;
  },

  choose(context, exchange, { choice }) {
    if (choice === 'stop') {
      context.silence(exchange, 'operator');
      delete exchange.waitUntil;
      context.enter(exchange, 'stopped', 'operator');
      return;
    }
    delete exchange.acknowledgement;
    context.enter(exchange, 'sending', waitRule(exchange.call));
    queue(context, exchange);
  },

  started() {
    return;
  },

  ended(context, exchange, _transmission, whole) {
    if (whole) {
      exchange.attempts++;
      exchange.sentAt = context.now;
      exchange.sentTimes = [...exchange.sentTimes, context.now].slice(-MOST_TIMES);
    }
    if (exchange.phase !== 'sending') return;
    const { call } = exchange;
    if (!whole) {
      unanswered(context, exchange, 'listenFirst', { type: 'callUnsent' });
    } else if (asksForAcknowledgement(call)) {
      const { wait, rule } = repeatRow(call, 1);
      exchange.waitUntil = context.now + (typeof wait === 'number' ? wait : context.state.timing[wait]);
      context.enter(exchange, 'awaiting', rule);
    } else {
      const rule = callRule(call);
      context.enter(exchange, 'announced', rule);
      watchFor(context, exchange, call, rule);
    }
  },

  deadlines({ id, phase, waitUntil, call }) {
    return phase === 'awaiting' && waitUntil !== undefined
      ? [{ exchange: id, at: waitUntil, rule: waitRule(call) }]
      : [];
  },

  due(context, exchange) {
    const { phase, waitUntil, attempts } = exchange;
    if (phase !== 'awaiting' || waitUntil === undefined || waitUntil > context.now) return;
    unanswered(context, exchange, waitRule(exchange.call), { type: 'unanswered', attempts });
  },
};

/** Refuses a relay that the operator puts together by hand, or sends again, where the table forbids it. */
export function refusesRelay(context: StepContext, call: DistressRelay, isNecessary: boolean): boolean {
  const rule = objectionToRelay(context.state, call, isNecessary);
  if (rule !== undefined) context.refuse({ type: 'rule' }, rule);
  return rule !== undefined;
}

/**
 * Withdraws the relays of a casualty that wait to be sent, where what was heard since forbids them.
 *
 * @param because - the rule that forbids them all; default: what the table says of each
 */
export function withdrawRelays(
  context: StepContext,
  casualty: Identity | 'unknown',
  because?: RuleName,
): void {
  for (const exchange of context.state.exchanges) {
    if (exchange.kind !== 'outgoing' || exchange.phase !== 'sending') continue;
    const { call } = exchange;
    if (call.kind !== 'distressRelay' || call.casualty !== casualty) continue;
    const rule = because ?? objectionToRelay(context.state, call, exchange.isNecessary ?? false);
    if (rule === undefined || !context.unqueue(exchange)) continue;
    context.enter(exchange, 'stopped', rule);
    context.tell({ type: 'relayWithdrawn' }, rule, exchange);
  }
}

/** The fields of a call that proposes a way to communicate, where a call has them. */
function proposal(
  call: Call,
): Pick<CommunicationCall, 'telecommand1' | 'telecommand2' | 'message'> | undefined {
  if (!('telecommand1' in call) || !('message' in call)) return undefined;
  const { telecommand1, telecommand2, message } = call;
  return { telecommand1, telecommand2, message };
}

function agrees(acknowledgement: Call, call: Call): boolean {
  return JSON.stringify(proposal(acknowledgement)) === JSON.stringify(proposal(call));
}

const WAITING = ['sending', 'awaiting'];

/**
 * The call that an acknowledgement belongs to, among those that were sent whole and not too long ago: one whose
 * content it repeats before others, one that still waits before others, a later one before an earlier.
 */
function matchOf(state: StationState, acknowledgement: Call): OutgoingExchange | undefined {
  const candidates = state.exchanges.filter(
    (exchange): exchange is OutgoingExchange =>
      exchange.kind === 'outgoing' &&
      exchange.sentAt !== undefined &&
      state.now - exchange.sentAt <= state.timing.matchMs &&
      acknowledges(acknowledgement, exchange.call),
  );
  const rank = (exchange: OutgoingExchange) =>
    (exchange.acknowledgement === undefined ? 4 : 0) +
    (agrees(acknowledgement, exchange.call) ? 2 : 0) +
    (WAITING.includes(exchange.phase) ? 1 : 0);
  return candidates.reduce<OutgoingExchange | undefined>(
    (best, candidate) => (best && rank(best) > rank(candidate) ? best : candidate),
    undefined,
  );
}

function answered(
  context: StepContext,
  exchange: OutgoingExchange,
  acknowledgement: Call,
  late: boolean,
): void {
  const said = proposal(acknowledgement);
  const notice: Notice = { type: 'acknowledged', call: acknowledgement, when: late ? 'late' : 'inTime' };
  if (said?.telecommand1 === 'unable') {
    context.enter(exchange, 'declined', 'unable');
    context.tell(notice, 'unable', exchange);
    context.offer(exchange, outgoingProcedure.choices(exchange, context.state), 'unable');
    return;
  }
  const rule = agrees(acknowledgement, exchange.call) ? 'individualAcknowledged' : 'otherChannel';
  context.enter(exchange, 'answered', rule);
  context.tell(notice, rule, exchange);
  watchFor(context, exchange, said ? { ...exchange.call, ...said } : exchange.call, rule);
}

/**
 * An acknowledgement for the own station came in.
 *
 * @returns whether it belongs to a call that was sent
 */
export function acknowledgementReceived(context: StepContext, call: Call, frequencyHz: number): boolean {
  const exchange = matchOf(context.state, call);
  if (!exchange) return false;
  exchange.acknowledgements++;
  if (exchange.acknowledgement) {
    context.tell({ type: 'acknowledgedAgain', by: senderOf(call), frequencyHz }, 'matching', exchange);
    return true;
  }
  exchange.acknowledgement = call;
  delete exchange.waitUntil;
  if (exchange.phase === 'stopped') {
    context.tell({ type: 'acknowledged', call, when: 'left' }, 'matching', exchange);
    return true;
  }
  context.unqueue(exchange);
  answered(context, exchange, call, exchange.phase === 'unanswered');
  return true;
}
