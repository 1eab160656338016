/**
 * For the receiver, not for users.
 */
export { LONGEST_EXPANSIONS, splitExpansions } from './expansions.js';
export { countPhasing, readCharacter } from './reading.js';
