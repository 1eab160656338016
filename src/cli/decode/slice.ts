/**
 * Recordings of a slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { DotphaseError } from '../../errors.js';
import { createSliceReceiver, type SliceCall, type SliceReceiver } from '../../radio/index.js';
import type { ReceiverEvent } from '../../receiver/index.js';
import type { Band } from '../../symbols/index.js';
import { Attempts } from '../attempts.js';
import type { HeardCall } from '../heardcall.js';
import type { BlockSettings } from './blocks.js';
import { pieceBlocks, requireTuned, type Piece, type SliceSettings } from './sliceblocks.js';

/** How a slice is decoded. */
interface SliceDecoding {
  readonly bands: readonly Band[];
  /** For audio alone. */
  readonly centreHz?: number;
  readonly channel: BlockSettings['channel'];
  /** Whether the receivers' events are wanted. */
  readonly events?: boolean;
  readonly slice: SliceSettings;
}

type SliceMessage =
  | { readonly type: 'call'; readonly call: HeardCall }
  | { readonly type: 'over'; readonly attempt: number }
  | {
      readonly type: 'event';
      readonly event: ReceiverEvent;
      readonly channel: number;
      readonly frequencyHz: number;
    }
  | { readonly type: 'warning'; readonly text: string }
  | { readonly type: 'progress'; readonly bytes: number; readonly seconds: number };

/** Receives one piece. */
function hearPiece(
  sampleRate: number,
  piece: Piece,
  { bands, events, slice }: SliceDecoding,
  tell: (message: SliceMessage) => void,
): SliceReceiver {
  return createSliceReceiver({
    sampleRate,
    tunedHz: requireTuned(piece),
    bands,
    ...(slice.oscillatorPpm !== undefined && { oscillatorPpm: slice.oscillatorPpm }),
    ...(events && {
      onEvent: (event, frequencyHz) => {
        tell({ type: 'event', event: { ...event, time: event.time + piece.begin }, channel: 0, frequencyHz });
      },
    }),
  });
}

/**
 * Decodes a recording of a slice and tells its calls as they end, and how many seconds it was.
 *
 * @throws DotphaseError where it can't be read or holds no DSC channel; what was received until then has been told
 */
export async function decodeSlice(
  file: string,
  settings: SliceDecoding,
  tell: (message: SliceMessage) => void,
): Promise<number> {
  const { centreHz, channel, slice } = settings;
  if (centreHz !== undefined)
    throw new DotphaseError(
      '--centre',
      centreHz,
      "nothing with a slice of spectrum: calls lie about their channel's middle",
    );
  if (channel !== 'best')
    throw new DotphaseError(
      '--channel',
      channel,
      'nothing with a slice of spectrum: its channels are I and Q',
    );
  let seconds = 0;
  const attempts = new Attempts();
  let piece: Piece | undefined;
  let receiver: SliceReceiver | undefined;
  const give = (calls: readonly SliceCall[] = []) => {
    for (const received of calls) {
      const { begin = 0 } = piece ?? {};
      const [start, end] = [received.start + begin, received.end + begin];
      // Each frequency is a place of its own.
      const numbered = attempts.add({ ...received, start, end, file, channel: received.frequencyHz });
      tell({ type: 'call', call: { ...numbered, channel: 0 } });
    }
  };
  let samples = 0;
  const warn = (text: string) => {
    tell({ type: 'warning', text });
  };
  const blocks = pieceBlocks(file, slice, warn, (bytes) => {
    tell({ type: 'progress', bytes, seconds });
  });
  try {
    for await (const { i, q, sampleRate, piece: own, isFirst } of blocks) {
      if (isFirst) {
        give(receiver?.flush());
        piece = own;
        receiver = undefined;
        try {
          receiver = hearPiece(sampleRate, own, settings, tell);
        } catch (error) {
          // Of a recording that was tuned to and fro, the other pieces are read.
          if (!(error instanceof DotphaseError) || own.isOnly) throw error;
          warn(`From sample ${own.start} on: ${error.message}`);
        }
      }
      give(receiver?.push(i, q));
      samples += i.length;
      seconds = samples / sampleRate;
      for (const attempt of attempts.over(seconds)) tell({ type: 'over', attempt });
    }
  } finally {
    give(receiver?.flush());
    for (const attempt of attempts.over(Infinity)) tell({ type: 'over', attempt });
  }
  return seconds;
}
