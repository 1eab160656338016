/**
 * The fields that calls are made of, each with its reading, writing and allowed symbols
 * (ITU-R M.493 Annex 1 §5–§9, from memory).
 */
export { areaField } from './area.js';
export { SIMPLEX_SIDES, channelField } from './channel.js';
export {
  combineShapes,
  constantField,
  digitPairs,
  firstCharacters,
  isWhole,
  readCharacters,
  readField,
  requireCharacters,
  requireRecord,
  requireSymbols,
  sameSymbols,
  symbolSet,
  wordField,
  writeField,
  type DataKind,
  type Field,
  type FieldKind,
  type ReceivedField,
  type Shape,
  type SymbolSet,
  type WordKind,
} from './field.js';
export {
  POSITION_FOLLOWS,
  acknowledgedMessageField,
  irregularMessageField,
  messageField,
} from './message.js';
export {
  MINUTES_PER_DEGREE,
  STEPS_PER_MINUTE,
  joinPosition,
  positionField,
  splitPosition,
  toSteps,
} from './position.js';
export { QUADRANTS, quadrantDigit } from './quadrant.js';
export { casualtyField, identityField } from './station.js';
export { EVEN_COUNT, ODD_COUNT, telephoneField } from './telephone.js';
export { timeField } from './time.js';
