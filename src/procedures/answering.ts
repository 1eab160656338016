/**
 * Calls from other stations that ask for an answer: ITU-R M.541 Annex 1 §4 and Annex 3 §4 and §5 (from memory).
 */
import { encodeCall, type Call } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { answerFrequency, isFollowed, outlineCall } from '../frequencies/index.js';
import {
  acknowledgementOf,
  asksForAcknowledgement,
  senderOf,
  type Answer,
  type RequestCall,
} from './acknowledgement.js';
import type { Choice, ChooseEvent } from './actions.js';
import { priorityOf } from './calling.js';
import type { StepContext } from './stepcontext.js';
import type { IncomingExchange } from './exchange.js';
import type { Procedure } from './procedure.js';
import { roleOf } from './addressing.js';
import type { RuleName } from './rules.js';
import type { AutomaticAnswers } from './settings.js';
import type { StationState } from './state.js';
import { fromOf, reachOf, rulingOn, type Ruling } from './table.js';

/** What each kind that may be answered automatically is called in the settings. */
const AUTOMATIC: Partial<Record<RequestCall['kind'], keyof AutomaticAnswers>> = {
  testCall: 'test',
  positionRequest: 'position',
  pollingRequest: 'polling',
};

function answerRule(answer: Answer): RuleName {
  if (answer.type === 'unable') return 'unable';
  return answer.type === 'propose' ? 'otherChannel' : 'individualAcknowledged';
}

/** What the table says of answering a request to the own station. */
function answerRuling({ identity }: StationState, call: RequestCall, frequencyHz: number): Ruling {
  return rulingOn('answer', {
    role: roleOf(identity),
    received: 'request',
    addressed: 'me',
    reach: reachOf(frequencyHz),
    from: roleOf(senderOf(call)),
    acknowledged: 'nobody',
    sure: true,
  });
}

function queueAnswer(context: StepContext, exchange: IncomingExchange, call: Call, rule: RuleName): void {
  encodeCall(call);
  exchange.answer = call;
  context.enter(exchange, 'answering', rule);
  const frequencyHz = exchange.answerHz ?? exchange.frequencyHz;
  const ruling = answerRuling(context.state, exchange.call, exchange.frequencyHz);
  const notBefore = Math.max(context.now, exchange.receivedAt + fromOf(ruling, context.state.timing));
  context.send(exchange, { call, frequencyHz, priority: priorityOf(call), notBefore, rule });
}

function answerWith(
  context: StepContext,
  exchange: IncomingExchange,
  answer: Answer,
  frequencyHz: number | undefined,
  rule: RuleName,
): void {
  const { identity, position, positionTime } = context.state;
  const station = { self: identity, position: { position, time: positionTime } };
  exchange.answerHz = frequencyHz ?? answerFrequency(outlineCall(exchange.call), exchange.frequencyHz);
  queueAnswer(context, exchange, acknowledgementOf(exchange.call, answer, station), rule);
}

function answerOf(event: ChooseEvent): Answer {
  const { choice, reason = 'noReason', message, telecommand1 } = event;
  if (choice === 'unable') return { type: 'unable', reason };
  if (choice === 'able') return { type: 'able' };
  if (message === undefined) throw new DotphaseError('message', message, 'the working channels to propose');
  return { type: 'propose', message, ...(telecommand1 !== undefined && { telecommand1 }) };
}

/** Not answered yet. */
const PENDING = ['open', 'answering'];

/** The procedure of an incoming call. */
export const incomingProcedure: Procedure<IncomingExchange> = {
  choices({ phase, call, answer }) {
    const choices: Choice[] = [];
    const add = (choice: Choice['choice'], rule: RuleName) => {
      choices.push({ choice, kind: 'incoming', from: 0, rule });
    };
    if (phase === 'open') {
      add('able', 'individualAcknowledged');
      if ('telecommand1' in call) {
        add('unable', 'unable');
        add('propose', 'otherChannel');
      }
    }
    if (PENDING.includes(phase)) add('stop', 'operator');
    if (phase === 'answered' && answer) {
      add('again', 'individualAcknowledged');
    }
    return choices;
  },

  choose(context, exchange, event) {
    if (event.choice === 'stop') {
      context.silence(exchange, 'operator');
      context.enter(exchange, 'closed', 'operator');
    } else if (event.choice === 'again') {
      if (exchange.answer) queueAnswer(context, exchange, exchange.answer, 'individualAcknowledged');
    } else {
      const answer = answerOf(event);
      answerWith(context, exchange, answer, event.frequencyHz, answerRule(answer));
    }
  },

  started() {
    return;
  },

  ended(context, exchange, _transmission, whole) {
    if (exchange.phase !== 'answering') return;
    const { call, answer, frequencyHz } = exchange;
    if (!whole) {
      context.enter(exchange, 'open', 'listenFirst');
      context.tell({ type: 'acknowledgementUnsent' }, 'listenFirst', exchange);
      context.offer(exchange, incomingProcedure.choices(exchange, context.state), 'listenFirst');
      return;
    }
    context.enter(exchange, 'answered', 'individualAcknowledged');
    const said = answer && 'message' in answer && 'telecommand1' in answer ? answer : undefined;
    const agreed = said
      ? ({
          ...call,
          telecommand1: said.telecommand1,
          telecommand2: said.telecommand2,
          message: said.message,
        } as Call)
      : call;
    if (isFollowed(agreed)) {
      context.watch(agreed, frequencyHz, 'called', 'individualAcknowledged', exchange);
    }
  },

  deadlines({ id, phase, expiresAt }) {
    return phase === 'open' ? [{ exchange: id, at: expiresAt, rule: 'answerLimit' }] : [];
  },

  due(context, exchange) {
    if (exchange.phase !== 'open' || exchange.expiresAt > context.now) return;
    context.enter(exchange, 'expired', 'answerLimit');
    context.tell({ type: 'expired' }, 'answerLimit', exchange);
  },
};

/** A call that asks for an answer came in for the own station. */
export function requestReceived(
  context: StepContext,
  call: RequestCall,
  frequencyHz: number,
  receivedAt: number,
): void {
  const { until = Infinity, rule } = answerRuling(context.state, call, frequencyHz);
  const expiresAt = context.now + Math.min(until, context.state.timing.answerLimitMs);
  const same = context.state.exchanges.findLast(
    (exchange): exchange is IncomingExchange =>
      exchange.kind === 'incoming' &&
      PENDING.includes(exchange.phase) &&
      JSON.stringify(exchange.call) === JSON.stringify(call),
  );
  if (same) {
    same.received++;
    same.frequencyHz = frequencyHz;
    same.receivedAt = receivedAt;
    same.expiresAt = expiresAt;
    context.tell({ type: 'sameCall' }, rule, same);
    context.offer(same, incomingProcedure.choices(same, context.state), rule);
    return;
  }
  const exchange = context.begin<IncomingExchange>(
    { kind: 'incoming', phase: 'open', call, frequencyHz, receivedAt, received: 1, expiresAt },
    rule,
  );
  context.tell({ type: 'call', call, trust: 'sure' }, rule, exchange);
  const isPosition = call.kind === 'routineCall' && call.telecommand1 === 'position';
  const automatic = isPosition ? 'position' : AUTOMATIC[call.kind];
  if (automatic !== undefined && context.state.automatic[automatic] && asksForAcknowledgement(call)) {
    answerWith(context, exchange, { type: 'able' }, undefined, 'automatic');
    return;
  }
  context.offer(exchange, incomingProcedure.choices(exchange, context.state), rule);
}
