/**
 * The own distress: ITU-R M.541 Annex 1 §3.1 and Annex 3 §1.1 (from memory).
 */
import { encodeCall, isUnassigned, type DistressAlert, type Identity } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { DISTRESS_FREQUENCIES, isInPlace, outlineCall } from '../frequencies/index.js';
import { cancellationOf } from './acknowledgement.js';
import type { Choice, StationEvent } from './actions.js';
import type { StepContext } from './stepcontext.js';
import type { DistressExchange, OwnDistress } from './exchange.js';
import { isSoundPosition, isSoundTime } from './position.js';
import type { Procedure } from './procedure.js';
import type { Cancellation } from './notices.js';
import { followOnFor, radioOf } from './radio.js';
import { OWN_DISTRESS_PRIORITY, type StationState } from './state.js';
import { REPETITION_MS } from './timing.js';

/** Calls in a row of an attempt on one frequency (M.541 §3.1.3.1, from memory). */
export const CALLS_IN_A_ROW = 5;

/** MF and HF frequencies of an attempt on several (M.541 §3.1.3.2, from memory). */
const MOST_FREQUENCIES = 6;

/** An alert or a cancellation that was not sent is tried again after this, so that a dead radio is not tried without pause. */
const RETRY_MS = 1000;

/** The phases in which an alert is being sent again and again. */
const ACTIVE = ['sending', 'waiting'];

/** The alert by what the operator said and where the station is; without a position where there is no good one. */
function alertOf(state: StationState, distress: OwnDistress): DistressAlert {
  const { nature, followOn, position, time, expansions } = distress;
  const where = position ?? state.position;
  const isKnown = isSoundPosition(where) && where !== 'none';
  const when = time ?? (position === undefined ? state.positionTime : 'none');
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

function warnOfFrequencies(context: StepContext, exchange: DistressExchange, alert: DistressAlert): void {
  for (const hz of exchange.frequencies) {
    if (isInPlace(outlineCall(alert), hz)) continue;
    context.tell({ type: 'frequency', call: alert, frequencyHz: hz }, 'distressTraffic', exchange);
  }
}

/** Puts an attempt in the queues. */
function beginAttempt(context: StepContext, exchange: DistressExchange): void {
  const alert = alertOf(context.state, exchange.distress);
  exchange.alert = alert;
  exchange.isOut = false;
  exchange.attemptFrom = context.state.nextId;
  delete exchange.nextAt;
  delete exchange.attemptAt;
  const shared = exchange.frequencies.filter((hz) => radioOf(hz) === 'mf-hf').length;
  for (const frequencyHz of exchange.frequencies) {
    const single = radioOf(frequencyHz) === 'vhf' || shared === 1;
    context.send(exchange, {
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
  context: StepContext,
  exchange: DistressExchange,
  alert: DistressAlert,
  frequencies: readonly number[],
  rule: 'distressTraffic' | 'cancelByVoice',
  say?: Cancellation,
): void {
  for (const hz of frequencies) {
    const call = onBand(alert, hz);
    context.watch(call, hz, 'caller', rule, exchange, say);
  }
}

/** The alert that is still being sent, if there is one, gives way to another. */
function giveWay(context: StepContext, to?: DistressExchange): DistressExchange | undefined {
  const earlier = context.state.exchanges.find(
    (exchange): exchange is DistressExchange =>
      exchange.kind === 'distress' && exchange !== to && ACTIVE.includes(exchange.phase),
  );
  if (!earlier) return undefined;
  context.silence(earlier, 'repetitionByHand');
  context.enter(earlier, 'stopped', 'repetitionByHand');
  context.tell({ type: 'givesWay' }, 'repetitionByHand', earlier);
  return earlier;
}

/** An alert takes over when and where one that gave way to it went out: it would have to be cancelled there. */
function takeOver(exchange: DistressExchange, { sentOn, alertAt }: DistressExchange): void {
  exchange.sentOn = [...new Set([...exchange.sentOn, ...sentOn])];
  if (alertAt !== undefined) exchange.alertAt = alertAt;
}

/** The operator sends a distress alert. It replaces one that is still being sent. */
export function startDistress(
  context: StepContext,
  event: Extract<StationEvent, { type: 'distress' }>,
): void {
  const { nature, followOn, position, time, expansions } = event;
  const frequencies = requireFrequencies(event.frequencies);
  const isPlaced = position === undefined || isSoundPosition(position);
  const distress: OwnDistress = {
    nature,
    followOn,
    ...(isPlaced && position !== undefined && { position }),
    // The time of a position that is not taken is not that of the last good one.
    ...(isPlaced && time !== undefined && { time }),
    ...(expansions !== undefined && { expansions }),
  };
  const alert = alertOf(context.state, distress);
  encodeCall(alert);
  if (!isPlaced) {
    context.refuse({ type: 'position', value: position, isAlert: true }, 'soundPosition');
  } else if (time !== undefined && !isSoundTime(time)) {
    context.refuse({ type: 'time', value: time }, 'soundPosition');
  }
  if (followOn === 'fec' || followOn === 'arq') context.tell({ type: 'rule' }, 'noDirectPrinting');
  const earlier = giveWay(context);
  const exchange = context.begin<DistressExchange>(
    {
      kind: 'distress',
      phase: 'sending',
      distress,
      frequencies,
      attempts: 0,
      attemptFrom: 0,
      isOut: false,
      sentOn: [],
      acknowledgedBy: [],
    },
    frequencies.filter((hz) => radioOf(hz) === 'mf-hf').length > 1 ? 'multiFrequency' : 'singleFrequency',
  );
  if (earlier) takeOver(exchange, earlier);
  warnOfFrequencies(context, exchange, alert);
  beginAttempt(context, exchange);
  watchPartners(context, exchange, alert, frequencies, 'distressTraffic');
}

/** The telephony partners of DSC frequencies, hertz. */
function voicePartners(frequencies: readonly number[]): number[] {
  const partners = frequencies.map((hz) => DISTRESS_FREQUENCIES.find(({ dscHz }) => dscHz === hz)?.voiceHz);
  return partners.filter((hz) => hz !== undefined);
}

/** What the operator says to cancel an alert. */
function cancellationBy(
  { identity, name, callSign }: StationState,
  { position }: DistressAlert,
  alertAt: number,
): Cancellation {
  return {
    identity,
    ...(name !== undefined && { name }),
    ...(callSign !== undefined && { callSign }),
    position: isUnassigned(position) ? 'none' : position,
    alertAt,
  };
}

function cancel(context: StepContext, exchange: DistressExchange): void {
  const { alert } = exchange;
  context.silence(exchange, 'selfCancel');
  delete exchange.nextAt;
  if (!alert || exchange.sentOn.length === 0) {
    context.enter(exchange, 'stopped', 'stopped');
    context.tell({ type: 'nothingSent' }, 'stopped', exchange);
    return;
  }
  context.enter(exchange, 'cancelling', 'selfCancel');
  for (const frequencyHz of exchange.sentOn) {
    context.send(exchange, {
      call: cancellationOf(onBand(alert, frequencyHz)),
      frequencyHz,
      priority: OWN_DISTRESS_PRIORITY,
      rule: 'selfCancel',
    });
  }
}

function cancelled(context: StepContext, exchange: DistressExchange): void {
  const { alert, alertAt, sentOn } = exchange;
  if (!alert || alertAt === undefined) return;
  context.enter(exchange, 'cancelled', 'cancelByVoice');
  const say = cancellationBy(context.state, alert, alertAt);
  watchPartners(context, exchange, alert, sentOn, 'cancelByVoice', say);
  context.tell({ type: 'cancelByVoice', voiceHz: voicePartners(sentOn) }, 'cancelByVoice', exchange);
}

/** The procedure of the own distress. */
export const distressProcedure: Procedure<DistressExchange> = {
  choices({ phase, sentOn }) {
    const choices: Choice[] = [];
    const active = ACTIVE.includes(phase);
    if (phase === 'waiting' || phase === 'stopped') {
      choices.push({
        choice: 'resend',
        kind: 'distress',
        from: 0,
        rule: 'repetitionByHand',
      });
    }
    if (active) {
      choices.push({ choice: 'stop', kind: 'distress', from: 0, rule: 'stopped' });
    }
    if (active || phase === 'acknowledged' || (phase === 'stopped' && sentOn.length > 0)) {
      choices.push({ choice: 'cancel', kind: 'distress', from: 0, rule: 'selfCancel' });
    }
    return choices;
  },

  choose(context, exchange, { choice }) {
    if (choice === 'cancel') {
      cancel(context, exchange);
    } else if (choice === 'stop') {
      context.silence(exchange, 'stopped');
      delete exchange.nextAt;
      context.enter(exchange, 'stopped', 'stopped');
      context.tell({ type: 'notRepeated' }, 'stopped', exchange);
    } else {
      const other = giveWay(context, exchange);
      if (other) takeOver(exchange, other);
      context.enter(exchange, 'sending', 'repetitionByHand');
      beginAttempt(context, exchange);
    }
  },

  started(context, exchange, { call, frequencyHz }) {
    if (call.kind !== 'distressAlert') return;
    if (!exchange.isOut && exchange.attemptAt === undefined) {
      exchange.attemptAt = context.now;
      exchange.alertAt = context.now;
    }
    if (!exchange.sentOn.includes(frequencyHz)) exchange.sentOn.push(frequencyHz);
  },

  ended(context, exchange, { id, call, frequencyHz, repeat }, whole) {
    const isAlert =
      call.kind === 'distressAlert' && exchange.phase === 'sending' && id >= exchange.attemptFrom;
    if (isAlert && whole && !exchange.isOut) {
      exchange.isOut = true;
      exchange.attempts++;
    }
    if (!whole && (isAlert || call.kind === 'ownAlertCancellation')) {
      if (isAlert && !exchange.isOut && !context.isOnAir(exchange)) delete exchange.attemptAt;
      const rule = isAlert ? 'transmitterFailed' : 'selfCancel';
      context.tell({ type: 'alertUnsent', isCancellation: !isAlert, frequencyHz }, rule, exchange);
      const notBefore = context.now + RETRY_MS;
      context.send(exchange, { call, frequencyHz, repeat, priority: OWN_DISTRESS_PRIORITY, notBefore, rule });
    }
    if (context.isSending(exchange)) return;
    if (exchange.phase === 'cancelling') cancelled(context, exchange);
    if (exchange.phase !== 'sending') return;
    context.enter(exchange, 'waiting', 'repetition');
    exchange.nextAt = (exchange.attemptAt ?? context.now) + Math.round(context.random(...REPETITION_MS));
    context.offer(exchange, distressProcedure.choices(exchange, context.state), 'repetition');
  },

  deadlines({ id, phase, nextAt }) {
    return phase === 'waiting' && nextAt !== undefined
      ? [{ exchange: id, at: nextAt, rule: 'repetition' }]
      : [];
  },

  due(context, exchange) {
    if (exchange.phase !== 'waiting' || exchange.nextAt === undefined || exchange.nextAt > context.now)
      return;
    context.enter(exchange, 'sending', 'repetition');
    beginAttempt(context, exchange);
  },
};

/** The own distress that an acknowledgement from another station is about: the one still being sent before the latest. */
function ownAlert(state: StationState): DistressExchange | undefined {
  const sent = state.exchanges.filter(
    (exchange): exchange is DistressExchange => exchange.kind === 'distress' && exchange.sentOn.length > 0,
  );
  return sent.find(({ phase }) => ACTIVE.includes(phase)) ?? sent.at(-1);
}

/** Another station acknowledged an alert of the own station by DSC. */
export function ownAlertAcknowledged(context: StepContext, by: Identity, frequencyHz: number): void {
  const exchange = ownAlert(context.state);
  if (!exchange) {
    context.tell({ type: 'strangeAcknowledgement', by }, 'onlyWhatWasReceived');
    return;
  }
  const again = exchange.acknowledgedBy.includes(by);
  if (!again) exchange.acknowledgedBy.push(by);
  const { alert } = exchange;
  if (!ACTIVE.includes(exchange.phase) || !alert) {
    context.tell({ type: 'alertAcknowledged', by, again }, 'distressTraffic', exchange);
    return;
  }
  context.unqueue(exchange);
  delete exchange.nextAt;
  context.enter(exchange, 'acknowledged', 'acknowledgementEndsRepetition');
  context.tell(
    { type: 'alertAcknowledged', by, again, frequencyHz },
    'acknowledgementEndsRepetition',
    exchange,
  );
  watchPartners(context, exchange, alert, [frequencyHz], 'distressTraffic');
  context.offer(exchange, distressProcedure.choices(exchange, context.state), 'selfCancel');
}
