/**
 * Calls from other stations that ask for an answer: ITU-R M.541 Annex 1 §4 and Annex 3 §4 and §5 (from memory).
 */
import { describeCall, encodeCall, type Call } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { answerFrequency, outlineCall } from '../frequencies/index.js';
import {
  acknowledgementOf,
  asksForAcknowledgement,
  senderOf,
  type Answer,
  type RequestCall,
} from './acknowledgement.js';
import type { Choice, ChooseEvent } from './actions.js';
import { priorityOf } from './calling.js';
import type { Desk } from './desk.js';
import type { IncomingExchange } from './exchange.js';
import type { Procedure } from './procedure.js';
import { roleOf } from './addressing.js';
import { RULES, type RuleName } from './rules.js';
import type { AutomaticAnswers } from './settings.js';
import type { StationState } from './state.js';
import { fromOf, reachOf, rulingOn, type Ruling } from './table.js';
import { followUpOf } from './voice.js';

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

function queueAnswer(desk: Desk, exchange: IncomingExchange, call: Call, rule: RuleName): void {
  encodeCall(call);
  exchange.answer = call;
  desk.enter(exchange, 'answering', rule);
  const frequencyHz = exchange.answerHz ?? exchange.frequencyHz;
  const ruling = answerRuling(desk.state, exchange.call, exchange.frequencyHz);
  const notBefore = Math.max(desk.now, exchange.receivedAt + fromOf(ruling, desk.state.timing));
  desk.send(exchange, { call, frequencyHz, priority: priorityOf(call), notBefore, rule });
}

function answerWith(
  desk: Desk,
  exchange: IncomingExchange,
  answer: Answer,
  frequencyHz: number | undefined,
  rule: RuleName,
): void {
  const { identity, position, positionTime } = desk.state;
  const station = { self: identity, position: { position, time: positionTime } };
  exchange.answerHz = frequencyHz ?? answerFrequency(outlineCall(exchange.call), exchange.frequencyHz);
  queueAnswer(desk, exchange, acknowledgementOf(exchange.call, answer, station), rule);
}

function answerOf(event: ChooseEvent): Answer {
  const { choice, reason = 'noReason', message, telecommand1 } = event;
  if (choice === 'unable') return { type: 'unable', reason };
  if (choice === 'able') return { type: 'able' };
  if (message === undefined) throw new DotphaseError('message', message, 'the working channels to propose');
  return { type: 'propose', message, ...(telecommand1 !== undefined && { telecommand1 }) };
}

/** The procedure of an incoming call. */
export const incomingProcedure: Procedure<IncomingExchange> = {
  choices({ phase, call, answer }) {
    const choices: Choice[] = [];
    const add = (choice: Choice['choice'], text: string, rule: RuleName) => {
      choices.push({ choice, text, from: 0, rule: RULES[rule] });
    };
    if (phase === 'open') {
      add('able', 'Acknowledge: able to comply', 'individualAcknowledged');
      if ('telecommand1' in call) {
        add('unable', 'Acknowledge: unable to comply', 'unable');
        add('propose', 'Acknowledge: on another channel', 'otherChannel');
      }
      add('stop', 'Leave the call unanswered', 'operator');
    }
    if (phase === 'answered' && answer) {
      add('again', 'Send the acknowledgement once more', 'individualAcknowledged');
    }
    return choices;
  },

  choose(desk, exchange, event) {
    if (event.choice === 'stop') {
      desk.enter(exchange, 'closed', 'operator');
    } else if (event.choice === 'again') {
      if (exchange.answer) queueAnswer(desk, exchange, exchange.answer, 'individualAcknowledged');
    } else {
      const answer = answerOf(event);
      answerWith(desk, exchange, answer, event.frequencyHz, answerRule(answer));
    }
  },

  started() {
    return;
  },

  ended(desk, exchange, _transmission, whole) {
    if (exchange.phase !== 'answering') return;
    const { call, answer, frequencyHz } = exchange;
    if (!whole) {
      desk.enter(exchange, 'open', 'listenFirst');
      desk.tell('The acknowledgement did not go out, or not whole.', 'listenFirst', exchange);
      desk.offer(exchange, incomingProcedure.choices(exchange, desk.state), 'listenFirst');
      return;
    }
    desk.enter(exchange, 'answered', 'individualAcknowledged');
    const said = answer && 'message' in answer && 'telecommand1' in answer ? answer : undefined;
    const agreed = said
      ? ({
          ...call,
          telecommand1: said.telecommand1,
          telecommand2: said.telecommand2,
          message: said.message,
        } as Call)
      : call;
    const followUp = followUpOf(agreed, frequencyHz, 'called');
    if (followUp.means !== 'none') desk.watch(agreed, followUp, 'individualAcknowledged', exchange);
  },

  deadlines({ id, phase, expiresAt }) {
    return phase === 'open' ? [{ exchange: id, at: expiresAt, rule: 'answerLimit' }] : [];
  },

  due(desk, exchange) {
    if (exchange.phase !== 'open' || exchange.expiresAt > desk.now) return;
    desk.enter(exchange, 'expired', 'answerLimit');
    desk.tell('The call is left unanswered: its sender has stopped waiting.', 'answerLimit', exchange);
  },
};

const PENDING = ['open', 'answering'];

/** A call that asks for an answer came in for the own station. */
export function requestReceived(
  desk: Desk,
  call: RequestCall,
  frequencyHz: number,
  receivedAt: number,
): void {
  const { until = Infinity, rule } = answerRuling(desk.state, call, frequencyHz);
  const expiresAt = desk.now + Math.min(until, desk.state.timing.answerLimitMs);
  const same = desk.state.exchanges.findLast(
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
    desk.tell('The same call came again.', rule, same);
    desk.offer(same, incomingProcedure.choices(same, desk.state), rule);
    return;
  }
  const exchange = desk.begin<IncomingExchange>(
    { kind: 'incoming', phase: 'open', call, frequencyHz, receivedAt, received: 1, expiresAt },
    rule,
  );
  desk.tell(describeCall(call), rule, exchange);
  const isPosition = call.kind === 'routineCall' && call.telecommand1 === 'position';
  const automatic = isPosition ? 'position' : AUTOMATIC[call.kind];
  if (automatic !== undefined && desk.state.automatic[automatic] && asksForAcknowledgement(call)) {
    answerWith(desk, exchange, { type: 'able' }, undefined, 'automatic');
    return;
  }
  desk.offer(exchange, incomingProcedure.choices(exchange, desk.state), rule);
}
