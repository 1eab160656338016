/**
 * What follows the telecommands: working frequencies, or a position (ITU-R M.493 Annex 1 §8.2.2–§8.2.3, from
 * memory).
 */
import { channelField } from './channel.js';
import {
  combineShapes,
  constantField,
  describeField,
  readField,
  requireRecord,
  writeField,
  type Field,
} from './field.js';
import { positionField } from './position.js';
import { isTelephoneStart } from './telephone.js';
import { timeField } from './time.js';

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

/** How a position message ends: with its time where two symbols are left for it that start no telephone number. */
function positionLengthAt(symbols: readonly number[], at: number): number {
  const left = symbols.length - at;
  if (left < WITHOUT_TIME) return Infinity;
  return left >= WITH_TIME && !isTelephoneStart(symbols[at + WITHOUT_TIME]) ? WITH_TIME : WITHOUT_TIME;
}

/**
 * A frequency message of two halves, or symbol 55 with a position and, usually, its time (M.493 §8.2.2–§8.2.3). One that
 * is cut short takes what is left and reads as unassigned.
 */
export const messageField: Field = {
  form:
    'two frequencies or channels: first the one the called station receives on, then the one it transmits on; ' +
    'or 55, a position and its time',
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
  describe(value) {
    const message = value as Record<string, unknown>;
    if ('position' in message) {
      const position = describeField(positionField, message.position);
      return message.time === undefined ? position : `${position}, ${describeField(timeField, message.time)}`;
    }
    if (message.receive === 'none' && message.transmit === 'none') return 'no channel proposed';
    const receive = describeField(channelField, message.receive);
    const transmit = describeField(channelField, message.transmit);
    if (message.transmit === 'none' || receive === transmit) return `on ${receive}`;
    if (message.receive === 'none') return `the called station to transmit on ${transmit}`;
    return `the called station to receive on ${receive} and transmit on ${transmit}`;
  },
  shapes: [
    ...combineShapes([channelField, channelField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField, timeField]),
    ...combineShapes([constantField(POSITION_FOLLOWS), positionField]),
  ],
};
