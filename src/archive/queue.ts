/**
 * A queue of recordings: each piece of each is read once, by any number of workers.
 */
import { createHash } from 'node:crypto';
import * as z from 'zod';
import { checked } from '../data/index.js';
import { DotphaseError, reasonOf } from '../errors.js';

/** Seconds that a piece has at least: an attempt of five alerts is shorter. */
export const SHORTEST_PIECE = 60;
/** Seconds that a piece has at most: a day is long for one thread. */
export const LONGEST_PIECE = 86_400;

/** A piece of a recording to be read. */
export interface Piece {
  /** Where the recording lies below the root of whoever reads it; parts separated by `/`. */
  readonly path: string;
  /** Bytes of the recording when it was added. */
  readonly size: number;
  /** When it was last changed by then: milliseconds since 1970 UTC. */
  readonly modifiedAt: number;
  /** How it is to be read, as JSON: two readings that look for different things are told apart by it. */
  readonly reading: string;
  /** When the recording began: milliseconds since 1970 UTC. */
  readonly recorded?: number;
  /** The DSC frequency, hertz. */
  readonly frequencyHz?: number;
  /** How fast the recorder's clock was, parts per million. */
  readonly driftPpm?: number;
  /** Seconds of a piece; a recording that is longer has several. */
  readonly pieceSeconds: number;
  /** Which piece it is, from 0. */
  readonly piece: number;
  /** SHA-256 of the file, where an earlier piece told it: 64 hexadecimal digits. */
  readonly recording?: string;
}

/** A piece as it is told of: whoever can write into a queue may have written anything. */
export interface PieceLabel {
  readonly path: string;
  readonly piece: number;
}

/** A piece that was given up. */
export interface DeadPiece extends PieceLabel {
  /** Why. */
  readonly reason: string;
}

/** How far a queue is. Pieces of long recordings are added as the one before them is read. */
export interface QueueStatus {
  readonly waiting: number;
  /** Failed, and to be tried again after a pause. */
  readonly paused: number;
  /** Being read. */
  readonly active: number;
  readonly done: number;
  readonly dead: number;
  /** Done each minute, of late; absent where nothing was. */
  readonly perMinute?: number;
}

/** How a worker works. */
export interface WorkOptions {
  /** Pieces read at the same time. */
  readonly atOnce: number;
  /** No more is begun after this; what is being read is read to its end. */
  readonly signal: AbortSignal;
  /** Whether to wait for more where all is done. */
  readonly stay: boolean;
  /** Called with each piece that failed; `isLast` where it is given up. */
  readonly onFailure?: (piece: PieceLabel, reason: string, isLast: boolean) => void;
  /** Called where the queue does not answer, and goes on by itself when it does again. */
  readonly onTrouble?: (text: string) => void;
}

/** Reads a piece and gives the next one of the same recording, if there is more of it. */
export type ReadPiece = (piece: Piece) => Promise<Piece | undefined>;

/** A queue. */
export interface RecordingQueue {
  /** Adds pieces, those that are known already not again; gives how many were new. `priority` 1 is first, 9 last. */
  add(pieces: readonly Piece[], priority: number): Promise<number>;
  /** Reads piece after piece; ends where all is done, or when told to. */
  work(read: ReadPiece, options: WorkOptions): Promise<void>;
  /** How far it is. */
  status(): Promise<QueueStatus>;
  /** Pieces that were given up. */
  dead(limit: number): Promise<DeadPiece[]>;
  /** Lets what was given up be tried again; gives how many. */
  retry(): Promise<number>;
  /** Lets go of what the queue lies in. */
  close(): Promise<void>;
}

/** How often a piece is tried, and how long it rests before that; for tests. */
export interface QueueTimes {
  /** Times a piece is read that fails; default 3. */
  readonly tries: number;
  /** The first pause; each further one is twice as long. Milliseconds, default 30 000. */
  readonly pauseMs: number;
  /** A worker that has not been heard of for so long has lost its pieces; milliseconds, default 30 000. */
  readonly leaseMs: number;
}

export const TIMES: QueueTimes = { tries: 3, pauseMs: 30_000, leaseMs: 30_000 };

/** A worker that ends so often with a piece is ended by it. */
export const MOST_CRASHES = 5;

/** Trying again would not help. */
export class UnreadablePiece extends Error {}

const PIECE = z.strictObject({
  path: z.string({ error: 'a path' }).min(1, { error: 'a path' }).max(4096, { error: 'a path' }),
  size: z.int({ error: 'bytes' }).min(0, { error: 'bytes' }),
  modifiedAt: z.number({ error: 'milliseconds' }),
  reading: z.string({ error: 'JSON' }).max(4096, { error: 'JSON of up to 4096 characters' }),
  recorded: z.number({ error: 'milliseconds' }).optional(),
  frequencyHz: z.number({ error: 'hertz' }).optional(),
  driftPpm: z.number({ error: 'parts per million' }).optional(),
  pieceSeconds: z
    .number({ error: 'seconds' })
    .min(SHORTEST_PIECE, { error: `seconds from ${SHORTEST_PIECE}` })
    .max(LONGEST_PIECE, { error: `seconds up to ${LONGEST_PIECE}` }),
  piece: z.int({ error: 'a number from 0' }).min(0, { error: 'a number from 0' }),
  recording: z
    .string({ error: 'SHA-256' })
    .regex(/^[0-9a-f]{64}$/, { error: 'SHA-256' })
    .optional(),
});

/**
 * A piece as a queue keeps it.
 *
 * @throws UnreadablePiece where it is none
 */
export function checkPiece(data: unknown): Piece {
  try {
    return checked(PIECE, data, 'piece') as Piece;
  } catch (error) {
    throw new UnreadablePiece(reasonOf(error));
  }
}

/** What to call a piece, whether it is one or not. */
export function labelOf(data: unknown): PieceLabel {
  const { path, piece } = Object(data) as Partial<Record<keyof Piece, unknown>>;
  return {
    path: typeof path === 'string' ? path : 'something that is no recording',
    piece: typeof piece === 'number' ? piece : 0,
  };
}

/** The name of a piece in a queue: what is the same piece has the same. */
export function nameOf({ path, size, modifiedAt, reading, pieceSeconds, piece }: Piece): string {
  return createHash('sha256')
    .update(JSON.stringify([path, size, modifiedAt, reading, pieceSeconds, piece]))
    .digest('hex')
    .slice(0, 32);
}

/** Refuses a priority that is none. */
export function requirePriority(priority: number): void {
  if (!Number.isInteger(priority) || priority < 1 || priority > 9)
    throw new DotphaseError('priority', priority, 'a whole number from 1, the first, to 9');
}

/** Pieces a minute, from how many were done since a moment. */
export function rateOf(done: number, since: number | undefined, now: number): number | undefined {
  const minutes = since === undefined ? 0 : (now - since) / 60_000;
  return done > 1 && minutes > 0 ? done / minutes : undefined;
}
