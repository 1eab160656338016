/**
 * The distress of others: what a station that receives an alert or a relay may do and when, by the table. M541-8
 * Annex 1 §3.3 and §3.4; FCC80 §80.1117 and §80.1121; C25.
 */
import {
  isUnassigned,
  type Address,
  type Call,
  type DistressAlert,
  type DistressMessage,
  type DistressRelay,
  type Identity,
} from '../calls/index.js';
import { acknowledgementOf, distressAcknowledgementOf, senderOf } from './acknowledgement.js';
import type { Choice, ChooseEvent } from './actions.js';
import { isCoastStation } from './addressing.js';
import { RELAY_RADIUS_DEGREES, areaAround } from './relayarea.js';
import { startOutgoing, withdrawRelays } from './calling.js';
import type { StepContext } from './stepcontext.js';
import type { AlertExchange } from './exchange.js';
import type { Procedure } from './procedure.js';
import { followOnFor, radioOf } from './radio.js';
import type { RuleName } from './rules.js';
import { DISTRESS_PRIORITY, type StationState } from './state.js';
import { attemptEnds, firstHeardAt, receptionFor, isToCoastStation, situationOf } from './situation.js';
import {
  fromOf,
  reachOf,
  rulingOn,
  type Addressed,
  type Deed,
  type Ruling,
  type Situation,
} from './table.js';
import { ATTEMPT_GAP_MS, COAST_LIMIT_MS, REST_OF_ATTEMPT_MS } from './timing.js';

/** An alert that comes again after so long is told again; within, the same is another call of the same attempt. */
const SAME_ATTEMPT_MS = 90_000;

/** Refuses by what the table says, or because the operator did not confirm what it needs. */
function refuses(context: StepContext, ruling: Ruling, event: ChooseEvent): boolean {
  const isConfirmed =
    ruling.needs === undefined || (ruling.needs === 'consulted' ? event.directed : event.necessary) === true;
  if (ruling.verdict !== 'mustNot' && isConfirmed) return false;
  context.refuse({ type: 'rule' }, ruling.rule);
  return true;
}

function queueAcknowledgement(
  context: StepContext,
  exchange: AlertExchange,
  call: Call,
  frequencyHz: number,
  from: number,
  rule: RuleName,
): void {
  const free = attemptEnds(exchange, frequencyHz);
  const notBefore = Math.max(context.now, from, free);
  exchange.acknowledgement = { call, frequencyHz, sent: false };
  context.send(exchange, { call, frequencyHz, priority: DISTRESS_PRIORITY, notBefore, rule });
  if (notBefore > context.now) {
    const why = from >= free ? rule : 'afterTheAttempt';
    const seconds = Math.ceil((notBefore - context.now) / 1000);
    context.tell({ type: 'acknowledgementDelayed', seconds }, why, exchange);
  }
  if (context.state.busy.includes(frequencyHz)) {
    context.tell({ type: 'acknowledgementWaits', frequencyHz }, 'afterTheAttempt', exchange);
  }
}

/** Acknowledges the alert, for the first time or again, as it was last received. */
function acknowledge(context: StepContext, exchange: AlertExchange, event: ChooseEvent): void {
  const { alert } = exchange;
  const { state } = context;
  const reception = receptionFor(exchange, state, event.frequencyHz);
  if (!alert || !reception) {
    context.refuse({ type: 'notReceived' }, 'onlyWhatWasReceived');
    return;
  }
  const ruling = rulingOn('acknowledge', situationOf(exchange, state, 'acknowledge', reception.frequencyHz));
  if (refuses(context, ruling, event)) return;
  const call = distressAcknowledgementOf(alert, state.identity);
  const from = reception.firstAt + fromOf(ruling, state.timing);
  queueAcknowledgement(context, exchange, call, reception.frequencyHz, from, ruling.rule);
}

function acknowledgeRelay(context: StepContext, exchange: AlertExchange, event: ChooseEvent): void {
  const { relay } = exchange;
  const ruling = rulingOn('acknowledgeRelay', situationOf(exchange, context.state, 'acknowledgeRelay'));
  if (!relay || refuses(context, ruling, event)) return;
  const call = acknowledgementOf(relay.call, { type: 'able' }, { self: context.state.identity });
  const frequencyHz = event.frequencyHz ?? relay.frequencyHz;
  queueAcknowledgement(context, exchange, call, frequencyHz, context.now, ruling.rule);
}

/**
 * Whom a relay goes to where the operator named nobody: from a ship its coast station; from a coast station all ships on
 * VHF, and on MF and HF the area around the casualty, or all ships where its position is not known (M.493 §8.4, from
 * memory).
 */
function addresseeOf(
  { identity, coastStation }: StationState,
  frequencyHz: number,
  { position }: DistressMessage,
): Address | undefined {
  if (!isCoastStation(identity)) return coastStation === undefined ? undefined : { station: coastStation };
  const reach = reachOf(frequencyHz);
  return reach === 'VHF' || typeof position !== 'object' || !('latitude' in position)
    ? 'allShips'
    : { area: areaAround(position, RELAY_RADIUS_DEGREES[reach]) };
}

function relay(context: StepContext, exchange: AlertExchange, event: ChooseEvent): void {
  const { state } = context;
  const ruling = rulingOn('relay', situationOf(exchange, state, 'relay'));
  if (refuses(context, ruling, event)) return;
  const onHf = exchange.heard.find(({ frequencyHz }) => reachOf(frequencyHz) === 'HF');
  const heard = ruling.rule === 'hfRelay' ? onHf : receptionFor(exchange, state);
  const told = exchange.relay ?? exchange.heardOf;
  const frequencyHz = event.frequencyHz ?? heard?.frequencyHz ?? told?.frequencyHz;
  const about: DistressMessage | undefined = exchange.alert ?? told?.call;
  if (frequencyHz === undefined || !about) {
    context.refuse({ type: 'nothingToRelay' }, 'onlyWhatWasReceived');
    return;
  }
  const to = event.to ?? addresseeOf(state, frequencyHz, about);
  if (to === undefined) {
    context.refuse({ type: 'noAddressee' }, 'relayToCoast');
    return;
  }
  if (ruling.to === 'coastStation' && !isToCoastStation(to)) {
    context.refuse({ type: 'rule' }, ruling.rule);
    return;
  }
  const { nature, position, time, followOn } = about;
  const call: DistressRelay = {
    kind: 'distressRelay',
    to,
    self: state.identity,
    casualty: exchange.casualty,
    nature,
    position,
    time,
    followOn: followOnFor(followOn, frequencyHz),
  };
  startOutgoing(context, call, frequencyHz, ruling.rule, event.necessary);
}

/** Over when nothing more is to be expected of it. */
const OPEN = ['open', 'acknowledged'];

/** The procedure of an alert of another station. */
export const alertProcedure: Procedure<AlertExchange> = {
  choices(exchange, state) {
    if (!OPEN.includes(exchange.phase)) return [];
    const choices: Choice[] = [];
    const isWaiting = exchange.acknowledgement?.sent === false;
    const add = (deed: Deed, choice: Choice['choice'], since: number) => {
      const ruling = rulingOn(deed, situationOf(exchange, state, deed));
      if (ruling.verdict === 'mustNot') return;
      const { needs, rule, to } = ruling;
      const from = since + fromOf(ruling, state.timing);
      choices.push({ choice, kind: 'alert', from, ...(to && { to }), ...(needs && { needs }), rule });
    };
    const reception = receptionFor(exchange, state);
    const sent = exchange.acknowledgement?.sent ? exchange.acknowledgement.call.kind : undefined;
    if (reception && exchange.alert && !isWaiting) {
      if (sent === 'distressAcknowledgement') {
        add('acknowledge', 'again', exchange.since);
      } else {
        add('acknowledge', 'acknowledge', reception.firstAt);
      }
    }
    if (exchange.relay && !isWaiting && sent !== 'relayAcknowledgement') {
      add('acknowledgeRelay', 'acknowledgeRelay', exchange.since);
    }
    add('relay', 'relay', firstHeardAt(exchange));
    choices.push({ choice: 'stop', kind: 'alert', from: 0, rule: 'operator' });
    return choices;
  },

  choose(context, exchange, event) {
    switch (event.choice) {
      case 'acknowledge':
      case 'again':
        acknowledge(context, exchange, event);
        return;
      case 'acknowledgeRelay':
        acknowledgeRelay(context, exchange, event);
        return;
      case 'relay':
        relay(context, exchange, event);
        return;
      default:
        context.silence(exchange, 'operator');
        delete exchange.reminder;
        context.enter(exchange, 'closed', 'operator');
    }
  },

  started() {
    return;
  },

  ended(context, exchange, { call, frequencyHz }, whole) {
    const { acknowledgement } = exchange;
    if (acknowledgement?.call.kind !== call.kind || !OPEN.includes(exchange.phase)) return;
    if (!whole) {
      delete exchange.acknowledgement;
      context.tell({ type: 'acknowledgementUnsent' }, 'coastAcknowledges', exchange);
      context.offer(exchange, alertProcedure.choices(exchange, context.state), 'coastAcknowledges');
      return;
    }
    acknowledgement.sent = true;
    if (call.kind === 'distressAcknowledgement') delete exchange.reminder;
    // The attempt was over when it went out: an alert that still comes was sent by someone who did not hear it.
    noteAcknowledgement(
      context,
      exchange,
      context.state.identity,
      context.now + ATTEMPT_GAP_MS[radioOf(frequencyHz)],
    );
    setWatch(context, exchange, call, frequencyHz);
    if (!isCoastStation(context.state.identity)) {
      context.tell({ type: 'tellCoastStation', because: 'acknowledged' }, 'tellCoast', exchange);
    }
  },

  deadlines({ id, phase, reminder }) {
    return reminder === undefined || !OPEN.includes(phase) ? [] : [{ exchange: id, ...reminder }];
  },

  due(context, exchange) {
    if (exchange.reminder === undefined || exchange.reminder.at > context.now) return;
    delete exchange.reminder;
    if (!OPEN.includes(exchange.phase)) return;
    const { state } = context;
    const deed = owedLate(exchange, state);
    const ruling = rulingOn(deed, situationOf(exchange, state, deed));
    if (ruling.verdict !== 'must') return;
    const type = deed === 'acknowledge' ? 'acknowledgementOverdue' : 'noCoastStation';
    context.tell({ type, casualty: exchange.casualty }, ruling.rule, exchange);
    context.offer(exchange, alertProcedure.choices(exchange, state), ruling.rule);
  },
};

/** What is still owed when nobody has acknowledged an alert for a while. */
function owedLate(exchange: AlertExchange, state: StationState): Deed {
  if (isCoastStation(state.identity)) return 'acknowledge';
  return situationOf(exchange, state, 'relay').reach === 'HF' ? 'relay' : 'tellCoastStation';
}

function setWatch(context: StepContext, exchange: AlertExchange, call: Call, frequencyHz: number): void {
  context.watch(call, frequencyHz, 'called', 'distressTraffic', exchange);
}

/** The exchange about a casualty that is still going on. */
function exchangeAbout(context: StepContext, casualty: Identity | 'unknown'): AlertExchange | undefined {
  return context.state.exchanges.findLast(
    (exchange): exchange is AlertExchange =>
      exchange.kind === 'alert' && exchange.casualty === casualty && OPEN.includes(exchange.phase),
  );
}

function openAlert(
  context: StepContext,
  casualty: Identity | 'unknown',
  phase: Exclude<AlertExchange['phase'], 'closed'>,
  rule: RuleName,
): AlertExchange {
  return context.begin<AlertExchange>(
    { kind: 'alert', phase, casualty, heard: [], acknowledgedBy: [], openings: 1 },
    rule,
  );
}

function noteAcknowledgement(
  context: StepContext,
  exchange: AlertExchange,
  by: Identity,
  settledUntil: number,
): void {
  if (!exchange.acknowledgedBy.includes(by)) exchange.acknowledgedBy.push(by);
  exchange.settledUntil = Math.max(settledUntil, exchange.settledUntil ?? 0);
  if (exchange.phase === 'open') context.enter(exchange, 'acknowledged', 'coastAcknowledges');
}

/** The rule that says what a station does first about an alert. */
function adviceRule(exchange: AlertExchange, state: StationState): RuleName {
  const deed = isCoastStation(state.identity) ? 'acknowledge' : 'acknowledgeByVoice';
  return rulingOn(deed, situationOf(exchange, state, deed)).rule;
}

/** Notes that an alert was heard on a frequency; gives whether it belongs to a new attempt there. */
function note(exchange: AlertExchange, frequencyHz: number, now: number): boolean {
  let reception = exchange.heard.find((each) => each.frequencyHz === frequencyHz);
  if (!reception) {
    reception = { frequencyHz, firstAt: now, lastAt: -Infinity, count: 0 };
    exchange.heard.push(reception);
  }
  const isNews = now - reception.lastAt > SAME_ATTEMPT_MS;
  reception.lastAt = now;
  reception.count++;
  return isNews;
}

/** An alert that the operator closed while its attempt still goes on. */
function justClosed(context: StepContext, casualty: Identity | 'unknown'): AlertExchange | undefined {
  return context.state.exchanges.findLast(
    (exchange): exchange is AlertExchange =>
      exchange.kind === 'alert' &&
      exchange.casualty === casualty &&
      exchange.phase === 'closed' &&
      exchange.heard.some(({ lastAt }) => context.now - lastAt <= SAME_ATTEMPT_MS),
  );
}

/** Whether an alert says something else than the one before. */
function differs(alert: DistressAlert, before: DistressAlert | undefined): boolean {
  const content = ({ nature, position, time }: DistressAlert) => JSON.stringify([nature, position, time]);
  return before !== undefined && content(alert) !== content(before);
}

/** An alert that was acknowledged comes again: it is open as at first, and what waits to be sent about it is void. */
function reopen(context: StepContext, exchange: AlertExchange): void {
  context.unqueue(exchange);
  exchange.acknowledgedBy = [];
  exchange.heard = [];
  exchange.openings++;
  delete exchange.acknowledgement;
  delete exchange.settledUntil;
  context.enter(exchange, 'open', 'stillRepeated');
}

/** An acknowledgement that waits is put off until the attempt is over, and says what the latest alert says. */
function putOff(context: StepContext, exchange: AlertExchange, alert: DistressAlert): void {
  const { acknowledgement } = exchange;
  if (acknowledgement?.sent !== false || acknowledgement.call.kind !== 'distressAcknowledgement') return;
  const { frequencyHz } = acknowledgement;
  const call = distressAcknowledgementOf(alert, context.state.identity);
  const notBefore = attemptEnds(exchange, frequencyHz);
  if (context.replace(exchange, call, notBefore))
    exchange.acknowledgement = { call, frequencyHz, sent: false };
}

/** A distress alert of another station came in. */
export function alertReceived(context: StepContext, call: DistressAlert, frequencyHz: number): void {
  const { state, now } = context;
  const casualty = isUnassigned(call.self) ? 'unknown' : call.self;
  const known = exchangeAbout(context, casualty);
  const closed = known ? undefined : justClosed(context, casualty);
  if (closed && !differs(call, closed.alert)) {
    note(closed, frequencyHz, now);
    return;
  }
  const isFirst = known?.alert === undefined;
  const isOther = differs(call, known?.alert);
  const isAgain = known?.phase === 'acknowledged' && (now > (known.settledUntil ?? Infinity) || isOther);
  const exchange = known ?? openAlert(context, casualty, 'open', 'distressTraffic');
  if (isAgain) reopen(context, exchange);
  exchange.alert = call;
  const isNews = note(exchange, frequencyHz, now) || isOther;
  putOff(context, exchange, call);
  withdrawRelays(context, casualty);
  if (!isNews) return;
  const rule = adviceRule(exchange, state);
  const time = isAgain ? 'afterAcknowledgement' : isFirst ? 'first' : 'again';
  context.tell({ type: 'alert', casualty, frequencyHz, time }, isAgain ? 'stillRepeated' : rule, exchange);
  setWatch(context, exchange, call, frequencyHz);
  if (isFirst || isAgain) {
    const deed = owedLate(exchange, state);
    const ruling = rulingOn(deed, situationOf(exchange, state, deed));
    // On VHF nothing says how late an acknowledgement may be: the reminder comes as on MF.
    const wait = deed === 'acknowledge' ? COAST_LIMIT_MS : fromOf(ruling, state.timing);
    if (ruling.verdict === 'must')
      exchange.reminder = { at: now + (ruling.until ?? wait), rule: ruling.rule };
  }
  context.offer(exchange, alertProcedure.choices(exchange, state), rule);
}

/** Which of two relays concerns a station more. */
const CONCERN: Readonly<Record<Addressed, number>> = { me: 3, group: 2, all: 2, other: 1 };

/** Another station relays an alert. */
export function relayReceived(
  context: StepContext,
  call: DistressRelay,
  frequencyHz: number,
  addressed: Addressed,
): void {
  const { state } = context;
  const casualty = isUnassigned(call.casualty) ? 'unknown' : call.casualty;
  const exchange =
    exchangeAbout(context, casualty) ?? openAlert(context, casualty, 'open', 'distressTraffic');
  const before = exchange.relay;
  const again = before !== undefined && senderOf(before.call) === senderOf(call);
  const { acknowledgement } = exchange;
  const isAcknowledged =
    acknowledgement?.sent === true && acknowledgement.call.kind === 'relayAcknowledgement';
  const isOwed = before?.addressed === 'me' && !isAcknowledged;
  if (!before || !isOwed || CONCERN[addressed] >= CONCERN[before.addressed]) {
    exchange.relay = { call, frequencyHz, addressed };
    // A relay that comes again: its sender did not hear the acknowledgement.
    if (isAcknowledged) delete exchange.acknowledgement;
  }
  withdrawRelays(context, casualty);
  const { rule } = rulingOn('acknowledgeRelay', situationOf(exchange, state, 'acknowledgeRelay'));
  context.tell({ type: 'relay', by: senderOf(call), casualty, frequencyHz, again }, rule, exchange);
  setWatch(context, exchange, call, frequencyHz);
  context.offer(exchange, alertProcedure.choices(exchange, state), rule);
}

/** A coast station acknowledged first: what waits to be sent about the alert is withdrawn. */
function withdraw(context: StepContext, exchange: AlertExchange, by: Identity): void {
  const { acknowledgement, relay: relayed } = exchange;
  const isOwed = acknowledgement?.call.kind === 'relayAcknowledgement' && relayed?.addressed === 'me';
  if (acknowledgement?.sent === false && !isOwed && context.unqueue(exchange)) {
    delete exchange.acknowledgement;
    context.tell({ type: 'acknowledgementWithdrawn', by }, 'acknowledgedAlready', exchange);
  }
  withdrawRelays(context, exchange.casualty);
}

/** The relay of the own station was acknowledged: whoever did knows of the alert. */
export function ownRelayAcknowledged(
  context: StepContext,
  call: Extract<Call, { kind: 'relayAcknowledgement' }>,
): void {
  const by = senderOf(call);
  const exchange = isUnassigned(call.casualty) ? undefined : exchangeAbout(context, call.casualty);
  if (by === undefined || !exchange) return;
  noteAcknowledgement(context, exchange, by, context.now + REST_OF_ATTEMPT_MS);
  if (isCoastStation(by)) withdraw(context, exchange, by);
}

/** Another station acknowledged the alert or the relay of a third one. */
export function acknowledgementHeard(
  context: StepContext,
  call: Extract<Call, { kind: 'distressAcknowledgement' | 'relayAcknowledgement' }>,
  frequencyHz: number,
): void {
  const casualty = isUnassigned(call.casualty) ? 'unknown' : call.casualty;
  const by = senderOf(call);
  if (by === undefined) return;
  const { state } = context;
  const known = exchangeAbout(context, casualty);
  const exchange = known ?? openAlert(context, casualty, 'acknowledged', 'coastAcknowledges');
  const again = exchange.acknowledgedBy.includes(by);
  const isCoast = isCoastStation(by);
  noteAcknowledgement(context, exchange, by, context.now + REST_OF_ATTEMPT_MS);
  if (!known) exchange.heardOf = { call, frequencyHz };
  if (again) return;
  context.tell({ type: 'distressAcknowledged', by, casualty }, 'coastAcknowledges', exchange);
  setWatch(context, exchange, call, frequencyHz);
  if (isCoast) {
    withdraw(context, exchange, by);
    return;
  }
  const heard: Situation = {
    ...situationOf(exchange, state, 'tellCoastStation'),
    received: 'distressAcknowledgement',
    from: 'ship',
  };
  const ruling = rulingOn('tellCoastStation', heard);
  if (ruling.verdict === 'must') {
    context.tell({ type: 'tellCoastStation', because: 'shipAcknowledged' }, ruling.rule, exchange);
  }
  context.offer(exchange, alertProcedure.choices(exchange, state), ruling.rule);
}

/** A station took its own alert back. */
export function alertCancelled(context: StepContext, casualty: Identity, frequencyHz: number): void {
  const latest = context.state.exchanges.findLast(
    (exchange): exchange is AlertExchange => exchange.kind === 'alert' && exchange.casualty === casualty,
  );
  withdrawRelays(context, casualty, 'alertCancelled');
  const exchange = latest ?? openAlert(context, casualty, 'cancelled', 'alertCancelled');
  const notice = { type: 'alertCancelled', casualty } as const;
  if (exchange.phase === 'cancelled') {
    context.tell({ ...notice, frequencyHz }, 'alertCancelled', exchange);
    return;
  }
  context.unqueue(exchange);
  delete exchange.reminder;
  context.enter(exchange, 'cancelled', 'alertCancelled');
  context.tell(notice, 'alertCancelled', exchange);
}
