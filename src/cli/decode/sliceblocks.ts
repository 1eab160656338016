/**
 * Recordings of a slice of spectrum as complex samples, piece by piece of what was tuned to.
 */
import { Described, DotphaseError, NOTHING } from '../../errors.js';
import { readIqBlocks, type IqBlock, type IqFormat } from '../../radio/index.js';
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

interface Recording {
  readonly blocks: AsyncIterable<IqBlock & { readonly sampleRate: number }>;
  readonly pieces: readonly Piece[];
}

async function* rawBlocks(
  file: string,
  format: IqFormat,
  sampleRate: number,
  warn: (text: string) => void,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  const onWarning = ({ text }: { text: string }) => {
    warn(text);
  };
  for await (const block of readIqBlocks(bytesOf(file, onBytes), format, onWarning))
    yield { ...block, sampleRate };
}

async function* audioBlocks(
  file: string,
  warn: (text: string) => void,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  for await (const { sampleRate, channels } of blocksOf(
    file,
    { channel: 'each' },
    ({ text }) => {
      warn(text);
    },
    onBytes,
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

async function open(
  file: string,
  { raw, tunedHz }: SliceSettings,
  warn: (text: string) => void,
  onBytes: (bytes: number) => void,
): Promise<Recording> {
  if (isSigmf(file)) {
    const { format, sampleRate, captures } = await sigmfOf(file);
    const [{ began: first }] = captures;
    return {
      blocks: rawBlocks(samplesOf(file), format, sampleRate, warn, onBytes),
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
  if (raw) return { blocks: rawBlocks(file, raw.format, raw.sampleRate, warn, onBytes), pieces };
  return { blocks: audioBlocks(file, warn, onBytes), pieces };
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
  warn: (text: string) => void,
  onBytes: (bytes: number) => void,
): AsyncGenerator<PieceBlock> {
  const { blocks, pieces } = await open(file, settings, warn, onBytes);
  let next = 0;
  let samples = 0;
  for await (const { i, q, sampleRate } of blocks) {
    for (let at = 0; at < i.length;) {
      const isFirst = next < pieces.length && samples === pieces[next].start;
      if (isFirst) next++;
      const until = next < pieces.length ? Math.min(i.length, at + pieces[next].start - samples) : i.length;
      if (next > 0) {
        const piece = { ...pieces[next - 1], isOnly: pieces.length === 1 };
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
