/**
 * The secret that a paper is made from, the key that everything is drawn with (scrypt, RFC 7914; HMAC, RFC 2104) and
 * the number that its sheets show instead.
 */
import { hmac } from '@noble/hashes/hmac.js';
import { scrypt } from '@noble/hashes/scrypt.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { randomBytes } from '@noble/hashes/utils.js';

/** Shortest secret that is taken, characters, and how many of them must differ. */
export const SHORTEST_SECRET = 16;
const FEWEST_CHARACTERS = 8;
const LONGEST_SECRET = 200;

/** Digits and letters that are not taken for one another: five bits each. */
const ALPHABET = '0123456789abcdefghjkmnpqrstvwxyz';
const GROUPS = 7;
const GROUP_LENGTH = 4;

/** What a secret must be, for people. */
export const SECRET_RULE = `text of ${SHORTEST_SECRET} to ${LONGEST_SECRET} characters, at least ${FEWEST_CHARACTERS} of them different, that nobody guesses`;

/** A secret of 140 random bits, seven groups of four characters: `k7qf-2m4x-…`. */
export function createSecret(): string {
  const characters = Array.from(randomBytes(GROUPS * GROUP_LENGTH), (byte) => ALPHABET[byte % 32]);
  return Array.from({ length: GROUPS }, (_, i) =>
    characters.slice(i * GROUP_LENGTH, (i + 1) * GROUP_LENGTH).join(''),
  ).join('-');
}

/** Whether a text can serve as a secret. */
export function isSecret(text: string): boolean {
  const { length } = text.trim();
  return (
    length >= SHORTEST_SECRET && length <= LONGEST_SECRET && new Set(text.trim()).size >= FEWEST_CHARACTERS
  );
}

/** Work of the stretching: 32 MiB and about a tenth of a second for each secret that somebody tries. */
const STRETCH = { N: 2 ** 15, r: 8, p: 1, dkLen: 32 };

/** The key of a secret, 32 bytes: stretched, so that trying secrets one after another is slow. */
export function keyOfSecret(secret: string): Uint8Array {
  return scrypt(secret.trim().normalize('NFKC'), 'dotphase paper', STRETCH);
}

const NUMBER_BYTES = 6;

/** The number of a paper, twelve digits such as `4821 0937 5512`. It cannot be turned back into the key. */
export function numberOfKey(key: Uint8Array): string {
  const bytes = hmac(sha256, key, 'number of the paper').subarray(0, NUMBER_BYTES);
  const value = bytes.reduce((sum, byte) => sum * 256 + byte, 0) % 1e12;
  return String(value)
    .padStart(12, '0')
    .replace(/(\d{4})(?=\d)/g, '$1 ');
}
