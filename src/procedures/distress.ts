/**
 * The own distress: ITU-R M.541 Annex 1 §3.1 and Annex 3 §1.1 (from memory).
 */
import {
  encodeCall,
  formatIdentity,
  formatPosition,
  isUnassigned,
  type DistressAlert,
  type Identity,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { DISTRESS_FREQUENCIES, checkFrequency, formatFrequency, outlineCall } from '../frequencies/index.js';
import { cancellationOf } from './acknowledgement.js';
import type { Choice, StationEvent } from './actions.js';
import type { Desk } from './desk.js';
import type { DistressExchange, OwnDistress } from './exchange.js';
import { isSoundPosition, isSoundTime } from './position.js';
import type { Procedure } from './procedure.js';
import { followOnFor, radioOf } from './radio.js';
import { RULES } from './rules.js';
import { OWN_DISTRESS_PRIORITY, type StationState } from './state.js';
import { REPETITION_MS } from './timing.js';
import { followUpOf } from './voice.js';

/** Calls in a row of an attempt on one frequency (M.541 §3.1.3.1, from memory). */
export const CALLS_IN_A_ROW = 5;

/** MF and HF frequencies of an attempt on several (M.541 §3.1.3.2, from memory). */
const MOST_FREQUENCIES = 6;

/** An alert or a cancellation that was not sent is tried again after this, so that a dead radio is not asked without end. */
const RETRY_MS = 1000;

/** The phases in which an alert is being sent again and again. */
const ACTIVE = ['sending', 'waiting'];

/** The alert by what the operator said and where the station is; without a position where there is no good one. */
function alertOf(state: StationState, distress: OwnDistress): DistressAlert {
  const { nature, followOn, position, time, expansions } = distress;
  const isGiven = position !== undefined && isSoundPosition(position);
  const where = isGiven ? position : state.position;
  const isKnown = isSoundPosition(where) && where !== 'none';
  const when = time ?? (isGiven ? 'none' : state.positionTime);
  return {
    kind: 'distressAlert',
    self: state.identity,
    nature,
    position: isKnown ? where : 'none',
    time: isKnown && isSoundTime(when) ? when : 'none',
    followOn,
    ...(expansions && { expansions: [...expansions] }),
  };
}

/** The alert as it goes out on a frequency: telephony is F3E on VHF and J3E on MF and HF. */
function onBand(alert: DistressAlert, frequencyHz: number): DistressAlert {
  return { ...alert, followOn: followOnFor(alert.followOn, frequencyHz) };
}

function requireFrequencies(frequencies: readonly number[]): readonly number[] {
  const given: unknown = frequencies;
  const list = Array.isArray(given) ? [...new Set(given as number[])] : [];
  const shared = list.filter((hz) => radioOf(hz) === 'mf-hf').length;
  if (list.length === 0 || shared > MOST_FREQUENCIES || list.length - shared > 1) {
    throw new DotphaseError(
      'frequencies',
      frequencies,
      `VHF channel 70, or one to ${MOST_FREQUENCIES} MF and HF frequencies, or both`,
    );
  }
  return list;
}

function warnOfFrequencies(desk: Desk, exchange: DistressExchange, alert: DistressAlert): void {
  for (const hz of exchange.frequencies) {
    const warning = checkFrequency(outlineCall(alert), hz);
    if (warning) desk.tell(`${warning.text}; it is sent all the same.`, 'distressTraffic', exchange);
  }
}

/** Puts an attempt in the queues. */
function beginAttempt(desk: Desk, exchange: DistressExchange): void {
  const alert = alertOf(desk.state, exchange.distress);
  exchange.alert = alert;
  exchange.isOut = false;
  delete exchange.nextAt;
  delete exchange.attemptAt;
  const shared = exchange.frequencies.filter((hz) => radioOf(hz) === 'mf-hf').length;
  for (const frequencyHz of exchange.frequencies) {
    const single = radioOf(frequencyHz) === 'vhf' || shared === 1;
    desk.send(exchange, {
      call: onBand(alert, frequencyHz),
      frequencyHz,
      repeat: single ? CALLS_IN_A_ROW : 1,
      priority: OWN_DISTRESS_PRIORITY,
      rule: single ? 'singleFrequency' : 'multiFrequency',
    });
  }
}

/** Sets watch on the telephony partners of the frequencies. */
function watchPartners(
  desk: Desk,
  exchange: DistressExchange,
  alert: DistressAlert,
  frequencies: readonly number[],
  rule: 'distressTraffic' | 'cancelByVoice',
  say?: string,
): void {
  for (const hz of frequencies) {
    const call = onBand(alert, hz);
    desk.watch(call, followUpOf(call, hz, 'caller'), rule, exchange, say);
  }
}

/**
 * The operator sends a distress alert. An alert that is still being sent gives way to the new one, which takes over
 * where it would have to be cancelled.
 */
export function startDistress(desk: Desk, event: Extract<StationEvent, { type: 'distress' }>): void {
  const { nature, followOn, position, time, expansions } = event;
  const frequencies = requireFrequencies(event.frequencies);
  const distress: OwnDistress = {
    nature,
    followOn,
    ...(position !== undefined && { position }),
    ...(time !== undefined && { time }),
    ...(expansions !== undefined && { expansions }),
  };
  const alert = alertOf(desk.state, distress);
  encodeCall(alert);
  if (position !== undefined && !isSoundPosition(position)) {
    desk.refuse(
      `${JSON.stringify(position)} is no position in degrees; the alert goes out all the same.`,
      'soundPosition',
    );
  }
  if (followOn === 'fec' || followOn === 'arq') desk.tell(RULES.noDirectPrinting.text, 'noDirectPrinting');
  const sentOn: number[] = [];
  for (const earlier of desk.state.exchanges) {
    if (earlier.kind !== 'distress' || !ACTIVE.includes(earlier.phase)) continue;
    desk.silence(earlier, 'repetitionByHand');
    desk.enter(earlier, 'stopped', 'repetitionByHand');
    desk.tell('The earlier alert gives way to this one.', 'repetitionByHand', earlier);
    sentOn.push(...earlier.sentOn);
  }
  const exchange = desk.begin<DistressExchange>(
    {
      kind: 'distress',
      phase: 'sending',
      distress,
      frequencies,
      attempts: 0,
      isOut: false,
      sentOn,
      acknowledgedBy: [],
    },
    frequencies.filter((hz) => radioOf(hz) === 'mf-hf').length > 1 ? 'multiFrequency' : 'singleFrequency',
  );
  warnOfFrequencies(desk, exchange, alert);
  beginAttempt(desk, exchange);
  watchPartners(desk, exchange, alert, frequencies, 'distressTraffic');
}

/** Hours and minutes UTC. */
function clockTime(now: number): string {
  return new Date(now).toISOString().slice(11, 16);
}

/** What is said to cancel an alert (FCC80 §80.335; Radio Regulations 32.53A to 32.53F, from memory). */
function cancellationWords(
  { identity, name, callSign }: StationState,
  { position }: DistressAlert,
  time: string,
): string {
  const digits = formatIdentity(identity);
  const self = name ?? digits;
  const who = [
    ...[self, self, self],
    ...(callSign === undefined ? [] : [`call sign ${callSign}`]),
    ...(name === undefined ? [] : [`MMSI ${digits}`]),
    position === 'none' || isUnassigned(position)
      ? 'position not known'
      : `position ${formatPosition(position)}`,
  ];
  return (
    `All stations, all stations, all stations, this is ${who.join(', ')}. ` +
    `Please cancel my distress alert of ${time} UTC.`
  );
}

/** The frequencies of the partner's band, for what is said about a cancellation. */
function partnerText(frequencies: readonly number[]): string {
  const partners = frequencies.map((hz) => DISTRESS_FREQUENCIES.find(({ dscHz }) => dscHz === hz)?.voiceHz);
  return partners.flatMap((hz) => (hz === undefined ? [] : [formatFrequency(hz)])).join(', ');
}

function cancel(desk: Desk, exchange: DistressExchange): void {
  const { alert } = exchange;
  desk.silence(exchange, 'selfCancel');
  delete exchange.nextAt;
  if (!alert || exchange.sentOn.length === 0) {
    desk.enter(exchange, 'stopped', 'stopped');
    desk.tell('Nothing had been sent yet, so nothing needs to be cancelled.', 'stopped', exchange);
    return;
  }
  desk.enter(exchange, 'cancelling', 'selfCancel');
  for (const frequencyHz of exchange.sentOn) {
    desk.send(exchange, {
      call: cancellationOf(onBand(alert, frequencyHz)),
      frequencyHz,
      priority: OWN_DISTRESS_PRIORITY,
      rule: 'selfCancel',
    });
  }
}

function cancelled(desk: Desk, exchange: DistressExchange): void {
  const { alert, sentOn } = exchange;
  if (!alert) return;
  desk.enter(exchange, 'cancelled', 'cancelByVoice');
  const say = cancellationWords(desk.state, alert, clockTime(exchange.attemptAt ?? exchange.since));
  watchPartners(desk, exchange, alert, sentOn, 'cancelByVoice', say);
  const where = partnerText(sentOn);
  desk.tell(
    `Cancel it by voice too${where === '' ? '' : ` on ${where}`}, and keep watch there.`,
    'cancelByVoice',
    exchange,
  );
}

/** The procedure of the own distress. */
export const distressProcedure: Procedure<DistressExchange> = {
  choices({ phase, sentOn }) {
    const choices: Choice[] = [];
    const active = ACTIVE.includes(phase);
    if (phase === 'waiting' || phase === 'stopped') {
      choices.push({
        choice: 'resend',
        text: 'Send the alert again now',
        from: 0,
        rule: RULES.repetitionByHand,
      });
    }
    if (active) {
      choices.push({ choice: 'stop', text: 'Stop repeating the alert', from: 0, rule: RULES.stopped });
    }
    if (active || phase === 'acknowledged' || (phase === 'stopped' && sentOn.length > 0)) {
      choices.push({ choice: 'cancel', text: 'Cancel the alert', from: 0, rule: RULES.selfCancel });
    }
    return choices;
  },

  choose(desk, exchange, { choice }) {
    if (choice === 'cancel') {
      cancel(desk, exchange);
    } else if (choice === 'stop') {
      desk.silence(exchange, 'stopped');
      delete exchange.nextAt;
      desk.enter(exchange, 'stopped', 'stopped');
      desk.tell('The alert is not repeated. If it was not meant, cancel it.', 'stopped', exchange);
    } else {
      desk.enter(exchange, 'sending', 'repetitionByHand');
      beginAttempt(desk, exchange);
    }
  },

  started(desk, exchange, { call, frequencyHz }) {
    if (call.kind !== 'distressAlert') return;
    if (!exchange.isOut) exchange.attemptAt ??= desk.now;
    if (!exchange.sentOn.includes(frequencyHz)) exchange.sentOn.push(frequencyHz);
  },

  ended(desk, exchange, { call, frequencyHz, repeat }, whole) {
    const isAlert = call.kind === 'distressAlert' && exchange.phase === 'sending';
    if (isAlert && whole && !exchange.isOut) {
      exchange.isOut = true;
      exchange.attempts++;
    }
    if (!whole && (isAlert || call.kind === 'ownAlertCancellation')) {
      if (isAlert && !exchange.isOut) delete exchange.attemptAt;
      const rule = isAlert ? 'transmitterFailed' : 'selfCancel';
      const what = isAlert ? 'alert' : 'cancellation';
      desk.tell(
        `The ${what} on ${formatFrequency(frequencyHz)} was not sent, or not whole; it is sent again.`,
        rule,
        exchange,
      );
      const notBefore = desk.now + RETRY_MS;
      desk.send(exchange, { call, frequencyHz, repeat, priority: OWN_DISTRESS_PRIORITY, notBefore, rule });
    }
    if (desk.isSending(exchange)) return;
    if (exchange.phase === 'cancelling') cancelled(desk, exchange);
    if (exchange.phase !== 'sending') return;
    desk.enter(exchange, 'waiting', 'repetition');
    exchange.nextAt = (exchange.attemptAt ?? desk.now) + Math.round(desk.random(...REPETITION_MS));
    desk.offer(exchange, distressProcedure.choices(exchange, desk.state), 'repetition');
  },

  deadlines({ id, phase, nextAt }) {
    return phase === 'waiting' && nextAt !== undefined
      ? [{ exchange: id, at: nextAt, rule: 'repetition' }]
      : [];
  },

  due(desk, exchange) {
    if (exchange.phase !== 'waiting' || exchange.nextAt === undefined || exchange.nextAt > desk.now) return;
    desk.enter(exchange, 'sending', 'repetition');
    beginAttempt(desk, exchange);
  },
};

/** The own distress that an acknowledgement from another station is about: the latest that was sent. */
function ownAlert(state: StationState): DistressExchange | undefined {
  return state.exchanges.findLast(
    (exchange): exchange is DistressExchange => exchange.kind === 'distress' && exchange.sentOn.length > 0,
  );
}

/** Another station acknowledged an alert of the own station by DSC. */
export function ownAlertAcknowledged(desk: Desk, by: Identity, frequencyHz: number): void {
  const exchange = ownAlert(desk.state);
  const name = formatIdentity(by);
  if (!exchange) {
    desk.tell(`${name} acknowledges a distress alert that this station did not send.`, 'onlyWhatWasReceived');
    return;
  }
  const again = exchange.acknowledgedBy.includes(by);
  if (!again) exchange.acknowledgedBy.push(by);
  const { alert } = exchange;
  if (!ACTIVE.includes(exchange.phase) || !alert) {
    desk.tell(`${name} acknowledges the alert${again ? ' again' : ''}.`, 'distressTraffic', exchange);
    return;
  }
  desk.unqueue(exchange);
  delete exchange.nextAt;
  desk.enter(exchange, 'acknowledged', 'acknowledgementEndsRepetition');
  desk.tell(
    `${name} acknowledges the alert on ${formatFrequency(frequencyHz)}.`,
    'acknowledgementEndsRepetition',
    exchange,
  );
  watchPartners(desk, exchange, alert, [frequencyHz], 'distressTraffic');
  desk.offer(exchange, distressProcedure.choices(exchange, desk.state), 'selfCancel');
}
