/**
 * The `fmt ` chunk: WAVEFORMAT, WAVEFORMATEX and WAVEFORMATEXTENSIBLE of the Multimedia Programming Interface
 * and Data Specifications 1.0 (IBM, Microsoft, 1991) and its later additions (from memory).
 */
import { MAX_CHANNELS, MAX_SAMPLE_RATE } from './audio.js';
import { refusal, viewOf } from './bytes.js';
import type { SampleEncoding, SampleLayout } from './samples.js';

/** How the samples of a file are coded. */
export interface WavFormat extends SampleLayout {
  /** Frames per second, 1 to 768000 Hz. */
  readonly sampleRate: number;
  /** Bits of a sample that carry sound; the bytes it takes may hold more. */
  readonly bitDepth: number;
}

/** The shortest `fmt ` chunk: PCMWAVEFORMAT. */
export const FORMAT_LEAST_BYTES = 16;
/** The longest part of a `fmt ` chunk that means anything here: WAVEFORMATEXTENSIBLE. */
export const FORMAT_BYTES = 40;

/** wFormatTag: the codes understood, and the bytes a sample of so many bits may take. */
const TAGS: Readonly<Record<number, { encoding: SampleEncoding; widths: (bits: number) => number[] }>> = {
  0x0001: { encoding: 'pcm', widths: (bits) => [1, 2, 3, 4].filter((width) => bits <= 8 * width) },
  0x0003: { encoding: 'float', widths: (bits) => [4, 8].filter((width) => bits === 8 * width) },
  0x0006: { encoding: 'alaw', widths: () => [1] },
  0x0007: { encoding: 'mulaw', widths: () => [1] },
};
const TAGS_TEXT = '1 (PCM), 3 (floating point), 6 (A-law) or 7 (µ-law)';
const EXTENSIBLE = 0xfffe;

/** The SubFormat of WAVE_FORMAT_EXTENSIBLE is a format tag followed by these bytes (KSDATAFORMAT_SUBTYPE). */
const SUBTYPE_TAIL = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

/**
 * Reads the body of a `fmt ` chunk.
 *
 * @param body - the whole body of 16 bytes or more, or its first 40
 * @param start - offset of the body in the file
 * @returns the format, and in `doubt` what had to be assumed
 * @throws `DotphaseError` naming the byte of the field that cannot be used
 */
export function parseFormat(body: Uint8Array, start: number): { format: WavFormat; doubt?: string } {
  const view = viewOf(body);
  const extensible = view.getUint16(0, true) === EXTENSIBLE;
  if (extensible && body.length < FORMAT_BYTES) {
    throw refusal(
      start - 4,
      body.length,
      `a fmt chunk of ${FORMAT_BYTES} bytes or more for the extensible format`,
    );
  }
  if (extensible && SUBTYPE_TAIL.some((byte, i) => body[26 + i] !== byte)) {
    throw refusal(start + 24, hex(body.subarray(24, 40)), `a subformat made of a format tag, ${TAGS_TEXT}`);
  }
  const tagAt = extensible ? 24 : 0;
  const tag = view.getUint16(tagAt, true);
  if (!Object.hasOwn(TAGS, tag)) throw refusal(start + tagAt, tag, `format tag ${TAGS_TEXT}`);
  const { encoding } = TAGS[tag];

  const channelCount = view.getUint16(2, true);
  if (channelCount < 1 || channelCount > MAX_CHANNELS) {
    throw refusal(start + 2, channelCount, `1 to ${MAX_CHANNELS} channels`);
  }
  const sampleRate = view.getUint32(4, true);
  if (sampleRate < 1 || sampleRate > MAX_SAMPLE_RATE) {
    throw refusal(start + 4, sampleRate, `a sample rate of 1 to ${MAX_SAMPLE_RATE} Hz`);
  }
  const containerBits = view.getUint16(14, true);
  const widths = TAGS[tag].widths(containerBits);
  if (widths.length === 0) {
    const expected = encoding === 'float' ? '32 or 64 bits a sample' : 'at most 32 bits a sample';
    throw refusal(start + 14, containerBits, expected);
  }
  const frameBytes = view.getUint16(12, true);
  const bytesPerSample = frameBytes / channelCount;
  if (!widths.includes(bytesPerSample)) {
    const sizes = widths.map((width) => width * channelCount).join(' or ');
    const samples = `${channelCount} samples of ${containerBits} bits (${encoding})`;
    throw refusal(start + 12, frameBytes, `frames of ${sizes} bytes, for ${samples}`);
  }
  const bits = extensible ? validBits(view, start, containerBits) : containerBits;
  const bitDepth = bits === 0 ? 8 * bytesPerSample : Math.min(bits, 8 * bytesPerSample);
  const format = { encoding, sampleRate, channelCount, bytesPerSample, bitDepth };
  if (bytesPerSample === widths[0]) return { format };
  const doubt = `${containerBits}-bit samples in ${bytesPerSample} bytes each were taken to fill the upper bits.`;
  return { format, doubt };
}

/** wValidBitsPerSample; 0 says nothing. */
function validBits(view: DataView, start: number, containerBits: number): number {
  const bits = view.getUint16(18, true);
  if (bits > containerBits) throw refusal(start + 18, bits, `at most ${containerBits} valid bits`);
  return bits === 0 ? containerBits : bits;
}

function hex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join(' ');
}
