/**
 * The call tables as data: one row for each kind of call, ITU-R M.493 Annex 1 Tables A1-4.1 to A1-4.10
 * (from memory). Encoding, decoding, validation, the constraints of the receiver and the
 * reference in the docs are all driven by these rows; the plain words for them stand in `texts.ts`.
 */
import {
  NO_INFORMATION,
  type EndOfSequenceName,
  type FirstTelecommandName,
  type FormatName,
} from '../symbols/internal.js';
import { POSITION_FOLLOWS, type Content, type FieldKind } from './fields/index.js';
import type { RowKind, TableKind } from './types.js';
import { isUnassigned } from './values.js';

/** A field at its place in a row. */
export interface Slot extends Content {
  /** The property of the typed call; none for a constant. One that stands twice must hold the same value. */
  readonly name?: string;
  /** What people call it. */
  readonly label: string;
}

/** One row of the call tables. */
export interface CallRow<Kind extends RowKind = TableKind> {
  readonly kind: Kind;
  /** The format specifiers this kind is sent with; the address decides among them. */
  readonly formats: readonly FormatName[];
  /** What stands between the address and the end of sequence. */
  readonly slots: readonly Slot[];
  /** The end of sequence for a format. */
  readonly eos: (format: FormatName) => EndOfSequenceName;
  /** True where another end of sequence makes it another kind, so that only the right one is read as this row. */
  readonly eosDecides?: boolean;
  /** Whether values make a call of this row; without it, any do. */
  readonly accepts?: (values: Record<string, unknown>) => boolean;
}

const CATEGORY = { routine: 100, safety: 108, urgency: 110, distress: 112 } as const;
const TELECOMMAND = {
  polling: 103,
  distressAcknowledgement: 110,
  distressRelay: 112,
  test: 118,
  position: 121,
} as const;

const constant = (label: string, ...symbols: number[]): Slot => ({
  label,
  kind: 'constant',
  constant: symbols,
});
const self: Slot = { name: 'self', label: 'self-identification', kind: 'identity' };
const casualty: Slot = { name: 'casualty', label: 'ship in distress', kind: 'casualty' };
const position: Slot = { name: 'position', label: 'position', kind: 'position' };
const time: Slot = { name: 'time', label: 'time', kind: 'time' };
const telecommand1: Slot = {
  name: 'telecommand1',
  label: 'first telecommand',
  kind: 'telecommand1',
};
const telecommand2: Slot = {
  name: 'telecommand2',
  label: 'second telecommand',
  kind: 'telecommand2',
};
const telecommands: readonly Slot[] = [telecommand1, telecommand2];
const messageSlot = (kind: FieldKind): Slot => ({ name: 'message', label: 'frequencies or position', kind });
const message = messageSlot('message');
const acknowledgedMessage = messageSlot('acknowledgedMessage');
const irregularMessage = messageSlot('irregularMessage');
const noMessage = constant('no message', ...Array.from({ length: 6 }, () => NO_INFORMATION));

/** Nature, position, time and follow-on: the four messages of every distress call. */
const distressMessage: readonly Slot[] = [
  { name: 'nature', label: 'nature of distress', kind: 'nature' },
  position,
  time,
  { name: 'followOn', label: 'communication that follows', kind: 'followOn' },
];

const end = () => 'end' as const;
const request = () => 'acknowledgeRequest' as const;
const given = () => 'acknowledgeGiven' as const;
const requestOfOne = (format: FormatName) => (format === 'individual' ? 'acknowledgeRequest' : 'end');

function communication(
  kind: TableKind,
  acknowledgement: TableKind,
  category: number,
  formats: readonly FormatName[],
): CallRow[] {
  const head = [constant('category', category), self, ...telecommands];
  return [
    {
      kind: acknowledgement,
      formats: ['individual'],
      slots: [...head, acknowledgedMessage],
      eos: given,
      eosDecides: true,
    },
    {
      kind,
      formats,
      slots: [...head, message],
      eos: requestOfOne,
    },
  ];
}

function exchange(
  kind: TableKind,
  answer: TableKind,
  category: number,
  telecommand: number,
  answerSlots: readonly Slot[] = [noMessage],
): CallRow[] {
  const head = [
    constant('category', category),
    self,
    constant('first telecommand', telecommand),
    constant('second telecommand', NO_INFORMATION),
  ];
  return [
    {
      kind,
      formats: ['individual'],
      slots: [...head, noMessage],
      eos: request,
      eosDecides: true,
    },
    {
      kind: answer,
      formats: ['individual'],
      slots: [...head, ...answerSlots],
      eos: given,
      eosDecides: true,
    },
  ];
}

const relaySlots = [
  constant('category', CATEGORY.distress),
  self,
  constant('first telecommand', TELECOMMAND.distressRelay),
  casualty,
  ...distressMessage,
];
const acknowledgementHead = [
  constant('category', CATEGORY.distress),
  self,
  constant('first telecommand', TELECOMMAND.distressAcknowledgement),
];
const automaticSlots = (of: Slot, proposal: Slot): readonly Slot[] => [
  of,
  self,
  ...telecommands,
  proposal,
  { name: 'telephone', label: 'telephone number', kind: 'telephone' },
];
const routine = constant('category', CATEGORY.routine);

/** First telecommands that make another kind of call than one that proposes a way to communicate. */
export const TELECOMMANDS_OF_OTHER_KINDS: readonly FirstTelecommandName[] = [
  'polling',
  'endOfCall',
  'distressAcknowledgement',
  'distressRelay',
  'test',
  'position',
];

/** Every kind of call; where two rows fit the same symbols, the earlier one is meant. */
export const CALL_TABLE: readonly CallRow[] = [
  {
    kind: 'distressAlert',
    formats: ['distress'],
    slots: [self, ...distressMessage],
    eos: end,
  },
  {
    kind: 'ownAlertCancellation',
    formats: ['allShips'],
    slots: [...acknowledgementHead, self, ...distressMessage],
    eos: end,
  },
  {
    kind: 'distressAcknowledgement',
    formats: ['allShips'],
    slots: [...acknowledgementHead, casualty, ...distressMessage],
    eos: end,
  },
  {
    kind: 'relayAcknowledgement',
    formats: ['individual', 'allShips'],
    slots: relaySlots,
    eos: given,
    eosDecides: true,
  },
  {
    kind: 'distressRelay',
    formats: ['allShips', 'area', 'group', 'individual'],
    slots: relaySlots,
    eos: requestOfOne,
  },
  ...exchange('testCall', 'testAcknowledgement', CATEGORY.safety, TELECOMMAND.test),
  ...exchange('positionRequest', 'positionReport', CATEGORY.safety, TELECOMMAND.position, [
    constant('position follows', POSITION_FOLLOWS),
    position,
    time,
  ]),
  ...exchange('pollingRequest', 'pollingReply', CATEGORY.routine, TELECOMMAND.polling),
  ...communication('urgencyCall', 'urgencyAcknowledgement', CATEGORY.urgency, [
    'allShips',
    'area',
    'group',
    'individual',
  ]),
  ...communication('safetyCall', 'safetyAcknowledgement', CATEGORY.safety, [
    'allShips',
    'area',
    'group',
    'individual',
  ]),
  ...communication('routineCall', 'routineAcknowledgement', CATEGORY.routine, ['group', 'individual']),
  {
    kind: 'automaticAcknowledgement',
    formats: ['automatic'],
    slots: automaticSlots(routine, acknowledgedMessage),
    eos: given,
    eosDecides: true,
  },
  {
    kind: 'automaticCall',
    formats: ['automatic'],
    slots: automaticSlots(routine, message),
    eos: request,
  },
];

const category: Slot = { name: 'category', label: 'category', kind: 'category' };
const anyAddress: readonly FormatName[] = ['allShips', 'area', 'group', 'individual'];
const isReadable = (values: Record<string, unknown>) =>
  !isUnassigned(values.category) && !isUnassigned(values.self);

/**
 * What a sequence is read as when no row of the call tables fits it: the build that calls have in common. The
 * tables allow none of these.
 */
export const IRREGULAR_ROWS: readonly CallRow<
  'irregularCall' | 'irregularAutomaticCall' | 'irregularDistressCall'
>[] = [
  {
    kind: 'irregularDistressCall',
    formats: anyAddress,
    slots: [constant('category', CATEGORY.distress), self, telecommand1, casualty, ...distressMessage],
    eos: end,
    accepts: (values) => !isUnassigned(values.self) && !isUnassigned(values.casualty),
  },
  {
    kind: 'irregularCall',
    formats: anyAddress,
    slots: [category, self, ...telecommands, irregularMessage],
    eos: end,
    accepts: (values) => isReadable(values) && values.category !== 'distress',
  },
  {
    kind: 'irregularAutomaticCall',
    formats: ['automatic'],
    slots: automaticSlots(category, irregularMessage),
    eos: end,
    accepts: isReadable,
  },
];

/** The row of a kind of call; undefined for an unassigned call, or for what is no kind. */
export function rowOfKind(kind: unknown): CallRow<RowKind> | undefined {
  return [...CALL_TABLE, ...IRREGULAR_ROWS].find((row) => row.kind === kind);
}
