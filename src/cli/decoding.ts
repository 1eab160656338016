/**
 * Files and streams to received calls: blocks of audio through one receiver for each channel.
 */
import type { Band } from '../symbols/index.js';
import { createReceiver, type ReceivedCall, type Receiver, type ReceiverEvent } from '../receiver/index.js';
import type { AudioBlock } from '../wav/index.js';
import { Attempts } from './attempts.js';
import { blocksOf, type BlockSettings } from './decode/blocks.js';
import { isSigmf, samplesOf } from './decode/sigmf.js';
import { decodeSlice } from './decode/slice.js';
import type { SliceSettings } from './decode/sliceblocks.js';
import type { HeardCall } from './heardcall.js';
import { STANDARD_STREAM } from './input.js';
import { fingerprint } from './log/fingerprint.js';
import { requireRecording } from './recording.js';

/** How files are decoded; plain data, so that it can go to another thread. */
export interface DecodeSettings extends BlockSettings {
  readonly bands: readonly Band[];
  readonly centreHz?: number;
  readonly searchHz?: number;
  /** Whether the SHA-256 of the file is wanted, before its calls. */
  readonly fingerprint?: boolean;
  /** Whether the receiver's events are wanted. */
  readonly events?: boolean;
  /** What is known of slices of spectrum. */
  readonly slice?: SliceSettings;
  /** Which seconds of a recording to read; all of it where absent. */
  readonly span?: { readonly from: number; readonly to: number };
}

/** A file, and how it is decoded. */
export interface DecodeJob {
  readonly file: string;
  readonly settings: DecodeSettings;
}

/** What comes out of decoding a file; plain data, so that it can come from another thread. */
export type DecodeMessage =
  | { readonly type: 'call'; readonly call: HeardCall }
  /** No more sendings can belong to an attempt. */
  | { readonly type: 'over'; readonly attempt: number }
  /** With the DSC frequency where the recording holds several. */
  | {
      readonly type: 'event';
      readonly event: ReceiverEvent;
      readonly channel: number | 'mix';
      readonly frequencyHz?: number;
    }
  /** What is to be known of the file, besides its calls. */
  | { readonly type: 'warning' | 'note'; readonly text: string }
  /** SHA-256 of the file; absent where it cannot be read twice. */
  | { readonly type: 'fingerprint'; readonly recording: string | undefined }
  /** Bytes read and seconds of audio received so far. */
  | { readonly type: 'progress'; readonly bytes: number; readonly seconds: number }
  | { readonly type: 'error'; readonly text: string }
  /** With how far the recording was read, in seconds. */
  | { readonly type: 'end'; readonly seconds: number };

/** Takes the messages. */
export type Tell = (message: DecodeMessage) => void;

/** The same call on another channel comes within this time after it was first heard, in seconds of audio. */
const OTHER_CHANNELS_SECONDS = 3;

/** One channel with its receiver. */
interface Lane {
  readonly channel: number | 'mix';
  readonly receiver: Receiver;
  /** Seconds of the recording before the receiver started. */
  readonly begin: number;
}

function sameSamples(a: Float32Array, b: Float32Array): boolean {
  return a.every((sample, i) => sample === b[i]);
}

/** Holds calls back until they must have been heard on every channel, and lets the surest of each through. */
class BestOfChannels {
  #held: HeardCall[] = [];

  add(call: HeardCall): void {
    const same = this.#held.findIndex(
      (other) =>
        other.channel !== call.channel &&
        other.start < call.end &&
        call.start < other.end &&
        other.symbols.join() === call.symbols.join(),
    );
    if (same < 0) this.#held.push(call);
    else if (call.errorProbability < this.#held[same].errorProbability) this.#held[same] = call;
  }

  /** The calls that ended long enough before `time`. */
  release(time: number): HeardCall[] {
    const ready = this.#held.filter((call) => call.end + OTHER_CHANNELS_SECONDS <= time);
    this.#held = this.#held.filter((call) => !ready.includes(call));
    return ready;
  }
}

/** The receivers of a recording's channels. */
class Lanes {
  readonly #settings: DecodeSettings;
  readonly #tell: Tell;
  readonly #file: string;
  readonly #lanes = new Map<number, Lane>();
  readonly #best: BestOfChannels | undefined;
  readonly #attempts = new Attempts();
  #sampleRate = 0;
  #frames = 0;

  constructor(file: string, settings: DecodeSettings, tell: Tell) {
    this.#file = file;
    this.#settings = settings;
    this.#tell = tell;
    if (settings.channel === 'best') this.#best = new BestOfChannels();
  }

  push({ sampleRate, channels }: AudioBlock): void {
    if (this.#sampleRate === 0) this.#frames = Math.floor((this.#settings.span?.from ?? 0) * sampleRate);
    this.#sampleRate ||= sampleRate;
    channels.forEach((samples, index) => {
      // As long as a channel is the same as the first, one receiver does for both.
      const isCopy = this.#best && index > 0 && !this.#lanes.has(index) && sameSamples(samples, channels[0]);
      if (isCopy) return;
      const lane = this.#lanes.get(index) ?? this.#open(index);
      this.#hear(lane, lane.receiver.push(samples));
    });
    this.#frames += channels[0].length;
    this.#release(this.#frames / this.#sampleRate);
  }

  /** Seconds of the recording so far. */
  get seconds(): number {
    return this.#frames / (this.#sampleRate || 1);
  }

  end(): void {
    for (const lane of this.#lanes.values()) this.#hear(lane, lane.receiver.flush());
    this.#release(Infinity);
  }

  #open(index: number): Lane {
    const { bands, centreHz, searchHz, channel: choice, events } = this.#settings;
    const channel = choice === 'best' || choice === 'each' ? index : choice;
    const begin = this.#frames / this.#sampleRate;
    const onEvent = (event: ReceiverEvent) => {
      this.#tell({ type: 'event', event: { ...event, time: event.time + begin }, channel });
    };
    const receiver = createReceiver({
      sampleRate: this.#sampleRate,
      bands,
      ...(centreHz !== undefined && { centreHz }),
      ...(searchHz !== undefined && { searchHz }),
      ...(events && { onEvent }),
    });
    const lane = { channel, receiver, begin };
    this.#lanes.set(index, lane);
    return lane;
  }

  #hear({ channel, begin }: Lane, calls: readonly ReceivedCall[]): void {
    for (const received of calls) {
      const [start, end] = [received.start + begin, received.end + begin];
      const call = { ...received, start, end, file: this.#file, channel };
      if (this.#best && this.#lanes.size > 1) this.#best.add(call);
      else this.#give(call);
    }
  }

  #release(time: number): void {
    for (const call of this.#best?.release(time) ?? []) this.#give(call);
    for (const attempt of this.#attempts.over(time - (this.#best ? OTHER_CHANNELS_SECONDS : 0))) {
      this.#tell({ type: 'over', attempt });
    }
  }

  #give(call: HeardCall): void {
    // Of the best of all channels, each sending may come from another one.
    const { channel } = call;
    const numbered = this.#attempts.add(this.#best ? { ...call, channel: 0 } : call);
    this.#tell({ type: 'call', call: { ...numbered, channel } });
  }
}

const endsBefore = (seconds: number) => `the recording ends before its second ${seconds}`;

/**
 * Decodes a file (`-` is standard input) and tells its calls as they end. Memory does not grow with its length.
 * An error is a message like the others, and `end` always comes last.
 */
export async function decodeFile(file: string, settings: DecodeSettings, tell: Tell): Promise<void> {
  const lanes = new Lanes(file, settings, tell);
  const onBytes = (bytes: number) => {
    tell({ type: 'progress', bytes, seconds: lanes.seconds });
  };
  const { from = 0, to = Infinity } = settings.span ?? {};
  try {
    const { slice = { isGiven: false } } = settings;
    const isSlice = slice.isGiven || isSigmf(file);
    if (file !== STANDARD_STREAM && !settings.raw && !slice.raw && !isSigmf(file))
      await requireRecording(file);
    if (settings.fingerprint) tell({ type: 'fingerprint', recording: await fingerprint(samplesOf(file)) });
    if (isSlice) {
      const seconds = await decodeSlice(file, { ...settings, slice }, tell);
      if (seconds < from) tell({ type: 'error', text: endsBefore(from) });
      tell({ type: 'end', seconds });
      return;
    }
    for await (const block of blocksOf(file, settings, tell, onBytes, from)) {
      if (lanes.seconds >= to) break;
      lanes.push(block);
    }
    lanes.end();
    if (lanes.seconds < from) tell({ type: 'error', text: endsBefore(from) });
  } catch (error) {
    // What was received until then is not lost.
    lanes.end();
    tell({ type: 'error', text: error instanceof Error ? error.message : String(error) });
  }
  tell({ type: 'end', seconds: lanes.seconds });
}
