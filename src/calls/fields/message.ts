/**
 * What follows the telecommands: working frequencies, or a position (ITU-R M.493 Annex 1 §8.3.2–§8.3.3, from
 * memory).
 */
import { channelField } from './channel.js';
import {
  combineShapes,
  constantField,
  firstCharacters,
  isWhole,
  readCharacters,
  readField,
  requireRecord,
  writeField,
  type Field,
  type ReceivedField,
} from './field.js';
import { positionField } from './position.js';
import { isTelephoneStart } from './telephone.js';
import { timeField } from './time.js';
import type { Character } from '../values.js';

/** The symbol that says a position follows where a frequency could stand. */
export const POSITION_FOLLOWS = 55;

const WITHOUT_TIME = 6;
const WITH_TIME = 8;

/** How many symbols a whole message takes; Infinity where they run out. */
function wholeLengthAt(symbols: readonly number[], at: number): number {
  if (symbols[at] === POSITION_FOLLOWS) return positionLengthAt(symbols, at);
  const receive = channelField.lengthAt(symbols, at);
  return receive + channelField.lengthAt(symbols, at + receive);
}

/** The end of a position message: its time, where two symbols are left that do not start a telephone number. */
function positionLengthAt(symbols: readonly number[], at: number): number {
  const left = symbols.length - at;
  if (left < WITHOUT_TIME) return Infinity;
  return left >= WITH_TIME && !isTelephoneStart(symbols[at + WITHOUT_TIME]) ? WITH_TIME : WITHOUT_TIME;
}

/** A position message from its 55 on, of which some characters may be missing. */
function readReceivedPosition(left: readonly Character[], isEndKnown: boolean): ReceivedField {
  const position = readCharacters(positionField, firstCharacters(left.slice(1), WITHOUT_TIME - 1));
  const time = left.slice(WITHOUT_TIME, WITH_TIME);
  const [first] = time;
  if (isEndKnown && time.length === 0) return { value: { position }, length: WITHOUT_TIME };
  if (typeof first === 'number' && isTelephoneStart(first)) {
    return { value: { position }, length: WITHOUT_TIME };
  }
  const isTime = time.length === 2 && (first !== null || (isEndKnown && left.length === WITH_TIME));
  return isTime
    ? { value: { position, time: readCharacters(timeField, time) }, length: WITH_TIME }
    : { value: { position, time: { notReceived: left.slice(WITHOUT_TIME) } }, length: undefined };
}

/** A frequency message that begins with a received character; others may be missing. */
function readReceivedChannels(left: readonly Character[], isEndKnown: boolean): ReceivedField {
  const lengthAt = (at: number) => {
    const first = left.at(at) ?? null;
    return first === null ? undefined : channelField.lengthAt([first, 0, 0, 0], 0);
  };
  const split = lengthAt(0) ?? 0;
  const receive = readCharacters(channelField, firstCharacters(left, split));
  const rest = lengthAt(split);
  const whole = split + (rest ?? 1);
  if (isEndKnown && whole > left.length) return { value: { notReceived: [...left] }, length: left.length };
  return rest === undefined
    ? { value: { receive, transmit: { notReceived: left.slice(split) } }, length: undefined }
    : {
        value: { receive, transmit: readCharacters(channelField, firstCharacters(left.slice(split), rest)) },
        length: whole,
      };
}

/**
 * A frequency message of two halves, or symbol 55 with a position and, usually, its time (M.493 §8.3.2–§8.3.3). One that
 * is cut short takes what is left and reads as unassigned. Its frequencies are those of the called station.
 */
export const messageField: Field = {
  kind: 'message',
  lengthAt: (symbols, at) => Math.min(wholeLengthAt(symbols, at), symbols.length - at),
  read(symbols) {
    if (wholeLengthAt(symbols, 0) !== symbols.length) return undefined;
    if (symbols[0] === POSITION_FOLLOWS) {
      const position = readField(positionField, symbols.slice(1, WITHOUT_TIME));
      return symbols.length === WITHOUT_TIME
        ? { position }
        : { position, time: readField(timeField, symbols.slice(WITHOUT_TIME)) };
    }
    const split = channelField.lengthAt(symbols, 0);
    return {
      receive: readField(channelField, symbols.slice(0, split)),
      transmit: readField(channelField, symbols.slice(split)),
    };
  },
  readReceived(left, isEndKnown) {
    const [first] = left;
    if (isEndKnown && isWhole(left)) {
      const length = messageField.lengthAt(left, 0);
      return { value: readField(messageField, left.slice(0, length)), length };
    }
    // The first character tells whether a position follows, and how long a frequency is.
    if (first === null || left.length === 0) return { value: { notReceived: [...left] }, length: undefined };
    return first === POSITION_FOLLOWS
      ? readReceivedPosition(left, isEndKnown)
      : readReceivedChannels(left, isEndKnown);
  },
  write(value, path) {
    const expected = '{ receive, transmit } or { position, time }';
    if (typeof value === 'object' && value !== null && 'position' in value) {
      const { position, time } = requireRecord(value, path, ['position', 'time'], expected);
      return [
        POSITION_FOLLOWS,
        ...writeField(positionField, position, `${path}.position`),
        ...(time === undefined ? [] : writeField(timeField, time, `${path}.time`)),
      ];
    }
    const { receive, transmit } = requireRecord(value, path, ['receive', 'transmit'], expected);
    return [
      ...writeField(channelField, receive, `${path}.receive`),
      ...writeField(channelField, transmit, `${path}.transmit`),
    ];
  },
  shapes: [
    ...combineShapes([channelField, channelField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField, timeField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField]),
  ],
};

/**
 * The message of an acknowledgement. It repeats the frequencies of the call, or proposes others, still as those of the
 * station that was called, which now is the one that acknowledges (M.493 §8.2.2, from memory).
 */
export const acknowledgedMessageField: Field = {
  ...messageField,
  kind: 'acknowledgedMessage',
};

/** The message of a call that fits no table: it is unknown which station its frequencies belong to. */
export const irregularMessageField: Field = {
  ...messageField,
  kind: 'irregularMessage',
};
