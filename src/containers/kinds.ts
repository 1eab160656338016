/**
 * What kind of audio file bytes are, told by how they begin and never by a name: RIFF/WAVE (Microsoft, IBM 1991) and
 * its 64-bit forms (EBU Tech 3306, ITU-R BS.2088), FLAC (RFC 9639), Ogg (RFC 3533) with Vorbis I or Opus (RFC 7845),
 * MPEG audio (ISO/IEC 11172-3 §2.4.1.3, from memory), AIFF and AIFF-C (Apple 1989 and 1991, from memory).
 */

/** A kind of audio file that can be read. */
export type AudioKind = 'wav' | 'flac' | 'mp3' | 'ogg-vorbis' | 'ogg-opus' | 'ogg-flac' | 'aiff';

/** Bytes from the beginning of a file that tell its kind. */
export const HEAD_BYTES = 64;

/** How each kind begins; an Ogg page names its codec behind a header of 28 bytes. */
const BEGINNINGS: readonly (readonly [AudioKind, RegExp])[] = [
  ['wav', /^(?:RIFF|RF64|BW64)/],
  ['flac', /^fLaC/],
  ['ogg-vorbis', /^OggS[^]{25}vorbis/],
  ['ogg-opus', /^OggS[^]{24}OpusHead/],
  ['ogg-flac', /^OggS[^]{25}FLAC/],
  ['aiff', /^FORM[^]{4}AIF[FC]/],
  ['mp3', /^ID3[^]{2}/],
];

/** Eleven set bits, a version that exists, and a layer: layer 0 is AAC. */
function isMpegFrame(head: Uint8Array): boolean {
  if (head.length < 2 || head[0] !== 0xff || (head[1] & 0xe0) !== 0xe0) return false;
  const version = (head[1] >> 3) & 3;
  const layer = (head[1] >> 1) & 3;
  return version !== 1 && layer !== 0;
}

/**
 * The kind of audio file that begins with these bytes.
 *
 * @param head - the first 64 bytes, or all there are
 * @returns undefined for a kind that cannot be read
 */
export function audioKindOf(head: Uint8Array): AudioKind | undefined {
  const text = String.fromCharCode(...head.subarray(0, HEAD_BYTES));
  return BEGINNINGS.find(([, begins]) => begins.test(text))?.[0] ?? (isMpegFrame(head) ? 'mp3' : undefined);
}
