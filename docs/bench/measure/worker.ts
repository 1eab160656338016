/**
 * The meter on a thread of its own: samples or a recording in, measured calls out.
 */
import { DotphaseError } from 'dotphase';
import {
  createClockFinder,
  createMeter,
  createSliceMeter,
  type ClockFinder,
  type Meter,
  type MeteredCall,
  type SliceMeter,
} from 'dotphase/measure';
import { blocksOf } from '../listen/file.js';
import { serve } from '../parts/running.js';
import { ClippingCount } from './level.js';
import { sliceBlocks } from './slicefile.js';
import type { FromWorker, Reference, ToWorker } from './protocol.js';

/** Seconds of audio between two reports. */
const BLOCK_SECONDS = 1;

const tell = (message: FromWorker) => {
  postMessage(message);
};
const warn = (text: string) => {
  tell({ type: 'warning', text });
};
const tellCalls = (calls: readonly MeteredCall[] = []) => {
  for (const call of calls) tell({ type: 'call', call });
};

interface Open {
  readonly meter: Meter;
  readonly sampleRate: number;
  readonly reference: Reference | undefined;
  readonly finder: ClockFinder | undefined;
  isClockTold: boolean;
  taken: number;
  readonly clipping: ClippingCount;
}

let open: Open | undefined;

function begin(sampleRate: number, reference: Reference | undefined, isLive: boolean): Open {
  open = {
    meter: createMeter({ sampleRate }),
    sampleRate,
    reference,
    finder: reference && createClockFinder({ sampleRate, referenceHz: reference.hz, isEndless: isLive }),
    isClockTold: false,
    taken: 0,
    clipping: new ClippingCount(),
  };
  return open;
}

function tellClock(into: Open): void {
  const clock = into.finder?.clock;
  if (!clock || into.isClockTold) return;
  into.isClockTold = true;
  tell({ type: 'clock', clock });
}

/** Takes samples of each channel; calls are measured on the first. */
function take(into: Open, channels: readonly Float32Array[], of?: number): void {
  const { meter, sampleRate, reference } = into;
  if (reference && reference.channel >= channels.length)
    throw new DotphaseError(
      'reference',
      'a second channel',
      'a recording with two channels, or the reference beside the calls',
    );
  const [first] = channels;
  const block = Math.round(BLOCK_SECONDS * sampleRate);
  for (let at = 0; at < first.length; at += block) {
    const piece = first.subarray(at, at + block);
    tellCalls(meter.push(piece));
    if (reference) into.finder?.push(channels[reference.channel].subarray(at, at + block));
    tellClock(into);
    const peak = into.clipping.take(piece);
    into.taken += piece.length;
    tell({ type: 'taken', seconds: into.taken / sampleRate, peak, ...(of !== undefined && { of }) });
  }
}

function end(): void {
  if (!open) return;
  const { meter, finder, clipping, taken, sampleRate } = open;
  tellCalls(meter.flush());
  clipping.warnings.forEach(warn);
  if (finder) {
    try {
      finder.end();
      tellClock(open);
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      warn(`The clock is not calibrated: expected ${error.expected}.`);
    }
  }
  tell({ type: 'done', seconds: taken / sampleRate });
}

async function readFile({ file, reference }: Extract<ToWorker, { type: 'file' }>): Promise<void> {
  let done = 0;
  const blocks = blocksOf(file, (_, bytes) => {
    done = bytes;
  });
  let into: Open | undefined;
  for (;;) {
    const next = await blocks.next();
    if (next.done) {
      next.value.forEach(warn);
      break;
    }
    const { sampleRate, channels } = next.value;
    into ??= begin(sampleRate, reference, false);
    const share = Math.max(0.01, done / file.size);
    take(into, channels, (into.taken + channels[0].length) / sampleRate / share);
  }
  if (!into) throw new DotphaseError('file', 'no samples', 'a recording that is not empty');
  end();
}

async function readSlice({ file, metadata, tunedHz: given }: Extract<ToWorker, { type: 'slice' }>) {
  const clipping = new ClippingCount();
  let meter: SliceMeter | undefined;
  let seconds = 0;
  let refused: DotphaseError | undefined;
  let isAnyMeasured = false;
  for await (const block of sliceBlocks(file, metadata, given, warn)) {
    const { i, q, piece, isFirst, sampleRate, share } = block;
    if (isFirst) {
      tellCalls(meter?.flush());
      meter = undefined;
      if (piece.tunedHz === undefined)
        throw new DotphaseError('tuned', 'nothing', 'the frequency in the slice’s middle');
      try {
        meter = createSliceMeter({ sampleRate, tunedHz: piece.tunedHz, from: piece.begin });
        isAnyMeasured = true;
      } catch (error) {
        // Of a recording that was tuned to and fro, the other pieces are measured.
        if (!(error instanceof DotphaseError)) throw error;
        refused = error;
        warn(`From sample ${piece.start} on: expected ${error.expected}.`);
      }
    }
    const step = Math.round(BLOCK_SECONDS * sampleRate);
    for (let at = 0; at < i.length; at += step) {
      const part = [i.subarray(at, at + step), q.subarray(at, at + step)] as const;
      const peak = Math.max(...part.map((samples) => clipping.take(samples)));
      tellCalls(meter?.push(...part));
      seconds += part[0].length / sampleRate;
      tell({ type: 'taken', seconds, peak, of: seconds / Math.max(0.01, share) });
    }
  }
  if (refused && !isAnyMeasured) throw refused;
  if (seconds === 0) throw new DotphaseError('file', 'no samples', 'a recording that is not empty');
  tellCalls(meter?.flush());
  clipping.warnings.forEach(warn);
  tell({ type: 'done', seconds });
}

function handle(message: ToWorker): Promise<void> | undefined {
  switch (message.type) {
    case 'open':
      begin(message.sampleRate, message.reference, true);
      return undefined;
    case 'samples':
      if (open) take(open, [message.samples]);
      return undefined;
    case 'end':
      end();
      return undefined;
    case 'file':
      return readFile(message);
    case 'slice':
      return readSlice(message);
    case 'recording': {
      const { channels, sampleRate, reference } = message;
      take(begin(sampleRate, reference, false), channels, channels[0].length / sampleRate);
      end();
      return undefined;
    }
  }
}

serve(handle, tell);
