/**
 * Distress calls on several frequencies, whichever recordings of a run they were heard in: each attempt together.
 */
import {
  mayBeMultiFrequency,
  multiFrequencyAttemptOf,
  type LogEntry,
  type MultiFrequencyFields,
} from '../records/index.js';
import type { Quality } from '../receiver/index.js';
import type { HeardCall } from './heardcall.js';
import { RANK, shortClock, type JudgedCall } from './report.js';
import { utcClock, utcMoment } from './utc.js';

/** A sending of such an attempt. */
export interface FrequencySending extends MultiFrequencyFields {
  readonly frequencyHz: number;
  readonly quality: Quality;
  /** Whether `time` is that of the call. */
  readonly timeSource: 'recorded' | 'decoded';
  /** Which attempt of its recording it is. */
  readonly inRecording: number;
}

/** An attempt, each sending once for every recording that it was heard in, in the order in which they were told. */
export interface MultiFrequencyAttempt {
  /** From 1 upwards. */
  readonly id: number;
  readonly sendings: readonly FrequencySending[];
}

/** Attempts that are remembered: more than a run of recordings is likely to mix. */
const REMEMBERED = 1000;

/** The call as it stands in an attempt; undefined where it can't be part of one. */
function sendingOf({ utc, ...heard }: JudgedCall): FrequencySending | undefined {
  const { frequencyHz = 0, quality, symbols, file, start, attempt, call } = heard;
  const sending: FrequencySending = {
    direction: 'received',
    kind: call.kind,
    symbols,
    quality,
    frequencyHz,
    time: utc?.start ?? 0,
    timeSource: utc ? 'recorded' : 'decoded',
    recording: file,
    offset: start,
    inRecording: attempt.id,
  };
  return mayBeMultiFrequency(sending) ? sending : undefined;
}

/** The attempts of a run. */
export class MultiFrequencyAttempts {
  #attempts: MultiFrequencyAttempt[] = [];
  #ids = 0;

  /** Adds a call; gives its attempt as it is then, of one sending at first, or undefined where it can't be part of one. */
  add(heard: JudgedCall): MultiFrequencyAttempt | undefined {
    const sending = sendingOf(heard);
    if (!sending) return undefined;
    if (heard.attempt.sending > 1) {
      // In a row on one frequency it is an attempt of its own.
      const { file, attempt } = heard;
      this.#attempts = this.#attempts.map(({ id, sendings }) => ({
        id,
        sendings: sendings.filter(
          ({ recording, inRecording }) => recording !== file || inRecording !== attempt.id,
        ),
      }));
      return undefined;
    }
    const lists = this.#attempts.map(({ sendings }) => sendings).filter(({ length }) => length > 0);
    const found = multiFrequencyAttemptOf(sending, lists);
    const before = this.#attempts.find(({ sendings }) => sendings === found) ?? {
      id: ++this.#ids,
      sendings: [],
    };
    const after = { ...before, sendings: [...before.sendings, sending] };
    this.#attempts = [...this.#attempts.filter(({ id }) => id !== before.id), after].slice(-REMEMBERED);
    return after;
  }

  /** Those on several frequencies, in the order in which they were told. */
  several(): MultiFrequencyAttempt[] {
    return this.#attempts
      .filter(({ sendings }) => frequenciesOf(sendings).length > 1)
      .sort((a, b) => a.id - b.id);
  }

  /** The one that a recording's attempt began, where it is on several frequencies. */
  begunBy(file: string, attempt: HeardCall['attempt']['id']): MultiFrequencyAttempt | undefined {
    return this.several().find(
      ({ sendings: [{ recording, inRecording }] }) => recording === file && inRecording === attempt,
    );
  }
}

/** Each frequency once, in the order of the sendings. */
export function frequenciesOf(sendings: readonly { readonly frequencyHz?: number }[]): number[] {
  const known = sendings.flatMap(({ frequencyHz }) => (frequencyHz === undefined ? [] : [frequencyHz]));
  return [...new Set(known)];
}

/** How many sendings on which frequencies: `2 sendings on 2 frequencies (2187.5 and 4207.5 kHz)`. */
export function frequenciesText(sendings: readonly { readonly frequencyHz?: number }[]): string {
  const kilohertz = frequenciesOf(sendings).map((hz) => String(hz / 1000));
  const last = kilohertz.pop();
  const list = kilohertz.length === 0 ? last : `${kilohertz.join(', ')} and ${last}`;
  const count = kilohertz.length + 1;
  return `${count} sendings on ${count} frequencies (${list} kHz)`;
}

/** The first and the last of entries or sendings, as far as is known when or where they began: `0:03 to 0:58`. */
export function spanText(sendings: readonly Pick<LogEntry, 'time' | 'timeSource' | 'offset'>[]): string {
  const span = (values: readonly number[], say: (value: number) => string) =>
    `${say(Math.min(...values))} to ${say(Math.max(...values))}`;
  if (sendings.every(({ timeSource }) => timeSource !== 'decoded'))
    return span(
      sendings.map(({ time }) => time),
      utcClock,
    );
  return span(
    sendings.map(({ offset = 0 }) => offset),
    shortClock,
  );
}

/** Where an attempt began, for people. */
export function beginningOf({ sendings }: MultiFrequencyAttempt): string {
  const [{ timeSource, time, offset = 0 }] = sendings;
  return timeSource === 'decoded' ? shortClock(offset) : `${utcMoment(time)} UTC`;
}

/** How surely the surest of sendings was read. */
export function surestOf(sendings: readonly { readonly quality: Quality }[]): Quality {
  return sendings.map(({ quality }) => quality).reduce((a, b) => (RANK[b] < RANK[a] ? b : a));
}
