/**
 * A recording of a slice that was tuned to and fro, as pieces on one frequency each.
 */
import type { IqBlock } from './formats.js';
import type { SigmfRecording } from './sigmf.js';

/** A slice on one frequency. */
export interface SlicePiece {
  /** Complex samples of the recording before it. */
  readonly start: number;
  /** Seconds from the recording's beginning, by its clock where that is told. */
  readonly begin: number;
  /** The frequency in the slice's middle, hertz; undefined where the recording does not tell it. */
  readonly tunedHz: number | undefined;
}

/** Samples of one piece. */
export interface PieceBlock extends IqBlock {
  readonly piece: SlicePiece;
  /** Whether they are the first of the piece. */
  readonly isFirst: boolean;
}

/** The pieces of a SigMF recording, in the order of their samples. */
export function slicePiecesOf({ sampleRate, captures }: SigmfRecording): SlicePiece[] {
  const [{ began: first }] = captures;
  return captures.map(({ start, tunedHz, began }) => ({
    start,
    begin: first !== undefined && began !== undefined ? (began - first) / 1000 : start / sampleRate,
    tunedHz,
  }));
}

/** What is left of pieces from a sample of the recording on. */
export function slicePiecesFrom(
  pieces: readonly SlicePiece[],
  first: number,
  sampleRate: number,
): SlicePiece[] {
  return pieces
    .filter((_, i) => i + 1 >= pieces.length || pieces[i + 1].start > first)
    .map((piece) =>
      piece.start >= first
        ? piece
        : { ...piece, start: first, begin: piece.begin + (first - piece.start) / sampleRate },
    );
}

/**
 * Cuts blocks of samples where another piece begins.
 *
 * @param pieces - in the order of their samples; what lies before the first is left out
 * @param first - which sample of the recording comes first; default 0
 * @returns what takes the next samples of the recording and gives them by pieces
 */
export function createPieceCutter(
  pieces: readonly SlicePiece[],
  first = 0,
): (block: IqBlock) => PieceBlock[] {
  let next = 0;
  let samples = first;
  return ({ i, q }) => {
    const blocks: PieceBlock[] = [];
    for (let at = 0; at < i.length;) {
      const isFirst = next < pieces.length && samples === pieces[next].start;
      if (isFirst) next++;
      const until = next < pieces.length ? Math.min(i.length, at + pieces[next].start - samples) : i.length;
      if (next > 0)
        blocks.push({ i: i.subarray(at, until), q: q.subarray(at, until), piece: pieces[next - 1], isFirst });
      samples += until - at;
      at = until;
    }
    return blocks;
  };
}
