/**
 * The fields that calls are made of, each with its reading, its allowed symbols and its writing
 * (ITU-R M.493 Annex 1 §5–§9, from memory).
 */
export { SIMPLEX_SIDES, channelLengthAt } from './channel.js';
export {
  combineShapes,
  constantField,
  digitPairs,
  firstCharacters,
  isWhole,
  readCharacters,
  readField,
  requireSymbols,
  sameSymbols,
  symbolSet,
  type CallFieldKind,
  type Content,
  type DataKind,
  type Field,
  type FieldKind,
  type ReceivedField,
  type Shape,
  type SymbolSet,
  type WordKind,
  type FieldWriter,
  type LengthAt,
} from './field.js';
export { POSITION_FOLLOWS } from './message.js';
export { MINUTES_PER_DEGREE, STEPS_PER_MINUTE, joinPosition, splitPosition, toSteps } from './position.js';
export { FIELDS, fieldOf } from './readers.js';
export { QUADRANTS, quadrantDigit } from './quadrant.js';
export { EVEN_COUNT, ODD_COUNT, telephoneWriter } from './telephone.js';
export { writeField } from './writers.js';
export { requireCharacters, writeWith } from './writing.js';
