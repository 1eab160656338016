/**
 * Tells the kind of a file that was given as a recording, for error messages. Audio files are told by their first
 * bytes, as their formats define them.
 */
import { open, stat } from 'node:fs/promises';
import { extname } from 'node:path';
import { audioKindOf } from '../containers/index.js';
import { DotphaseError, Described, reasonOf } from '../errors.js';

/** Bytes from the beginning of a file that tell its kind. */
const HEAD_BYTES = 64;

/** How audio files of other kinds begin; the letters may stand behind the size of a first part (MP4, AIFF). */
const KINDS: readonly (readonly [string, RegExp])[] = [
  ['a FLAC file', /^fLaC/],
  ['an Ogg file', /^OggS/],
  // An ID3 tag, or the eleven set bits and the layer of an MPEG audio frame.
  ['an MP3 file', /^(?:ID3|\xff[\xfa\xfb\xf2\xf3])/],
  ['an AAC file', /^\xff[\xf1\xf9]/],
  ['an MP4 file', /^[^]{4}ftyp/],
  ['an AIFF file', /^FORM[^]{4}AIF[FC]/],
  ['an AU file', /^\.snd/],
  ['a WavPack file', /^wvpk/],
  ['an AVI file', /^RIFF[^]{4}AVI /],
  ['a compressed archive', /^PK/],
];

/** Whether a file begins like an audio file that can be read. */
export function isRecording(head: Uint8Array): boolean {
  return audioKindOf(head) !== undefined && otherKind(head) !== 'an AVI file';
}

/** A name as a shell takes it. */
function quoted(name: string): string {
  return /^[\w./-]+$/.test(name) ? name : `'${name.replaceAll("'", `'\\''`)}'`;
}

function conversion(path: string): string {
  const wav = `${path.slice(0, path.length - extname(path).length)}.wav`;
  const target = wav === path ? `${path}.converted.wav` : wav;
  return `an audio file that can be read here; convert it first, for example: ffmpeg -i ${quoted(path)} ${quoted(target)}`;
}

const RAW = 'an audio file, or --raw and --rate-hz beside it where it is samples without a header';

/** The first bytes of a file. */
export async function headOf(path: string): Promise<Buffer> {
  const file = await open(path, 'r');
  try {
    const head = Buffer.alloc(HEAD_BYTES);
    const { bytesRead } = await file.read(head, 0, HEAD_BYTES, 0);
    return head.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}

/** The kind of audio or archive that a file is, where it is no WAV file and begins like one that is known. */
function otherKind(head: Uint8Array): string | undefined {
  const text = Buffer.from(head).toString('latin1');
  return KINDS.find(([, begins]) => begins.test(text))?.[0];
}

/** Refuses a file of another known kind, and says how to make a file of it that can be read. */
export function refuseOtherKind(path: string, head: Uint8Array): void {
  const kind = otherKind(head);
  if (kind === undefined) return;
  const isAudio = kind !== 'a compressed archive';
  const expected = isAudio ? conversion(path) : 'an audio file; unpack it first';
  throw new DotphaseError('recording', new Described(kind), expected);
}

/**
 * Looks at a file that is to be read as a recording. What is no ordinary file (a pipe, a device) is left to the reader.
 *
 * @throws DotphaseError saying what it is instead and what to do
 */
export async function requireRecording(path: string): Promise<void> {
  let head: Buffer;
  try {
    const status = await stat(path);
    if (status.isDirectory()) {
      throw new DotphaseError(
        'recording',
        new Described(`the folder ${path}`),
        'an audio file: name one of those in it',
      );
    }
    if (!status.isFile()) return;
    if (status.size === 0) {
      throw new DotphaseError(
        'recording',
        new Described('an empty file'),
        'an audio file: record or copy it again',
      );
    }
    head = await headOf(path);
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('recording', path, `a file that can be read: ${reasonOf(error)}`);
  }
  if (isRecording(head)) return;
  refuseOtherKind(path, head);
  const start = head.toString('latin1');
  const isText = /^[\t\n\r\x20-\x7e]+$/.test(start);
  throw new DotphaseError(
    'recording',
    new Described(isText ? 'a text file' : 'a file of an unknown kind'),
    RAW,
  );
}

/** Pieces of a channel as one. */
export function concatenated(pieces: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let to = 0;
  for (const piece of pieces) {
    whole.set(piece, to);
    to += piece.length;
  }
  return whole;
}
