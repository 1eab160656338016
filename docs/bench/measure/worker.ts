/**
 * The meter on a thread of its own: samples or a recording in, measured calls out.
 */
import { DotphaseError } from 'dotphase';
import { createClockFinder, createMeter, type ClockFinder, type Meter } from 'dotphase/measure';
import { blocksOf } from '../listen/file.js';
import { serve } from '../parts/running.js';
import type { FromWorker, Reference, ToWorker } from './protocol.js';

/** Seconds of audio between two reports. */
const BLOCK_SECONDS = 1;
/** From this on a sample is at full scale; clicks alone bring a few there. */
const FULL_SCALE = 0.999;
const MOST_AT_FULL_SCALE = 10;

const tell = (message: FromWorker) => {
  postMessage(message);
};

interface Open {
  readonly meter: Meter;
  readonly sampleRate: number;
  readonly reference: Reference | undefined;
  readonly finder: ClockFinder | undefined;
  isClockTold: boolean;
  taken: number;
  atFullScale: number;
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
    atFullScale: 0,
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
    for (const call of meter.push(piece)) tell({ type: 'call', call });
    if (reference) into.finder?.push(channels[reference.channel].subarray(at, at + block));
    tellClock(into);
    let peak = 0;
    for (const sample of piece) {
      const size = Math.abs(sample);
      peak = Math.max(peak, size);
      if (size >= FULL_SCALE) into.atFullScale++;
    }
    into.taken += piece.length;
    tell({ type: 'taken', seconds: into.taken / sampleRate, peak, ...(of !== undefined && { of }) });
  }
}

function end(): void {
  if (!open) return;
  const { meter, finder, atFullScale, taken, sampleRate } = open;
  for (const call of meter.flush()) tell({ type: 'call', call });
  if (atFullScale > MOST_AT_FULL_SCALE)
    tell({
      type: 'warning',
      text: `${atFullScale} samples at full scale: it is clipped, and its figures are worth little. Record it softer.`,
    });
  if (finder) {
    try {
      finder.end();
      tellClock(open);
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      tell({ type: 'warning', text: `The clock is not calibrated: expected ${error.expected}.` });
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
      for (const text of next.value) tell({ type: 'warning', text });
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
    case 'recording': {
      const { channels, sampleRate, reference } = message;
      take(begin(sampleRate, reference, false), channels, channels[0].length / sampleRate);
      end();
      return undefined;
    }
  }
}

serve(handle, tell);
