/**
 * What of all that happened belongs to one exchange, or to a call to many.
 */
import { describeReceived } from 'dotphase';
import type { Exchange } from 'dotphase/procedures';
import { describeCancellation } from 'dotphase/procedures/texts';
import type { SimulationEvent } from 'dotphase/simulation';
import type { AirTime } from '../wall/timelanes.js';
import { sayWatch } from './say.js';
import type { Moment } from './session.js';

export type Sending = Extract<Moment, { type: 'sending' }>;
export type Received = Extract<Moment, { type: 'received' }>;

/** The moments of one exchange, by what they show. */
export interface ExchangeMoments {
  /** The latest call that went out. */
  readonly sending: Sending | undefined;
  /** Whether that was broken off. */
  readonly isCeased: boolean;
  /** The latest call that came in for it. */
  readonly received: Received | undefined;
  /** Where communication follows, as the procedures last said. */
  readonly watch: string | undefined;
  /** What to say there. */
  readonly say: string | undefined;
}

/**
 * The exchange that a received call belongs to: the one that the procedures tell of in the same step.
 *
 * @param events - what happened in one step, in order
 * @param at - where among them the call was received
 */
export function exchangeOfReceived(events: readonly SimulationEvent[], at: number): number | undefined {
  for (const event of events.slice(at + 1)) {
    if (event.type !== 'action') return undefined;
    const { action } = event;
    if (action.type === 'phase' || (action.type === 'tell' && action.exchange !== undefined)) {
      return action.exchange;
    }
  }
  return undefined;
}

/** Picks out of all moments what belongs to an exchange. */
export function momentsOf(moments: readonly Moment[], exchange: Exchange): ExchangeMoments {
  let sending: Sending | undefined;
  let received: Received | undefined;
  let watch: string | undefined;
  let say: string | undefined;
  let isCeased = false;
  for (const moment of moments) {
    if (moment.type === 'received' && moment.exchange === exchange.id) received = moment;
    if (moment.type === 'sending' && moment.exchange === exchange.id) {
      sending = moment;
      isCeased = false;
      if (exchange.kind !== 'incoming' && exchange.kind !== 'alert') received = undefined;
    }
    if (moment.type === 'ceased' && moment.exchange === exchange.id) isCeased = true;
    if (
      moment.type === 'action' &&
      moment.action.type === 'watch' &&
      moment.action.exchange === exchange.id
    ) {
      watch = sayWatch(moment.action);
      say = moment.action.say && describeCancellation(moment.action.say);
    }
  }
  return { sending, isCeased, received, watch, say };
}

/** When a received call was on the air, from its phasing on. */
export function airTimeOf({ time, received }: Received): AirTime {
  const { start, end } = received;
  return { lane: 1, from: time, to: time + 1000 * (end - start), text: describeReceived(received) };
}

/** When either station was on the air in an exchange; what was broken off ends there. */
export function airTimes(moments: readonly Moment[], exchange: Exchange): readonly AirTime[] {
  const times: AirTime[] = [];
  let sent: AirTime | undefined;
  for (const moment of moments) {
    if (!('exchange' in moment) || moment.exchange !== exchange.id) continue;
    if (moment.type === 'received') times.push(airTimeOf(moment));
    if (moment.type === 'sending') {
      const { time, seconds, call } = moment;
      sent = { lane: 0, from: time, to: time + 1000 * seconds, text: call.kind };
      times.push(sent);
    }
    if (moment.type === 'ceased' && sent) times[times.indexOf(sent)] = { ...sent, to: moment.time };
  }
  return times;
}

/** A call to many that asks for no answer, and where communication follows. */
export interface Announcement {
  readonly received: Received;
  readonly watch: string | undefined;
}

/** The announcement that came in last of all, if nothing was sent or received since. */
export function announcementOf(moments: readonly Moment[]): Announcement | undefined {
  const at = moments.findLastIndex(({ type }) => type === 'sending' || type === 'received');
  const received = moments.at(at);
  if (received?.type !== 'received') return undefined;
  let isAnnounced = false;
  let watch: string | undefined;
  for (const moment of moments.slice(at + 1)) {
    if (moment.type !== 'action' || !('rule' in moment.action) || moment.action.rule !== 'notToMany')
      continue;
    if (moment.action.type === 'tell') isAnnounced = true;
    if (moment.action.type === 'watch') watch = sayWatch(moment.action);
  }
  return isAnnounced ? { received, watch } : undefined;
}
