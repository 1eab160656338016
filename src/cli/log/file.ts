/**
 * The log file that commands write into. What they print does not depend on it: a log that fails is said once, in one
 * line, and everything else goes on, without waiting for that log again until it can be written.
 */
import { DotphaseError } from '../../errors.js';
import type { CallLog } from '../../records/index.js';
import { openHeardStore, type HeardStore } from '../../records/sqlite/index.js';
import { complain } from '../exit.js';

/** What `--log` says of itself wherever a command takes it. */
export const LOG_FLAG = [
  '--log <file>',
  'SQLite file that the calls are logged in; made where it is missing',
] as const;

/** A log that is written as long as it can be. */
export class LogFile {
  #failed = false;
  #isTogether = false;
  #doesWait = true;
  #store: HeardStore | undefined;

  private constructor() {
    // Made by open().
  }

  /** Opens a log for writing; one that writes nothing where no file is named. */
  static async open(path: string | undefined): Promise<LogFile> {
    const file = new LogFile();
    if (path === undefined) return file;
    try {
      file.#store = await openHeardStore(path, { clock: Date.now });
    } catch (error) {
      file.#fail(error);
    }
    return file;
  }

  /** Whether anything could not be logged. */
  get failed(): boolean {
    return this.#failed;
  }

  /** Whether there is a log that can still be written. */
  get isOpen(): boolean {
    return this.#store !== undefined;
  }

  /** Does something with the calls of the log; undefined where there is none or it fails. */
  write<Result>(act: (log: CallLog) => Result): Result | undefined {
    return this.use(({ calls }) => act(calls));
  }

  /** Does something with the log as a whole; undefined where there is none or it fails. */
  use<Result>(act: (store: HeardStore) => Result): Result | undefined {
    if (!this.#store) return undefined;
    try {
      const result = act(this.#store);
      this.#wait(true);
      return result;
    } catch (error) {
      // Of what is done as one nothing is left standing.
      if (this.#isTogether) throw error;
      this.#fail(error);
      this.#wait(false);
      return undefined;
    }
  }

  /** Does several things with the log as one, all of them or none, and waits for the disk once. */
  together(act: () => void): void {
    this.use((store) => {
      this.#isTogether = true;
      try {
        store.together(act);
      } finally {
        this.#isTogether = false;
      }
    });
  }

  /** Lets go of the log. */
  close(): void {
    this.use((store) => {
      store.close();
    });
    this.#store = undefined;
  }

  #wait(doesWait: boolean): void {
    if (doesWait === this.#doesWait) return;
    this.#store?.waitForOthers(doesWait);
    this.#doesWait = doesWait;
  }

  #fail(error: unknown): void {
    if (!(error instanceof DotphaseError)) throw error;
    if (!this.#failed) complain(`${error.message}; not every call is logged`);
    this.#failed = true;
  }
}
