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

/**
 * Samples after which a running mean is brought on: what they add to it is worked out apart, so that not every sample
 * waits for the mean of the one before. Counted from the beginning of the stream, so that blocks make no difference.
 */
const GROUP = 4;

/** A stream that can be read again for a while. */
export interface WorkingStream {
  /** Working samples so far. */
  readonly length: number;
  /** Takes input samples and gives the new working ones; the array is valid until the next push. */
  push(samples: Float32Array): Float32Array;
  /**
   * Working samples from `from` to `to` (exclusive): 0 before the beginning of the stream and behind its newest sample.
   * The array is valid until the next slice, so that memory is not taken anew for each.
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

/** A running mean between two blocks: at the last whole group, what was added since, what is left of it, and since how many samples. */
const createMean = () => ({ mean: 0, added: 0, left: 1, place: 0 });

/** Gives the samples without what no audio is: themselves where all are audio. */
function createLimiter(sampleRate: number): (samples: Float32Array) => Float32Array {
  const share = 1 / (MEAN_SECONDS * sampleRate);
  const kept = 1 - share;
  const keptOfGroup = kept * kept * kept * kept;
  const state = createMean();

  return (samples) => {
    let own = samples;
    let { mean, added, left, place } = state;
    for (let n = 0; n < samples.length;) {
      if (place === 0 && n + GROUP <= samples.length) {
        const a = Math.abs(samples[n]);
        const b = Math.abs(samples[n + 1]);
        const c = Math.abs(samples[n + 2]);
        const d = Math.abs(samples[n + 3]);
        if (a + b + c + d <= LEAST_LIMIT) {
          let sum = a * share + LEAST_MEAN;
          sum = sum * kept + (b * share + LEAST_MEAN);
          sum = sum * kept + (c * share + LEAST_MEAN);
          sum = sum * kept + (d * share + LEAST_MEAN);
          mean = mean * keptOfGroup + sum;
          n += GROUP;
          continue;
        }
      }
      const most = Math.max(LEAST_LIMIT, (mean * left + added) * CREST);
      let size = Math.abs(samples[n]);
      // Also where it is not a number.
      if (!(size <= most)) {
        size = size <= LOUDEST ? most : 0;
        if (own === samples) own = new Float32Array(samples);
        own[n] = Math.sign(samples[n]) * size || 0;
      }
      added = added * kept + (size * share + LEAST_MEAN);
      left *= kept;
      n++;
      if (++place < GROUP) continue;
      mean = mean * left + added;
      [added, left, place] = [0, 1, 0];
    }
    Object.assign(state, { mean, added, left, place });
    return own;
  };
}

/** Takes the DC out of the working samples where they lie. */
function createDcRemover(): (working: Float32Array) => void {
  const kept = 1 - DC_SHARE;
  const keptOfTwo = kept * kept;
  const keptOfThree = keptOfTwo * kept;
  const keptOfGroup = keptOfThree * kept;
  const state = createMean();

  return (working) => {
    let { mean, added, left, place } = state;
    for (let n = 0; n < working.length;) {
      if (place === 0 && n + GROUP <= working.length) {
        const a = working[n] * DC_SHARE;
        const b = a * kept + working[n + 1] * DC_SHARE;
        const c = b * kept + working[n + 2] * DC_SHARE;
        const d = c * kept + working[n + 3] * DC_SHARE;
        working[n] -= mean * kept + a;
        working[n + 1] -= mean * keptOfTwo + b;
        working[n + 2] -= mean * keptOfThree + c;
        mean = mean * keptOfGroup + d;
        working[n + 3] -= mean;
        n += GROUP;
        continue;
      }
      added = added * kept + working[n] * DC_SHARE;
      left *= kept;
      working[n] -= mean * left + added;
      n++;
      if (++place < GROUP) continue;
      mean = mean * left + added;
      [added, left, place] = [0, 1, 0];
    }
    Object.assign(state, { mean, added, left, place });
  };
}

/** @param sampleRate - of the input, 8000–192000 Hz */
export function createWorkingStream(sampleRate: number): WorkingStream {
  const stages = createStages(requireSampleRate(sampleRate));
  const limit = createLimiter(sampleRate);
  const removeDc = createDcRemover();
  const ring = new Float32Array(KEPT);
  let sliced = new Float32Array(0);
  let length = 0;

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
      removeDc(working);
      keep(working);
      return working;
    },
    slice(from, to) {
      const first = Math.max(0, from);
      const oldest = Math.max(0, length - KEPT);
      if (first < oldest && first < to)
        throw new Error(`sample ${first} of the stream is gone; the oldest kept is ${oldest}`);
      const count = Math.max(0, to - from);
      if (sliced.length < count) sliced = new Float32Array(2 * count);
      const piece = sliced.subarray(0, count);
      const behind = Math.min(to, length);
      piece.fill(0, 0, first - from);
      piece.fill(0, Math.max(0, behind - from));
      for (let n = first; n < behind;) {
        const at = n & (KEPT - 1);
        const end = Math.min(behind - n + at, KEPT);
        piece.set(ring.subarray(at, end), n - from);
        n += end - at;
      }
      return piece;
    },
  };
}
