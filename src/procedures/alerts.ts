/**
 * The distress of others: what a station that receives an alert or a relay may do and when. ITU-R M.541 Annex 1
 * §3.3 and §3.4, Annex 3 §1 (from memory).
 */
import {
  formatIdentity,
  identityKind,
  isUnassigned,
  type Call,
  type DistressAlert,
  type DistressMessage,
  type DistressRelay,
  type Identity,
} from '../calls/index.js';
import { formatFrequency, maritimeBand } from '../frequencies/index.js';
import { acknowledgementOf, calledStation, distressAcknowledgementOf, senderOf } from './acknowledgement.js';
import type { Choice, ChooseEvent } from './actions.js';
import { isCoastStation } from './addressing.js';
import { startOutgoing } from './calling.js';
import type { Desk } from './desk.js';
import type { AlertExchange, Hearing } from './exchange.js';
import type { Procedure } from './procedure.js';
import { RULES, type RuleName } from './rules.js';
import { DISTRESS_PRIORITY, type StationState } from './state.js';
import { COAST_DELAY_MS, COAST_LIMIT_MS, SHIP_LISTENS_MS, STILL_REPEATED_MS } from './timing.js';
import { followUpOf } from './voice.js';

/** An alert that comes again after so long is told again; within, it is another call of the same attempt. */
const SAME_ATTEMPT_MS = 90_000;

type Reach = 'VHF' | 'MF' | 'HF';

/** The bands by the rules that hold on them. */
function reachOf(frequencyHz: number): Reach {
  const band = maritimeBand(frequencyHz);
  if (band === 'VHF') return 'VHF';
  return band === '2 MHz' || band === '0.5 MHz' ? 'MF' : 'HF';
}

function partyText(identity: Identity | 'unknown'): string {
  return identity === 'unknown' ? 'an unknown ship' : formatIdentity(identity);
}

/** The hearing that an acknowledgement answers: the wanted frequency, or the latest where the station may answer. */
function hearingFor(exchange: AlertExchange, frequencyHz?: number): Hearing | undefined {
  if (frequencyHz !== undefined) return exchange.heard.find((hearing) => hearing.frequencyHz === frequencyHz);
  const sorted = [...exchange.heard].sort((a, b) => b.lastAt - a.lastAt);
  return sorted.find((hearing) => reachOf(hearing.frequencyHz) !== 'HF') ?? sorted.at(0);
}

function firstHeardAt({ heard, since }: AlertExchange): number {
  return Math.min(...heard.map(({ firstAt }) => firstAt), since);
}

/** Not before this a station may acknowledge a hearing by DSC; undefined where a ship never does. */
function mayAcknowledgeFrom(
  hearing: Hearing,
  coast: boolean,
  directed: boolean,
): { from?: number; rule: RuleName } | undefined {
  const reach = reachOf(hearing.frequencyHz);
  if (coast) {
    return reach === 'VHF'
      ? { from: hearing.firstAt, rule: 'coastAtOnce' }
      : { from: hearing.firstAt + COAST_DELAY_MS, rule: 'coastWaits' };
  }
  if (reach === 'HF') return undefined;
  if (directed) return { from: hearing.firstAt, rule: 'shipAcknowledgesLast' };
  const goesOn = hearing.lastAt - hearing.firstAt >= STILL_REPEATED_MS;
  const rule = 'shipAcknowledgesLast';
  return goesOn ? { from: hearing.firstAt + SHIP_LISTENS_MS, rule } : { rule };
}

function relayRule(exchange: AlertExchange, coast: boolean): RuleName {
  const onHf = exchange.heard.some(({ frequencyHz }) => reachOf(frequencyHz) === 'HF');
  return onHf && !coast ? 'hfRelay' : 'relayUnacknowledged';
}

function relayFrom(exchange: AlertExchange, state: StationState): number {
  if (isCoastStation(state.identity)) return 0;
  const wait = relayRule(exchange, false) === 'hfRelay' ? state.timing.hfRelayMs : SHIP_LISTENS_MS;
  return firstHeardAt(exchange) + wait;
}

function acknowledgeChoice(exchange: AlertExchange, state: StationState): Choice[] {
  const coast = isCoastStation(state.identity);
  const hearing = hearingFor(exchange);
  const isReadable = typeof exchange.alert?.self === 'string';
  if (exchange.phase !== 'open' || exchange.acknowledgement || !hearing || !isReadable) return [];
  const may = mayAcknowledgeFrom(hearing, coast, false);
  if (!may) return [];
  const text = coast
    ? 'Acknowledge the alert by DSC'
    : 'Acknowledge by DSC, if the alert goes on and no coast station answers, or when directed to';
  const { from } = may;
  return [{ choice: 'acknowledge', text, ...(from !== undefined && { from }), rule: RULES[may.rule] }];
}

/** Who may acknowledge a relay by DSC: its addressee, and a coast station that of any ship. */
function mayAcknowledgeRelay({ relay }: AlertExchange, state: StationState): boolean {
  if (!relay) return false;
  const toOne = calledStation(relay.call) !== undefined;
  return toOne || (isCoastStation(state.identity) && !isCoastStation(senderOf(relay.call)));
}

function queueAcknowledgement(
  desk: Desk,
  exchange: AlertExchange,
  call: Call,
  frequencyHz: number,
  notBefore: number,
  rule: RuleName,
): void {
  exchange.acknowledgement = { call, frequencyHz, sent: false };
  desk.send(exchange, { call, frequencyHz, priority: DISTRESS_PRIORITY, notBefore, rule });
}

function acknowledge(desk: Desk, exchange: AlertExchange, event: ChooseEvent): void {
  const { alert } = exchange;
  const coast = isCoastStation(desk.state.identity);
  const hearing = hearingFor(exchange, event.frequencyHz);
  if (!alert || !hearing) {
    desk.refuse('The alert itself was not received there.', 'onlyWhatWasReceived');
    return;
  }
  const may = mayAcknowledgeFrom(hearing, coast, event.directed === true);
  if (!may) {
    desk.refuse('A ship does not acknowledge an HF alert by DSC.', 'shipNeverOnHf');
    return;
  }
  if (may.from === undefined || (!coast && may.from > desk.now)) {
    desk.refuse(
      'Not yet: coast stations come first, and the alert must still be repeated.',
      'shipAcknowledgesLast',
    );
    return;
  }
  const notBefore = Math.max(desk.now, may.from);
  const call = distressAcknowledgementOf(alert, desk.state.identity);
  queueAcknowledgement(desk, exchange, call, hearing.frequencyHz, notBefore, may.rule);
  delete exchange.remindAt;
  if (notBefore > desk.now) {
    desk.tell(
      `The acknowledgement goes out ${Math.ceil((notBefore - desk.now) / 1000)} s from now.`,
      may.rule,
      exchange,
    );
  }
}

function relay(desk: Desk, exchange: AlertExchange, event: ChooseEvent): void {
  const coast = isCoastStation(desk.state.identity);
  const rule = relayRule(exchange, coast);
  const to = event.to ?? 'allShips';
  const toCoast = typeof to === 'object' && 'station' in to && isCoastStation(to.station as Identity);
  if (rule === 'hfRelay' && !toCoast) {
    desk.refuse('An HF alert is relayed to a coast station only.', 'hfRelay');
    return;
  }
  const frequencyHz = event.frequencyHz ?? hearingFor(exchange)?.frequencyHz ?? exchange.relay?.frequencyHz;
  const about: DistressMessage | undefined = exchange.alert ?? exchange.relay?.call;
  if (frequencyHz === undefined || !about) {
    desk.refuse('Nothing is known of this alert that could be relayed.', 'onlyWhatWasReceived');
    return;
  }
  const { nature, position, time, followOn } = about;
  const call: DistressRelay = {
    kind: 'distressRelay',
    to,
    self: desk.state.identity,
    casualty: exchange.casualty,
    nature,
    position,
    time,
    followOn,
  };
  startOutgoing(desk, call, frequencyHz, 'relayOnce');
}

/** Over when nothing more is to be expected of it. */
const OPEN = ['open', 'acknowledged'];

/** The procedure of an alert of another station. */
export const alertProcedure: Procedure<AlertExchange> = {
  choices(exchange, state) {
    if (!OPEN.includes(exchange.phase)) return [];
    const coast = isCoastStation(state.identity);
    const choices = acknowledgeChoice(exchange, state);
    if (exchange.acknowledgement?.sent) {
      choices.push({
        choice: 'again',
        text: 'Send the acknowledgement once more',
        from: 0,
        rule: RULES.coastAcknowledges,
      });
    }
    if (mayAcknowledgeRelay(exchange, state) && !exchange.acknowledgement) {
      choices.push({
        choice: 'acknowledgeRelay',
        text: 'Acknowledge the relay by DSC',
        from: 0,
        rule: RULES.relayAcknowledged,
      });
    }
    if (!exchange.byCoastStation || coast) {
      const rule = RULES[relayRule(exchange, coast)];
      choices.push({ choice: 'relay', text: 'Relay the alert', from: relayFrom(exchange, state), rule });
    }
    choices.push({ choice: 'stop', text: 'Close the alert', from: 0, rule: RULES.operator });
    return choices;
  },

  choose(desk, exchange, event) {
    switch (event.choice) {
      case 'acknowledge':
        acknowledge(desk, exchange, event);
        return;
      case 'again': {
        const { acknowledgement } = exchange;
        if (!acknowledgement) return;
        const { call, frequencyHz } = acknowledgement;
        queueAcknowledgement(desk, exchange, call, frequencyHz, desk.now, 'coastAcknowledges');
        return;
      }
      case 'acknowledgeRelay': {
        if (!exchange.relay) return;
        const call = acknowledgementOf(exchange.relay.call, { type: 'able' }, { self: desk.state.identity });
        const frequencyHz = event.frequencyHz ?? exchange.relay.frequencyHz;
        queueAcknowledgement(desk, exchange, call, frequencyHz, desk.now, 'relayAcknowledged');
        return;
      }
      case 'relay':
        relay(desk, exchange, event);
        return;
      default:
        desk.silence(exchange, 'operator');
        delete exchange.remindAt;
        desk.enter(exchange, 'closed', 'operator');
    }
  },

  started() {
    return;
  },

  ended(desk, exchange, { call, frequencyHz }, whole) {
    const { acknowledgement } = exchange;
    if (acknowledgement?.call.kind !== call.kind) return;
    if (!whole) {
      delete exchange.acknowledgement;
      desk.tell('The acknowledgement was not sent.', 'coastAcknowledges', exchange);
      desk.offer(exchange, alertProcedure.choices(exchange, desk.state), 'coastAcknowledges');
      return;
    }
    acknowledgement.sent = true;
    const coast = isCoastStation(desk.state.identity);
    noteAcknowledgement(desk, exchange, desk.state.identity);
    setWatch(desk, exchange, call, frequencyHz);
    if (!coast) desk.tell('Tell a coast station of the alert by any means.', 'tellCoast', exchange);
  },

  deadlines({ id, remindAt }) {
    return remindAt === undefined ? [] : [{ exchange: id, at: remindAt, rule: 'coastWaits' }];
  },

  due(desk, exchange) {
    if (exchange.remindAt === undefined || exchange.remindAt > desk.now) return;
    delete exchange.remindAt;
    if (exchange.phase !== 'open') return;
    const coast = isCoastStation(desk.state.identity);
    const rule = coast ? 'coastWaits' : relayRule(exchange, coast);
    const text = coast
      ? `The alert from ${partyText(exchange.casualty)} should be acknowledged by now.`
      : `No coast station has acknowledged the alert from ${partyText(exchange.casualty)}.`;
    desk.tell(text, rule, exchange);
    desk.offer(exchange, alertProcedure.choices(exchange, desk.state), rule);
  },
};

function setWatch(desk: Desk, exchange: AlertExchange, call: Call, frequencyHz: number): void {
  desk.watch(call, followUpOf(call, frequencyHz, 'called'), 'distressTraffic', exchange);
}

/** The exchange about a casualty that is still going on. */
function exchangeAbout(desk: Desk, casualty: Identity | 'unknown'): AlertExchange | undefined {
  return desk.state.exchanges.findLast(
    (exchange): exchange is AlertExchange =>
      exchange.kind === 'alert' && exchange.casualty === casualty && OPEN.includes(exchange.phase),
  );
}

function openAlert(
  desk: Desk,
  casualty: Identity | 'unknown',
  phase: 'open' | 'acknowledged',
  rule: RuleName,
): AlertExchange {
  return desk.begin<AlertExchange>(
    { kind: 'alert', phase, casualty, heard: [], acknowledgedBy: [], byCoastStation: false },
    rule,
  );
}

function noteAcknowledgement(desk: Desk, exchange: AlertExchange, by: Identity): void {
  if (!exchange.acknowledgedBy.includes(by)) exchange.acknowledgedBy.push(by);
  exchange.byCoastStation ||= isCoastStation(by);
  if (exchange.phase === 'open') desk.enter(exchange, 'acknowledged', 'coastAcknowledges');
}

/** What a station does first on hearing an alert. */
function adviceRule(frequencyHz: number, coast: boolean): RuleName {
  const reach = reachOf(frequencyHz);
  if (coast) return reach === 'VHF' ? 'coastAtOnce' : 'coastWaits';
  return reach === 'HF' ? 'shipNeverOnHf' : 'shipListens';
}

function hear(exchange: AlertExchange, frequencyHz: number, now: number): Hearing {
  const known = exchange.heard.find((hearing) => hearing.frequencyHz === frequencyHz);
  if (known) return known;
  const hearing = { frequencyHz, firstAt: now, lastAt: -Infinity, count: 0 };
  exchange.heard.push(hearing);
  return hearing;
}

/** Notes that an alert was heard on a frequency; gives whether it is news there and not the same attempt. */
function note(exchange: AlertExchange, frequencyHz: number, now: number): boolean {
  const hearing = hear(exchange, frequencyHz, now);
  const isNews = now - hearing.lastAt > SAME_ATTEMPT_MS;
  hearing.lastAt = now;
  hearing.count++;
  return isNews;
}

/** An alert that the operator closed while its attempt still goes on. */
function justClosed(desk: Desk, casualty: Identity | 'unknown'): AlertExchange | undefined {
  return desk.state.exchanges.findLast(
    (exchange): exchange is AlertExchange =>
      exchange.kind === 'alert' &&
      exchange.casualty === casualty &&
      exchange.phase === 'closed' &&
      exchange.heard.some(({ lastAt }) => desk.now - lastAt <= SAME_ATTEMPT_MS),
  );
}

/** A distress alert of another station came in. */
export function alertReceived(desk: Desk, call: DistressAlert, frequencyHz: number): void {
  const { state, now } = desk;
  const casualty = isUnassigned(call.self) ? 'unknown' : call.self;
  const coast = isCoastStation(state.identity);
  const rule = adviceRule(frequencyHz, coast);
  const known = exchangeAbout(desk, casualty);
  const closed = known ? undefined : justClosed(desk, casualty);
  if (closed) {
    note(closed, frequencyHz, now);
    return;
  }
  const exchange = known ?? openAlert(desk, casualty, 'open', rule);
  exchange.alert = call;
  if (!note(exchange, frequencyHz, now)) return;
  const where = formatFrequency(frequencyHz);
  const who = partyText(casualty);
  if (known?.phase === 'acknowledged') {
    desk.tell(`The alert from ${who} comes again on ${where} though it was acknowledged.`, rule, exchange);
  } else {
    desk.tell(`Distress alert from ${who} on ${where}${known ? ', again' : ''}.`, rule, exchange);
  }
  setWatch(desk, exchange, call, frequencyHz);
  if (!known) {
    const wait = coast ? COAST_LIMIT_MS : relayFrom(exchange, state) - firstHeardAt(exchange);
    exchange.remindAt = now + wait;
  }
  desk.offer(exchange, alertProcedure.choices(exchange, state), rule);
}

/** Another station relays an alert. */
export function relayReceived(desk: Desk, call: DistressRelay, frequencyHz: number, toOne: boolean): void {
  const casualty = isUnassigned(call.casualty) ? 'unknown' : call.casualty;
  const rule = toOne ? 'relayAcknowledged' : 'relayByVoice';
  const exchange = exchangeAbout(desk, casualty) ?? openAlert(desk, casualty, 'open', rule);
  const again = exchange.relay !== undefined && senderOf(exchange.relay.call) === senderOf(call);
  exchange.relay = { call, frequencyHz };
  const sender = senderOf(call);
  const by = sender === undefined ? 'another station' : formatIdentity(sender);
  const where = formatFrequency(frequencyHz);
  desk.tell(
    `${by} relays the distress of ${partyText(casualty)} on ${where}${again ? ', again' : ''}.`,
    rule,
    exchange,
  );
  setWatch(desk, exchange, call, frequencyHz);
  desk.offer(exchange, alertProcedure.choices(exchange, desk.state), rule);
}

/** Another station acknowledged the alert or the relay of a third one. */
export function acknowledgementHeard(
  desk: Desk,
  call: Extract<Call, { kind: 'distressAcknowledgement' | 'relayAcknowledgement' }>,
  frequencyHz: number,
): void {
  const casualty = isUnassigned(call.casualty) ? 'unknown' : call.casualty;
  const by = senderOf(call);
  if (by === undefined) return;
  const known = exchangeAbout(desk, casualty);
  const exchange = known ?? openAlert(desk, casualty, 'acknowledged', 'coastAcknowledges');
  const again = exchange.acknowledgedBy.includes(by);
  const kind = identityKind(by) === 'coastStation' ? 'coast station' : 'station';
  noteAcknowledgement(desk, exchange, by);
  if (again) return;
  desk.tell(
    `The ${kind} ${formatIdentity(by)} acknowledges the distress of ${partyText(casualty)}.`,
    'coastAcknowledges',
    exchange,
  );
  setWatch(desk, exchange, call, frequencyHz);
  if (exchange.byCoastStation) return;
  desk.tell('No coast station has acknowledged it: one should be told.', 'tellCoast', exchange);
  desk.offer(exchange, alertProcedure.choices(exchange, desk.state), 'tellCoast');
}

/** A station took its own alert back. */
export function alertCancelled(desk: Desk, casualty: Identity, frequencyHz: number): void {
  const exchange = exchangeAbout(desk, casualty);
  const who = formatIdentity(casualty);
  if (!exchange) {
    desk.tell(
      `${who} cancels a distress alert of its own on ${formatFrequency(frequencyHz)}.`,
      'alertCancelled',
    );
    return;
  }
  desk.unqueue(exchange);
  delete exchange.remindAt;
  desk.enter(exchange, 'cancelled', 'alertCancelled');
  desk.tell(`${who} cancels its distress alert.`, 'alertCancelled', exchange);
}
