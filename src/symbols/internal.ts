/**
 * For the other rooms, not for users: the codes without their plain words.
 */
export {
  CATEGORY_CODES,
  END_OF_SEQUENCE_CODES,
  FIRST_TELECOMMAND_CODES,
  FOLLOW_ON_CODES,
  FORMAT_CODES,
  NATURE_CODES,
  NO_INFORMATION,
  SECOND_TELECOMMAND_CODES,
  type Codes,
  type EndOfSequenceName,
  type FirstTelecommandName,
  type FormatName,
} from './codes.js';
export { LAST_DIGIT_PAIR } from './digits.js';
