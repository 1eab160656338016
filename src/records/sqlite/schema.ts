/**
 * The tables of a durable log, and how those of earlier versions become them.
 */
import { LOG_DIRECTIONS, TIME_SOURCES } from '../log/entry.js';

/** Marks the file as a log of calls: SQLite's application id, "DPLG" in ASCII. */
export const APPLICATION_ID = 0x44504c47;

/**
 * 2: `made` beside `sent`, `stopped`, `snrDb`, `errorProbability`, `file`.
 * 3: `recording`, `offset`, `lastOffset`, `sendings`.
 * 4: `timeSource`, `input`, `sameAs`; recordings read; events, levels and sound of inputs.
 * 5: `multiFrequencyAttempt`.
 */
export const SCHEMA_VERSION = 5;

const oneOf = (words: readonly string[]) => words.map((word) => `'${word}'`).join(', ');

const CALLS = `
  CREATE TABLE calls (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    time INTEGER NOT NULL,
    timeSource TEXT CHECK (timeSource IN (${oneOf(TIME_SOURCES)})),
    direction TEXT NOT NULL CHECK (direction IN (${oneOf(LOG_DIRECTIONS)})),
    stopped INTEGER CHECK (stopped = 1),
    frequencyHz INTEGER,
    quality TEXT,
    snrDb REAL,
    errorProbability REAL,
    file TEXT,
    recording TEXT,
    "offset" REAL,
    lastOffset REAL,
    input TEXT,
    sameAs INTEGER,
    multiFrequencyAttempt INTEGER,
    sendings TEXT,
    symbols TEXT NOT NULL,
    kind TEXT NOT NULL,
    "from" TEXT,
    "to" TEXT,
    casualty TEXT,
    text TEXT NOT NULL,
    call TEXT NOT NULL,
    acknowledgedAt INTEGER
  ) STRICT;
  CREATE INDEX calls_by_time ON calls (time, id);
  CREATE INDEX calls_by_sender ON calls ("from", time);
  CREATE INDEX calls_by_recording ON calls (recording, lastOffset) WHERE recording IS NOT NULL;
  CREATE INDEX calls_by_same ON calls (sameAs) WHERE sameAs IS NOT NULL;
`;

const BY_ATTEMPT = `
  CREATE INDEX calls_by_attempt ON calls (multiFrequencyAttempt) WHERE multiFrequencyAttempt IS NOT NULL;
`;

const REST = `
  CREATE TABLE recordings (
    path TEXT NOT NULL,
    reading TEXT NOT NULL,
    size INTEGER NOT NULL,
    modifiedAt REAL NOT NULL,
    recording TEXT,
    began INTEGER,
    frequencyHz INTEGER,
    seconds REAL NOT NULL,
    readAt INTEGER NOT NULL,
    PRIMARY KEY (path, reading)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE events (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    input TEXT NOT NULL,
    kind TEXT NOT NULL,
    time INTEGER NOT NULL,
    until INTEGER,
    text TEXT NOT NULL
  ) STRICT;
  CREATE INDEX events_by_time ON events (time, id);
  CREATE TABLE levels (
    input TEXT NOT NULL,
    time INTEGER NOT NULL,
    seconds REAL NOT NULL,
    rmsDb REAL,
    peakDb REAL,
    PRIMARY KEY (input, time)
  ) STRICT, WITHOUT ROWID;
  CREATE TABLE clips (
    call INTEGER PRIMARY KEY,
    wav BLOB NOT NULL
  ) STRICT;
`;

const VERSION = `PRAGMA user_version = ${SCHEMA_VERSION};`;

/** Makes all tables in an empty file. */
export const CREATE = `${CALLS} ${BY_ATTEMPT} ${REST} ${VERSION} PRAGMA application_id = ${APPLICATION_ID};`;

const VERSION_1 =
  'id, time, direction, frequencyHz, quality, symbols, kind, "from", "to", casualty, text, call, acknowledgedAt';
const VERSION_2 = `${VERSION_1}, stopped, snrDb, errorProbability, file`;

/** The columns of calls in the versions whose calls are written anew. */
const EARLIER: Readonly<Record<number, string>> = {
  1: VERSION_1,
  2: VERSION_2,
  3: `${VERSION_2}, recording, "offset", lastOffset, sendings`,
};

/** Makes the tables of this version out of those of an earlier one. */
export function bringUpToDate(version: number): string {
  if (!(version in EARLIER))
    return `ALTER TABLE calls ADD COLUMN multiFrequencyAttempt INTEGER; ${BY_ATTEMPT} ${VERSION}`;
  const columns = EARLIER[version];
  return `
    DROP INDEX calls_by_time;
    DROP INDEX IF EXISTS calls_by_recording;
    ALTER TABLE calls RENAME TO calls_before;
    ${CALLS}
    INSERT INTO calls (${columns}) SELECT ${columns} FROM calls_before;
    DROP TABLE calls_before;
    ${BY_ATTEMPT}
    ${REST}
    ${VERSION}
  `;
}
