/**
 * What follows the telecommands: working frequencies, or a position (ITU-R M.493 Annex 1 §8.3.2–§8.3.3, from
 * memory).
 */
import { requireRecord } from '../../errors.js';
import { channelField, channelLengthAt, channelWriter } from './channel.js';
import {
  combineShapes,
  constantField,
  firstCharacters,
  isWhole,
  readCharacters,
  readField,
  type Field,
  type ReceivedField,
  type FieldKind,
  type FieldWriter,
  type LengthAt,
} from './field.js';
import { positionField, positionWriter } from './position.js';
import { isTelephoneStart } from './telephone.js';
import { timeField, timeWriter } from './time.js';
import { writeWith } from './writing.js';
import type { Character } from '../values.js';

/** The symbol that says a position follows where a frequency could stand. */
export const POSITION_FOLLOWS = 55;

const WITHOUT_TIME = 6;
const WITH_TIME = 8;

/** How many symbols a whole message takes; Infinity where they run out. */
function wholeLengthAt(symbols: readonly number[], at: number): number {
  if (symbols[at] === POSITION_FOLLOWS) return positionLengthAt(symbols, at);
  const receive = channelLengthAt(symbols, at);
  return receive + channelLengthAt(symbols, at + receive);
}

/** The end of a position message: its time, where two symbols are left that do not start a telephone number. */
function positionLengthAt(symbols: readonly number[], at: number): number {
  const left = symbols.length - at;
  if (left < WITHOUT_TIME) return Infinity;
  return left >= WITH_TIME && !isTelephoneStart(symbols[at + WITHOUT_TIME]) ? WITH_TIME : WITHOUT_TIME;
}

const lengthAt: LengthAt = (symbols, at) => Math.min(wholeLengthAt(symbols, at), symbols.length - at);

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
  const channelAt = (at: number) => {
    const first = left.at(at) ?? null;
    return first === null ? undefined : channelLengthAt([first, 0, 0, 0], 0);
  };
  const split = channelAt(0) ?? 0;
  const receive = readCharacters(channelField, firstCharacters(left, split));
  const rest = channelAt(split);
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
const messageOf = (kind: FieldKind): Field => ({
  kind,
  lengthAt,
  read(symbols) {
    if (wholeLengthAt(symbols, 0) !== symbols.length) return undefined;
    if (symbols[0] === POSITION_FOLLOWS) {
      const position = readField(positionField, symbols.slice(1, WITHOUT_TIME));
      return symbols.length === WITHOUT_TIME
        ? { position }
        : { position, time: readField(timeField, symbols.slice(WITHOUT_TIME)) };
    }
    const split = channelLengthAt(symbols, 0);
    return {
      receive: readField(channelField, symbols.slice(0, split)),
      transmit: readField(channelField, symbols.slice(split)),
    };
  },
  readReceived(left, isEndKnown) {
    const [first] = left;
    if (isEndKnown && isWhole(left)) {
      const length = lengthAt(left, 0);
      return { value: readField(messageField, left.slice(0, length)), length };
    }
    // The first character tells whether a position follows, and how long a frequency is.
    if (first === null || left.length === 0) return { value: { notReceived: [...left] }, length: undefined };
    return first === POSITION_FOLLOWS
      ? readReceivedPosition(left, isEndKnown)
      : readReceivedChannels(left, isEndKnown);
  },
  shapes: () => [
    ...combineShapes([channelField, channelField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField, timeField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField]),
  ],
});

/** That of a call. */
export const messageField = /* @__PURE__ */ messageOf('message');

/**
 * The message of an acknowledgement. It repeats the frequencies of the call, or proposes others, still as those of the
 * station that was called, which now is the one that acknowledges (M.493 §8.2.2, from memory).
 */
export const acknowledgedMessageField = /* @__PURE__ */ messageOf('acknowledgedMessage');

/** The message of a call that fits no table: it is unknown which station its frequencies belong to. */
export const irregularMessageField = /* @__PURE__ */ messageOf('irregularMessage');

/** How that is written. */
export const messageWriter: FieldWriter = {
  lengthAt: lengthAt,
  write(value, path) {
    const expected = '{ receive, transmit } or { position, time }';
    if (typeof value === 'object' && value !== null && 'position' in value) {
      const { position, time } = requireRecord(value, path, ['position', 'time'], expected);
      return [
        POSITION_FOLLOWS,
        ...writeWith(positionWriter, position, `${path}.position`),
        ...(time === undefined ? [] : writeWith(timeWriter, time, `${path}.time`)),
      ];
    }
    const { receive, transmit } = requireRecord(value, path, ['receive', 'transmit'], expected);
    return [
      ...writeWith(channelWriter, receive, `${path}.receive`),
      ...writeWith(channelWriter, transmit, `${path}.transmit`),
    ];
  },
};
