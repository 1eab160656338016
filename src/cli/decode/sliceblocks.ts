/**
 * Recordings of a slice of spectrum as complex samples, piece by piece of what was tuned to.
 */
import { Described, DotphaseError, NOTHING } from '../../errors.js';
import { IQ_BYTES, readIqBlocks, type IqBlock, type IqFormat } from '../../radio/index.js';
import { isSkippable } from '../../wav/index.js';
import { blocksOf, bytesOf } from './blocks.js';
import { isSigmf, samplesOf, sigmfOf } from './sigmf.js';

/** What is known of slices. */
export interface SliceSettings {
  /** Whether every recording is one; SigMF recordings always are. */
  readonly isGiven: boolean;
  /** The frequency in the slice's middle, hertz, where the recording does not tell it. */
  readonly tunedHz?: number;
  /** How much higher than it says the receiver was tuned, parts per million. */
  readonly oscillatorPpm?: number;
  /** Whether calls are looked for between the DSC frequencies too. */
  readonly anywhere?: true;
  /** Whether a first reading finds out by the calls how far the receiver's oscillator is off. */
  readonly findOscillator?: true;
  /** Set where the input is samples without a container. */
  readonly raw?: { readonly format: IqFormat; readonly sampleRate: number };
}

/** A slice on one frequency. */
export interface Piece {
  /** Samples of the recording before it. */
  readonly start: number;
  /** Seconds from the recording's beginning, by its clock where that is told. */
  readonly begin: number;
  readonly tunedHz: number | undefined;
}

/** How a recording is read, and who is told of it. */
interface Listening {
  readonly warn: (text: string) => void;
  readonly onBytes: (bytes: number) => void;
  /** Seconds that are left out, to the sample: `Math.floor(from * sampleRate)` is the first. */
  readonly from: number;
}

interface Recording {
  readonly blocks: AsyncIterable<IqBlock & { readonly sampleRate: number }>;
  readonly pieces: readonly Piece[];
}

async function* rawBlocks(
  file: string,
  format: IqFormat,
  sampleRate: number,
  { warn, onBytes, from }: Listening,
): Recording['blocks'] {
  const onWarning = ({ text }: { text: string }) => {
    warn(text);
  };
  const first = Math.floor(from * sampleRate) * IQ_BYTES[format];
  for await (const block of readIqBlocks(bytesBehind(bytesOf(file, onBytes), first), format, onWarning))
    yield { ...block, sampleRate };
}

/** The bytes of a source behind so many, which are not read where it can leave them out. */
async function* bytesBehind(source: AsyncIterable<Uint8Array>, count: number): AsyncGenerator<Uint8Array> {
  let left = count;
  for await (const chunk of source) {
    const behind = chunk.subarray(left);
    left -= chunk.length - behind.length;
    if (behind.length > 0) yield behind;
    else if (isSkippable(source)) left -= await source.skip(left);
  }
}

async function* audioBlocks(file: string, { warn, onBytes, from }: Listening): Recording['blocks'] {
  const onWarning = ({ text }: { readonly text: string }) => {
    warn(text);
  };
  for await (const { sampleRate, channels } of blocksOf(
    file,
    { channel: 'each' },
    onWarning,
    onBytes,
    from,
  )) {
    if (channels.length !== 2) {
      throw new DotphaseError(
        '--iq',
        new Described(`a file with ${channels.length} ${channels.length === 1 ? 'channel' : 'channels'}`),
        'two channels, I and Q; without --iq it is read as audio',
      );
    }
    const [i, q] = channels;
    yield { i, q, sampleRate };
  }
}

async function open(file: string, { raw, tunedHz }: SliceSettings, listening: Listening): Promise<Recording> {
  if (isSigmf(file)) {
    const { format, sampleRate, captures } = await sigmfOf(file);
    const [{ began: first }] = captures;
    return {
      blocks: rawBlocks(samplesOf(file), format, sampleRate, listening),
      pieces: captures.map(({ start, tunedHz: told, began }) => ({
        start,
        begin: first !== undefined && began !== undefined ? (began - first) / 1000 : start / sampleRate,
        tunedHz: tunedHz ?? told,
      })),
    };
  }
  if (tunedHz === undefined)
    throw new DotphaseError('--tuned', NOTHING, "the frequency in the slice's middle, as in --tuned 8430");
  const pieces = [{ start: 0, begin: 0, tunedHz }];
  if (raw) return { blocks: rawBlocks(file, raw.format, raw.sampleRate, listening), pieces };
  return { blocks: audioBlocks(file, listening), pieces };
}

/** What is left of the pieces of a recording from a sample on. */
function piecesFrom(pieces: readonly Piece[], first: number, sampleRate: number): readonly Piece[] {
  return pieces
    .filter((_, i) => i + 1 >= pieces.length || pieces[i + 1].start > first)
    .map((piece) =>
      piece.start >= first
        ? piece
        : { ...piece, start: first, begin: piece.begin + (first - piece.start) / sampleRate },
    );
}

/** Samples of one piece; `isFirst` where they are its first. */
interface PieceBlock extends IqBlock {
  readonly piece: Piece & { readonly isOnly: boolean };
  readonly isFirst: boolean;
  readonly sampleRate: number;
}

/**
 * The samples of a recording, no block over two pieces.
 *
 * @throws DotphaseError where it can't be read
 */
export async function* pieceBlocks(
  file: string,
  settings: SliceSettings,
  listening: Listening,
): AsyncGenerator<PieceBlock> {
  const { blocks, pieces: all } = await open(file, settings, listening);
  let pieces = all;
  let next = 0;
  let samples = 0;
  let isBegun = false;
  for await (const { i, q, sampleRate } of blocks) {
    if (!isBegun) {
      samples = Math.floor(listening.from * sampleRate);
      pieces = piecesFrom(all, samples, sampleRate);
      isBegun = true;
    }
    for (let at = 0; at < i.length;) {
      const isFirst = next < pieces.length && samples === pieces[next].start;
      if (isFirst) next++;
      const until = next < pieces.length ? Math.min(i.length, at + pieces[next].start - samples) : i.length;
      if (next > 0) {
        const piece = { ...pieces[next - 1], isOnly: all.length === 1 };
        yield { i: i.subarray(at, until), q: q.subarray(at, until), sampleRate, piece, isFirst };
      }
      samples += until - at;
      at = until;
    }
  }
}

/**
 * The frequency that a piece was tuned to, hertz.
 *
 * @throws DotphaseError where neither an option nor the recording tells it
 */
export function requireTuned({ tunedHz }: Piece): number {
  if (tunedHz === undefined)
    throw new DotphaseError(
      '--tuned',
      NOTHING,
      "the frequency in the slice's middle, for the recording does not tell it",
    );
  return tunedHz;
}
