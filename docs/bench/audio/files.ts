/**
 * Audio files that are no WAV, or WAV at a rate that the receiver does not take: by the browser's own decoders.
 */
import { DotphaseError } from 'dotphase';

export interface Recording {
  readonly sampleRate: number;
  /** Channels that differ from each other. */
  readonly channels: readonly Float32Array<ArrayBuffer>[];
  readonly seconds: number;
  /** SHA-256 of the file, 64 hexadecimal digits; absent where the browser has none, as on a page without encryption. */
  readonly recording?: string;
}

/** What the receiver can take; another rate goes through the browser's resampler. */
const RATES = { lowest: 8000, highest: 192_000 };
const BROWSER_RATE = 48_000;

/** Whether a file is read by slices, by the library. */
export async function isReadBySlices(file: Blob): Promise<boolean> {
  const head = new DataView(await file.slice(0, 36).arrayBuffer());
  const word = (at: number) =>
    Array.from({ length: 4 }, (_, i) => String.fromCharCode(head.getUint8(at + i))).join('');
  if (head.byteLength < 12 || !['RIFF', 'RF64', 'BW64'].includes(word(0))) return false;
  // Where the format stands first, as it nearly always does, its rate is known here.
  if (head.byteLength < 28 || word(12) !== 'fmt ') return true;
  const rate = head.getUint32(24, true);
  return rate >= RATES.lowest && rate <= RATES.highest;
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

/**
 * Reads an audio file by the browser's decoders.
 *
 * @throws DotphaseError when they cannot
 */
export async function readByBrowser(file: Blob): Promise<Recording> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const known = await fingerprint(bytes);
  const context = new OfflineAudioContext(1, 1, BROWSER_RATE);
  const buffer = await context.decodeAudioData(bytes.buffer).catch(() => {
    throw new DotphaseError(
      'file',
      'these bytes',
      'a WAV file or another audio file that this browser reads',
    );
  });
  const channels = Array.from({ length: buffer.numberOfChannels }, (_, i) => buffer.getChannelData(i));
  return { sampleRate: buffer.sampleRate, channels: distinct(channels), seconds: buffer.duration, ...known };
}
