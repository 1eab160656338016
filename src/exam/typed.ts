/**
 * Answers that candidates write themselves: what is right, in which form, and how far off it may be.
 */
import {
  formatIdentity,
  formatPosition,
  parseIdentity,
  parsePosition,
  type Position,
  type TimeOfDay,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { formatFrequency, parseFrequency, parseTimeOfDay } from '../frequencies/index.js';

/** A right answer that is typed. */
export type TypedAnswer =
  /** Nine digits, whatever stands between them. */
  | { readonly form: 'identity'; readonly identity: string }
  /** Latitude and longitude; each may be so many minutes of arc off. */
  | { readonly form: 'position'; readonly position: Position; readonly withinMinutes: number }
  /** A time of day UTC; it may be so many minutes off. */
  | { readonly form: 'time'; readonly time: TimeOfDay; readonly withinMinutes: number }
  /** Hertz; it may be so many off. */
  | { readonly form: 'frequency'; readonly hz: number; readonly withinHz: number };

/** How far off typed answers may be. */
export interface Tolerances {
  /** Of each coordinate of a position, minutes of arc, 0 to 60; default 0.5. */
  readonly positionMinutes: number;
  /** Of a frequency, hertz, 0 to 5000; default 50. */
  readonly frequencyHz: number;
  /** Of a time, minutes, 0 to 60; default 0. */
  readonly timeMinutes: number;
}

/** What may be off unless a plan says otherwise: less than the last digit that a call carries. */
export const TOLERANCES: Tolerances = { positionMinutes: 0.5, frequencyHz: 50, timeMinutes: 0 };

/** How an answer is to be written, for the sheets. */
export const FORM_HINTS: Readonly<Record<TypedAnswer['form'], string>> = {
  identity: 'nine digits',
  position: 'degrees, minutes, N or S, E or W',
  time: 'hours and minutes, UTC',
  frequency: 'with kHz or MHz',
};

/** The right answer as it is printed. */
export function typedText(answer: TypedAnswer): string {
  switch (answer.form) {
    case 'identity':
      return formatIdentity(answer.identity);
    case 'position':
      return formatPosition(answer.position);
    case 'time':
      return `${answer.time} UTC`;
    case 'frequency':
      return formatFrequency(answer.hz);
  }
}

/** The same answer with tolerances of a plan's own. */
export function withTolerance(answer: TypedAnswer, tolerances: Tolerances): TypedAnswer {
  switch (answer.form) {
    case 'identity':
      return answer;
    case 'position':
      return { ...answer, withinMinutes: tolerances.positionMinutes };
    case 'time':
      return { ...answer, withinMinutes: tolerances.timeMinutes };
    case 'frequency':
      return { ...answer, withinHz: tolerances.frequencyHz };
  }
}

/** What may be off, in words; empty where nothing may. */
export function toleranceText(answer: TypedAnswer): string {
  if (answer.form === 'frequency' && answer.withinHz > 0) return `within ${answer.withinHz} Hz`;
  if (answer.form === 'position' && answer.withinMinutes > 0) return `within ${answer.withinMinutes}′`;
  if (answer.form === 'time' && answer.withinMinutes > 0) return `within ${answer.withinMinutes} min`;
  return '';
}

/** Rounding of angles and of decimals that people type, in the unit of the tolerance. */
const ROUNDING = 1e-6;
const MINUTES_OF_DAY = 24 * 60;

const within = (difference: number, most: number) => Math.abs(difference) <= most + ROUNDING;

/** Degrees between two longitudes, the shorter way round. */
const around = (degrees: number) => ((((degrees + 180) % 360) + 360) % 360) - 180;

const minutesOf = (time: TimeOfDay) => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));

/** How a typed answer is judged: right, or why not. */
export type Judgement = { readonly isRight: true } | { readonly isRight: false; readonly reason: string };

const NOT_RIGHT: Judgement = { isRight: false, reason: 'another value' };

function compare(answer: TypedAnswer, text: string): Judgement {
  const verdict = (isRight: boolean): Judgement => (isRight ? { isRight } : NOT_RIGHT);
  switch (answer.form) {
    case 'identity':
      return verdict(parseIdentity(text) === answer.identity);
    case 'position': {
      const given = parsePosition(text);
      if (given === 'none') return NOT_RIGHT;
      const north = 60 * (given.latitude - answer.position.latitude);
      const east = 60 * around(given.longitude - answer.position.longitude);
      return verdict(within(north, answer.withinMinutes) && within(east, answer.withinMinutes));
    }
    case 'time': {
      const apart = Math.abs(minutesOf(parseTimeOfDay(text)) - minutesOf(answer.time));
      return verdict(within(Math.min(apart, MINUTES_OF_DAY - apart), answer.withinMinutes));
    }
    case 'frequency':
      return verdict(within(parseFrequency(text) - answer.hz, answer.withinHz));
  }
}

/** Judges what a candidate typed: by its form first, then by how far off it is. */
export function judgeTyped(answer: TypedAnswer, text: string): Judgement {
  try {
    return compare(answer, text.normalize('NFKC').trim());
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    return { isRight: false, reason: `not in the form: ${FORM_HINTS[answer.form]}` };
  }
}
