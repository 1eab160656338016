/**
 * Jobs in an SQLite file, taken by any number of processes: each is done once, also where a process is killed.
 */
import { DotphaseError } from '../../errors.js';
import { closing, connector, requirePlace, transaction, withSafety, type OpenDatabase } from './driver.js';
import { refusal } from './refusal.js';
import { statementsOf } from './statements.js';

/** How jobs are opened. */
export interface JobStoreOptions {
  /** The time, milliseconds since 1970 UTC. */
  readonly clock: () => number;
  /** Whoever has not said for so long that it is still at a job has lost it, milliseconds; default 30 000. */
  readonly leaseMs?: number;
  /** Whoever takes a job so often without ending it is ended by it: it is given up; default 5. */
  readonly mostCrashes?: number;
  /** Whether to make the file where it is missing; default true. */
  readonly create?: boolean;
}

/** A job to add. */
export interface NewJob {
  /** Names it: a job of the same name is not added again. */
  readonly id: string;
  /** What is to be done, as text. */
  readonly data: string;
  /** The smallest is taken first. */
  readonly priority: number;
}

/** A job that was taken. */
export interface TakenJob extends NewJob {
  /** How often it was taken before this. */
  readonly triedBefore: number;
}

/** A job that was given up. */
export interface DeadJob {
  readonly id: string;
  readonly data: string;
  /** Why. */
  readonly reason: string;
}

/** How many jobs there are of each state. */
export interface JobCounts {
  /** May be taken now. */
  readonly waiting: number;
  /** May be taken after a pause, for they failed. */
  readonly paused: number;
  readonly active: number;
  readonly done: number;
  readonly dead: number;
  /** Done in the latest ten minutes. */
  readonly latelyDone: number;
  /** When the first of these was done: milliseconds since 1970 UTC; absent where there is none. */
  readonly latelySince?: number;
}

/** Jobs in a file. */
export interface JobStore {
  /** Adds jobs; gives how many of them were new. */
  add(jobs: readonly NewJob[]): number;
  /** Takes the next job, the first by priority, then by age; undefined where none may be taken now. */
  take(): TakenJob | undefined;
  /** Says that a job is still being done. */
  keep(id: string): void;
  /** A job is done, and others came of it. */
  finish(id: string, next: readonly NewJob[]): void;
  /** A job failed: it may be taken again after `pauseMs`, or is given up where that is undefined. */
  fail(id: string, reason: string, pauseMs: number | undefined): void;
  /** How many there are. */
  counts(): JobCounts;
  /** Jobs that were given up, in the order they were added. */
  dead(limit: number): DeadJob[];
  /** Lets the jobs that were given up be taken again; gives how many. */
  retry(): number;
  /** Lets go of the file. */
  close(): void;
}

/** Marks the file as one of jobs: SQLite's application id, "DPJB" in ASCII. */
const APPLICATION_ID = 0x44504a42;
const VERSION = 1;
const CREATE = `
  CREATE TABLE jobs (
    seq INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    data TEXT NOT NULL,
    priority INTEGER NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('waiting', 'active', 'done', 'dead')),
    tries INTEGER NOT NULL DEFAULT 0,
    crashes INTEGER NOT NULL DEFAULT 0,
    due INTEGER NOT NULL,
    lease INTEGER,
    ended INTEGER,
    reason TEXT
  ) STRICT;
  CREATE INDEX jobs_to_take ON jobs (priority, seq) WHERE state IN ('waiting', 'active');
  CREATE INDEX jobs_ended ON jobs (ended) WHERE state = 'done';
  PRAGMA application_id = ${APPLICATION_ID};
  PRAGMA user_version = ${VERSION};
`;

const LEASE_MS = 30_000;
const MOST_CRASHES = 5;
const LATELY_MS = 600_000;

const ADD = `INSERT INTO jobs (id, data, priority, state, due) VALUES (:id, :data, :priority, 'waiting', 0)
  ON CONFLICT (id) DO NOTHING`;
const GIVE_UP = `UPDATE jobs SET state = 'dead', reason = 'Whoever began it ended without a word, ' || :most || ' times.'
  WHERE state = 'active' AND lease < :now AND crashes >= :most - 1`;
const TAKE = `UPDATE jobs SET
    crashes = crashes + (state = 'active'), tries = tries + (state != 'active'), state = 'active', lease = :lease
  WHERE seq = (
    SELECT seq FROM jobs
    WHERE (state = 'waiting' AND due <= :now) OR (state = 'active' AND lease < :now)
    ORDER BY priority, seq LIMIT 1
  )
  RETURNING id, data, priority, tries - 1 AS triedBefore`;
const KEEP = `UPDATE jobs SET lease = :lease WHERE id = :id AND state = 'active'`;
const FINISH = `UPDATE jobs SET state = 'done', ended = :now WHERE id = :id`;
const PAUSE = `UPDATE jobs SET state = 'waiting', due = :due, reason = :reason WHERE id = :id`;
const BURY = `UPDATE jobs SET state = 'dead', reason = :reason WHERE id = :id`;
const RETRY = `UPDATE jobs SET state = 'waiting', due = 0, tries = 0, crashes = 0, reason = NULL WHERE state = 'dead'`;
const DEAD = `SELECT id, data, reason FROM jobs WHERE state = 'dead' ORDER BY seq LIMIT ?`;
const COUNTS = `SELECT
    coalesce(sum(state = 'waiting' AND due <= :now), 0) AS waiting,
    coalesce(sum(state = 'waiting' AND due > :now), 0) AS paused,
    coalesce(sum(state = 'active'), 0) AS active,
    coalesce(sum(state = 'done'), 0) AS done,
    coalesce(sum(state = 'dead'), 0) AS dead,
    coalesce(sum(state = 'done' AND ended > :lately), 0) AS latelyDone,
    min(CASE WHEN state = 'done' AND ended > :lately THEN ended END) AS latelySince
  FROM jobs`;

async function openFile(path: string, create: boolean): Promise<OpenDatabase> {
  const { connect, whole } = await connector(path, 'queue');
  requirePlace(whole, !create, 'queue');
  let opened: OpenDatabase | undefined;
  try {
    opened = closing(connect(whole, false));
    const { database } = opened;
    const single = (query: string) => Number(Object.values(database.prepare(query).get() as object)[0]);
    transaction(database, 'BEGIN IMMEDIATE', () => {
      const isEmpty = single('SELECT count(*) FROM sqlite_schema') === 0;
      if (isEmpty && single('PRAGMA application_id') === 0) database.exec(CREATE);
      const isQueue = single('PRAGMA application_id') === APPLICATION_ID;
      if (!isQueue || single('PRAGMA user_version') !== VERSION)
        throw new DotphaseError('queue', path, 'a queue of recordings of this version, not another file');
    });
    // A job whose end is lost where power fails is done again, which changes nothing.
    database.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL');
    return opened;
  } catch (error) {
    opened?.close();
    throw refusal(path, 'queue', error);
  }
}

/**
 * Opens or creates a file of jobs. Several processes may use it at the same time.
 *
 * @param path - a file name; its folder must exist
 * @throws DotphaseError where there is no SQLite, or the file cannot be opened or holds something else
 */
export async function openJobStore(
  path: string,
  { clock, leaseMs = LEASE_MS, mostCrashes = MOST_CRASHES, create = true }: JobStoreOptions,
): Promise<JobStore> {
  const { database, close } = await openFile(path, create);
  const using = statementsOf({ database, path }, 'queue');
  const run = (sql: string, values: Record<string, string | number> = {}): number =>
    using(sql, (statement) => statement.run(values).changes);
  /** All or nothing of a change, alone among all that use the file. */
  const alone = <Result>(act: () => Result): Result => {
    try {
      return transaction(database, 'BEGIN IMMEDIATE', act);
    } catch (error) {
      throw refusal(path, 'queue', error);
    }
  };
  const addAll = (jobs: readonly NewJob[]): number => {
    let added = 0;
    for (const { id, data, priority } of jobs) added += run(ADD, { id, data, priority });
    return added;
  };
  return {
    add: (jobs) => withSafety(database, ['FULL', 'NORMAL'], () => alone(() => addAll(jobs))),
    take() {
      const now = clock();
      return alone(() => {
        run(GIVE_UP, { now, most: mostCrashes });
        return using(
          TAKE,
          (statement) => statement.get({ now, lease: now + leaseMs }) as TakenJob | undefined,
        );
      });
    },
    keep(id) {
      run(KEEP, { id, lease: clock() + leaseMs });
    },
    finish(id, next) {
      alone(() => {
        addAll(next);
        run(FINISH, { id, now: clock() });
      });
    },
    fail(id, reason, pauseMs) {
      if (pauseMs === undefined) run(BURY, { id, reason });
      else run(PAUSE, { id, reason, due: clock() + pauseMs });
    },
    counts() {
      const now = clock();
      const row = using(
        COUNTS,
        (statement) => statement.get({ now, lately: now - LATELY_MS }) as unknown as JobCounts,
      );
      const { latelySince, ...counts } = row;
      return { ...counts, ...(typeof latelySince === 'number' && { latelySince }) };
    },
    dead: (limit) => using(DEAD, (statement) => statement.all(limit) as unknown as DeadJob[]),
    retry: () => run(RETRY),
    close,
  };
}
