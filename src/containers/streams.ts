/**
 * MP3 and Ogg → blocks of audio.
 */
import type { AudioBlock } from '../wav/index.js';
import type { ByteReader } from './bytereader.js';
import { DecodedAudio, type CompressedKind, type Decoded } from './decoders.js';
import { OggPages } from './oggpages.js';
import type { ReadFrames, Wanted, Warn } from './types.js';

/** What the decoders of every kind have in common. */
interface StreamDecoder {
  readonly ready: Promise<void>;
  decode(bytes: Uint8Array): Decoded | Promise<Decoded>;
  flush?(): Promise<Decoded>;
  free(): void;
}

const LOADERS: Readonly<Record<Exclude<CompressedKind, 'flac'>, () => Promise<StreamDecoder>>> = {
  'ogg-flac': async () => new (await import('@wasm-audio-decoders/flac')).FLACDecoder(),
  'ogg-vorbis': async () => new (await import('@wasm-audio-decoders/ogg-vorbis')).OggVorbisDecoder(),
  'ogg-opus': async () => new (await import('ogg-opus-decoder')).OggOpusDecoder(),
  mp3: async () => new (await import('mpg123-decoder')).MPEGDecoder(),
};

const NOTHING_LEFT: Decoded = { channelData: [], samplesDecoded: 0, sampleRate: 0, errors: [] };

/** Most bytes decoded in one go. */
const STEP_BYTES = 65_536;

/**
 * Reads an MP3 or Ogg file block by block.
 *
 * @throws DotphaseError if nothing in it can be decoded, or it has no such channel
 */
export async function* streamBlocks(
  kind: Exclude<CompressedKind, 'flac'>,
  reader: ByteReader,
  wanted: Wanted,
  warn: Warn,
): AsyncGenerator<AudioBlock, ReadFrames, undefined> {
  const decoder = await LOADERS[kind]();
  await decoder.ready;
  try {
    const audio = new DecodedAudio(kind, wanted, warn);
    const pages = kind === 'mp3' ? undefined : new OggPages();
    for await (const piece of reader.pieces()) {
      for (let at = 0; at < piece.length; at += STEP_BYTES) {
        // Some decoders keep the bytes for later.
        const bytes = piece.slice(at, at + STEP_BYTES);
        for (const whole of pages?.push(bytes) ?? [bytes]) yield* audio.take(() => decoder.decode(whole));
      }
    }
    for (const cut of pages?.end() ?? []) yield* audio.take(() => decoder.decode(cut));
    yield* audio.take(async () => (await decoder.flush?.()) ?? NOTHING_LEFT);
    audio.end();
    pages?.problems().forEach(warn);
    return { frames: audio.given };
  } finally {
    decoder.free();
  }
}
