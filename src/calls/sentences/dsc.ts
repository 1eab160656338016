/**
 * The DSC sentence: a received call, IEC 61162-1 §8.3 (from memory and with doubt about the address).
 */
import { DotphaseError } from '../../errors.js';
import { FORMATS, NO_INFORMATION, digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import { addressField } from '../address.js';
import {
  FIELDS,
  POSITION_FOLLOWS,
  channelLengthAt,
  requireSymbols,
  telephoneWriter,
} from '../fields/index.js';

const FIELD_COUNT = 11;
const IDENTITY = 5;
const POSITION = 5;
const TIME = 2;
const CHANNEL = 3;
/** A frequency or channel has six digits, a telephone number at most 16 (IEC 61162-1, from memory). */
const MESSAGE_DIGITS = 6;
const MOST_TELEPHONE_DIGITS = 16;
const DISTRESS = 112;
const AUTOMATIC = 123;
/** The letters for the ends of sequence. */
const ENDS: readonly (readonly [letter: string, symbol: number])[] = [
  ['R', 117],
  ['B', 122],
  ['S', 127],
];

const noInformation = (count: number) => Array.from({ length: count }, () => NO_INFORMATION);

/** Takes the symbols of a call field by field. */
class Cursor {
  #at = 0;
  constructor(readonly symbols: readonly number[]) {}
  get left(): number {
    return this.symbols.length - this.#at;
  }
  peek(): number {
    return this.symbols[this.#at];
  }
  /** What is left, without taking it. */
  rest(): readonly number[] {
    return this.symbols.slice(this.#at);
  }
  take(count: number): readonly number[] {
    this.#at += count;
    return this.symbols.slice(this.#at - count, this.#at);
  }
}

function refuse(field: string, symbols: readonly number[], expected: string): never {
  throw new DotphaseError(field, symbols, `${expected}, which is all that a sentence can carry`);
}

/** A service command as two digits: a hundred is dropped. */
function command([symbol]: readonly number[], field: string): string {
  if (!(symbol >= 100)) refuse(field, [symbol], 'a symbol from 100 to 127');
  return String(symbol - 100).padStart(2, '0');
}

function digits(symbols: readonly number[], field: string): string {
  return symbolsToDigits(symbols) ?? refuse(field, symbols, 'symbols below 100');
}

const isNone = (symbols: readonly number[]) => symbols.every((symbol) => symbol === NO_INFORMATION);

/** The digits of a message, and those of its time where it is a position. */
function writeMessage(cursor: Cursor): [message: string, time: string] {
  if (cursor.peek() === POSITION_FOLLOWS) {
    cursor.take(1);
    const position = digits(cursor.take(POSITION), 'position');
    return [position, cursor.left >= TIME && cursor.peek() < 100 ? digits(cursor.take(TIME), 'time') : ''];
  }
  const [receive, transmit] = ['receive', 'transmit'].map((half) => {
    const symbols = cursor.take(channelLengthAt(cursor.rest(), 0));
    return isNone(symbols) ? '' : digits(symbols, `message.${half}`);
  });
  if (receive === '' && transmit !== '') {
    refuse('message.receive', noInformation(CHANNEL), 'a frequency or channel before the one to transmit on');
  }
  const message = receive + transmit;
  if (message.length % MESSAGE_DIGITS !== 0) {
    refuse('message', cursor.symbols, 'frequencies and channels of six digits each');
  }
  return [message, ''];
}

function telephoneDigits(cursor: Cursor): string {
  const number = FIELDS.telephone.read(cursor.take(cursor.left));
  if (typeof number !== 'string') refuse('telephone', cursor.symbols, 'a telephone number');
  if (number.length > MOST_TELEPHONE_DIGITS) {
    refuse('telephone', cursor.symbols, `a telephone number of at most ${MOST_TELEPHONE_DIGITS} digits`);
  }
  return number === 'none' ? '' : number;
}

/**
 * The fields of the DSC sentence.
 *
 * @param content - a call's characters without the error check
 */
export function writeDsc(content: readonly number[], isExpanded: boolean): string[] {
  const format = content[0];
  const name = FORMATS.bySymbol(format)?.name;
  if (name === undefined) refuse('format', [format], 'an assigned format specifier');
  const end = ENDS.find(([, symbol]) => symbol === content[content.length - 1])?.[0];
  if (end === undefined) refuse('eos', content.slice(-1), 'an assigned end of sequence');
  const cursor = new Cursor(content.slice(1 + (addressField(name) ? IDENTITY : 0), -1));
  const category =
    format === DISTRESS ? command([DISTRESS], 'category') : command(cursor.take(1), 'category');
  const self = digits(cursor.take(IDENTITY), 'self');
  const head = [command([format], 'format'), self, category];
  const tail = [end, isExpanded ? 'E' : ''];
  const close = (fields: string[]) => {
    if (cursor.left > 0) refuse('rest', cursor.take(cursor.left), 'no surplus symbols');
    return [...head, ...fields, ...tail];
  };
  const distress = () => ({
    nature: command(cursor.take(1), 'nature'),
    position: digits(cursor.take(POSITION), 'position'),
    time: digits(cursor.take(TIME), 'time'),
    followOn: command(cursor.take(1), 'followOn'),
  });
  if (format === DISTRESS) {
    const { nature, position, time, followOn } = distress();
    return close([nature, followOn, position, time, '', '']);
  }
  const telecommand = command(cursor.take(1), 'telecommand1');
  if (category === command([DISTRESS], 'category')) {
    const casualty = cursor.take(IDENTITY);
    const identity = isNone(casualty) ? '' : digits(casualty, 'casualty');
    const { nature, position, time, followOn } = distress();
    return close([telecommand, followOn, position, time, identity, nature]);
  }
  const second = command(cursor.take(1), 'telecommand2');
  const [message, time] = writeMessage(cursor);
  const telephone = format === AUTOMATIC ? telephoneDigits(cursor) : '';
  if (message.length === 2 * POSITION && telephone !== '') {
    refuse('telephone', cursor.symbols, 'either a position or a telephone number');
  }
  return close([telecommand, second, message, time + telephone, '', '']);
}

function requirePattern(text: string, pattern: RegExp, field: string, expected: string): string {
  if (!pattern.test(text)) throw new DotphaseError(field, text, expected);
  return text;
}

function readCommand(text: string, field: string): number {
  requirePattern(text, /^([01]\d|2[0-7])$/, field, 'two digits from 00 to 27');
  return 100 + Number(text);
}

function readDigits(text: string, count: number, field: string): number[] {
  requirePattern(text, new RegExp(`^\\d{${count}}$`), field, `${count} digits`);
  return digitsToSymbols(text);
}

/** The symbols of a message and its time. */
function readMessage(message: string, time: string): number[] {
  if (message.length === 2 * POSITION) {
    return [
      POSITION_FOLLOWS,
      ...readDigits(message, 2 * POSITION, 'position'),
      ...(time === '' ? [] : readDigits(time, 2 * TIME, 'time')),
    ];
  }
  const expected = 'one or two frequencies or channels, or a position, in digits';
  const left = digitsToSymbols(requirePattern(message, /^(\d\d)*$/, 'message', expected));
  const refusal = () => new DotphaseError('message', message, expected);
  const halves = ['receive', 'transmit'].flatMap(() => {
    if (left.length === 0) return noInformation(CHANNEL);
    const length = channelLengthAt(left, 0);
    if (length > left.length) throw refusal();
    return left.splice(0, length);
  });
  if (left.length > 0) throw refusal();
  return halves;
}

/**
 * A call's characters without the error check, from the fields of its DSC sentence.
 *
 * @param address - gives the address symbols for a format specifier
 */
export function readDsc(
  fields: readonly string[],
  address: (format: number) => readonly number[],
): { content: number[]; isExpanded: boolean } {
  if (fields.length !== FIELD_COUNT) {
    throw new DotphaseError('fields', fields.length, `${FIELD_COUNT} fields in a DSC sentence`);
  }
  const [formatText, self, categoryText, fourth, fifth, message, time, casualty, nature, end, expanded] =
    fields;
  const format = readCommand(formatText, 'format');
  const category = readCommand(categoryText, 'category');
  const eos = ENDS.find(([letter]) => letter === end)?.[1];
  if (eos === undefined) throw new DotphaseError('acknowledgement', end, 'R, B or S');
  requirePattern(expanded, /^E?$/, 'expansion indicator', 'E or nothing');
  const identity = readDigits(self, 2 * IDENTITY, 'self');
  const isExpanded = expanded === 'E';
  const where = () => [
    ...readDigits(message, 2 * POSITION, 'position'),
    ...readDigits(time, 2 * TIME, 'time'),
  ];
  if (format === DISTRESS) {
    if (category !== DISTRESS) throw new DotphaseError('category', categoryText, '12, distress');
    const followOn = readCommand(fifth, 'followOn');
    const content = [format, ...identity, readCommand(fourth, 'nature'), ...where(), followOn, eos];
    return { content, isExpanded };
  }
  const head = [format, ...address(format), category, ...identity, readCommand(fourth, 'telecommand1')];
  if (category === DISTRESS) {
    const ship = casualty === '' ? noInformation(IDENTITY) : readDigits(casualty, 2 * IDENTITY, 'casualty');
    const followOn = readCommand(fifth, 'followOn');
    return {
      content: [...head, ...ship, readCommand(nature, 'nature'), ...where(), followOn, eos],
      isExpanded,
    };
  }
  const isPosition = message.length === 2 * POSITION;
  const hasTelephone = format === AUTOMATIC && !isPosition && time !== '';
  if (!isPosition && !hasTelephone && time !== '') {
    throw new DotphaseError('time', time, 'nothing without a position or a telephone number');
  }
  const telephone = hasTelephone ? requireSymbols(telephoneWriter.write(time, 'telephone'), 'telephone') : [];
  const body = [
    readCommand(fifth, 'telecommand2'),
    ...readMessage(message, isPosition ? time : ''),
    ...telephone,
  ];
  return { content: [...head, ...body, eos], isExpanded };
}
