/**
 * A stream of audio to measured calls: a receiver, and the audio kept that its calls lay in.
 */
import { createReceiver, type ReceivedCall, type ReceiverOptions } from '../receiver/index.js';
import type { RadioChannel } from '../radio/index.js';
import { deviationAudio, withAssignedError, withDeviation } from './carrier.js';
import { measureCall, type MeasuredCall, type MeasureOptions } from './measurecall.js';
import { withGaps } from './sendings.js';

/** A call that was received and, where its tones could be fitted, measured. */
export interface MeteredCall {
  readonly received: ReceivedCall;
  /** Its times are seconds of the stream; undefined where the tones could not be fitted. */
  readonly measured: MeasuredCall | undefined;
}

/** Measures the calls of a stream. */
export interface Meter {
  /** Takes the next samples, any number of them, and gives the calls whose surroundings have come. */
  push(samples: Float32Array): MeteredCall[];
  /** Ends the stream and gives the calls that were still open. */
  flush(): MeteredCall[];
}

/** As of a receiver. */
export interface MeterOptions extends ReceiverOptions {
  /** The channel of a slice of spectrum that the audio comes from: its carrier is measured too. */
  readonly radio?: RadioChannel;
}

/** Seconds of silence wanted on each side of a call. */
const AROUND = 1;
/** Seconds of audio kept: the longest call with its expansions and dots, and what a receiver waits. */
const KEPT = 90;
/** Bits of dot pattern looked for before the phasing. */
const DOTS = 1000;

/**
 * Opens a meter: a receiver whose calls are measured.
 *
 * @throws DotphaseError when an option is out of range
 */
export function createMeter(options: MeterOptions): Meter {
  const { sampleRate, radio } = options;
  const receiver = createReceiver(options);
  let kept: Float32Array = new Float32Array(0);
  let keptFrom = 0;
  let waiting: ReceivedCall[] = [];
  let lastEnd = 0;
  let before: MeasuredCall | undefined;

  const take = (samples: Float32Array) => {
    const most = KEPT * sampleRate;
    const old = kept.subarray(Math.max(0, kept.length + samples.length - most));
    const whole = new Float32Array(old.length + samples.length);
    whole.set(old);
    whole.set(samples, old.length);
    keptFrom += kept.length - old.length;
    kept = whole;
  };
  const measure = (received: ReceivedCall): MeteredCall => {
    const begin = received.start - DOTS / received.baud - AROUND;
    const first = Math.max(keptFrom, Math.floor(begin * sampleRate));
    const last = Math.ceil((received.end + AROUND) * sampleRate);
    const piece = kept.subarray(first - keptFrom, Math.max(0, last - keptFrom));
    const offset = first / sampleRate;
    const place = { ...received, start: received.start - offset, end: received.end - offset };
    const limits = { sampleRate, from: Math.max(0, lastEnd - offset) };
    const own = radio ? onCarrier(piece, place, limits, radio) : measureCall(piece, place, limits);
    lastEnd = received.end;
    if (!own) return { received, measured: undefined };
    const shifted = moved(own, offset);
    lastEnd = shifted.end;
    const measured = before ? withGaps([before, shifted])[1] : shifted;
    before = measured;
    return { received, measured };
  };
  const ripe = (until: number): MeteredCall[] => {
    const isRipe = (call: ReceivedCall) => call.end + AROUND <= until;
    const calls = waiting.filter(isRipe).sort((a, b) => a.start - b.start);
    waiting = waiting.filter((call) => !isRipe(call));
    return calls.map(measure);
  };
  return {
    push(samples) {
      const step = Math.round(sampleRate);
      const given: MeteredCall[] = [];
      for (let at = 0; at < samples.length; at += step) {
        const part = samples.subarray(at, at + step);
        waiting.push(...receiver.push(part));
        take(part);
        given.push(...ripe((keptFrom + kept.length) / sampleRate));
      }
      return given;
    },
    flush() {
      waiting.push(...receiver.flush());
      return ripe(Infinity);
    },
  };
}

/** A call and the carrier that it came on. */
function onCarrier(
  audio: Float32Array,
  call: ReceivedCall,
  limits: MeasureOptions,
  radio: RadioChannel,
): MeasuredCall | undefined {
  if (radio.mode === 'ssb') {
    const measured = measureCall(audio, call, limits);
    return measured && withAssignedError(measured, radio);
  }
  const { sampleRate } = limits;
  const carrier = deviationAudio(audio, sampleRate, call.start, call.end);
  const measured = measureCall(carrier.audio, call, limits);
  return measured && withDeviation(measured, sampleRate, carrier.carrierErrorHz, radio);
}

/** A call whose audio begins so many seconds later. */
export function moved(call: MeasuredCall, seconds: number): MeasuredCall {
  return {
    ...call,
    start: call.start + seconds,
    end: call.end + seconds,
    detail: {
      ...call.detail,
      phase: call.detail.phase.map((step) => ({ ...step, time: step.time + seconds })),
      level: call.detail.level.map((bit) => ({ ...bit, time: bit.time + seconds })),
    },
  };
}
