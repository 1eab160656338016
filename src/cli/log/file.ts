/**
 * The log file that commands write into. What they print does not depend on it: a log that fails is said once, in one
 * line, and everything else goes on, without waiting for that log again until it can be written.
 */
import { DotphaseError } from '../../errors.js';
import type { CallLog } from '../../records/index.js';
import { openHeardStore, OwedWrites, type HeardStore, type Write } from '../../records/sqlite/index.js';
import { complain, warn } from '../exit.js';

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
  #owed: OwedWrites | undefined;

  private constructor(
    /** Whether a log that others hold may be waited for before it is let go of. */
    private readonly mayWait: boolean,
  ) {}

  /**
   * Opens a log for writing; one that writes nothing where no file is named.
   *
   * @param isLive - true where what is heard meanwhile does not wait: nor is a log waited for that others hold
   */
  static async open(path: string | undefined, isLive = false): Promise<LogFile> {
    const file = new LogFile(!isLive);
    if (path === undefined) return file;
    try {
      file.#store = await openHeardStore(path, { clock: Date.now });
      file.#owed = new OwedWrites(file.#store, (error) => {
        file.#fail(error);
      });
      if (isLive) file.#wait(false);
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
      this.#wait(this.mayWait);
      return result;
    } catch (error) {
      // Of what is done as one nothing is left standing.
      if (this.#isTogether) throw error;
      this.#fail(error);
      this.#wait(false);
      return undefined;
    }
  }

  /**
   * Does something with the log now, or where another program holds it as soon as it is free: before anything that is
   * owed after it, at the latest when the log is let go of.
   */
  owe(write: Write): void {
    if (!this.#owed) return;
    const held = this.#owed.owe(write);
    this.#wait(!held && this.mayWait);
    // Said once for all that is owed.
    if (held && this.#owed.count === 1) complain(`${held.message}; calls are kept to be logged later`);
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

  /** Lets go of the log, when what is owed is written, or said to be lost. */
  close(): void {
    if (this.#owed?.count) {
      warn('waiting for the log, up to 10 s');
      this.#wait(true);
      const held = this.#owed.settle();
      if (held) this.#fail(held);
    }
    this.use((store) => {
      store.close();
    });
    this.#store = this.#owed = undefined;
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
