/**
 * Sample bytes ⇄ numbers, done by wav-decoder and wav-encoder on small WAV images made for them block by block.
 *
 * Both libraries are used in their `symmetric` mode: a sample of n bits is divided or multiplied by 2^(n−1), one
 * scale for both signs. (Their default divides negative samples by 2^(n−1) and positive ones by 2^(n−1) − 1, which
 * bends every tone a little.) Writing rounds to the nearest code, halves upward, and clips at the highest code.
 *
 * What the libraries do wrong is worked round here and nowhere else:
 * - wav-decoder 1.3.0, 8 bits symmetric: takes 127.5 for zero, so that silence (128) becomes +1/255. The bytes go
 *   through it as the upper half of 16-bit samples.
 * - wav-decoder 1.3.0, 24 bits: turns the lowest code, −1, into +1. The bytes go through it as the upper three of
 *   32-bit samples.
 * - wav-decoder 1.3.0 asks for the name `global`, which only Node has. It is lent one for the call.
 * - wav-encoder 1.3.0, 8 bits not symmetric: half a step too low on average. The symmetric mode is right.
 * - wav-encoder 1.3.0: writes a sample that is not a number as 0 at 16 bits and as −1 at 8. Such samples are refused.
 */
import decoder from 'wav-decoder';
import encoder from 'wav-encoder';
import { DotphaseError } from '../errors.js';
import type { ChannelChoice } from './audio.js';
import { g711Table } from './g711.js';

/** How a sample is coded: linear integers, IEEE 754 numbers, or the logarithmic codes of ITU-T G.711. */
export type SampleEncoding = 'pcm' | 'float' | 'alaw' | 'mulaw';

/** How the bytes of a frame are laid out: little-endian samples, one of each channel in turn, no gaps. */
export interface SampleLayout {
  /** How a sample is coded. */
  readonly encoding: SampleEncoding;
  /** Bytes of one sample. One-byte `pcm` is unsigned with silence at 128, wider is two's complement. */
  readonly bytesPerSample: number;
  /** Samples in a frame, 1 to 1024. */
  readonly channelCount: number;
}

const HEADER_BYTES = 44;

/** Converts whole frames of one layout. */
export class SampleDecoder {
  /** Samples so far that were not finite numbers and were given as 0. */
  nonFinite = 0;
  /** Offset of the first of them, counted from the first byte decoded. */
  firstNonFinite = -1;

  readonly #layout: SampleLayout;
  readonly #mix: boolean;
  readonly #first: number;
  readonly #count: number;
  readonly #libraryBytes: number;
  readonly #law: Int16Array | undefined;
  #image = new Uint8Array(HEADER_BYTES);
  #decodedBytes = 0;

  constructor(layout: SampleLayout, channel: ChannelChoice) {
    this.#layout = layout;
    this.#mix = channel === 'mix';
    this.#first = typeof channel === 'number' ? channel : 0;
    this.#count = typeof channel === 'number' ? 1 : layout.channelCount;
    this.#libraryBytes = libraryBytes(layout);
    this.#law =
      layout.encoding === 'alaw' || layout.encoding === 'mulaw' ? g711Table(layout.encoding) : undefined;
  }

  /** Converts `bytes`, whole frames, into one new array per channel given. */
  decode(bytes: Uint8Array): Float32Array[] {
    const { encoding, bytesPerSample, channelCount } = this.#layout;
    const frames = bytes.length / (bytesPerSample * channelCount);
    const dataBytes = frames * this.#count * this.#libraryBytes;
    if (this.#image.length < HEADER_BYTES + dataBytes) this.#image = new Uint8Array(HEADER_BYTES + dataBytes);
    this.#writeHeader(dataBytes);
    if (this.#law !== undefined) this.#expand(bytes, frames, this.#law);
    else if (this.#count === channelCount && this.#libraryBytes === bytesPerSample) {
      this.#image.set(bytes, HEADER_BYTES);
    } else this.#gather(bytes, frames);

    const channels = decodeImage(this.#image.buffer);
    if (encoding === 'float') this.#zeroNonFinite(channels);
    this.#decodedBytes += bytes.length;
    return this.#mix && channels.length > 1 ? [mean(channels)] : channels;
  }

  #writeHeader(dataBytes: number): void {
    const view = new DataView(this.#image.buffer);
    const frameBytes = this.#count * this.#libraryBytes;
    view.setUint32(0, 0x52494646); // RIFF
    view.setUint32(4, HEADER_BYTES - 8 + dataBytes, true);
    view.setUint32(8, 0x57415645); // WAVE
    view.setUint32(12, 0x666d7420); // fmt
    view.setUint32(16, 16, true);
    view.setUint16(20, this.#layout.encoding === 'float' ? 3 : 1, true);
    view.setUint16(22, this.#count, true);
    view.setUint16(32, frameBytes, true);
    view.setUint16(34, this.#libraryBytes * 8, true);
    view.setUint32(36, 0x64617461); // data
    view.setUint32(40, dataBytes, true);
  }

  /** Copies the chosen samples into the upper bytes of the samples of the image. */
  #gather(bytes: Uint8Array, frames: number): void {
    const { encoding, bytesPerSample, channelCount } = this.#layout;
    const image = this.#image;
    const frameBytes = bytesPerSample * channelCount;
    const lower = this.#libraryBytes - bytesPerSample;
    const flip = encoding === 'pcm' && bytesPerSample === 1 ? 0x80 : 0;
    let to = HEADER_BYTES;
    for (let frame = 0; frame < frames; frame++) {
      let from = frame * frameBytes + this.#first * bytesPerSample;
      for (let sample = 0; sample < this.#count; sample++) {
        to += lower; // these bytes are never written, so they stay 0
        for (let byte = 0; byte < bytesPerSample; byte++) image[to++] = bytes[from++] ^ flip;
      }
    }
  }

  #expand(bytes: Uint8Array, frames: number, law: Int16Array): void {
    const image = this.#image;
    const { channelCount } = this.#layout;
    let to = HEADER_BYTES;
    for (let frame = 0; frame < frames; frame++) {
      const from = frame * channelCount + this.#first;
      for (let sample = 0; sample < this.#count; sample++) {
        const value = law[bytes[from + sample]];
        image[to++] = value & 0xff;
        image[to++] = value >> 8;
      }
    }
  }

  #zeroNonFinite(channels: Float32Array[]): void {
    const { bytesPerSample, channelCount } = this.#layout;
    channels.forEach((samples, channel) => {
      for (let i = 0; i < samples.length; i++) {
        if (Number.isFinite(samples[i])) continue;
        samples[i] = 0;
        this.nonFinite++;
        const at = this.#decodedBytes + (i * channelCount + this.#first + channel) * bytesPerSample;
        if (this.firstNonFinite < 0 || at < this.firstNonFinite) this.firstNonFinite = at;
      }
    });
  }
}

/** The width of the samples the library is given: the next one it decodes faithfully. */
function libraryBytes({ encoding, bytesPerSample }: SampleLayout): number {
  if (encoding === 'float') return bytesPerSample;
  return bytesPerSample <= 2 ? 2 : 4;
}

function decodeImage(image: ArrayBuffer): Float32Array[] {
  if ('global' in globalThis) return decoder.decode.sync(image, { symmetric: true }).channelData;
  Object.defineProperty(globalThis, 'global', { value: globalThis, configurable: true });
  try {
    return decoder.decode.sync(image, { symmetric: true }).channelData;
  } finally {
    Reflect.deleteProperty(globalThis, 'global');
  }
}

function mean(channels: readonly Float32Array[]): Float32Array {
  const mixed = new Float32Array(channels[0].length);
  for (let i = 0; i < mixed.length; i++) {
    // In double precision, where even the largest samples add up.
    let sum = 0;
    for (let channel = 0; channel < channels.length; channel++) sum += channels[channel][i];
    mixed[i] = sum / channels.length;
  }
  return mixed;
}

/** How samples are written: integers of 8 (unsigned), 16, 24 or 32 bits, or 32-bit floating point. */
export interface WrittenSamples {
  readonly bitDepth: 8 | 16 | 24 | 32;
  readonly float: boolean;
}

/**
 * Converts one block to bytes.
 *
 * @returns the bytes, and how many samples lay beyond ±1 and were clipped (none in floating point).
 * @throws `DotphaseError` if a sample is not a finite number.
 */
export function encodeSamples(
  channels: Float32Array[],
  { bitDepth, float }: WrittenSamples,
  firstFrame: number,
): { bytes: Uint8Array; clipped: number } {
  let beyond = 0;
  channels.forEach((samples, channel) => {
    for (let i = 0; i < samples.length; i++) {
      const value = samples[i];
      if (!Number.isFinite(value)) {
        throw new DotphaseError(`channels[${channel}] frame ${firstFrame + i}`, value, 'a finite number');
      }
      if (value > 1 || value < -1) beyond++;
    }
  });
  // The library takes arrays of its own realm alone.
  const channelData = channels.map(
    ({ buffer, byteOffset, length }) => new Float32Array(buffer, byteOffset, length),
  );
  const image = encoder.encode.sync({ sampleRate: 1, channelData }, { bitDepth, float, symmetric: true });
  return { bytes: new Uint8Array(image, HEADER_BYTES), clipped: float ? 0 : beyond };
}
