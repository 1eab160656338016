/**
 * A recording of a slice of spectrum in the page: WAV with I and Q, or the two files of a SigMF recording.
 */
import { DotphaseError } from 'dotphase';
import {
  createIqReader,
  createPieceCutter,
  parseSigmf,
  slicePiecesOf,
  type IqBlock,
  type PieceBlock,
} from 'dotphase/radio';
import { blocksOf } from '../listen/file.js';

/** Samples of one piece of the recording, and how much of the file was read. */
export interface SliceBlock extends PieceBlock {
  readonly sampleRate: number;
  readonly share: number;
}

const SLICE_BYTES = 2 ** 20;

async function* samplesOf(file: Blob, reader: ReturnType<typeof createIqReader>): AsyncGenerator<IqBlock> {
  for (let at = 0; at < file.size; at += SLICE_BYTES)
    yield reader.push(new Uint8Array(await file.slice(at, at + SLICE_BYTES).arrayBuffer()));
}

async function* audioOf(
  file: Blob,
  warn: (text: string) => void,
): AsyncGenerator<IqBlock & { readonly sampleRate: number; readonly done: number }> {
  let done = 0;
  const blocks = blocksOf(file, (_, bytes) => {
    done = bytes;
  });
  for (;;) {
    const next = await blocks.next();
    if (next.done) {
      next.value.forEach(warn);
      return;
    }
    const { sampleRate, channels } = next.value;
    if (channels.length !== 2)
      throw new DotphaseError(
        'recording',
        channels.length,
        'two channels, I and Q; one with other channels is no slice of spectrum',
      );
    yield { i: channels[0], q: channels[1], sampleRate, done };
  }
}

/**
 * The samples of a recording, no block over two pieces.
 *
 * @param metadata - of a SigMF recording, whose samples are in `file`
 * @param tunedHz - the frequency in the slice's middle, where the recording does not tell it
 * @throws DotphaseError where it is no such recording
 */
export async function* sliceBlocks(
  file: Blob,
  metadata: string | undefined,
  tunedHz: number | undefined,
  warn: (text: string) => void,
): AsyncGenerator<SliceBlock> {
  if (metadata === undefined) {
    const cut = createPieceCutter([{ start: 0, begin: 0, tunedHz }]);
    for await (const { done, sampleRate, ...block } of audioOf(file, warn))
      for (const piece of cut(block)) yield { ...piece, sampleRate, share: done / file.size };
    return;
  }
  const recording = parseSigmf(metadata);
  const { format, sampleRate } = recording;
  const cut = createPieceCutter(
    slicePiecesOf(recording).map((piece) => ({ ...piece, tunedHz: tunedHz ?? piece.tunedHz })),
  );
  const reader = createIqReader(format);
  let read = 0;
  for await (const block of samplesOf(file, reader)) {
    read = Math.min(file.size, read + SLICE_BYTES);
    for (const piece of cut(block)) yield { ...piece, sampleRate, share: read / file.size };
  }
  if (reader.left > 0) warn('The last sample is not whole.');
}
