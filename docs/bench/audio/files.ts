/**
 * Audio files into samples: WAV by the library, everything else by the browser's own decoders.
 */
import { DotphaseError } from 'dotphase';
import { readWav } from 'dotphase/wav';

export interface Recording {
  readonly sampleRate: number;
  /** Channels that differ from each other. */
  readonly channels: readonly Float32Array<ArrayBuffer>[];
  readonly seconds: number;
  readonly warnings: readonly string[];
  /** SHA-256 of the file, 64 hexadecimal digits; absent where the browser has none, as on a page without encryption. */
  readonly recording?: string;
}

/** What the receiver can take; another rate goes through the browser's resampler. */
const RATES = { lowest: 8000, highest: 192_000 };
const BROWSER_RATE = 48_000;

function isWav(bytes: Uint8Array): boolean {
  return ['RIFF', 'RF64', 'BW64'].includes(String.fromCharCode(...bytes.subarray(0, 4)));
}

function isSame(a: Float32Array, b: Float32Array): boolean {
  return a.length === b.length && a.every((sample, i) => sample === b[i]);
}

function distinct(channels: readonly Float32Array[]): Float32Array<ArrayBuffer>[] {
  const kept: Float32Array[] = [];
  for (const channel of channels) if (!kept.some((other) => isSame(other, channel))) kept.push(channel);
  return kept as Float32Array<ArrayBuffer>[];
}

async function fingerprint(bytes: Uint8Array<ArrayBuffer>): Promise<{ recording?: string }> {
  const { subtle } = crypto as { subtle?: SubtleCrypto };
  if (!subtle) return {};
  const digest = new Uint8Array(await subtle.digest('SHA-256', bytes));
  return { recording: [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('') };
}

async function readByBrowser(bytes: Uint8Array<ArrayBuffer>): Promise<Recording> {
  const context = new OfflineAudioContext(1, 1, BROWSER_RATE);
  // Decoding takes the memory away, and the bytes may be wanted again.
  const buffer = await context.decodeAudioData(bytes.slice().buffer).catch(() => {
    throw new DotphaseError(
      'file',
      'these bytes',
      'a WAV file or another audio file that this browser reads',
    );
  });
  const channels = Array.from({ length: buffer.numberOfChannels }, (_, i) => buffer.getChannelData(i));
  return {
    sampleRate: buffer.sampleRate,
    channels: distinct(channels),
    seconds: buffer.duration,
    warnings: [],
  };
}

/**
 * Reads an audio file.
 *
 * @throws DotphaseError when nothing here can read it
 */
export async function readRecording(file: Blob): Promise<Recording> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  return { ...(await readSamples(bytes)), ...(await fingerprint(bytes)) };
}

async function readSamples(bytes: Uint8Array<ArrayBuffer>): Promise<Recording> {
  if (!isWav(bytes)) return readByBrowser(bytes);
  const { sampleRate, channels, warnings } = readWav(bytes);
  if (sampleRate < RATES.lowest || sampleRate > RATES.highest) return readByBrowser(bytes);
  return {
    sampleRate,
    channels: distinct(channels),
    seconds: channels[0].length / sampleRate,
    warnings: warnings.map(({ text }) => text),
  };
}
