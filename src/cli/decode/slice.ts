/**
 * Recordings of a slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { Described, DotphaseError, NOTHING } from '../../errors.js';
import {
  createSliceReceiver,
  readIqBlocks,
  type IqBlock,
  type IqFormat,
  type SliceCall,
  type SliceReceiver,
} from '../../radio/index.js';
import type { ReceiverEvent } from '../../receiver/index.js';
import type { Band } from '../../symbols/index.js';
import { Attempts } from '../attempts.js';
import type { HeardCall } from '../heardcall.js';
import { blocksOf, bytesOf, type BlockSettings } from './blocks.js';
import { isSigmf, samplesOf, sigmfOf } from './sigmf.js';

/** What is known of slices. */
export interface SliceSettings {
  /** Whether every recording is one; SigMF recordings always are. */
  readonly isGiven: boolean;
  /** The frequency in the slice's middle, hertz, where the recording does not tell it. */
  readonly tunedHz?: number;
  /** How much higher than it says the receiver was tuned, parts per million. */
  readonly oscillatorPpm?: number;
  /** Set where the input is samples without a container. */
  readonly raw?: { readonly format: IqFormat; readonly sampleRate: number };
}

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

/** A slice on one frequency. */
interface Piece {
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
  tell: (message: SliceMessage) => void,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  const onWarning = ({ text }: { text: string }) => {
    tell({ type: 'warning', text });
  };
  for await (const block of readIqBlocks(bytesOf(file, onBytes), format, onWarning))
    yield { ...block, sampleRate };
}

async function* audioBlocks(
  file: string,
  tell: (message: SliceMessage) => void,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  for await (const { sampleRate, channels } of blocksOf(file, { channel: 'each' }, tell, onBytes)) {
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
  tell: (message: SliceMessage) => void,
  onBytes: (bytes: number) => void,
): Promise<Recording> {
  if (isSigmf(file)) {
    const { format, sampleRate, captures } = await sigmfOf(file);
    const [{ began: first }] = captures;
    return {
      blocks: rawBlocks(samplesOf(file), format, sampleRate, tell, onBytes),
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
  if (raw) return { blocks: rawBlocks(file, raw.format, raw.sampleRate, tell, onBytes), pieces };
  return { blocks: audioBlocks(file, tell, onBytes), pieces };
}

/** Receives one piece. */
function hearPiece(
  sampleRate: number,
  { begin, tunedHz }: Piece,
  { bands, events, slice }: SliceDecoding,
  tell: (message: SliceMessage) => void,
): SliceReceiver {
  if (tunedHz === undefined)
    throw new DotphaseError(
      '--tuned',
      NOTHING,
      "the frequency in the slice's middle, for the recording does not tell it",
    );
  return createSliceReceiver({
    sampleRate,
    tunedHz,
    bands,
    ...(slice.oscillatorPpm !== undefined && { oscillatorPpm: slice.oscillatorPpm }),
    ...(events && {
      onEvent: (event, frequencyHz) => {
        tell({ type: 'event', event: { ...event, time: event.time + begin }, channel: 0, frequencyHz });
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
  const { blocks, pieces } = await open(file, slice, tell, (bytes) => {
    tell({ type: 'progress', bytes, seconds });
  });
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
  let next = 0;
  let samples = 0;
  try {
    for await (const { i, q, sampleRate } of blocks) {
      for (let at = 0; at < i.length;) {
        if (next < pieces.length && samples === pieces[next].start) {
          give(receiver?.flush());
          piece = pieces[next++];
          receiver = undefined;
          try {
            receiver = hearPiece(sampleRate, piece, settings, tell);
          } catch (error) {
            // Of a recording that was tuned to and fro, the other pieces are read.
            if (!(error instanceof DotphaseError) || pieces.length === 1) throw error;
            tell({ type: 'warning', text: `From sample ${piece.start} on: ${error.message}` });
          }
        }
        const until = next < pieces.length ? Math.min(i.length, at + pieces[next].start - samples) : i.length;
        give(receiver?.push(i.subarray(at, until), q.subarray(at, until)));
        samples += until - at;
        at = until;
      }
      seconds = samples / sampleRate;
      for (const attempt of attempts.over(seconds)) tell({ type: 'over', attempt });
    }
  } finally {
    give(receiver?.flush());
    for (const attempt of attempts.over(Infinity)) tell({ type: 'over', attempt });
  }
  return seconds;
}
