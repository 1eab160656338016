/**
 * What the own station answers by itself, and why it stays silent where it does.
 */
import { isReceivedWhole, type Message, type ReceivedCall, type SecondTelecommandName } from 'dotphase';
import {
  addressedOf,
  choicesFor,
  reachOf,
  receivedKind,
  roleOf,
  rulingOn,
  type ChooseEvent,
  type RuleName,
  type StationAction,
  type StationState,
} from 'dotphase/procedures';

/** What is done about a call that asks the own station for an answer. */
export interface AnswerSettings {
  /** Test calls, position requests and polling are answered without asking. */
  simple: boolean;
  /** What is done about the others. */
  others: 'ask' | 'able' | 'unable' | 'propose';
  reason: SecondTelecommandName;
  /** The working channel that is proposed, as typed. */
  channel: string;
  /** Seconds from the end of a call to its answer; the rules may ask for more. */
  delay: number;
}

export const FIRST_ANSWERS: AnswerSettings = {
  simple: true,
  others: 'ask',
  reason: 'busy',
  channel: '4146 kHz',
  delay: 5,
};

/** What the own station answers by itself to what its procedures offer, if anything. */
export function answerTo(
  action: StationAction,
  state: StationState,
  { simple, others, reason }: AnswerSettings,
  message: Message | undefined,
): ChooseEvent | undefined {
  if (action.type !== 'offer') return undefined;
  const exchange = state.exchanges.find(({ id }) => id === action.exchange);
  if (exchange?.kind !== 'incoming' || exchange.phase !== 'open') return undefined;
  const { id, call } = exchange;
  // Relays are about distress: people answer them.
  if (call.kind === 'distressRelay') return undefined;
  const open = choicesFor(state, id).map(({ choice }) => choice);
  const able: ChooseEvent = { type: 'choose', exchange: id, choice: 'able' };
  const isSimple = !('telecommand1' in call) || call.telecommand1 === 'position';
  if (isSimple) return simple ? able : undefined;
  switch (others) {
    case 'ask':
      return undefined;
    case 'able':
      return able;
    case 'unable':
      return open.includes('unable') ? { ...able, choice: 'unable', reason } : undefined;
    case 'propose':
      return open.includes('propose') && message ? { ...able, choice: 'propose', message } : undefined;
  }
}

/** The rule by which a received call is not answered by DSC; undefined where it may be. */
export function whySilent(
  { call, quality }: Pick<ReceivedCall, 'call' | 'quality'>,
  frequencyHz: number,
  { identity, groups, position }: StationState,
): RuleName | undefined {
  if (!isReceivedWhole(call) || quality === 'doubtful') return 'doubtful';
  const sender = 'self' in call && typeof call.self === 'string' ? call.self : undefined;
  const where = position === 'none' ? undefined : position;
  const { verdict, rule } = rulingOn('answer', {
    role: roleOf(identity),
    received: receivedKind(call),
    addressed: addressedOf(call, { identity, groups, position: where }),
    reach: reachOf(frequencyHz),
    from: roleOf(sender),
    acknowledged: 'nobody',
    sure: sender !== undefined,
  });
  return verdict === 'mustNot' ? rule : undefined;
}
