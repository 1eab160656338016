/**
 * What a call says of its sender against what is known: identity, position, time.
 */
import type { DecodedCall } from '../calls/index.js';
import { requireNumber } from '../errors.js';

/** What is known of the set; what is left out is not compared. */
export interface Truth {
  /** Nine digits. */
  readonly identity?: string;
  /** Degrees, north and east positive. */
  readonly position?: { readonly latitude: number; readonly longitude: number };
  /** UTC as `HH:MM`. */
  readonly time?: string;
}

/** How a call compares: `notSent` where the call says nothing of it or it was not received. */
export type Comparison = 'fits' | 'differs' | 'notSent';

/** Each part of the truth that was given. */
export type TruthComparison = Readonly<Partial<Record<keyof Truth, Comparison>>>;

/** A call gives whole minutes; a set may cut them off or round them (common practice, no source). */
const RESOLUTION_MINUTES = 1;
/** The time of a position may be so old, minutes: common practice, no source. */
const TIME_MINUTES = 1;
const DAY_MINUTES = 1440;

function record(value: unknown): Record<string, unknown> | undefined {
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : undefined;
}

const around = (difference: number, whole: number) =>
  Math.abs(difference - whole * Math.round(difference / whole));

function comparePosition(sent: unknown, truth: NonNullable<Truth['position']>): Comparison {
  const position = record(sent);
  if (typeof position?.latitude !== 'number' || typeof position.longitude !== 'number') return 'notSent';
  const latitude = 60 * Math.abs(position.latitude - truth.latitude);
  const longitude = 60 * around(position.longitude - truth.longitude, 360);
  return Math.max(latitude, longitude) <= RESOLUTION_MINUTES + 1e-6 ? 'fits' : 'differs';
}

const minutes = (text: string) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3, 5));

function compareTime(sent: unknown, truth: string): Comparison {
  if (typeof sent !== 'string' || !/^\d\d:\d\d$/.test(sent)) return 'notSent';
  return around(minutes(sent) - minutes(truth), DAY_MINUTES) <= TIME_MINUTES ? 'fits' : 'differs';
}

/** @throws DotphaseError where a position lies beyond the poles or the date line */
export function compareWithTruth(call: DecodedCall, truth: Truth): TruthComparison {
  if (truth.position) {
    requireNumber('position.latitude', truth.position.latitude, -90, 90, 'degrees');
    requireNumber('position.longitude', truth.position.longitude, -180, 180, 'degrees');
  }
  const fields = call as unknown as Record<string, unknown>;
  const message = record(fields.message);
  const identity = (): Comparison => {
    if (typeof fields.self !== 'string') return 'notSent';
    return fields.self === truth.identity ? 'fits' : 'differs';
  };
  return {
    ...(truth.identity !== undefined && { identity: identity() }),
    ...(truth.position && {
      position: comparePosition(fields.position ?? message?.position, truth.position),
    }),
    ...(truth.time !== undefined && { time: compareTime(fields.time ?? message?.time, truth.time) }),
  };
}
