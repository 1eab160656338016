/**
 * One station listening on one frequency: everything on the air as it arrives there, the noise of the place, and a
 * receiver that runs while there is something to hear.
 */
import { createChannel, type Channel } from '../channel/index.js';
import type { ReceivedCall, Receiver, ReceiverEvent } from '../receiver/index.js';

/** A signal on its way into a listening. */
export interface Arrival {
  readonly transmission: number;
  /** Index of its first sample on the clock of the medium. */
  readonly start: number;
  samples: Float32Array;
}

/** A time during which the station itself sends and hears nothing. */
interface Deaf {
  readonly transmission: number;
  readonly start: number;
  end: number;
  /** What it sends, where it sends on the frequency it listens to. */
  readonly own: Float32Array | undefined;
}

/** What a listening is set up with. */
export interface ListeningSetup {
  readonly sampleRate: number;
  /** Level of the noise in 3 kHz, dB, 0 dB being the mean square 1. */
  readonly noiseDb: number;
  readonly seed: number;
  /** A new receiver. Undefined for one that only records. */
  readonly createReceiver: ((onEvent: (event: ReceiverEvent) => void) => Receiver) | undefined;
  /**
   * Takes all that is heard and sent, and what is heard alone, without a gap; its first sample is the first of the
   * clock.
   */
  readonly onAudio: ((samples: Float32Array, heard: Float32Array) => void) | undefined;
}

/** What was heard in a stretch of time. */
export interface Heard {
  /** Times are seconds on the clock of the medium. */
  readonly calls: readonly ReceivedCall[];
  /** Why what looked like a call was none. */
  readonly lost: readonly string[];
}

/** Seconds of noise that a receiver hears before a signal, and after the last one. */
const LEAD_SECONDS = 0.25;
const TAIL_SECONDS = 0.25;

/** Samples rendered in one go. */
const PIECE = 8192;

/** A listening. Times in it are indices of samples on the clock of the medium. */
export class Listening {
  private arrivals: Arrival[] = [];
  private deaf: Deaf[] = [];
  private readonly noise: Channel;
  /** The first sample that is not rendered yet. */
  private position = 0;
  private receiver: Receiver | undefined;
  private receiverStart = 0;
  private lost: string[] = [];
  /** The latest audio rendered while nobody listened; the receiver begins with it. */
  private recent = new Float32Array(0);

  constructor(private readonly setup: ListeningSetup) {
    const { sampleRate, seed, noiseDb } = setup;
    this.noise = createChannel({ sampleRate, seed, stages: [{ kind: 'noise', absoluteDb: noiseDb }] });
  }

  /** Whether there is something to hear. */
  get isAwake(): boolean {
    return this.arrivals.length > 0 || this.receiver !== undefined;
  }

  /** A signal sets out; it may begin no earlier than what is rendered. */
  hear(arrival: Arrival): void {
    if (!this.isAwake) this.wake(arrival.start);
    this.arrivals.push(arrival);
  }

  /** The station itself sends from `start` on. */
  deafen(transmission: number, start: number, end: number, own: Float32Array | undefined): void {
    this.deaf.push({ transmission, start, end, own });
  }

  /** A transmission breaks off. */
  cut(transmission: number, end: number): void {
    for (const arrival of this.arrivals) {
      if (arrival.transmission !== transmission) continue;
      const left = Math.max(0, end - arrival.start);
      arrival.samples = arrival.samples.subarray(0, left);
    }
    for (const deaf of this.deaf) if (deaf.transmission === transmission) deaf.end = end;
  }

  /** Renders up to a sample and gives what was heard until then. */
  advance(to: number): Heard {
    const { onAudio } = this.setup;
    const calls: ReceivedCall[] = [];
    if (!this.isAwake && !onAudio) this.position = Math.max(this.position, to);
    while (this.position < to) calls.push(...this.render(Math.min(PIECE, to - this.position)));
    calls.push(...this.tidy());
    const { lost } = this;
    this.lost = [];
    return { calls, lost };
  }

  private wake(start: number): void {
    const { createReceiver, onAudio, sampleRate } = this.setup;
    if (!createReceiver) return;
    if (!onAudio) this.position = Math.max(0, start - Math.round(LEAD_SECONDS * sampleRate));
    this.receiverStart = this.position - this.recent.length;
    this.receiver = createReceiver((event) => {
      if (event.type === 'lost') this.lost.push(event.reason);
    });
    this.receiver.push(this.recent);
    this.recent = new Float32Array(0);
  }

  private render(length: number): ReceivedCall[] {
    const from = this.position;
    const mix = new Float32Array(length);
    for (const { start, samples } of this.arrivals) add(mix, from, samples, start);
    for (const { start, end } of this.deaf) {
      mix.fill(0, clamp(start - from, length), clamp(end - from, length));
    }
    const heard = this.noise.push(mix);
    const calls = this.receiver ? this.timed(this.receiver.push(heard)) : [];
    this.position += length;
    if (this.setup.onAudio) {
      if (!this.receiver) this.remember(heard);
      const all = heard.slice();
      for (const { start, end, own } of this.deaf) {
        if (own) add(all, from, own.subarray(0, end - start), start);
      }
      this.setup.onAudio(all, heard);
    }
    return calls;
  }

  private remember(heard: Float32Array): void {
    const most = Math.round(LEAD_SECONDS * this.setup.sampleRate);
    const both = new Float32Array(this.recent.length + heard.length);
    both.set(this.recent);
    both.set(heard, this.recent.length);
    this.recent = both.slice(Math.max(0, both.length - most));
  }

  /** Lets go of what is over, and of the receiver when nothing was heard for a while. */
  private tidy(): ReceivedCall[] {
    const tail = Math.round(TAIL_SECONDS * this.setup.sampleRate);
    this.arrivals = this.arrivals.filter(
      ({ start, samples }) => start + samples.length + tail > this.position,
    );
    this.deaf = this.deaf.filter(({ end }) => end > this.position);
    if (!this.receiver || this.arrivals.length > 0) return [];
    const calls = this.timed(this.receiver.flush());
    this.receiver = undefined;
    return calls;
  }

  private timed(calls: readonly ReceivedCall[]): ReceivedCall[] {
    const begin = this.receiverStart / this.setup.sampleRate;
    return calls.map((call) => ({ ...call, start: call.start + begin, end: call.end + begin }));
  }
}

function clamp(index: number, length: number): number {
  return Math.min(length, Math.max(0, index));
}

/** Adds a signal that begins at `start` to a mix that begins at `from`. */
function add(mix: Float32Array, from: number, samples: Float32Array, start: number): void {
  const first = clamp(start - from, mix.length);
  const end = clamp(start + samples.length - from, mix.length);
  const shift = from - start;
  for (let n = first; n < end; n++) mix[n] += samples[n + shift];
}
