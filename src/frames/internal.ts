/**
 * What the receiver needs of frames, and users do not.
 */
export { LONGEST_EXPANSIONS, splitExpansions } from './expansions.js';
export { countPhasing, readCharacter } from './reading.js';
