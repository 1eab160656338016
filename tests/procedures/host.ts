import { encodeCall } from '../../src/calls/index.js';
import { frameCall } from '../../src/frames/index.js';
import { followUpOf, type FollowUp } from '../../src/frequencies/index.js';
import {
  createStation,
  dueAt,
  radioOf,
  stepStation,
  type StationAction,
  type StationEvent,
  type StationSettings,
  type StationState,
} from '../../src/procedures/index.js';

/** An action and when it was wanted, milliseconds since the host began. */
export interface Timed {
  readonly at: number;
  readonly action: StationAction;
}

interface Pending {
  readonly at: number;
  readonly event: StationEvent;
}

/** 17 May 2031, 12:00 UTC. */
export const NOON = Date.UTC(2031, 4, 17, 12);

/** Runs a station on a clock of its own: sends what it wants sent, for as long as that takes, and gives its ticks. */
export class Host {
  state: StationState;
  time = 0;
  readonly done: Timed[] = [];
  private pending: Pending[] = [];

  constructor(settings: StationSettings) {
    this.state = createStation(settings, NOON);
  }

  /** Gives the station an event now. */
  give(event: StationEvent): StationAction[] {
    const { state, actions } = stepStation(this.state, event, NOON + this.time);
    this.state = state;
    for (const action of actions) {
      this.done.push({ at: this.time, action });
      if (action.type === 'transmit') {
        const band = radioOf(action.frequencyHz);
        const { duration } = frameCall(encodeCall(action.call), { band, repeat: action.repeat });
        this.pending.push({
          at: this.time + Math.round(duration * 1000),
          event: { type: 'sent', transmission: action.transmission },
        });
      }
      if (action.type === 'cease') {
        const isIt = ({ event: waiting }: Pending) =>
          waiting.type === 'sent' && waiting.transmission === action.transmission;
        this.pending = this.pending.filter((waiting) => !isIt(waiting));
        this.pending.push({ at: this.time, event: { type: 'unsent', transmission: action.transmission } });
      }
    }
    return [...actions];
  }

  /** When something happens next, milliseconds since the host began. */
  next(): number | undefined {
    const due = dueAt(this.state);
    const times = [...this.pending.map(({ at }) => at), ...(due === undefined ? [] : [due - NOON])];
    return times.length === 0 ? undefined : Math.min(...times);
  }

  /** Lets time pass. */
  run(until: number): void {
    for (let next = this.next(); next !== undefined && next <= until; next = this.next()) {
      this.time = Math.max(this.time, next);
      const first = this.pending.filter(({ at }) => at <= this.time).sort((a, b) => a.at - b.at)[0];
      this.pending = this.pending.filter((waiting) => waiting !== first);
      this.give((first as Pending | undefined)?.event ?? { type: 'tick' });
    }
    this.time = Math.max(this.time, until);
  }

  /** Lets time pass in steps of whole seconds from the beginning. */
  runTo(seconds: number): void {
    this.run(seconds * 1000);
  }

  /** All actions of one moment, milliseconds since the host began. */
  doneAt(time: number): StationAction[] {
    return this.done.filter(({ at }) => at === time).map(({ action }) => action);
  }

  /** All actions of one type so far. */
  all<Type extends StationAction['type']>(
    type: Type,
  ): (Extract<StationAction, { type: Type }> & { at: number })[] {
    return this.done.flatMap(({ at, action }) =>
      action.type === type ? [{ ...(action as Extract<StationAction, { type: Type }>), at }] : [],
    );
  }

  /** What follows by voice where the station was asked to set watch so far. */
  followUps(): FollowUp[] {
    return this.all('watch').map(({ call, frequencyHz, side }) => followUpOf(call, frequencyHz, side));
  }

  /** What happened so far, in lines as in the procedures: seconds, what, and the rule's source left out. */
  story(): string[] {
    return this.done.flatMap(({ at, action }) => {
      const seconds = (at / 1000).toFixed(1);
      switch (action.type) {
        case 'transmit': {
          const times = action.repeat > 1 ? ` x${action.repeat}` : '';
          return [`${seconds} send ${action.call.kind}${times} on ${action.frequencyHz / 1000}`];
        }
        case 'watch':
          return [`${seconds} watch ${followUpOf(action.call, action.frequencyHz, action.side).text}`];
        case 'phase':
          return [`${seconds} ${action.kind} ${action.to}`];
        case 'cease':
          return [`${seconds} cease`];
        case 'refuse':
          return [`${seconds} refuse`];
        default:
          return [];
      }
    });
  }
}

/** The operator of a host chooses what to do with an exchange, the latest unless another is named. */
export function choose(host: Host, choice: string, more: object = {}, exchange?: number): StationAction[] {
  const id = exchange ?? host.state.exchanges.at(-1)?.id ?? -1;
  return host.give({ type: 'choose', exchange: id, choice, ...more } as StationEvent);
}
