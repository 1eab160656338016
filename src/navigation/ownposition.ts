/**
 * The own position and time as DSC calls need them: ITU-R M.493 Annex 1 §8.1.2 and §8.1.3 (from memory).
 */
import { timeOfDay, type Position, type TimeOfDay } from '../calls/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import { readNavigationSentence, type NavigationSentence, type SentenceOptions } from './sentence.js';

/** A position older than this is not sent as a position: 23.5 hours, in milliseconds (M.493, from memory). */
export const POSITION_LIMIT_MS = 23.5 * 3_600_000;

/** What goes into the position and time fields of a call; `none` is sent as 9999999999 and 8888. */
export interface PositionForCall {
  /** Decimal degrees. */
  readonly position: Position | 'none';
  /** When the position was valid, UTC. */
  readonly time: TimeOfDay | 'none';
}

/** The latest position, whatever its age. */
export interface KnownPosition {
  /** Decimal degrees. */
  readonly position: Position;
  /** When it was valid: milliseconds since 1970 UTC. */
  readonly time: number;
  /** Milliseconds since then. */
  readonly ageMs: number;
  /** What it came from. */
  readonly source: NavigationSentence['formatter'] | 'entered';
}

/** How the own position is kept. */
export interface OwnPositionOptions extends SentenceOptions {
  /** Gives the present time in milliseconds since 1970 UTC, for example `Date.now`. */
  readonly clock: () => number;
  /** Told of each RMC, GGA or GLL sentence that was damaged; default: they are passed over. */
  readonly onRefused?: (error: DotphaseError) => void;
}

/** Keeps the own position and time from sentences or from what was entered by hand. */
export interface OwnPosition {
  /** Takes the next characters of a stream of IEC 61162-1 sentences, cut anywhere. */
  push(text: string): void;
  /**
   * Sets the position by hand.
   *
   * @param position - decimal degrees
   * @param time - when it is valid: milliseconds since 1970 UTC, not ahead of now; default now
   * @throws DotphaseError for a position off the globe or a time ahead
   */
  enter(position: Position, time?: number): void;
  /** The time, milliseconds since 1970 UTC: the clock, set right by the latest RMC sentence. */
  utc(): number;
  /** The latest position, if there ever was one. */
  latest(): KnownPosition | undefined;
  /** The position and its time for a call: `none` where there is none or it is older than {@link POSITION_LIMIT_MS}. */
  forCall(): PositionForCall;
}

const DAY_MS = 86_400_000;

/** A fix may seem to lie this far ahead, for clocks that differ; further ahead its age is not known. */
const AHEAD_MS = 60_000;

/** Longer lines are no sentences (IEC 61162-1 allows 82 characters; tag blocks stand before that). */
const LONGEST_LINE = 512;

interface Fix {
  readonly position: Position;
  readonly time: number;
  /** The clock when it came in. */
  readonly heardAt: number;
  readonly source: KnownPosition['source'];
}

/** Starts without a position. */
export function createOwnPosition({ clock, onRefused, ...options }: OwnPositionOptions): OwnPosition {
  let fix: Fix | undefined;
  let clockError = 0;
  const lastMoment = new Map<NavigationSentence['formatter'], number>();
  let line = '';
  let overlong = false;

  const utc = () => clock() + clockError;

  /** The moment nearest to now with this time of day. */
  const nearest = (timeOfDay: number): number => {
    const now = utc();
    return Math.round((now - timeOfDay) / DAY_MS) * DAY_MS + timeOfDay;
  };

  const take = ({ position, timeOfDay, day, formatter }: NavigationSentence): void => {
    if (!position || timeOfDay === undefined) return;
    const moment = (day ?? 0) + timeOfDay;
    // A receiver that says the same time again is stuck and has no new position.
    if (lastMoment.get(formatter) === moment) return;
    lastMoment.set(formatter, moment);
    const heardAt = clock();
    if (day !== undefined) clockError = moment - heardAt;
    fix = { position, time: day === undefined ? nearest(timeOfDay) : moment, heardAt, source: formatter };
  };

  const takeLine = (): void => {
    try {
      if (overlong) throw new DotphaseError('sentence', line, `at most ${LONGEST_LINE} characters`);
      const sentence = readNavigationSentence(line, options);
      if (sentence) take(sentence);
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      onRefused?.(error);
    }
  };

  const latest = (): KnownPosition | undefined =>
    fix && {
      position: fix.position,
      time: fix.time,
      // By its own time or by when it came in, whichever makes it older: no clock that jumps makes it young again.
      ageMs: Math.max(utc() - fix.time, clock() - fix.heardAt),
      source: fix.source,
    };

  return {
    utc,
    latest,
    push(text) {
      const pieces = text.split(/[\r\n]+/);
      pieces.forEach((piece, i) => {
        overlong ||= line.length + piece.length > LONGEST_LINE;
        line = (line + piece).slice(0, LONGEST_LINE);
        if (i === pieces.length - 1) return;
        takeLine();
        line = '';
        overlong = false;
      });
    },
    enter(position, time = utc()) {
      const latitude = requireNumber('position.latitude', position.latitude, -90, 90, 'degrees');
      const longitude = requireNumber('position.longitude', position.longitude, -180, 180, 'degrees');
      requireNumber('time', time, 0, utc() + AHEAD_MS, 'milliseconds');
      fix = { position: { latitude, longitude }, time, heardAt: clock(), source: 'entered' };
    },
    forCall() {
      const known = latest();
      if (!known || known.ageMs > POSITION_LIMIT_MS || known.ageMs < -AHEAD_MS)
        return { position: 'none', time: 'none' };
      return { position: known.position, time: timeOfDay(known.time) };
    },
  };
}
