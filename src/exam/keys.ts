/**
 * The keys that the versions of a paper are drawn with: all from one secret, none to be worked out from another.
 */
import { hmac } from '@noble/hashes/hmac.js';
import { sha256 } from '@noble/hashes/sha2.js';
import { keyOfSecret } from './secret.js';

/** Letters of versions. */
export const VERSION_LETTERS = 'ABCDEFGH';

/** What a version of a paper is drawn with. */
export interface PaperKeys {
  /** Chooses what all versions share: 32 bytes. */
  readonly shared: Uint8Array;
  /** Chooses calls and conditions: the shared one where all versions have the same recordings. */
  readonly calls: Uint8Array;
  /** Chooses questions and the order of their answers; the number of the paper comes from it. */
  readonly own: Uint8Array;
}

/** The key of a version; that of the first is the paper's. */
function versionKey(shared: Uint8Array, letter: string): Uint8Array {
  return letter === VERSION_LETTERS[0] ? shared : hmac(sha256, shared, `version ${letter}`);
}

/** The keys of a version, from the key of its paper. */
export function keysOf(shared: Uint8Array, letter: string, vary: 'calls' | 'letters'): PaperKeys {
  const own = versionKey(shared, letter);
  return { shared, calls: vary === 'calls' ? own : shared, own };
}

/** The keys of a version, from the secret of its paper. */
export function keysOfSecret(secret: string, letter: string, vary: 'calls' | 'letters'): PaperKeys {
  return keysOf(keyOfSecret(secret), letter, vary);
}
