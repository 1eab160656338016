/**
 * Seeds for everything random that has a name.
 */

/**
 * A seed that a number and a name determine: FNV-1a over both, then the finaliser of MurmurHash3 (both from memory).
 *
 * @returns an integer from 0 to 2³² − 1
 */
export function seedFor(seed: number, name: string): number {
  const text = `${seed}/${name}`;
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}
