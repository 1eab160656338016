/**
 * The working stream: any sample rate brought to one, without DC, the last minute kept.
 */
import { createResampler, type Resampler } from '../dsp/index.js';
import { requireSampleRate } from '../modem/internal.js';
import { WORKING_PASS, WORKING_RATE, WORKING_STOP } from './bandparameters.js';

/** Working samples kept, 73 s: more than an attempt of five sendings and one step of the stream take. A power of two. */
const KEPT = 1 << 19;

/** Above this rate a short filter decimates first. */
const TWO_STAGES_ABOVE = 28_800;

/** A sample beyond this, full scale being 1, is a fault of the source and no audio; integers of 32 bits are not. */
const LOUDEST = 2 ** 32;

/** A sample is cut off at this many times the mean magnitude of the samples before it, so that one click does not drown seconds. */
const CREST = 100;

/** No sample is cut off below this. */
const LEAST_LIMIT = 4;

/** Seconds over which the mean magnitude is taken. */
const MEAN_SECONDS = 1;

/** Keeps the mean magnitude away from numbers too small to be computed with at full speed. */
const LEAST_MEAN = 1e-12;

/** Share that a working sample has in the DC estimate. */
const DC_SHARE = 1 / (1 << 11);

/** A stream that can be read again for a while. */
export interface WorkingStream {
  /** Working samples so far. */
  readonly length: number;
  /** Takes input samples and gives the new working ones; the array is valid until the next push. */
  push(samples: Float32Array): Float32Array;
  /**
   * Working samples from `from` to `to` (exclusive): 0 before the beginning of the stream and behind its newest sample.
   *
   * @throws Error when samples are asked for that are no longer kept
   */
  slice(from: number, to: number): Float32Array;
}

function createStages(sampleRate: number): Resampler[] {
  if (sampleRate < TWO_STAGES_ABOVE) {
    return [
      createResampler({
        from: sampleRate,
        to: WORKING_RATE,
        pass: WORKING_PASS,
        stop: WORKING_STOP,
        attenuation: 40,
      }),
    ];
  }
  const middle = sampleRate / Math.floor(sampleRate / (TWO_STAGES_ABOVE / 2));
  return [
    createResampler({
      from: sampleRate,
      to: middle,
      pass: WORKING_PASS,
      stop: middle - WORKING_PASS,
      attenuation: 40,
    }),
    createResampler({
      from: middle,
      to: WORKING_RATE,
      pass: WORKING_PASS,
      stop: WORKING_STOP,
      attenuation: 40,
    }),
  ];
}

/** @param sampleRate - of the input, 8000–192000 Hz */
export function createWorkingStream(sampleRate: number): WorkingStream {
  const stages = createStages(requireSampleRate(sampleRate));
  const ring = new Float32Array(KEPT);
  const meanShare = 1 / (MEAN_SECONDS * sampleRate);
  let limited = new Float32Array(0);
  let mean = 0;
  let length = 0;
  let dc = 0;

  /** The samples without what no audio is; the array is valid until the next push. */
  function limit(samples: Float32Array): Float32Array {
    if (limited.length < samples.length) limited = new Float32Array(samples.length);
    const own = limited;
    const kept = 1 - meanShare;
    let running = mean;
    for (let n = 0; n < samples.length; n++) {
      const sample = samples[n];
      let size = Math.abs(sample);
      // Also where it is not a number.
      if (!(size <= LEAST_LIMIT || size <= running * CREST)) {
        size = size <= LOUDEST ? Math.max(LEAST_LIMIT, running * CREST) : 0;
        own[n] = Math.sign(sample) * size || 0;
      } else {
        own[n] = sample;
      }
      running = running * kept + (size * meanShare + LEAST_MEAN);
    }
    mean = running;
    return own.subarray(0, samples.length);
  }

  function keep(working: Float32Array): void {
    for (let from = 0; from < working.length;) {
      const at = length % KEPT;
      const to = Math.min(working.length, from + KEPT - at);
      ring.set(working.subarray(from, to), at);
      length += to - from;
      from = to;
    }
  }

  return {
    get length() {
      return length;
    },
    push(samples) {
      const working = stages.reduce((block, stage) => stage.push(block), limit(samples));
      let running = dc;
      for (let n = 0; n < working.length; n++) {
        running = running * (1 - DC_SHARE) + working[n] * DC_SHARE;
        working[n] -= running;
      }
      dc = running;
      keep(working);
      return working;
    },
    slice(from, to) {
      const first = Math.max(0, from);
      const oldest = Math.max(0, length - KEPT);
      if (first < oldest && first < to)
        throw new Error(`sample ${first} of the stream is gone; the oldest kept is ${oldest}`);
      const piece = new Float32Array(Math.max(0, to - from));
      for (let n = first; n < Math.min(to, length);) {
        const at = n & (KEPT - 1);
        const end = Math.min(Math.min(to, length) - n + at, KEPT);
        piece.set(ring.subarray(at, end), n - from);
        n += end - at;
      }
      return piece;
    },
  };
}
