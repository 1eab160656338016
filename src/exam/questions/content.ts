/**
 * Answers from the content of a call: its kind, its stations and its messages.
 */
import { decodeCall, isUnassigned, type Call, type Position, type TableKind } from '../../calls/index.js';
import { TOLERANCES, type TypedAnswer } from '../typed.js';
import { UNREADABLE, type Answer, type HeardContext } from './ask.js';
import type { Topic } from './topics.js';

/** Kinds of calls, as the answer to "what is it?". */
const KIND_TEXT: Readonly<Record<TableKind, string>> = {
  distressAlert: 'a distress alert',
  distressAcknowledgement: 'an acknowledgement of a distress alert',
  ownAlertCancellation: 'a ship’s cancellation of its own distress alert',
  distressRelay: 'a distress relay',
  relayAcknowledgement: 'an acknowledgement of a distress relay',
  urgencyCall: 'an urgency call',
  urgencyAcknowledgement: 'an acknowledgement of an urgency call',
  safetyCall: 'a safety call',
  safetyAcknowledgement: 'an acknowledgement of a safety call',
  routineCall: 'a routine call',
  routineAcknowledgement: 'an acknowledgement of a routine call',
  testCall: 'a test call',
  testAcknowledgement: 'an acknowledgement of a test call',
  positionRequest: 'a request for a position',
  positionReport: 'a position report in answer to a request',
  pollingRequest: 'a polling request',
  pollingReply: 'a reply to polling',
  automaticCall: 'a call by the automatic service',
  automaticAcknowledgement: 'an acknowledgement by the automatic service',
};

/** The kind of a call, as the answer to "what is it?". */
export function kindText(call: Call): string {
  if (call.kind !== 'distressRelay') return KIND_TEXT[call.kind as TableKind];
  const isToOne = call.to !== 'allShips' && 'station' in call.to;
  return `${KIND_TEXT.distressRelay} to ${isToOne ? 'one station' : 'many stations'}`;
}

/** Where ITU-R M.493 Annex 1 says what a field is (from memory; JP567 confirms identities, natures, positions and times). */
const FIELD_SOURCE: Readonly<Record<string, string>> = {
  to: '§5.1 to §5.3',
  self: '§7',
  casualty: '§8.2 and Tables A1-4.2 to A1-4.4',
  nature: '§8.1.1 and Table A1-3',
  position: '§8.1.2',
  time: '§8.1.3',
  telecommand2: '§8.3 and Table A1-3',
  telephone: '§8.3.3 and Tables A1-4.9 and A1-4.10',
};
const cited = (place: string) => `(ITU-R M.493 Annex 1 ${place}, from memory)`;

/** Fields that tell the kind of a call. */
const TELLING = ['format', 'category', 'telecommand1', 'eos'];

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** Symbols as they are written, in two digits or three. */
const written = (symbols: readonly number[]) => symbols.map((symbol) => String(symbol).padStart(2, '0'));

function kindOf({ call, fields }: HeardContext): Answer {
  const reasons = fields
    .filter(({ field }) => TELLING.includes(field))
    .map(({ label, symbols: own, meaning }) => `${label}: ${own[0]}, ${meaning}`);
  return {
    text: kindText(call),
    because: `${capital(reasons.join('; '))} ${cited('§4, §6, §8 and Tables A1-4.1 to A1-4.10')}.`,
  };
}

/** What a field says, to be typed: as it was sent, for a call carries whole minutes alone. */
function typedOf(symbols: readonly number[], name: string): TypedAnswer | undefined {
  const value = (decodeCall(symbols) as unknown as Readonly<Record<string, unknown>>)[name];
  if (typeof value === 'string' && /^\d{9}$/.test(value)) return { form: 'identity', identity: value };
  if (typeof value === 'string' && /^\d\d:\d\d$/.test(value)) {
    return { form: 'time', time: value, withinMinutes: TOLERANCES.timeMinutes };
  }
  return typeof value === 'object' && value !== null && 'latitude' in value && !('south' in value)
    ? { form: 'position', position: value as Position, withinMinutes: TOLERANCES.positionMinutes }
    : undefined;
}

/** The meaning of a field, and where it stands. */
function fieldAnswer({ symbols, fields, unread }: HeardContext, name: string): Answer | undefined {
  const field = fields.find((candidate) => candidate.field === name);
  if (!field) return undefined;
  const lost = field.characters.filter((character) => unread.includes(character));
  const said = `${field.label}, ${field.symbols.length === 1 ? 'character' : 'characters'} ${written(field.symbols).join(' ')}`;
  if (lost.length > 0) {
    const which = written(lost.map((character) => symbols[character])).join(' and ');
    return {
      text: UNREADABLE,
      because: `Of its ${said}, ${which} ${lost.length === 1 ? 'was' : 'were'} received in neither sending ${cited('§1.4')}.`,
    };
  }
  const digits = field.digits === undefined ? '' : ` (digits ${field.digits})`;
  const typed = typedOf(symbols, name);
  return {
    text: field.meaning,
    because: `It stands in the ${said}${digits} ${cited(FIELD_SOURCE[name] ?? '§4 to §8')}.`,
    ...(typed && { typed }),
  };
}

/** The address of a call that has none of its own. */
const TO_ALL: Answer = {
  text: 'all ships',
  because: `Its format specifier names no address ${cited('§4 and §5')}.`,
};

/** The field that holds the ship in distress: the sender of an alert and of its cancellation. */
function casualtyField(call: Call): string | undefined {
  if (call.kind === 'distressAlert' || call.kind === 'ownAlertCancellation') return 'self';
  return 'casualty' in call ? 'casualty' : undefined;
}

/** What cannot be read, by the names of the fields, or undefined where all was. */
export function lostText({ fields, unread }: HeardContext): string | undefined {
  const labels = fields
    .filter(
      ({ field, characters }) => field !== 'errorCheck' && characters.some((each) => unread.includes(each)),
    )
    .map(({ label }) => label);
  return labels.length === 0 ? undefined : labels.join(' and ');
}

function lostAnswer(context: HeardContext): Answer | undefined {
  const lost = lostText(context);
  return lost === undefined
    ? undefined
    : {
        text: `the ${lost}`,
        because: `A character that fails the ten-unit check in both sendings is lost. The error check can make up for one such character of the whole call, not for two ${cited('§1.4 and §10')}.`,
      };
}

/** The answers to the questions about a call's content; undefined where the call has no such field. */
export function factAnswers(context: HeardContext): [Topic, Answer | undefined][] {
  const { call } = context;
  const read = (name: string | undefined) => (name === undefined ? undefined : fieldAnswer(context, name));
  const saysPosition = 'position' in call && !isUnassigned(call.position);
  const isUnable = 'telecommand1' in call && call.telecommand1 === 'unable';
  return [
    ['kind', kindOf(context)],
    ['from', read('self')],
    ['to', 'to' in call ? (read('to') ?? TO_ALL) : undefined],
    ['casualty', read(casualtyField(call))],
    ['nature', 'nature' in call ? read('nature') : undefined],
    ['position', saysPosition ? read('position') : undefined],
    ['time', saysPosition && 'time' in call && !isUnassigned(call.time) ? read('time') : undefined],
    ['lost', lostAnswer(context)],
    ['reason', isUnable ? read('telecommand2') : undefined],
    ['telephone', 'telephone' in call && !isUnassigned(call.telephone) ? read('telephone') : undefined],
  ];
}
