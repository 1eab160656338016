/**
 * The exchange as the page knows it: what happened, what the procedures say, and what is in the air now.
 */
import type { Identity } from 'dotphase';
import type { StationEvent, StationState } from 'dotphase/procedures';
import { stationLogger, type SimulationEvent, type StationLogger } from 'dotphase/simulation';
import { useEffect, useRef, useState } from 'preact/hooks';
import { mirroredLog } from '../log/mirror.js';
import { shownReading, type LiveReading } from '../listen/livereader.js';
import { slotsOf } from './followed.js';
import { exchangeOfReceived } from './ofexchange.js';
import type { Link, LinkEvents, OwnStation } from './link.js';

/** Something that happened, numbered in order. A received call has the time of its phasing, as in the log. */
export type Moment = SimulationEvent & {
  readonly id: number;
  /** Of a received call: its slots as they came in, where they were followed. */
  readonly slots?: LiveReading['slots'];
  /** Of a received call: the exchange that it belongs to. */
  readonly exchange?: number;
};

export interface OpenedLink {
  readonly link: Link;
  /** What it was opened with, so that it is opened anew when that changes. */
  readonly key: string;
}

/** So many calls at a time are followed while they come in. */
const FOLLOWED = 8;

/** So many moments are shown; the log keeps all calls. */
const MOST_MOMENTS = 400;

export function useSession(onMoment: (event: SimulationEvent, state: StationState | undefined) => void) {
  const [isOpen, setOpen] = useState(false);
  const [state, setState] = useState<StationState>();
  const [moments, setMoments] = useState<readonly Moment[]>([]);
  const [reading, setReading] = useState<LiveReading>();
  const [peak, setPeak] = useState(0);
  const [trouble, setTrouble] = useState('');
  const opened = useRef<OpenedLink>(undefined);
  const logger = useRef<StationLogger>(undefined);
  const latest = useRef<StationState>(undefined);
  const told = useRef(onMoment);
  told.current = onMoment;
  const numbers = useRef(0);
  /** The latest calls that were followed while they came in, by their ids. */
  const followed = useRef(new Map<number, LiveReading['slots']>());
  /** Events come before the state that they lead to: what listens is told of both together. */
  const pending = useRef<SimulationEvent[]>([]);

  function close(): void {
    logger.current?.breakOff(Date.now());
    logger.current = undefined;
    opened.current?.link.close();
    opened.current = undefined;
    setOpen(false);
    setReading(undefined);
    setPeak(0);
  }
  useEffect(() => {
    // What sounds when the page goes away is broken off, and the log has to say so.
    addEventListener('pagehide', close);
    return () => {
      removeEventListener('pagehide', close);
      close();
    };
  }, []);

  const eventsOf = (own: Identity): LinkEvents => ({
    onEvent(event) {
      pending.current.push(event);
    },
    onState(next) {
      latest.current = next;
      setState(next);
      const events = pending.current.filter(({ station, type }) => station === own || type === 'voice');
      pending.current = [];
      for (const event of events) {
        logger.current?.take(event);
        if (event.type === 'received' || event.type === 'lost') setReading(undefined);
      }
      const begun = opened.current?.link.startedAt ?? 0;
      const kept = [...followed.current.values()];
      if (events.some(({ type }) => type === 'received')) followed.current.clear();
      if (events.length > 0) {
        setMoments((before) =>
          [
            ...before,
            ...events.map((each, at): Moment => {
              const id = ++numbers.current;
              if (each.type !== 'received') return { ...each, id };
              const slots = slotsOf(each.received, kept);
              const exchange = exchangeOfReceived(events, at);
              const time = begun + 1000 * each.received.start;
              return {
                ...each,
                id,
                time,
                ...(slots && { slots }),
                ...(exchange !== undefined && { exchange }),
              };
            }),
          ].slice(-MOST_MOMENTS),
        );
      }
      for (const event of events) told.current(event, next);
    },
    onReading(next) {
      const { current } = followed;
      current.set(next.id, next.slots);
      const [oldest] = current.keys();
      if (current.size > FOLLOWED) current.delete(oldest);
      setReading((before) => shownReading(before, next));
    },
    onLevel: setPeak,
    onTrouble(text, isOver) {
      setTrouble(text);
      if (isOver) close();
    },
  });

  return {
    isOpen,
    state,
    moments,
    reading,
    peak,
    trouble,
    /** The link as it is open, if it is. */
    link: opened,
    /** Opens a link; one that was open before with another key is closed. */
    async open(key: string, own: OwnStation, openLink: (events: LinkEvents) => Promise<Link>): Promise<Link> {
      if (opened.current?.key === key) return opened.current.link;
      close();
      setTrouble('');
      latest.current = undefined;
      pending.current = [];
      setState(undefined);
      const link = await openLink(eventsOf(own.identity));
      opened.current = { link, key };
      const start = new Date(link.startedAt).toISOString();
      logger.current = stationLogger(mirroredLog(), { own: own.identity, start });
      setOpen(true);
      return link;
    },
    act(event: StationEvent) {
      opened.current?.link.act(event);
    },
    clear() {
      setMoments([]);
    },
    close,
  };
}
