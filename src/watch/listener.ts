/**
 * One input of a watch: its samples through a receiver into the log, for as long as they come.
 */
import {
  ATTEMPT_MS,
  attemptLogger,
  holdsSending,
  isReadBetter,
  receivedEntry,
  sendingsOf,
  shareFrequency,
  type LogEntry,
} from '../records/index.js';
import type { HeardStore, InputEvent } from '../records/sqlite/index.js';
import { attemptOpenUntil, type ReceivedCall } from '../receiver/index.js';
import { ArrivalClock } from './arrival.js';
import { isSlice, type InputConfig } from './config.js';
import { earOf, type Received, type Samples } from './ear.js';
import { Levels, type SpanLevel } from './levels.js';
import type { Log } from './logwriter.js';

const SILENCE_DB = -80;
const SILENCE_SECONDS = 60;
const GAP_SECONDS = 5;

/** What a watch tells while it runs. Calls and what happened to inputs stand in the log already. */
export type WatchEvent =
  /** A call was received: how, and the entry that holds it. */
  | {
      readonly type: 'call';
      readonly input: string;
      /** With the DSC frequency, hertz, where the input holds several. */
      readonly received: ReceivedCall & { readonly frequencyHz?: number };
      readonly entry: LogEntry;
      /** When the sending began and ended: milliseconds since 1970 UTC. */
      readonly utc: { readonly start: number; readonly end: number };
    }
  /** Something happened to an input, or is over now. */
  | { readonly type: 'input'; readonly event: InputEvent }
  /** How loud an input was. */
  | { readonly type: 'level'; readonly input: string; readonly time: number; readonly level: SpanLevel }
  /**
   * Another program has held the log since then, milliseconds since 1970 UTC: what is heard is kept, and told when it is
   * logged. Told again, with the time, when that is over.
   */
  | { readonly type: 'held'; readonly since: number; readonly until?: number };

/** What all inputs share. */
export interface Surroundings {
  /** For reading. */
  readonly store: HeardStore;
  /** For writing. */
  readonly log: Log;
  /** Milliseconds since 1970 UTC. */
  readonly clock: () => number;
  readonly tell: (event: WatchEvent) => void;
}

/** Something that lasts, noted in the log when it began. */
interface Lasting extends Omit<InputEvent, 'id' | 'until'> {
  /** Once it is noted. */
  id?: number;
}

/** Hears one input, through all its restarts. */
export class Listener {
  readonly #began: number | undefined;
  #silence: Lasting | undefined;
  #gap: Lasting | undefined;
  #lastArrival: number;

  constructor(
    readonly input: InputConfig,
    private readonly around: Surroundings,
  ) {
    this.#began = input.recorded === undefined ? undefined : Date.parse(input.recorded);
    this.#lastArrival = around.clock();
  }

  /** Whether the input is a recording that is played, not live audio. */
  get isRecorded(): boolean {
    return this.#began !== undefined;
  }

  /** Notes how long nothing was heard since the watch was last running. */
  tellWhileAway(): void {
    const { store, log, clock } = this.around;
    const before = store.lastHeard(this.input.name);
    const now = clock();
    if (this.isRecorded || before === undefined || before >= now) return;
    for (const { id } of store.events({ input: this.input.name, open: true })) {
      log(() => {
        store.endEvent(id, before);
      });
    }
    this.note('gap', before, 'the watch was not running', now);
  }

  /** Notes and tells what happened. */
  note(kind: InputEvent['kind'], time: number, text: string, until?: number): Lasting {
    const { log, tell } = this.around;
    const event = {
      input: this.input.name,
      kind,
      time: Math.round(time),
      text,
      ...(until !== undefined && { until: Math.round(until) }),
    };
    const lasting: Lasting = { ...event };
    log((store) => {
      const id = store.noteEvent(event);
      lasting.id = id;
      tell({ type: 'input', event: { id, ...event } });
    });
    return lasting;
  }

  #over(lasting: Lasting, until: number): void {
    const { log, tell } = this.around;
    log((store) => {
      // What is logged is logged in order: its beginning was.
      const { id = 0, ...event } = lasting;
      store.endEvent(id, until);
      tell({ type: 'input', event: { id, ...event, until: Math.round(until) } });
    });
  }

  /** Looks whether anything has come lately. */
  check(): void {
    const { gapSeconds = GAP_SECONDS } = this.input;
    if (this.isRecorded || this.#gap || this.around.clock() - this.#lastArrival < gapSeconds * 1000) return;
    this.#gap = this.note('gap', this.#lastArrival, 'nothing comes');
  }

  /** Something came. */
  #arrived(now: number, clock: ArrivalClock): void {
    this.#lastArrival = now;
    if (!this.#gap) return;
    this.#over(this.#gap, now);
    this.#gap = undefined;
    clock.excuse();
  }

  /** The input ended, or the watch ends. */
  close(): void {
    const now = this.around.clock();
    if (this.#gap) this.#over(this.#gap, now);
    this.#gap = undefined;
  }

  /**
   * Hears one stream to its end.
   *
   * @param bytes - samples as the input writes them
   */
  async hear(bytes: AsyncIterable<Uint8Array>): Promise<void> {
    const { input, around } = this;
    const { sampleRate, silenceDb = SILENCE_DB, silenceSeconds = SILENCE_SECONDS } = input;
    const arrival = new ArrivalClock();
    const timeOf = (seconds: number) =>
      this.#began === undefined ? arrival.timeOf(seconds) : this.#began + seconds * 1000;
    const ear = earOf(input);
    /** Hears from so many seconds of the stream on. */
    const begin = (base: number) => {
      const hearing = ear.begin();
      const logCall = this.#logger((seconds) => timeOf(base + seconds));
      return {
        push: (samples: Samples) => {
          hearing.push(samples).forEach(logCall);
        },
        flush: () => {
          hearing.flush().forEach(logCall);
        },
      };
    };
    let hearing = begin(0);
    const levels = new Levels(ear.parts * sampleRate, silenceDb, (level) => {
      const time = Math.round(timeOf(level.start));
      const { start: _, ...rest } = level;
      around.log((store) => {
        store.noteLevel({ input: input.name, time: Math.max(0, time), ...rest });
        around.tell({ type: 'level', input: input.name, time, level });
      });
    });
    let frames = 0;
    try {
      for await (const chunk of bytes) {
        const now = around.clock();
        if (frames === 0) this.note('started', now, 'heard from now on');
        if (this.#gap) {
          // Across a gap no call goes on.
          hearing.flush();
          hearing = begin(frames / sampleRate);
        }
        const blocks = ear.read(chunk);
        for (const samples of blocks) {
          frames += samples[0].length;
          for (const part of samples) levels.push(part);
        }
        this.#arrived(now, arrival);
        const lost = arrival.arrived(frames / sampleRate, now);
        if (lost && !this.isRecorded) this.note('gap', lost.from, 'samples were lost on the way', lost.until);
        for (const samples of blocks) hearing.push(samples);
        this.#followSilence(levels.silentFrom, frames / sampleRate, silenceSeconds, timeOf);
      }
    } finally {
      // What is still open is given and kept, whatever ended the stream.
      hearing.flush();
      levels.end();
      if (this.#silence) this.#over(this.#silence, timeOf(frames / sampleRate));
      this.#silence = undefined;
    }
  }

  #followSilence(
    from: number | undefined,
    seconds: number,
    silenceSeconds: number,
    timeOf: (seconds: number) => number,
  ): void {
    if (from === undefined && this.#silence) {
      this.#over(this.#silence, timeOf(seconds));
      this.#silence = undefined;
    } else if (from !== undefined && !this.#silence && seconds - from >= silenceSeconds) {
      this.#silence = this.note('silence', timeOf(from), 'only silence comes');
    }
  }

  /** Logs the calls of one stream, and tells them once they are safe. */
  #logger(timeOf: (seconds: number) => number): (received: Received) => void {
    const { log, tell } = this.around;
    const { input } = this;
    const { name } = input;
    const add = attemptLogger<Received['call']>((time, call) => this.#attemptBefore(time, call));
    return ({ call: received, clip }) => {
      const utc = { start: timeOf(received.start), end: timeOf(received.end) };
      const context = {
        time: utc.start,
        timeSource: this.isRecorded ? 'recorded' : 'live',
        input: name,
        frequencyHz: isSlice(input) ? received.frequencyHz : input.frequencyHz,
      } as const;
      let isKnown = false;
      let entry: LogEntry | undefined;
      log(({ calls }) => {
        isKnown = this.isRecorded && this.#isKnown(received, context);
        entry = add(calls, received, context);
      });
      log((store) => {
        if (!entry) return;
        if (clip) store.keepClip(entry.id, clip);
        if (!isKnown) tell({ type: 'call', input: name, received, entry, utc });
      });
    };
  }

  /** Entries of this input from shortly before a time. */
  #near(time: number): LogEntry[] {
    const since = Math.max(0, Math.round(time) - ATTEMPT_MS);
    return this.around.store.calls.list({ input: this.input.name, since, newestFirst: true, limit: 200 });
  }

  /** Whether a call of a recording that is played again stands in the log already. */
  #isKnown(received: ReceivedCall, context: Parameters<typeof receivedEntry>[1]): boolean {
    const sending = receivedEntry(received, context);
    const time = sending.time ?? 0;
    const held = this.#near(time).find((entry) => holdsSending(entry, { ...sending, time }));
    return held !== undefined && !isReadBetter(held, { ...sending, time });
  }

  /** The entry of an attempt that was begun before the watch was started again, or the input was. */
  #attemptBefore(time: number, received: Received['call']): number | undefined {
    const { start, end, baud, symbols } = received;
    // Within a stream the receiver tells which attempt a call belongs to.
    if (start * 1000 > ATTEMPT_MS) return undefined;
    const length = end - start;
    return this.#near(time).find((entry) => {
      const last = (sendingsOf(entry).at(-1)?.time ?? 0) / 1000;
      return (
        shareFrequency(entry, received) &&
        time / 1000 > last + length - 1 &&
        time / 1000 <= attemptOpenUntil({ start: last, end: last + length, baud }) &&
        entry.symbols.length === symbols.length &&
        entry.symbols.every((symbol, i) => symbol === null || symbol === symbols[i])
      );
    })?.id;
  }
}
