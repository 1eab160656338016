/**
 * What a station of a scenario writes into its log.
 */
import type { Identity } from '../calls/index.js';
import { createAttemptNumbering } from '../receiver/index.js';
import { attemptLogger, callEntry, type CallLog } from '../records/index.js';
import type { SimulationEvent } from './play.js';
import type { Scenario } from './scenario.js';

/** Writes what happens at one station into a log. */
export interface StationLogger {
  /** Takes every event of the scenario, in order. */
  take(event: SimulationEvent): void;
  /** Notes that the scenario was broken off, and with it what is still being sent; milliseconds since 1970 UTC. */
  breakOff(time: number): void;
}

/**
 * Logs what a station sends and receives, each by when the call began, which of its calls were acknowledged, and which
 * were broken off.
 *
 * @param log - any log
 * @param scenario - its own station is the one whose log it is
 * @param name - gives the words for a station, for example its name and digits; default: its kind and its digits
 */
export function stationLogger(
  log: CallLog,
  scenario: Pick<Scenario, 'own' | 'start'>,
  name?: (identity: Identity) => string,
): StationLogger {
  const naming = name && { station: name };
  const start = Date.parse(scenario.start);
  const attemptOf = createAttemptNumbering();
  const logReceived = attemptLogger();
  /** The latest log entry of each exchange. */
  const entries = new Map<number, number>();
  /** What is being sent on each frequency: its entry, and when it ends. */
  const onAir = new Map<number, { readonly id: number; readonly end: number }>();
  /** The entry of the latest received call; an exchange that begins right after it is about it. */
  let received: number | undefined;
  /** When the latest call began: where an exchange was acknowledged, by that call. */
  let latest = start;

  return {
    take(event) {
      if (event.station !== scenario.own) return;
      if (event.type === 'sending') {
        const { time, call, frequencyHz, exchange, seconds } = event;
        const { id } = log.add(callEntry(call, { direction: 'sent', time, frequencyHz, ...naming }));
        latest = time;
        onAir.set(frequencyHz, { id, end: time + seconds * 1000 });
        const isAnswer =
          entries.has(exchange) && log.get(entries.get(exchange) ?? 0)?.direction === 'received';
        if (!isAnswer) entries.set(exchange, id);
      } else if (event.type === 'ceased') {
        const sent = onAir.get(event.frequencyHz);
        if (sent) log.stop(sent.id);
        onAir.delete(event.frequencyHz);
      } else if (event.type === 'received') {
        const { received: heard, frequencyHz } = event;
        const time = start + heard.start * 1000;
        // The receivers of a station number their attempts each by itself, and some begin anew.
        const numbered = { ...heard, attempt: attemptOf(heard, frequencyHz) };
        received = logReceived(log, numbered, { time, frequencyHz, ...naming }).id;
        latest = Math.round(time);
      } else if (event.type === 'action' && event.action.type === 'phase') {
        const { exchange, from, to, kind } = event.action;
        const isHeard = kind === 'incoming' || kind === 'alert';
        if (from === undefined && isHeard && received !== undefined) entries.set(exchange, received);
        const entry = entries.get(exchange);
        const isAcknowledged = to === 'answered' || to === 'declined' || to === 'acknowledged';
        if (isAcknowledged && entry !== undefined) log.acknowledge(entry, latest);
      }
    },
    breakOff(time) {
      for (const { id, end } of onAir.values()) if (end > time) log.stop(id);
      onAir.clear();
    },
  };
}
