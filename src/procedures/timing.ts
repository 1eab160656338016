/**
 * How long the procedures wait. All in milliseconds.
 */
import { requireNumber, requireRecord } from '../errors.js';

const SECOND = 1000;
const MINUTE = 60 * SECOND;

/** A moment, milliseconds since 1970 UTC, that a `Date` can hold; throws a DotphaseError where it is none. */
export function requireNow(now: unknown): void {
  requireNumber('now', now, 0, 8.64e15, 'ms');
}

/** 24 hours. */
export const DAY_MS = 24 * 60 * MINUTE;

/** Shortest and longest random time between the beginnings of two distress attempts (M541-8 Annex 1 §3.1.3.1). */
export const REPETITION_MS: readonly [number, number] = [3.5 * MINUTE, 4.5 * MINUTE];

/** A coast station waits so long before it acknowledges an alert on MF or HF (M541-8 Annex 1 §3.3.2). */
export const COAST_DELAY_MS = MINUTE;

/** And normally acknowledges before this (M541-8 Annex 1 §3.3.2). */
export const COAST_LIMIT_MS = 2.75 * MINUTE;

/** A ship tells a coast station of a VHF or MF alert that none acknowledged within this (FCC80 §80.1121(b); C25 §2.3). */
export const UNACKNOWLEDGED_MS = 5 * MINUTE;

/**
 * An attempt is over when no call of it came for so long: a call takes 7.2 s on MF and HF and 0.45 s on VHF (JP567),
 * and some time to be read.
 */
export const ATTEMPT_GAP_MS: Readonly<Record<'mf-hf' | 'vhf', number>> = {
  'mf-hf': 9 * SECOND,
  vhf: SECOND,
};

/** After an acknowledgement by another station the ship ends its attempt of at most 36.0 s (JP567). */
export const REST_OF_ATTEMPT_MS = 40 * SECOND;

/** A coast station answers a call no sooner than this after it came, and no later than that (M.541 Annex 2, from memory). */
export const COAST_ANSWERS_FROM_MS = 5 * SECOND;
/** See {@link COAST_ANSWERS_FROM_MS}. */
export const COAST_ANSWERS_UNTIL_MS = 4.5 * MINUTE;

/** A call that was not answered within this is left alone (common practice, no source). */
export const ANSWER_LIMIT_MS = 5 * MINUTE;

/** A coast station calls a second time no sooner than this (M.541 Annex 2, from memory). */
export const COAST_REPEATS_MS = 45 * SECOND;

/** A routine call may be repeated after this (M.541 Annex 3 §4.2, from memory). */
export const ROUTINE_WAIT_MS = 5 * MINUTE;

/** Further attempts come no sooner than this (M.541 Annex 3 §4.2, from memory). */
export const ROUTINE_FURTHER_MS = 15 * MINUTE;

/** An own distress alert waits at most so long for a free frequency (M.493, from memory, uncertain). */
export const DISTRESS_PATIENCE_MS = SECOND;

/** The waits that practice sets and a user may set otherwise. */
export interface ProcedureTiming {
  /** For the acknowledgement of a test, safety, urgency, position, polling or relay call: 1 s to 1 h, default 60 s. */
  readonly acknowledgementWaitMs: number;
  /** A received call may be answered so long: 1 s to 1 h, default 5 min. */
  readonly answerLimitMs: number;
  /** An acknowledgement counts so long after the call was sent: 1 s to 24 h, default 15 min. */
  readonly matchMs: number;
  /** A call gives up when its frequency has not become free: 1 s to 1 h, default 5 min. */
  readonly busyLimitMs: number;
  /** An unacknowledged HF alert may be relayed after this: 3 to 60 min, default 5 min. */
  readonly hfRelayMs: number;
}

/** The waits unless set otherwise. */
export const DEFAULT_TIMING: ProcedureTiming = {
  acknowledgementWaitMs: MINUTE,
  answerLimitMs: ANSWER_LIMIT_MS,
  matchMs: 15 * MINUTE,
  busyLimitMs: 5 * MINUTE,
  hfRelayMs: 5 * MINUTE,
};

const LIMITS: Readonly<Record<keyof ProcedureTiming, readonly [number, number]>> = {
  acknowledgementWaitMs: [SECOND, 60 * MINUTE],
  answerLimitMs: [SECOND, 60 * MINUTE],
  matchMs: [SECOND, 24 * 60 * MINUTE],
  busyLimitMs: [SECOND, 60 * MINUTE],
  hfRelayMs: [3 * MINUTE, 60 * MINUTE],
};

/** The waits with defaults filled in; throws a DotphaseError where one is unknown or out of range. */
export function requireTiming(field: string, value: unknown): ProcedureTiming {
  const names = Object.keys(LIMITS) as (keyof ProcedureTiming)[];
  const given = requireRecord(value, field, names, `{ ${names.join(', ')} }`);
  const wait = (name: keyof ProcedureTiming) =>
    requireNumber(`${field}.${name}`, given[name] ?? DEFAULT_TIMING[name], ...LIMITS[name], 'ms');
  return {
    acknowledgementWaitMs: wait('acknowledgementWaitMs'),
    answerLimitMs: wait('answerLimitMs'),
    matchMs: wait('matchMs'),
    busyLimitMs: wait('busyLimitMs'),
    hfRelayMs: wait('hfRelayMs'),
  };
}
