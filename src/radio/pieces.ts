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

/**
 * Cuts blocks of samples where another piece begins.
 *
 * @param pieces - in the order of their samples; what lies before the first is left out
 * @returns what takes the next samples of the recording and gives them by pieces
 */
export function createPieceCutter(pieces: readonly SlicePiece[]): (block: IqBlock) => PieceBlock[] {
  let next = 0;
  let samples = 0;
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
