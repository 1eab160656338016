/**
 * Decoders of compressed audio, by others, compiled to WebAssembly. Each is loaded when a file of its kind is read.
 */
import { DotphaseError, Described } from '../errors.js';
import type { AudioBlock } from '../wav/index.js';
import { chosenChannels } from './channels.js';
import type { AudioKind } from './kinds.js';
import type { Wanted, Warn } from './types.js';

/** A kind of file that a decoder is needed for. */
export type CompressedKind = Exclude<AudioKind, 'wav' | 'aiff'>;

/** What a decoder gives. */
export interface Decoded {
  readonly channelData: Float32Array[];
  readonly samplesDecoded: number;
  /** Hertz. */
  readonly sampleRate: number;
  readonly errors: readonly unknown[];
}

/** What a file of each kind is called. */
const NAMES: Readonly<Record<CompressedKind, string>> = {
  flac: 'a FLAC file',
  'ogg-flac': 'an Ogg FLAC file',
  'ogg-vorbis': 'an Ogg Vorbis file',
  'ogg-opus': 'an Ogg Opus file',
  mp3: 'an MP3 file',
};

/** Most frames of silence in a block. */
const SILENT_FRAMES = 65_536;

/** What has been decoded of a file so far. */
export class DecodedAudio {
  /** Frames of the file so far, given or left out. */
  frames = 0;
  /** Frames given so far. */
  given = 0;
  #sampleRate: number | undefined;
  #damaged = 0;
  #firstDamage = 0;

  constructor(
    private readonly kind: CompressedKind,
    private readonly wanted: Wanted,
    private readonly warn: Warn,
  ) {}

  /** Takes what a decoder makes of some bytes. */
  async *take(decode: () => Decoded | Promise<Decoded>): AsyncGenerator<AudioBlock, undefined, undefined> {
    let decoded: Decoded;
    try {
      decoded = await decode();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      throw this.unreadable(`that cannot be decoded (${reason})`);
    }
    const { channelData, samplesDecoded, sampleRate, errors } = decoded;
    errors.forEach(() => {
      this.damage();
    });
    if (samplesDecoded === 0 || channelData.length === 0) return;
    if (this.#sampleRate !== undefined && sampleRate !== this.#sampleRate) {
      throw this.unreadable(`whose sample rate changes from ${this.#sampleRate} to ${sampleRate} Hz`);
    }
    this.#sampleRate = sampleRate;
    yield* this.#wantedOf(sampleRate, channelData);
  }

  /** Leaves out frames before what is wanted, which need not be decoded. */
  leaveOut(frames: number, sampleRate: number): void {
    this.#sampleRate ??= sampleRate;
    this.frames += frames;
  }

  /** Gives silence for frames that could not be read. */
  *silence(frames: number, format: { channels: number; sampleRate: number }): Generator<AudioBlock> {
    for (let left = frames; left > 0; left -= SILENT_FRAMES) {
      const length = Math.min(left, SILENT_FRAMES);
      const channels = Array.from({ length: format.channels }, () => new Float32Array(length));
      this.#sampleRate ??= format.sampleRate;
      yield* this.#wantedOf(format.sampleRate, channels);
    }
  }

  /** Gives what is wanted of the next frames. */
  *#wantedOf(sampleRate: number, channels: readonly Float32Array[]): Generator<AudioBlock> {
    const { channel, from } = this.wanted;
    const before = Math.max(0, Math.floor(from * sampleRate) - this.frames);
    this.frames += channels[0].length;
    const chosen = chosenChannels(
      channels.map((samples) => samples.subarray(before)),
      channel,
    );
    if (chosen[0].length === 0) return;
    this.given += chosen[0].length;
    yield { sampleRate, channels: chosen };
  }

  /** Notes a part that could not be read, here. */
  damage(): void {
    if (this.#damaged === 0 && this.#sampleRate !== undefined)
      this.#firstDamage = this.frames / this.#sampleRate;
    this.#damaged++;
  }

  /**
   * Says what is damaged.
   *
   * @throws DotphaseError if nothing could be read
   */
  end(): void {
    if (this.frames === 0) throw this.unreadable('without a sound in it');
    if (this.#damaged === 0) return;
    const what = this.#damaged === 1 ? 'One part is damaged' : `${this.#damaged} parts are damaged`;
    this.warn(`${what}, the first at about ${this.#firstDamage.toFixed(1)} s; the rest was read.`);
  }

  private unreadable(what: string): DotphaseError {
    return new DotphaseError('file', new Described(`${NAMES[this.kind]} ${what}`), 'a whole one');
  }
}
