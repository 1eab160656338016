/**
 * A piece of a recording into the log.
 */
import { isAbsolute, relative, resolve, sep } from 'node:path';
import { UnreadablePiece, type Piece, type ReadPiece } from '../../archive/index.js';
import { attemptLogger } from '../../records/index.js';
import { isOneMore } from './counting.js';
import { Logging, type Reading } from '../decode/logging.js';
import { isSigmf, samplesStatus, sigmfOf } from '../decode/sigmf.js';
import type { Pool } from '../decodepool.js';
import type { DecodeSettings } from '../decoding.js';
import { warn } from '../exit.js';
import type { HeardCall } from '../heardcall.js';
import type { LogFile } from '../log/file.js';

/** Seconds read before and behind a piece: an attempt of five, and time for the receiver to know the noise. */
const LEAD_SECONDS = 90;

/** Sure calls so near to a cut are taken from both pieces; the log holds each once. */
const SHARED_SECONDS = 30;

/** Calls that are logged together at most, so that memory does not grow with a piece. */
const MOST_TOGETHER = 500;

/** What was read. */
export interface Tally {
  pieces: number;
  /** Of audio. */
  seconds: number;
  /** That the log has more. */
  calls: number;
  /** Pieces that were given up. */
  dead: number;
}

/** Where a recording lies on this machine; nothing above the root is read, whatever the queue says. */
export function placeOf(root: string, path: string): string {
  const file = resolve(root, ...path.split('/'));
  const inside = relative(root, file);
  if (inside === '' || isAbsolute(inside) || inside.split(sep)[0] === '..')
    throw new UnreadablePiece(`the path ${JSON.stringify(path)} leads out of ${root}`);
  return file;
}

/** Which calls of what was read belong to a piece: an attempt goes where its first sending lies. */
export function belonging({
  piece,
  pieceSeconds,
}: Pick<Piece, 'piece' | 'pieceSeconds'>): (heard: HeardCall) => boolean {
  const [begin, end] = [piece * pieceSeconds, (piece + 1) * pieceSeconds];
  const taken = new Map<number, boolean>();
  return ({ attempt, start, quality }) => {
    const shared = quality === 'doubtful' ? 0 : SHARED_SECONDS;
    const isTaken = taken.get(attempt.id) ?? (start >= begin - shared && start < end + shared);
    taken.set(attempt.id, isTaken);
    return isTaken;
  };
}

/** The file of a piece, as it was when it was added. */
function requireUnchanged(file: string, { size }: Piece): void {
  const status = samplesStatus(file);
  if (!status?.isFile()) throw new Error(`there is no file ${file}`);
  if (status.size !== size) {
    throw new UnreadablePiece(
      `it had ${size} bytes when it was added and has ${status.size}: add it again when it is whole`,
    );
  }
}

/** How a piece is to be read: what the receiver cannot take of it, it refuses itself. */
function settingsIn({ reading }: Piece): DecodeSettings {
  let settings: unknown;
  try {
    settings = JSON.parse(reading);
  } catch {
    settings = undefined;
  }
  if (typeof settings === 'object' && settings !== null) return settings as DecodeSettings;
  throw new UnreadablePiece('how it is to be read is no JSON object');
}

/**
 * Whether a recording is not cut into pieces: a slice whose oscillator's error is found from all its calls, or that was
 * tuned to and fro by a clock of its own.
 */
async function isReadWhole(file: string, { slice }: DecodeSettings): Promise<boolean> {
  if (slice?.findOscillator) return true;
  return isSigmf(file) && (await sigmfOf(file)).captures.length > 1;
}

/**
 * What reads pieces.
 *
 * @param root - the folder that their paths begin in
 */
export function pieceReader(root: string, pool: Pool, log: LogFile, tally: Tally): ReadPiece {
  return async (piece) => {
    const { path, recorded, frequencyHz, driftPpm, recording } = piece;
    const file = placeOf(root, path);
    requireUnchanged(file, piece);
    const settings = settingsIn(piece);
    const logging = new Logging(log, settings);
    if (piece.piece === 0 && logging.hasRead(file)) return undefined;
    const reading: Reading = {
      file,
      origin: {
        ...(recorded !== undefined && { recorded }),
        ...(frequencyHz !== undefined && { frequencyHz }),
        ...(driftPpm !== undefined && { driftPpm }),
      },
      fingerprint: recording,
      add: attemptLogger(),
      failed: false,
    };
    const begin = piece.piece * piece.pieceSeconds;
    const isWhole = await isReadWhole(file, settings);
    const end = isWhole ? Infinity : begin + piece.pieceSeconds;
    const belongs = isWhole ? () => true : belonging(piece);
    let failure: string | undefined;
    let reached = 0;
    let heard: HeardCall[] = [];
    /** Calls that the log has more. */
    let added = 0;
    const logHeard = () => {
      log.use((store) => {
        for (const call of heard) {
          const latest = store.latestId();
          const entry = logging.entry(reading, call)(store);
          if (isOneMore(entry, latest, store.calls)) added++;
        }
      });
    };
    /** Once the log has failed the piece is to be read again. */
    const write = (act: () => void) => {
      if (!log.failed) log.together(act);
      heard = [];
    };
    await pool.decode(
      {
        file,
        settings: {
          ...settings,
          fingerprint: recording === undefined,
          ...(!isWhole && { span: { from: Math.max(0, begin - LEAD_SECONDS), to: end + LEAD_SECONDS } }),
        },
      },
      (message) => {
        switch (message.type) {
          case 'fingerprint':
            reading.fingerprint = message.recording;
            break;
          case 'call':
            if (!belongs(message.call)) break;
            heard.push(message.call);
            if (heard.length >= MOST_TOGETHER) write(logHeard);
            break;
          case 'warning':
          case 'note':
            warn(`${path}: ${message.text}`);
            break;
          case 'error':
            failure = message.text;
            break;
          case 'end':
            reached = message.seconds;
        }
      },
    );
    // A piece is read beyond its end: what is left may be less than that.
    const isLast = failure === undefined && reached <= end;
    // What was heard before a failure is kept too.
    write(() => {
      logHeard();
      if (isLast) log.use(logging.end(reading, reached));
    });
    if (!log.failed) tally.calls += added;
    if (failure !== undefined) throw new Error(failure);
    if (log.failed) throw new Error('the log could not be written');
    tally.pieces++;
    tally.seconds += Math.min(reached, end) - begin;
    if (isLast) return undefined;
    return {
      ...piece,
      piece: piece.piece + 1,
      ...(reading.fingerprint !== undefined && { recording: reading.fingerprint }),
    };
  };
}
