/**
 * Navigation: position sentences (IEC 61162-1) to the own position and the time it was valid.
 *
 * @example
 * ```ts
 * import { createOwnPosition } from 'dotphase/navigation';
 *
 * const own = createOwnPosition({ clock: Date.now });
 * own.push('$GPGLL,4530.50,N,03015.25,W,120000,A*3C\r\n');
 * console.log(own.forCall().time); // 12:00
 * ```
 *
 * @packageDocumentation
 */
export {
  POSITION_LIMIT_MS,
  createOwnPosition,
  type KnownPosition,
  type OwnPosition,
  type OwnPositionOptions,
  type PositionForCall,
} from './ownposition.js';
export { readNavigationSentence, type NavigationSentence, type SentenceOptions } from './sentence.js';
