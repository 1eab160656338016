/**
 * Frames: characters to slots and bits, and back by the standard's own rules.
 *
 * @example
 * ```ts
 * import { encodeCall } from 'dotphase/calls';
 * import { frameCall, readSequences } from 'dotphase/frames';
 *
 * const encoded = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
 * const { bits, duration } = frameCall(encoded, { band: 'mf-hf' });
 * console.log(bits.length, duration); // 640 6.4
 * const [reading] = readSequences(bits);
 * console.log(reading.checked, reading.symbols?.join() === encoded.symbols.join()); // true true
 * ```
 *
 * @packageDocumentation
 */
export {
  phasingSymbol,
  readSequence,
  readSequences,
  type CharacterReading,
  type SequenceReading,
} from './reading.js';
export {
  LONG_DOTS,
  PHASING_DX_COUNT,
  PHASING_RX,
  RX_DELAY_PAIRS,
  SHORT_DOTS,
  airSlots,
  dotPatternLength,
  frameCall,
  informationCharacters,
  type AirSlot,
  type ExpansionsAfter,
  type Frame,
  type FramedCharacters,
  type FramingOptions,
  type Sending,
} from './sequence.js';
