/**
 * What a station of a scenario writes into its log.
 */
import type { Identity } from '../calls/index.js';
import { callEntry, type CallLog } from '../records/index.js';
import type { Happening } from './play.js';

/**
 * Logs what a station sends and receives, and which of its calls were acknowledged.
 *
 * @param log - any log
 * @param station - the station whose log it is
 * @param name - gives the words for a station, for example its name and digits; default: its kind and its digits
 * @returns give it every happening of a scenario, in order
 */
export function stationLogger(
  log: CallLog,
  station: Identity,
  name?: (identity: Identity) => string,
): (happening: Happening) => void {
  const naming = name && { station: name };
  /** The latest log entry of each exchange. */
  const entries = new Map<number, number>();
  /** The entry of the latest received call; an exchange that begins right after it is about it. */
  let received: number | undefined;

  return (happening) => {
    if (happening.station !== station) return;
    const { time } = happening;
    if (happening.type === 'sending') {
      const { call, frequencyHz, exchange } = happening;
      const { id } = log.add(callEntry(call, { direction: 'sent', time, frequencyHz, ...naming }));
      const isAnswer = entries.has(exchange) && log.get(entries.get(exchange) ?? 0)?.direction === 'received';
      if (!isAnswer) entries.set(exchange, id);
    } else if (happening.type === 'received') {
      const { received: heard, frequencyHz } = happening;
      const { call, symbols, certainty, quality } = heard;
      received = log.add(
        callEntry(call, { direction: 'received', time, frequencyHz, quality, symbols, certainty, ...naming }),
      ).id;
    } else if (happening.type === 'action' && happening.action.type === 'phase') {
      const { exchange, from, to, kind } = happening.action;
      const isHeard = kind === 'incoming' || kind === 'alert';
      if (from === undefined && isHeard && received !== undefined) entries.set(exchange, received);
      const entry = entries.get(exchange);
      const isAcknowledged = to === 'answered' || to === 'declined' || to === 'acknowledged';
      if (isAcknowledged && entry !== undefined) log.acknowledge(entry, time);
    }
  };
}
