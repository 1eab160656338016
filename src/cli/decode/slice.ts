/**
 * Recordings of a slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { stat } from 'node:fs/promises';
import { Described, DotphaseError } from '../../errors.js';
import { DSC_FREQUENCIES } from '../../frequencies/index.js';
import {
  createSliceReceiver,
  oscillatorErrorOf,
  type OscillatorError,
  type SliceCall,
  type SlicePiece,
  type SliceReceiver,
} from '../../radio/index.js';
import type { ReceiverEvent } from '../../receiver/index.js';
import { MULTI_FREQUENCY_MS } from '../../records/index.js';
import { BIT_RATE, type Band } from '../../symbols/index.js';
import { Attempts } from '../attempts.js';
import type { HeardCall } from '../heardcall.js';
import type { BlockSettings } from './blocks.js';
import { samplesOf } from './sigmf.js';
import { pieceBlocks, requireTuned, type SliceSettings } from './sliceblocks.js';

/** How a slice is decoded. */
interface SliceDecoding {
  readonly bands: readonly Band[];
  /** For audio alone. */
  readonly centreHz?: number;
  readonly channel: BlockSettings['channel'];
  /** Whether the receivers' events are wanted. */
  readonly events?: boolean;
  readonly slice: SliceSettings;
  /** Which seconds to read; all of it where absent. */
  readonly span?: { readonly from: number; readonly to: number };
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
  | { readonly type: 'warning' | 'note'; readonly text: string }
  | { readonly type: 'progress'; readonly bytes: number; readonly seconds: number };

/** How much higher than said a receiver is taken to have been tuned, and how far from the channels calls may lie. */
interface Tuning {
  readonly ppm: number;
  readonly searchHz?: number;
}

/** Receives one piece. */
function hearPiece(
  sampleRate: number,
  piece: SlicePiece,
  { bands, events, slice }: SliceDecoding,
  { ppm, searchHz }: Tuning,
  tell: (message: SliceMessage) => void,
): SliceReceiver {
  return createSliceReceiver({
    sampleRate,
    tunedHz: requireTuned(piece),
    bands,
    oscillatorPpm: ppm,
    anywhere: slice.anywhere === true,
    ...(searchHz !== undefined && { searchHz }),
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
  const { centreHz, channel } = settings;
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
  const { oscillatorPpm: ppm = 0, findOscillator } = settings.slice;
  if (!findOscillator) {
    const { seconds, error } = await readSlice(file, settings, { ppm }, tell);
    const isTold = error && Math.abs(error.ppm) >= TOLD_FROM * error.uncertaintyPpm;
    if (isTold) tell({ type: 'note', text: oscillatorText(error, ppm) });
    return seconds;
  }
  if (!(await stat(samplesOf(file)).catch(() => undefined))?.isFile())
    throw new DotphaseError('--find-oscillator', new Described('no file'), 'a file, which can be read twice');
  const { error } = await readSlice(file, settings, { ppm: 0, searchHz: WIDE_SEARCH_HZ }, () => undefined);
  const text = error
    ? oscillatorText(error, 0)
    : "Too few stations were heard to tell how far the receiver's oscillator is off; it is taken to be right.";
  tell({ type: 'note', text });
  return (await readSlice(file, settings, { ppm: error?.ppm ?? 0 }, tell)).seconds;
}

/** The oscillator is told by so many of the latest calls. */
const MOST_PLACED = 1000;

/** Where nothing is known of an oscillator, calls are looked for this far from their channels: half-way to the next. */
const WIDE_SEARCH_HZ = 240;

/** What differs from nothing by less than so many standard uncertainties is not told. */
const TOLD_FROM = 2;

function oscillatorText({ ppm, uncertaintyPpm, calls, stations }: OscillatorError, given: number): string {
  const off = ppm + given;
  const known = `from ${calls} calls of ${stations} stations, standard uncertainty ${uncertaintyPpm.toFixed(1)} ppm`;
  return `The receiver's oscillator is about ${off < 0 ? '−' : '+'}${Math.abs(off).toFixed(1)} ppm off, ${known}.`;
}

/** Whether a call tells where the receiver was tuned: surely read, and on a DSC frequency of single sideband. */
const isPlaced = ({ quality, baud, frequencyHz }: SliceCall) =>
  quality !== 'doubtful' &&
  baud === BIT_RATE['mf-hf'] &&
  DSC_FREQUENCIES.some(({ hz }) => hz === frequencyHz);

/** Reads a slice once: how long it was, and what its calls tell of the oscillator beyond what was given. */
async function readSlice(
  file: string,
  settings: SliceDecoding,
  tuning: Tuning,
  tell: (message: SliceMessage) => void,
): Promise<{ readonly seconds: number; readonly error: OscillatorError | undefined }> {
  let seconds = 0;
  const attempts = new Attempts(MULTI_FREQUENCY_MS / 1000);
  /** What tells of the oscillator, by where the receiver was tuned. */
  const placed = new Map<number, SliceCall[]>();
  let piece: SlicePiece | undefined;
  let receiver: SliceReceiver | undefined;
  const give = (calls: readonly SliceCall[] = []) => {
    for (const received of calls) {
      const { begin = 0 } = piece ?? {};
      const [start, end] = [received.start + begin, received.end + begin];
      const { tunedHz = 0 } = piece ?? {};
      if (isPlaced(received))
        placed.set(tunedHz, [...(placed.get(tunedHz) ?? []), received].slice(-MOST_PLACED));
      // Each frequency is a place of its own.
      const numbered = attempts.add({ ...received, start, end, file, channel: received.frequencyHz });
      tell({ type: 'call', call: { ...numbered, channel: 0 } });
    }
  };
  const { from = 0, to = Infinity } = settings.span ?? {};
  let samples: number | undefined;
  const warn = (text: string) => {
    tell({ type: 'warning', text });
  };
  const onBytes = (bytes: number) => {
    tell({ type: 'progress', bytes, seconds });
  };
  const blocks = pieceBlocks(file, settings.slice, { warn, onBytes, from });
  try {
    for await (const { i, q, sampleRate, piece: own, isFirst, isOnly } of blocks) {
      if (seconds >= to) break;
      if (isFirst) {
        give(receiver?.flush());
        piece = own;
        receiver = undefined;
        try {
          receiver = hearPiece(sampleRate, own, settings, tuning, tell);
        } catch (error) {
          // Of a recording that was tuned to and fro, the other pieces are read.
          if (!(error instanceof DotphaseError) || isOnly) throw error;
          warn(`From sample ${own.start} on: ${error.message}`);
        }
      }
      give(receiver?.push(i, q));
      samples ??= Math.floor(from * sampleRate);
      samples += i.length;
      seconds = samples / sampleRate;
      for (const attempt of attempts.over(seconds)) tell({ type: 'over', attempt });
    }
  } finally {
    give(receiver?.flush());
    for (const attempt of attempts.over(Infinity)) tell({ type: 'over', attempt });
  }
  // Where a receiver was tuned to and fro, the place with most calls tells it.
  const most = [...placed].sort((a, b) => b[1].length - a[1].length).at(0);
  return { seconds, error: most && oscillatorErrorOf(most[1], most[0]) };
}
