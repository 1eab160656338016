/**
 * Sample bytes in pieces of any length → blocks of whole frames.
 */
import type { AudioBlock, BlockOptions, WavWarning } from './audio.js';
import { MAX_BLOCK_SAMPLES } from './audio.js';
import type { SampleLayout } from './samples.js';
import { SampleDecoder } from './samples.js';

const FIRST_PENDING_BYTES = 4096;

/** Gathers the bytes of one stream of samples and converts them a block at a time. */
export class BlockCutter {
  /** Frames given so far. */
  frames = 0;

  readonly #decoder: SampleDecoder;
  readonly #sampleRate: number;
  readonly #start: number;
  readonly #frameBytes: number;
  readonly #leastBytes: number;
  readonly #mostBytes: number;
  /** Bytes that are still to be left out. */
  #toSkip: number;
  #pending = new Uint8Array(FIRST_PENDING_BYTES);
  #pendingBytes = 0;

  /** @param start - offset of the first sample in the file or stream, for warnings */
  constructor(layout: SampleLayout, sampleRate: number, start: number, options: BlockOptions) {
    this.#decoder = new SampleDecoder(layout, options.channel ?? 'each');
    this.#sampleRate = sampleRate;
    this.#frameBytes = layout.bytesPerSample * layout.channelCount;
    this.#toSkip = Math.floor((options.from ?? 0) * sampleRate) * this.#frameBytes;
    this.#start = start + this.#toSkip;
    this.#leastBytes = (options.blockFrames ?? 1) * this.#frameBytes;
    this.#mostBytes =
      (options.blockFrames ?? Math.floor(MAX_BLOCK_SAMPLES / layout.channelCount)) * this.#frameBytes;
  }

  /** How many of the next bytes are left out. */
  get toSkip(): number {
    return this.#toSkip;
  }

  /** Leaves out so many bytes, `toSkip` or fewer. */
  skip(bytes: number): void {
    this.#toSkip -= bytes;
  }

  /** Takes bytes and appends the blocks they complete to `blocks`. */
  push(all: Uint8Array, blocks: AudioBlock[]): void {
    const bytes = all.subarray(this.#toSkip);
    this.skip(all.length - bytes.length);
    for (let at = 0; at < bytes.length;) {
      const taken = Math.min(bytes.length - at, this.#mostBytes - this.#pendingBytes);
      this.#reserve(this.#pendingBytes + taken);
      this.#pending.set(bytes.subarray(at, at + taken), this.#pendingBytes);
      this.#pendingBytes += taken;
      at += taken;
      if (this.#pendingBytes >= this.#leastBytes) this.#give(blocks);
    }
  }

  /** Gives what is left at the end of the stream, with warnings about what could not be given as it was. */
  end(blocks: AudioBlock[]): WavWarning[] {
    if (this.#pendingBytes >= this.#frameBytes) this.#give(blocks);
    const warnings: WavWarning[] = [];
    const { nonFinite, firstNonFinite } = this.#decoder;
    if (nonFinite > 0) {
      const byte = this.#start + firstNonFinite;
      const text = `${nonFinite} samples are not finite numbers, the first at byte ${byte}; they were taken as 0.`;
      warnings.push({ kind: 'non-finite-samples', byte, text });
    }
    if (this.#pendingBytes > 0) {
      const byte = this.#start + this.frames * this.#frameBytes;
      const text = `The last frame, at byte ${byte}, has ${this.#pendingBytes} of its ${this.#frameBytes} bytes; it was left out.`;
      warnings.push({ kind: 'partial-frame', byte, text });
    }
    return warnings;
  }

  /** Grows with the bytes that came, never with what a header promises. */
  #reserve(bytes: number): void {
    if (bytes <= this.#pending.length) return;
    const grown = new Uint8Array(Math.min(this.#mostBytes, Math.max(bytes, 2 * this.#pending.length)));
    grown.set(this.#pending.subarray(0, this.#pendingBytes));
    this.#pending = grown;
  }

  #give(blocks: AudioBlock[]): void {
    const frames = Math.floor(this.#pendingBytes / this.#frameBytes);
    const whole = frames * this.#frameBytes;
    blocks.push({
      sampleRate: this.#sampleRate,
      channels: this.#decoder.decode(this.#pending.subarray(0, whole)),
    });
    this.#pending.copyWithin(0, whole, this.#pendingBytes);
    this.#pendingBytes -= whole;
    this.frames += frames;
  }
}
