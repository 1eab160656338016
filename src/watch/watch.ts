/**
 * Inputs that never end → receivers → a log.
 */
import { statSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';
import { DotphaseError, reasonOf } from '../errors.js';
import { openHeardStore, type HeardStore } from '../records/sqlite/index.js';
import type { WatchConfig } from './config.js';
import { Listener, type Surroundings, type WatchEvent } from './listener.js';
import { createLogWriter } from './logwriter.js';
import { openSource } from './source.js';

/** How a watch is run. */
export interface WatchOptions {
  /** Gives the present time in milliseconds since 1970 UTC, for example `Date.now`. */
  readonly clock: () => number;
  /** Told of each call and each thing that happens, once it stands in the log. */
  readonly onEvent?: (event: WatchEvent) => void;
  /** Ends the watch: inputs are closed, calls that are still open are given, the log is closed. */
  readonly signal: AbortSignal;
  /** Given the open log, for those who show what it holds; not to be closed by them. */
  readonly onOpen?: (store: HeardStore) => void | Promise<void>;
}

/** An input that ends is started again after so long, milliseconds, each time twice as long, up to the last. */
const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 60_000;
/** One that ran so long begins with the first wait again. */
const GOOD_RUN_MS = 60_000;

const CHECK_MS = 1000;

/** A log that another program has held so long is told of, milliseconds. */
const HELD_MS = 3000;

/** Refuses a file without the time of its beginning: read again and again, it would be heard as if it were live. */
function requireLive({ inputs }: WatchConfig): void {
  inputs.forEach(({ pipe, recorded }, i) => {
    if (pipe === undefined || recorded !== undefined) return;
    if (!statSync(pipe, { throwIfNoEntry: false })?.isFile()) return;
    const expected = 'a named pipe or a device; where a file is played, recorded beside it';
    throw new DotphaseError(`inputs[${i}].pipe`, pipe, expected);
  });
}

/** Hears an input until the watch ends, or for good where it is a recording. */
async function keepHearing(listener: Listener, around: Surroundings, signal: AbortSignal): Promise<void> {
  const { clock } = around;
  listener.tellWhileAway();
  const isOver = () => signal.aborted;
  for (let wait = FIRST_WAIT_MS; !isOver(); wait = Math.min(2 * wait, LONGEST_WAIT_MS)) {
    const began = clock();
    const { kind, reason } = await hearOnce(listener, signal);
    if (isOver()) break;
    if (listener.isRecorded) {
      listener.note(kind, clock(), reason);
      return;
    }
    if (clock() - began >= GOOD_RUN_MS) wait = FIRST_WAIT_MS;
    listener.note(kind, clock(), `${reason}; tried again in ${wait / 1000} s`);
    await sleep(wait, undefined, { signal }).catch(() => undefined);
  }
  listener.close();
  listener.note('stopped', clock(), 'the watch was stopped');
}

interface Ending {
  readonly kind: 'ended' | 'failed';
  readonly reason: string;
}

/** Hears an input until it ends; gives why it did. */
async function hearOnce(listener: Listener, signal: AbortSignal): Promise<Ending> {
  try {
    const source = await openSource(listener.input);
    const { stop } = source;
    signal.addEventListener('abort', stop);
    try {
      await listener.hear(source.bytes);
    } catch (error) {
      // A stream that is stopped or fails in the middle says so itself.
      if (!(error instanceof Error && 'code' in error)) throw error;
    } finally {
      stop();
      signal.removeEventListener('abort', stop);
    }
    return { kind: 'ended', reason: await source.ending() };
  } catch (error) {
    if (!(error instanceof Error && 'code' in error)) throw error;
    const name = listener.input.pipe ?? '';
    return { kind: 'failed', reason: `${name} cannot be read: ${reasonOf(error)}` };
  }
}

/**
 * Runs a watch until it is told to stop, or all its inputs are recordings and have ended.
 *
 * Each call stands in the log, safe against a crash, before it is told; while another program holds the log, calls are
 * kept, and told when they are logged. Whatever ends the program, a watch that is started
 * again goes on with the same log: an attempt that was cut goes on in its entry, and the time between is noted as a gap.
 *
 * @param config - as `checkWatch` gives it
 * @throws DotphaseError when the log cannot be opened or written
 */
export async function runWatch(config: WatchConfig, options: WatchOptions): Promise<void> {
  const { clock, onEvent = () => undefined, onOpen } = options;
  requireLive(config);
  const store = await openHeardStore(config.log, { clock });
  // What fails in one input, as a full disk does, ends the others too.
  const failing = new AbortController();
  const signal = AbortSignal.any([options.signal, failing.signal]);
  const { log, settle, finish, heldSince } = createLogWriter(store, clock);
  const around: Surroundings = { store, log, clock, tell: onEvent };
  const listeners = config.inputs.map((input) => new Listener(input, around));
  /** Since when the log has been held as it was told. */
  let toldSince: number | undefined;
  const tellHeld = () => {
    const since = heldSince();
    if (toldSince !== undefined && since !== toldSince) {
      onEvent({ type: 'held', since: toldSince, until: clock() });
      toldSince = undefined;
    }
    if (since === undefined || since === toldSince || clock() - since < HELD_MS) return;
    toldSince = since;
    onEvent({ type: 'held', since });
  };
  const checking = setInterval(() => {
    try {
      settle();
      tellHeld();
      for (const listener of listeners) listener.check();
    } catch (error) {
      failing.abort(error);
    }
  }, CHECK_MS);
  try {
    await onOpen?.(store);
    const ended = await Promise.allSettled(
      listeners.map((listener) =>
        keepHearing(listener, around, signal).catch((error: unknown) => {
          failing.abort(error);
          throw error;
        }),
      ),
    );
    if (failing.signal.aborted) throw failing.signal.reason as Error;
    for (const end of ended) if (end.status === 'rejected') throw end.reason as Error;
    finish();
  } finally {
    clearInterval(checking);
    store.close();
  }
}
