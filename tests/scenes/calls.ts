/** Random calls of every kind that the tables hold, with values a station would send. */
import type { Address, Call, Channel, Message, TableKind } from '../../src/calls/index.js';
import { CALL_TABLE } from '../../src/calls/table.js';
import {
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type Vocabulary,
} from '../../src/symbols/index.js';
import type { Choices } from './random.js';

/** The kinds of calls in the order of the tables. */
export const KINDS: readonly TableKind[] = [...new Set(CALL_TABLE.map((row) => row.kind))];

const digits = (choices: Choices, count: number) =>
  Array.from({ length: count }, () => choices.integer(0, 9)).join('');

/** A ship's identity with the unallocated MID 299. */
const ship = (choices: Choices) => `299${digits(choices, 6)}`;
const coast = (choices: Choices) => `00299${digits(choices, 4)}`;
const group = (choices: Choices) => `0299${digits(choices, 5)}`;

function word<Name extends string>(
  choices: Choices,
  vocabulary: Vocabulary<Name>,
  except: readonly string[] = [],
): Name {
  return choices.pick(vocabulary.words.map(({ name }) => name).filter((name) => !except.includes(name)));
}

function degrees(choices: Choices, most: number): number {
  return (choices.pick([1, -1]) * choices.integer(1, 60 * most - 1)) / 60;
}

/** Now and then a call says nothing of its position or time. */
const orNone = <Value>(choices: Choices, value: Value): Value | 'none' =>
  choices.integer(0, 9) === 0 ? 'none' : value;

const position = (choices: Choices) =>
  orNone(choices, { latitude: degrees(choices, 90), longitude: degrees(choices, 180) });

const two = (value: number) => String(value).padStart(2, '0');
const time = (choices: Choices) =>
  orNone(choices, `${two(choices.integer(0, 23))}:${two(choices.integer(0, 59))}`);

function channel(choices: Choices): Channel {
  return choices.pick<() => Channel>([
    () => 'none',
    () => ({ hz: 100 * choices.integer(16_065, 275_000) }),
    () => ({ hz: 100 * choices.integer(16_065, 275_000) + 10 * choices.integer(1, 9) }),
    () => ({ channel: choices.integer(401, 2252) }),
    () => ({ vhfChannel: choices.integer(1, 88) }),
  ])();
}

const message = (choices: Choices): Message =>
  choices.integer(0, 4) === 0
    ? { position: position(choices), time: time(choices) }
    : { receive: channel(choices), transmit: channel(choices) };

function addressee(choices: Choices, kinds: readonly ('all' | 'area' | 'group' | 'station')[]): Address {
  const kind = choices.pick(kinds);
  if (kind === 'all') return 'allShips';
  if (kind === 'group') return { group: group(choices) };
  if (kind === 'station') return { station: choices.pick([ship, coast])(choices) };
  return {
    area: {
      latitude: choices.pick([1, -1]) * choices.integer(1, 89),
      longitude: choices.pick([1, -1]) * choices.integer(1, 179),
      south: choices.integer(1, 40),
      east: choices.integer(1, 60),
    },
  };
}

/** Which addressees each kind of call has; those left out have none or a station. */
const ADDRESSEES: Partial<Record<TableKind, readonly ('all' | 'area' | 'group' | 'station')[]>> = {
  distressRelay: ['all', 'area', 'group', 'station'],
  relayAcknowledgement: ['all', 'station'],
  urgencyCall: ['all', 'area', 'group', 'station'],
  safetyCall: ['all', 'area', 'group', 'station'],
  routineCall: ['group', 'station'],
};

/** A random call of a kind. */
export function randomCall(choices: Choices, kind: TableKind): Call {
  const self = ship(choices);
  const distress = {
    self,
    nature: word(choices, NATURES),
    position: position(choices),
    time: time(choices),
    followOn: word(choices, FOLLOW_ONS),
  };
  switch (kind) {
    case 'distressAlert':
    case 'ownAlertCancellation':
      return { kind, ...distress };
    case 'distressAcknowledgement':
      return { kind, ...distress, self: coast(choices), casualty: ship(choices) };
    case 'distressRelay':
    case 'relayAcknowledgement': {
      const to = addressee(choices, ADDRESSEES[kind] ?? ['station']);
      const casualty = choices.integer(0, 4) === 0 ? 'unknown' : ship(choices);
      return { kind, to, ...distress, casualty } as Call;
    }
    default: {
      const to = addressee(choices, ADDRESSEES[kind] ?? ['station']) as { station: string };
      const communication = {
        to,
        self,
        telecommand1: word(choices, FIRST_TELECOMMANDS, ['test', 'position', 'polling']),
        telecommand2: word(choices, SECOND_TELECOMMANDS),
        message: message(choices),
      };
      switch (kind) {
        case 'positionReport':
          return { kind, to, self, position: position(choices), time: time(choices) };
        case 'automaticCall':
        case 'automaticAcknowledgement':
          return { kind, ...communication, telephone: digits(choices, choices.integer(6, 14)) };
        case 'testCall':
        case 'testAcknowledgement':
        case 'positionRequest':
        case 'pollingRequest':
        case 'pollingReply':
          return { kind, to, self };
        default:
          return { kind, ...communication };
      }
    }
  }
}
