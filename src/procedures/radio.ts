/**
 * The transmitters of a station: one call at a time on each, distress first, others when the frequency is free.
 */
import type { FollowOn } from '../calls/index.js';
import { bandOf } from '../frequencies/index.js';
import type { StationAction } from './actions.js';
import {
  OWN_DISTRESS_PRIORITY,
  type Deadline,
  type RadioName,
  type StationState,
  type Transmission,
  type Transmitter,
} from './state.js';
import { DISTRESS_PATIENCE_MS } from './timing.js';

/** The radio that works on a frequency. */
export function radioOf(frequencyHz: number): RadioName {
  return bandOf(frequencyHz);
}

/** The communication that follows as it is announced on a frequency: telephony is F3E on VHF and J3E on MF and HF. */
export function followOnFor(followOn: FollowOn, frequencyHz: number): FollowOn {
  if (followOn !== 'f3e' && followOn !== 'j3e') return followOn;
  return radioOf(frequencyHz) === 'vhf' ? 'f3e' : 'j3e';
}

/** The transmitter that works on a frequency. */
export function transmitterOf(state: StationState, frequencyHz: number): Transmitter {
  return state.radios[radioOf(frequencyHz)];
}

/**
 * When a waiting transmission goes out although its frequency is occupied: only what is about the own distress does.
 */
function patienceEnds({ priority, notBefore }: Transmission): number | undefined {
  return priority === OWN_DISTRESS_PRIORITY ? notBefore + DISTRESS_PATIENCE_MS : undefined;
}

function mayGo(transmission: Transmission, state: StationState): boolean {
  if (transmission.notBefore > state.now) return false;
  if (!state.busy.includes(transmission.frequencyHz)) return true;
  const end = patienceEnds(transmission);
  return end !== undefined && end <= state.now;
}

/** What goes next: the first in the queue of the most urgent that may go. */
function nextOf({ queue }: Transmitter, state: StationState): Transmission | undefined {
  return queue
    .filter((transmission) => mayGo(transmission, state))
    .reduce<Transmission | undefined>(
      (best, candidate) => (best && best.priority <= candidate.priority ? best : candidate),
      undefined,
    );
}

/** The transmission on the air that an own distress call must not wait for. */
function inTheWay({ current, queue, ceasing }: Transmitter, now: number): Transmission | undefined {
  if (!current || ceasing || current.priority === OWN_DISTRESS_PRIORITY) return undefined;
  const distress = queue.some(
    (waiting) => waiting.priority === OWN_DISTRESS_PRIORITY && waiting.notBefore <= now,
  );
  return distress ? current : undefined;
}

/**
 * Puts on the air what may go now.
 *
 * @param act - takes the actions
 * @param onStart - told of each transmission that begins
 */
export function dispatch(
  state: StationState,
  act: (action: StationAction) => void,
  onStart: (transmission: Transmission) => void,
): void {
  for (const radio of Object.values(state.radios)) {
    const obstacle = inTheWay(radio, state.now);
    if (obstacle) {
      radio.ceasing = true;
      act({ type: 'cease', transmission: obstacle.id, rule: 'distressFirst' });
    }
    const next = radio.current ? undefined : nextOf(radio, state);
    if (!next) continue;
    radio.queue = radio.queue.filter((waiting) => waiting !== next);
    radio.current = next;
    const { id, exchange, call, frequencyHz, repeat, rule } = next;
    act({ type: 'transmit', transmission: id, exchange, call, frequencyHz, repeat, rule });
    onStart(next);
  }
}

/** The transmission of an id ended: the transmitter is free again. Undefined where it was not on the air. */
export function release(state: StationState, id: number): Transmission | undefined {
  const radio = Object.values(state.radios).find(({ current }) => current?.id === id);
  const ended = radio?.current;
  if (!radio || !ended) return undefined;
  delete radio.current;
  radio.ceasing = false;
  return ended;
}

/** Removes and returns the queued transmissions that have waited too long. */
export function giveUp(state: StationState): Transmission[] {
  return Object.values(state.radios).flatMap((radio) => {
    const late = radio.queue.filter(({ giveUpAt }) => giveUpAt !== undefined && giveUpAt <= state.now);
    radio.queue = radio.queue.filter((waiting) => !late.includes(waiting));
    return late;
  });
}

/** The times at which the transmitters have something to do. */
export function radioDeadlines(state: StationState): Deadline[] {
  return Object.values(state.radios).flatMap(({ queue }) =>
    queue.flatMap((waiting): Deadline[] => {
      const { exchange, notBefore, giveUpAt, rule } = waiting;
      const patience = patienceEnds(waiting);
      return [
        { exchange, at: notBefore, rule },
        ...(giveUpAt === undefined ? [] : [{ exchange, at: giveUpAt, rule: 'listenFirst' as const }]),
        ...(patience === undefined ? [] : [{ exchange, at: patience, rule: 'distressPatience' as const }]),
      ];
    }),
  );
}
