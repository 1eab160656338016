/**
 * One logged call.
 */
import * as z from 'zod';
import {
  certainCharacters,
  describeCall,
  encodeCall,
  isReceivedWhole,
  receivedCharacters,
  type Character,
  type DecodedCall,
  type Identity,
} from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { checked } from '../../data/index.js';
import type { ReceivedCall } from '../../receiver/index.js';

/** What became of a call: made but not played, for example written to a file; sent; or received. */
export const LOG_DIRECTIONS = ['made', 'sent', 'received'] as const;

/** One of {@link LOG_DIRECTIONS}. */
export type LogDirection = (typeof LOG_DIRECTIONS)[number];

/**
 * What the time of a call rests on: the clock while it was heard (`live`), when its recording was made (`recorded`), or
 * only the clock while a recording was read (`decoded`), which tells nothing of when the call was on the air.
 */
export const TIME_SOURCES = ['live', 'recorded', 'decoded'] as const;

/** One of {@link TIME_SOURCES}. */
export type TimeSource = (typeof TIME_SOURCES)[number];

/** One received sending of an attempt. */
export interface LoggedSending {
  /** When it began: milliseconds since 1970 UTC. */
  readonly time: number;
  /** Seconds from the beginning of the recording. */
  readonly offset?: number;
  /** How sure it is: `clean`, `recovered` or `doubtful`. */
  readonly quality?: string;
  /** Signal-to-noise ratio in 3 kHz, dB. */
  readonly snrDb?: number;
  /** Probability that its characters differ from what was sent, 0–1. */
  readonly errorProbability?: number;
}

/** A call as it stands in a log, the sendings of one attempt together. Plain JSON data. */
export interface LogEntry {
  /** From 1 upwards in the order of logging, never used twice. */
  readonly id: number;
  /** When the call began, whether sent or received, or was made; of several sendings the first: milliseconds since 1970 UTC. */
  readonly time: number;
  /** What the time rests on; absent in logs of before, and where a call was made or sent. */
  readonly timeSource?: TimeSource;
  /** Made, sent or received. */
  readonly direction: LogDirection;
  /** Set where the sending was broken off before its end. */
  readonly stopped?: true;
  /** The DSC frequency, assigned, or as measured of a call between them, hertz; absent where not known. */
  readonly frequencyHz?: number;
  /** How sure a received call is: `clean`, `recovered` or `doubtful`. */
  readonly quality?: string;
  /** Signal-to-noise ratio of a received call in 3 kHz, dB; absent where not known. */
  readonly snrDb?: number;
  /** Probability that the characters of a received call differ from what was sent, 0–1. */
  readonly errorProbability?: number;
  /** The file that the call was read from or written to; absent where there is none. */
  readonly file?: string;
  /** The recording that a received call was read from: SHA-256 of the file, 64 hexadecimal digits, whatever its name. */
  readonly recording?: string;
  /** Seconds from the beginning of the recording to that of the call. */
  readonly offset?: number;
  /** The name of the input that a received call was heard on, where a watch has several. */
  readonly input?: string;
  /**
   * The id of the entry that holds the same call as it was heard more surely on another input or in another recording;
   * absent where this is the surest.
   */
  readonly sameAs?: number;
  /**
   * The multi-frequency attempt that the call was part of, where it was heard on several frequencies: the lowest id of its
   * entries, the same in each of them.
   */
  readonly multiFrequencyAttempt?: number;
  /** Each sending of the attempt that was received, in order, where it was more than one; the entry is the surest. */
  readonly sendings?: readonly LoggedSending[];
  /** The characters, from one format specifier through the error check, each 0–127 and once; null where not received. */
  readonly symbols: readonly Character[];
  /** The call's kind, for example `testCall`. */
  readonly kind: string;
  /** The sender's nine digits, where readable. */
  readonly from?: string;
  /** The addressee's nine digits, or `all ships`, or `area`. */
  readonly to?: string;
  /** The nine digits of the ship in distress that the call is about, where it is another than the sender. */
  readonly casualty?: string;
  /** The call in a sentence. */
  readonly text: string;
  /** The typed call as JSON data. */
  readonly call: unknown;
  /** When its acknowledgement began: milliseconds since 1970 UTC; absent while there is none. */
  readonly acknowledgedAt?: number;
}

/** What is handed to a log. */
export interface NewLogEntry extends Omit<
  LogEntry,
  'id' | 'time' | 'stopped' | 'acknowledgedAt' | 'sendings' | 'sameAs' | 'multiFrequencyAttempt'
> {
  /** Milliseconds since 1970 UTC; default: the log's clock. */
  readonly time?: number;
}

const LATEST = 8_640_000_000_000_000;
const wellFormed = (max: number, expected: string) =>
  z
    .string({ error: expected })
    .max(max, { error: expected })
    // Neither half a surrogate pair nor U+0000, at which SQLite's text may end.
    .refine((text) => !/[\p{Surrogate}\0]/u.test(text), { error: expected });
const whole = (min: number, max: number, expected: string) =>
  z.int({ error: expected }).min(min, { error: expected }).max(max, { error: expected });
const time = whole(0, LATEST, 'milliseconds since 1970');

const numberFrom = (min: number, max: number, expected: string) =>
  z.number({ error: expected }).min(min, { error: expected }).max(max, { error: expected });

/** A direction in a schema. */
export const direction = z.enum(LOG_DIRECTIONS, { error: 'made, sent or received' });

/** The name of an input in a schema. */
export const input = wellFormed(60, 'the name of an input, up to 60 characters');

/** A recording's fingerprint in a schema. */
export const recording = z
  .string({ error: 'SHA-256' })
  .regex(/^[0-9a-f]{64}$/, { error: 'SHA-256: 64 hexadecimal digits in small letters' });

/** What each sending has of its own. */
const SENDING = {
  offset: numberFrom(0, 1e9, 'seconds from 0 to 1000000000').optional(),
  quality: wellFormed(40, 'a word of up to 40 characters').optional(),
  snrDb: numberFrom(-200, 200, 'a number from -200 to 200 dB').optional(),
  errorProbability: numberFrom(0, 1, 'a number from 0 to 1').optional(),
};

const NEW_ENTRY = z.strictObject(
  {
    time: time.optional(),
    timeSource: z.enum(TIME_SOURCES, { error: 'live, recorded or decoded' }).optional(),
    direction,
    frequencyHz: whole(400_000, 200_000_000, 'whole hertz from 400000 to 200000000').optional(),
    ...SENDING,
    file: wellFormed(4096, 'text of up to 4096 characters').optional(),
    recording: recording.optional(),
    input: input.optional(),
    symbols: z
      .array(whole(0, 127, 'a symbol from 0 to 127, or null').nullable(), { error: 'a list of symbols' })
      .max(4096, { error: 'at most 4096 symbols' }),
    kind: wellFormed(40, 'a word of up to 40 characters'),
    from: wellFormed(40, 'text of up to 40 characters').optional(),
    to: wellFormed(40, 'text of up to 40 characters').optional(),
    casualty: wellFormed(40, 'text of up to 40 characters').optional(),
    text: wellFormed(20_000, 'text of up to 20000 characters'),
    call: z.unknown(),
  },
  { error: 'a log entry' },
);

const id = whole(1, Number.MAX_SAFE_INTEGER, 'a whole number from 1');

/** The number of a multi-frequency attempt in a schema. */
export const multiFrequencyAttempt = id;

const ENTRY = NEW_ENTRY.extend({
  id,
  time,
  stopped: z.literal(true, { error: 'true' }).optional(),
  acknowledgedAt: time.optional(),
  sameAs: id.optional(),
  multiFrequencyAttempt: id.optional(),
  sendings: z
    .array(z.strictObject({ time, ...SENDING }, { error: 'a sending' }), { error: 'a list of sendings' })
    .optional(),
});

/** An entry that comes out of a file. Throws a DotphaseError naming the first bad field. */
export function checkLogged(value: unknown): LogEntry {
  return checked(ENTRY, value, 'entry') as LogEntry;
}

/** The call as JSON text. Throws a DotphaseError when it is not JSON data. */
function toJson(call: unknown): string {
  let text: string | undefined;
  try {
    text = JSON.stringify(call);
  } catch {
    text = undefined;
  }
  if (text === undefined || text.length > 200_000) {
    throw new DotphaseError('entry.call', call, 'JSON data of up to 200000 characters');
  }
  return text;
}

/** A checked entry with its call as JSON text, so that later changes by the caller do not reach it. */
export type CheckedEntry = Omit<
  LogEntry,
  'id' | 'call' | 'stopped' | 'acknowledgedAt' | 'sendings' | 'sameAs' | 'multiFrequencyAttempt'
> & {
  readonly call: string;
};

/** Checks a new entry and gives it a time. Throws a DotphaseError naming the first bad field. */
export function checkEntry(entry: NewLogEntry, clock: () => number): CheckedEntry {
  const given = checked(NEW_ENTRY, entry, 'entry');
  const present = Object.entries({
    ...given,
    time: given.time ?? checkTime(clock()),
    call: toJson(given.call),
  });
  return Object.fromEntries(present.filter(([, value]) => value !== undefined)) as unknown as CheckedEntry;
}

/** Checks a time in whole milliseconds. */
export function checkTime(milliseconds: number): number {
  return checked(time, Math.round(milliseconds), 'time');
}

/** What a log entry needs in addition to the call. */
export interface LogContext {
  /** Made, sent or received. */
  readonly direction: LogDirection;
  /** When the call began: milliseconds since 1970 UTC; default: the log's clock. */
  readonly time?: number | undefined;
  /** What the time rests on. */
  readonly timeSource?: TimeSource;
  /** DSC frequency, assigned, hertz. */
  readonly frequencyHz?: number | undefined;
  /** The name of the input that the call was heard on. */
  readonly input?: string;
  /** The file that the call was read from or written to. */
  readonly file?: string | undefined;
  /** The recording that the call was read from: SHA-256 of the file. */
  readonly recording?: string;
  /** Seconds from the beginning of the recording to that of the call. */
  readonly offset?: number;
  /** How sure a received call is. */
  readonly quality?: string;
  /** Signal-to-noise ratio in 3 kHz, dB. */
  readonly snrDb?: number;
  /** Probability of error, 0–1. */
  readonly errorProbability?: number;
  /** The characters as received; default: as the call is sent. */
  readonly symbols?: readonly number[];
  /** How certain each of them is, 0–1; default: all are. What was not received is not logged. */
  readonly certainty?: readonly number[];
  /** Gives the words for a station in the entry's sentence; default: its kind and its digits. */
  readonly station?: (identity: Identity) => string;
}

function identity(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function addressee(call: DecodedCall): string | undefined {
  if (!('to' in call)) {
    return call.kind === 'unassignedCall' || call.kind === 'partialCall' ? undefined : 'all ships';
  }
  if (typeof call.to === 'string') return 'all ships';
  if ('area' in call.to) return 'area';
  return identity('station' in call.to ? call.to.station : call.to.group);
}

/** The characters of a call by itself, null where not received; the error check of such a call is not known. */
function charactersOf(call: DecodedCall): Character[] {
  return isReceivedWhole(call) ? encodeCall(call).symbols : [...receivedCharacters(call), null];
}

/**
 * A log entry for a typed call; what was not received of it stands nowhere in the entry.
 *
 * @throws DotphaseError when the call cannot be encoded or described
 */
export function callEntry(
  call: DecodedCall,
  { symbols, certainty, station, frequencyHz, time: began, file, ...context }: LogContext,
): NewLogEntry {
  const from = 'self' in call ? identity(call.self) : undefined;
  const to = addressee(call);
  const casualty = 'casualty' in call && call.casualty !== 'unknown' ? identity(call.casualty) : undefined;
  return {
    ...context,
    ...(began !== undefined && { time: Math.round(began) }),
    ...(frequencyHz !== undefined && { frequencyHz: Math.round(frequencyHz) }),
    ...(file !== undefined && { file }),
    symbols: symbols ? certainCharacters(symbols, certainty) : charactersOf(call),
    kind: call.kind,
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
    ...(casualty === undefined ? {} : { casualty }),
    text: describeCall(call, station && { station }),
    call,
  };
}

/**
 * A log entry for what a receiver gave.
 *
 * @param context - `time` is that of the call's beginning
 */
export function receivedEntry(
  received: Pick<ReceivedCall, 'call' | 'symbols' | 'certainty' | 'quality' | 'snrDb' | 'errorProbability'>,
  context: Pick<
    LogContext,
    'time' | 'timeSource' | 'frequencyHz' | 'file' | 'recording' | 'offset' | 'input' | 'station'
  >,
): NewLogEntry {
  const { call, symbols, certainty, quality, snrDb, errorProbability } = received;
  return callEntry(call, {
    ...context,
    direction: 'received',
    symbols,
    certainty,
    quality,
    errorProbability,
    ...(Number.isFinite(snrDb) && { snrDb: Math.min(200, Math.max(-200, snrDb)) }),
  });
}
