/**
 * Questions about what a call says: its kind, its stations and its messages.
 */
import {
  decodeCall,
  encodeCall,
  explainFields,
  identityKind,
  isUnassigned,
  type Call,
  type ExplainedField,
  type Position,
  type TableKind,
  type TimeOfDay,
} from '../../calls/index.js';
import { NATURES, SECOND_TELECOMMANDS } from '../../symbols/index.js';
import { drawArea, drawPosition, drawTime } from '../draw/calls.js';
import type { Draw } from '../draw/draw.js';
import { COAST_STATIONS, GROUPS, OWN_SHIP, SHIPS, type ScenarioStation } from '../scenario.js';
import type { Ask, HeardContext, Topic } from './ask.js';

/** A field as it was sent, and the numbers of its characters. */
export interface FieldInCall extends ExplainedField<number> {
  readonly characters: readonly number[];
}

/** The fields of a call in order. */
export function fieldsOf(symbols: readonly number[]): FieldInCall[] {
  let at = 0;
  return explainFields(symbols).map((field) => {
    const first = at;
    at += field.symbols.length;
    return { ...field, characters: field.symbols.map((_, i) => first + i) };
  });
}

/** What a call says in a field, for people; all ships where it has no address. */
function meaningOf(call: Call, name: string): string {
  const field = explainFields(encodeCall(call)).find((candidate) => candidate.field === name);
  return field?.meaning ?? 'all ships';
}

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

/** Kinds that are taken for one another. */
const CONFUSED: readonly (readonly TableKind[])[] = [
  [
    'distressAlert',
    'distressAcknowledgement',
    'ownAlertCancellation',
    'distressRelay',
    'relayAcknowledgement',
  ],
  ['urgencyCall', 'safetyCall', 'routineCall', 'distressRelay'],
  ['urgencyAcknowledgement', 'safetyAcknowledgement', 'routineAcknowledgement', 'testAcknowledgement'],
  ['testCall', 'testAcknowledgement', 'pollingRequest', 'positionRequest', 'safetyCall'],
  ['positionRequest', 'positionReport', 'pollingRequest', 'pollingReply', 'testCall'],
  ['automaticCall', 'automaticAcknowledgement', 'routineCall', 'routineAcknowledgement'],
];

/** Fields that tell the kind of a call. */
const TELLING = ['format', 'category', 'telecommand1', 'eos'];

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** Symbols as they are written, in two digits or three. */
const written = (symbols: readonly number[]) => symbols.map((symbol) => String(symbol).padStart(2, '0'));

function askKind({ call, symbols, draw }: HeardContext): Ask {
  const kind = call.kind as TableKind;
  const near = CONFUSED.filter((group) => group.includes(kind)).flat();
  const others = Object.keys(KIND_TEXT) as TableKind[];
  const reasons = explainFields(symbols)
    .filter(({ field }) => TELLING.includes(field))
    .map(({ label, symbols: own, meaning }) => `${label}: ${own[0]}, ${meaning}`);
  return {
    topic: 'kind',
    text: 'What kind of call is it?',
    right: KIND_TEXT[kind],
    wrong: [...draw.shuffle(near), ...draw.shuffle(others)].map((other) => KIND_TEXT[other]),
    because: `${capital(reasons.join('; '))}.`,
  };
}

/** How many digits differ. */
const distance = (a: string, b: string) => Array.from(a).filter((digit, i) => digit !== b[i]).length;

/** Stations of the same kind as one. */
function kinOf(identity: string): readonly ScenarioStation[] {
  switch (identityKind(identity)) {
    case 'coastStation':
      return COAST_STATIONS;
    case 'group':
      return GROUPS;
    default:
      return [OWN_SHIP, ...SHIPS];
  }
}

/** Other stations of the same kind, those that look most like it first. */
function lookAlikes(draw: Draw, identity: string): string[] {
  const others = kinOf(identity)
    .map((station) => station.identity)
    .filter((other) => other !== identity);
  return draw.shuffle(others).sort((a, b) => distance(a, identity) - distance(b, identity));
}

/** Asks for a field: the right answer is what the call says, the wrong ones what other values of it would say. */
function askField(
  context: HeardContext,
  topic: Topic,
  name: string,
  text: string,
  variants: readonly Call[],
): Ask[] {
  const { call, symbols, unread } = context;
  const field = fieldsOf(symbols).find((candidate) => candidate.field === name);
  const wrong = variants.map((variant) => meaningOf(variant, name));
  if (!field) {
    return [
      { topic, text, right: meaningOf(call, name), wrong, because: 'Its format specifier names no address.' },
    ];
  }
  const lost = field.characters.filter((character) => unread.includes(character));
  const right = field.meaning;
  const said = `${field.label}, ${field.symbols.length === 1 ? 'character' : 'characters'} ${written(field.symbols).join(' ')}`;
  const because =
    lost.length > 0
      ? `Of its ${said}, ${written(lost.map((character) => symbols[character])).join(' and ')} ${lost.length === 1 ? 'was' : 'were'} received in neither sending.`
      : `It stands in the ${said}${field.digits === undefined ? '' : ` (digits ${field.digits})`}.`;
  return [
    {
      topic,
      text,
      right: lost.length > 0 ? undefined : right,
      wrong: wrong.filter((other) => other !== right),
      because,
    },
  ];
}

function withIdentity(call: Call, name: 'self' | 'casualty', identity: string): Call {
  return { ...call, [name]: identity };
}

function askIdentity(context: HeardContext, topic: 'from' | 'casualty', text: string): Ask[] {
  const { call, draw } = context;
  const name = topic === 'from' ? 'self' : 'casualty';
  const own = (call as unknown as Record<string, unknown>)[name];
  if (typeof own !== 'string') return [];
  const model = own === 'unknown' ? draw.pick(SHIPS).identity : own;
  const others = lookAlikes(draw, model);
  return askField(
    context,
    topic,
    name,
    text,
    [model, ...others].map((other) => withIdentity(call, name, other)),
  );
}

function askTo(context: HeardContext): Ask[] {
  const { call, draw } = context;
  if (!('to' in call)) return [];
  const address = (to: unknown) => ({ ...call, to }) as Call;
  const station = { station: draw.pick(SHIPS).identity };
  const canBeMany = ['urgencyCall', 'safetyCall', 'distressRelay'].includes(call.kind);
  const called = typeof call.to === 'object' && 'station' in call.to ? call.to.station : undefined;
  const alike = typeof called === 'string' ? lookAlikes(draw, called).slice(0, 2) : [OWN_SHIP.identity];
  const wrong = [
    ...alike.map((identity) => address({ station: identity })),
    ...(canBeMany ? [address('allShips'), address({ area: drawArea(draw) })] : []),
    ...(canBeMany || call.kind === 'routineCall' ? [address({ group: draw.pick(GROUPS).identity })] : []),
    address(station),
    address({ station: draw.pick(COAST_STATIONS).identity }),
    address({ station: draw.pick(SHIPS).identity }),
    address({ station: draw.pick(SHIPS).identity }),
  ];
  return askField(context, 'to', 'to', 'To whom is it addressed?', wrong);
}

function askNature(context: HeardContext): Ask[] {
  const { call, draw } = context;
  if (!('nature' in call)) return [];
  const others = draw.shuffle(NATURES.words.map(({ name }) => name).filter((name) => name !== 'epirb'));
  const variants = others.map((nature): Call => ({ ...call, nature }));
  return askField(context, 'nature', 'nature', 'What is the nature of the distress?', variants);
}

/** Positions that a slip of the eye or the pen makes of another. */
function misread(draw: Draw, { latitude, longitude }: Position): Position[] {
  const minutes = (degrees: number) => Math.round(Math.abs(degrees) * 60);
  const make = (north: number, east: number, like: Position): Position => ({
    latitude: (Math.sign(like.latitude) * north) / 60,
    longitude: (Math.sign(like.longitude) * east) / 60,
  });
  const [north, east] = [minutes(latitude), minutes(longitude)];
  const here = { latitude, longitude };
  const within = (steps: number) => steps % 60;
  const swappedDigits = (steps: number) => {
    const m = within(steps);
    return steps - m + (((m % 10) * 10 + Math.floor(m / 10)) % 60);
  };
  return [
    ...draw.shuffle([
      make(north, east, { latitude: -latitude, longitude }),
      make(north, east, { latitude, longitude: -longitude }),
      make(swappedDigits(north), east, here),
      make(north - within(north) + within(east), east - within(east) + within(north), here),
      make(north, swappedDigits(east), here),
      make(north + 60 * draw.pick([-1, 1]), east, here),
      make(north, east + 60 * draw.pick([-10, 10]), here),
    ]),
    drawPosition(draw),
    drawPosition(draw),
  ].filter((position) => Math.abs(position.latitude) <= 90 && Math.abs(position.longitude) <= 180);
}

/** How often lost characters are drawn until they make sense. */
const TRIES = 400;

/** The call with other characters in place of the lost ones: what is read of the position agrees with all of them. */
function withOtherPositions({ call, symbols, unread, draw }: HeardContext): Call[] {
  const position = fieldsOf(symbols).find(({ field }) => field === 'position')?.characters ?? [];
  const lost = position.filter((character) => unread.includes(character));
  return Array.from({ length: TRIES }, () => {
    const drawn = symbols.map((symbol, i) => (lost.includes(i) ? draw.integer(0, 99) : symbol));
    return decodeCall(drawn, { ignoreErrorCheck: true });
  }).filter(
    (other) =>
      other.kind === call.kind &&
      'position' in other &&
      other.position !== 'none' &&
      !isUnassigned(other.position),
  );
}

function askPosition(context: HeardContext): Ask[] {
  const { call, symbols, unread, draw } = context;
  if (!('position' in call) || isUnassigned(call.position)) return [];
  const { position } = call;
  const isLost = fieldsOf(symbols).some(
    ({ field, characters }) => field === 'position' && characters.some((each) => unread.includes(each)),
  );
  const elsewhere = (others: readonly Position[]) =>
    others.map((other): Call => ({ ...call, position: other }));
  const variants =
    position === 'none'
      ? elsewhere([...misread(draw, drawPosition(draw)), drawPosition(draw)])
      : isLost
        ? [...withOtherPositions(context), ...elsewhere(misread(draw, drawPosition(draw)))]
        : elsewhere(misread(draw, position));
  return askField(context, 'position', 'position', 'Which position does it give?', variants);
}

/** Times that a slip makes of another. */
function misreadTime(draw: Draw, time: TimeOfDay): TimeOfDay[] {
  const [hours, minutes] = time.split(':').map(Number);
  const make = (h: number, m: number): TimeOfDay =>
    [(h + 24) % 24, (m + 60) % 60].map((part) => String(part).padStart(2, '0')).join(':');
  return [
    ...draw.shuffle([
      ...(minutes < 24 ? [make(minutes, hours)] : []),
      make(hours + draw.pick([-1, 1]), minutes),
      make(hours, ((minutes % 10) * 10 + Math.floor(minutes / 10)) % 60),
      make(hours, minutes + draw.pick([-10, 10])),
      make(hours + 12, minutes),
    ]),
    drawTime(draw),
    drawTime(draw),
  ];
}

function askTime(context: HeardContext): Ask[] {
  const { call, draw } = context;
  if (!('time' in call) || !('position' in call) || isUnassigned(call.time)) return [];
  const { time } = call;
  const others = time === 'none' ? misreadTime(draw, drawTime(draw)) : misreadTime(draw, time);
  const variants = others.map((other): Call => ({ ...call, time: other }));
  return askField(context, 'time', 'time', 'Which time does it give for the position?', variants);
}

function askReason(context: HeardContext): Ask[] {
  const { call, draw } = context;
  if (!('telecommand2' in call) || call.telecommand1 !== 'unable') return [];
  const reasons = SECOND_TELECOMMANDS.words.filter(({ symbol }) => symbol >= 100 && symbol <= 109);
  const variants = draw.shuffle(reasons).map(({ name }): Call => ({ ...call, telecommand2: name }));
  return askField(context, 'reason', 'telecommand2', 'Why can the called station not comply?', variants);
}

/** What cannot be read, by the names of the fields, or undefined where all was. */
export function lostText({ symbols, unread }: HeardContext): string | undefined {
  const labels = fieldsOf(symbols)
    .filter(
      ({ field, characters }) => field !== 'errorCheck' && characters.some((each) => unread.includes(each)),
    )
    .map(({ label }) => label);
  return labels.length === 0 ? undefined : labels.join(' and ');
}

function askLost(context: HeardContext): Ask[] {
  const right = lostText(context);
  if (right === undefined) return [];
  const labels = fieldsOf(context.symbols).map(({ label }) => label);
  return [
    {
      topic: 'lost',
      text: 'Which part of it cannot be read?',
      right: `the ${right}`,
      wrong: [
        ...context.draw.shuffle(labels.slice(1, -2)).map((label) => `the ${label}`),
        'nothing: all of it can be read',
      ],
      because:
        'A character that fails the ten-unit check in both sendings is lost. The error check can make up for one such character of the whole call, not for two.',
    },
  ];
}

/** Every question about what a call says. */
export function askFacts(context: HeardContext): Ask[] {
  return [
    askKind(context),
    ...askIdentity(context, 'from', 'Which station sent it?'),
    ...askTo(context),
    ...askIdentity(context, 'casualty', 'Which ship is in distress?'),
    ...askNature(context),
    ...askPosition(context),
    ...askTime(context),
    ...askLost(context),
    ...askReason(context),
  ];
}
