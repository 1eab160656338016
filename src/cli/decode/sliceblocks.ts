/**
 * Recordings of a slice of spectrum as complex samples, piece by piece of what was tuned to.
 */
import { Described, DotphaseError, NOTHING } from '../../errors.js';
import {
  IQ_BYTES,
  createPieceCutter,
  readIqBlocks,
  slicePiecesFrom,
  slicePiecesOf,
  type IqBlock,
  type IqFormat,
  type PieceBlock,
  type SlicePiece,
} from '../../radio/index.js';
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

/** How a recording is read, and who is told of it. */
interface Listening {
  readonly warn: (text: string) => void;
  readonly onBytes: (bytes: number) => void;
  /** Seconds that are left out, to the sample: `Math.floor(from * sampleRate)` is the first. */
  readonly from: number;
}

interface Recording {
  readonly blocks: AsyncIterable<IqBlock & { readonly sampleRate: number }>;
  readonly pieces: readonly SlicePiece[];
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
    const recording = await sigmfOf(file);
    return {
      blocks: rawBlocks(samplesOf(file), recording.format, recording.sampleRate, listening),
      pieces: slicePiecesOf(recording).map((piece) => ({ ...piece, tunedHz: tunedHz ?? piece.tunedHz })),
    };
  }
  if (tunedHz === undefined)
    throw new DotphaseError('--tuned', NOTHING, "the frequency in the slice's middle, as in --tuned 8430");
  const pieces = [{ start: 0, begin: 0, tunedHz }];
  if (raw) return { blocks: rawBlocks(file, raw.format, raw.sampleRate, listening), pieces };
  return { blocks: audioBlocks(file, listening), pieces };
}

/** Samples of one piece. */
interface OpenPieceBlock extends PieceBlock {
  readonly sampleRate: number;
  /** Whether the recording has no other piece. */
  readonly isOnly: boolean;
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
): AsyncGenerator<OpenPieceBlock> {
  const { blocks, pieces } = await open(file, settings, listening);
  let cut: ReturnType<typeof createPieceCutter> | undefined;
  for await (const { sampleRate, ...block } of blocks) {
    const first = Math.floor(listening.from * sampleRate);
    cut ??= createPieceCutter(slicePiecesFrom(pieces, first, sampleRate), first);
    for (const piece of cut(block)) yield { ...piece, sampleRate, isOnly: pieces.length === 1 };
  }
}

/**
 * The frequency that a piece was tuned to, hertz.
 *
 * @throws DotphaseError where neither an option nor the recording tells it
 */
export function requireTuned({ tunedHz }: SlicePiece): number {
  if (tunedHz === undefined)
    throw new DotphaseError(
      '--tuned',
      NOTHING,
      "the frequency in the slice's middle, for the recording does not tell it",
    );
  return tunedHz;
}
