/**
 * Where the own station is and what time it is.
 */
export * from './ownposition.js';
export * from './sentence.js';
