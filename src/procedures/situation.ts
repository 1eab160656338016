/**
 * What a station knows of another's distress, in the terms of the table of rules.
 */
import type { Address, DistressRelay, Identity } from '../calls/index.js';
import { senderOf } from './acknowledgement.js';
import { isCoastStation, roleOf } from './addressing.js';
import type { AlertExchange, Reception } from './exchange.js';
import { radioOf } from './radio.js';
import type { RuleName } from './rules.js';
import type { StationState } from './state.js';
import { fromOf, reachOf, rulingOn, type Deed, type Ruling, type Situation } from './table.js';
import { ATTEMPT_GAP_MS } from './timing.js';

/** The reception that is answered: on the wanted frequency, or the latest where the station may answer. */
export function receptionFor(
  exchange: AlertExchange,
  state: StationState,
  frequencyHz?: number,
): Reception | undefined {
  if (frequencyHz !== undefined)
    return exchange.heard.find((reception) => reception.frequencyHz === frequencyHz);
  const sorted = [...exchange.heard].sort((a, b) => b.lastAt - a.lastAt);
  const isCoast = isCoastStation(state.identity);
  return sorted.find((reception) => isCoast || reachOf(reception.frequencyHz) !== 'HF') ?? sorted.at(0);
}

/** When the alert itself was first heard; when it was first spoken of where only others did, milliseconds. */
export function firstHeardAt({ heard, since }: AlertExchange): number {
  return heard.length === 0 ? since : Math.min(...heard.map(({ firstAt }) => firstAt));
}

/** What the station sent about an alert itself, by kind. */
type OwnAnswer = 'distressAcknowledgement' | 'relayAcknowledgement';

function acknowledgedState(
  { acknowledgedBy, acknowledgement }: AlertExchange,
  own: Identity,
  answer: OwnAnswer,
): Situation['acknowledged'] {
  const others = acknowledgedBy.filter((by) => by !== own);
  if (others.some(isCoastStation)) return 'coastStation';
  if (acknowledgement?.sent && acknowledgement.call.kind === answer) return 'self';
  return others.length > 0 ? 'ship' : 'nobody';
}

/** The situation of an alert as the table sees it, for one deed and, where it is known, one frequency. */
export function situationOf(
  exchange: AlertExchange,
  state: StationState,
  deed: Deed,
  frequencyHz?: number,
): Situation {
  const { alert, relay, heardOf } = exchange;
  const own = state.identity;
  // A relay by a coast station counts as a relay even after the alert itself was heard: the coast station knows of it.
  const isRelayedByCoast = relay !== undefined && isCoastStation(senderOf(relay.call));
  const asRelay =
    deed === 'acknowledgeRelay' || (deed === 'relay' && isRelayedByCoast) || alert === undefined;
  const about = asRelay ? relay : undefined;
  const onHf = exchange.heard.find((reception) => reachOf(reception.frequencyHz) === 'HF');
  const reception = deed === 'relay' && onHf ? onHf : receptionFor(exchange, state);
  const hz = frequencyHz ?? about?.frequencyHz ?? reception?.frequencyHz ?? (relay ?? heardOf)?.frequencyHz;
  return {
    role: roleOf(own),
    received: about ? 'relay' : alert ? 'alert' : 'distressAcknowledgement',
    addressed: about ? about.addressed : 'all',
    reach: hz === undefined ? 'MF' : reachOf(hz),
    from: about ? roleOf(senderOf(about.call)) : 'ship',
    acknowledged: acknowledgedState(
      exchange,
      own,
      deed === 'acknowledgeRelay' ? 'relayAcknowledgement' : 'distressAcknowledgement',
    ),
    sure: about !== undefined || alert === undefined || typeof alert.self === 'string',
  };
}

/** When the attempt that an alert is part of is over, as far as it was heard on a radio. */
export function attemptEnds({ heard }: AlertExchange, frequencyHz: number): number {
  const radio = radioOf(frequencyHz);
  const last = heard
    .filter((reception) => radioOf(reception.frequencyHz) === radio)
    .map(({ lastAt }) => lastAt);
  return Math.max(...last, -Infinity) + ATTEMPT_GAP_MS[radio];
}

/** Whether a call is addressed to one coast station. */
export function isToCoastStation(to: Address): boolean {
  return (
    typeof to === 'object' && 'station' in to && typeof to.station === 'string' && isCoastStation(to.station)
  );
}

/**
 * What the table says of a relay that is put together by hand, or sent again, and from when it may go out.
 *
 * @returns undefined where nothing was heard of that casualty: such a relay may go out
 */
export function rulingOnRelay(
  state: StationState,
  { casualty }: DistressRelay,
): (Ruling & { readonly fromMs: number }) | undefined {
  const exchange = state.exchanges.findLast(
    (each): each is AlertExchange =>
      each.kind === 'alert' && each.casualty === casualty && casualty !== 'unknown',
  );
  if (!exchange) return undefined;
  const situation = situationOf(exchange, state, 'relay');
  const isCancelled = exchange.phase === 'cancelled';
  const ruling = rulingOn('relay', isCancelled ? { ...situation, received: 'cancellation' } : situation);
  return { ...ruling, fromMs: firstHeardAt(exchange) + fromOf(ruling, state.timing) };
}

/**
 * The rule that forbids a relay now.
 *
 * @param isNecessary - whether the operator confirmed that the casualty cannot alert and further help is necessary
 * @returns undefined where it may go out
 */
export function objectionToRelay(
  state: StationState,
  call: DistressRelay,
  isNecessary: boolean,
): RuleName | undefined {
  const ruling = rulingOnRelay(state, call);
  if (!ruling) return undefined;
  const isEarly = ruling.fromMs > state.now;
  const isElsewhere = ruling.to === 'coastStation' && !isToCoastStation(call.to);
  const isMet = ruling.needs === undefined || isNecessary;
  return ruling.verdict !== 'mustNot' && isMet && !isEarly && !isElsewhere ? undefined : ruling.rule;
}
