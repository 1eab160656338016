/**
 * The rules that a call is checked against, each named with where it is set (ITU-R M.493, M.541, M.585, M.821 and the
 * Radio Regulations, all from memory).
 */
import {
  CATEGORIES,
  FORMATS,
  type FormatName,
  type SecondTelecommandName,
  type Band,
} from '../../symbols/index.js';
import { fieldOf } from '../fields/index.js';
import { isAllocatedMid } from '../mids.js';
import { identityMid, type IdentityKind } from '../identity.js';
import { CALL_TABLE, TELECOMMANDS_OF_OTHER_KINDS } from '../table.js';
import { isUnassigned } from '../values.js';
import { isWithinBand } from '../maritimebands.js';
import { DSC_CHANNEL, isTelephonyChannel, isVhfChannel } from './channels.js';
import { kindOf, recordOf, type Facts, type Values } from './facts.js';
import type { EquipmentClass, Problem } from './problem.js';

/** What a rule says about a call: the problem without the rule's own name. */
type Finding = Omit<Problem, 'rule'>;

/** One rule. */
export interface Rule {
  /** What it asks for and where it is set. */
  readonly name: string;
  readonly find: (facts: Facts) => readonly (Finding | false)[];
}

const error = (field: string, value: unknown, expected: string): Finding => ({
  level: 'error',
  field,
  value,
  expected,
});
const warning = (field: string, value: unknown, expected: string): Finding => ({
  level: 'warning',
  field,
  value,
  expected,
});

const names = (list: readonly string[]) => list.join(', ');

const DISTRESS_SENDERS: readonly (IdentityKind | undefined)[] = [
  'ship',
  'craft',
  'handheld',
  'manOverboard',
  'sarAircraft',
  'epirb',
  undefined,
];
const MANY: readonly (IdentityKind | undefined)[] = ['group', 'coastStationGroup', 'sarAircraftGroup'];
const COAST: readonly (IdentityKind | undefined)[] = ['coastStation', 'coastStationGroup'];
const ALERTS = ['distressAlert', 'ownAlertCancellation'];

function isOneOf(kind: unknown, kinds: readonly string[]): boolean {
  return typeof kind === 'string' && kinds.includes(kind);
}

/** The formats that the tables send a category with. */
function formatsOf(facts: Facts): FormatName[] {
  const symbol = facts.category && CATEGORIES.byName(facts.category)?.symbol;
  const rows = CALL_TABLE.filter((row) => fieldOf(row.slots[0]).shapes()[0]?.[0]?.[symbol ?? 0] === 1);
  return [...new Set(rows.flatMap((row) => row.formats))];
}

const identities = (facts: Facts): [string, string][] =>
  Object.entries({
    self: facts.self,
    casualty: facts.casualty,
    'to.station': facts.to.station,
    'to.group': facts.to.group,
  }).filter((entry): entry is [string, string] => entry[1] !== undefined);

/** Positions are asked for and given in calls of category safety or routine: a captured $CDDSC sentence has category 00. */
function isRoutinePosition({ kind, telecommand1 }: Values): boolean {
  return telecommand1 === 'position' && isOneOf(kind, ['routineCall', 'routineAcknowledgement']);
}

/** Whether a message names a frequency or a channel. */
function isProposal(message: unknown): boolean {
  const { receive, transmit } = recordOf(message);
  return [receive, transmit].some((half) => typeof half === 'object' && half !== null);
}

const IDENTITY_RULES: readonly Rule[] = [
  {
    name: 'a distress alert is sent by a vessel, not by a station on shore (M.493 §8.1, M.541 Annex 1)',
    find: ({ values, self }) => [
      isOneOf(values.kind, ALERTS) &&
        !DISTRESS_SENDERS.includes(kindOf(self)) &&
        (kindOf(self) === 'unknown' ? warning : error)('self', self, 'the identity of a ship or its craft'),
    ],
  },
  {
    name: 'the casualty is a vessel (M.493 §8.1)',
    find: ({ casualty }) => [
      !DISTRESS_SENDERS.includes(kindOf(casualty)) &&
        (kindOf(casualty) === 'unknown' ? warning : error)(
          'casualty',
          casualty,
          'the identity of a ship or its craft',
        ),
    ],
  },
  {
    name: 'the self-identification is that of one station (M.493 §7, M.585)',
    find: ({ self }) => [MANY.includes(kindOf(self)) && error('self', self, 'the identity of one station')],
  },
  {
    name: 'an individual call is for one station, a group call for a group (M.493 §5, M.585)',
    find: ({ to }) => [
      ['group', 'sarAircraftGroup'].includes(kindOf(to.station) ?? '') &&
        error('to.station', to.station, 'the identity of one station'),
      to.group !== undefined &&
        !MANY.includes(kindOf(to.group)) &&
        (kindOf(to.group) === 'unknown' ? warning : error)(
          'to.group',
          to.group,
          'a group: 0 and eight digits',
        ),
    ],
  },
  {
    name: 'a station does not call itself (common practice, no source)',
    find: ({ to, self }) => [
      to.station !== undefined && to.station === self && warning('to.station', to.station, 'another station'),
    ],
  },
  {
    name: 'a relay passes on the distress of another (M.541 Annex 1)',
    find: ({ values, self, casualty }) => [
      values.kind === 'distressRelay' &&
        self !== undefined &&
        self === casualty &&
        warning('casualty', casualty, 'another vessel than the one that relays'),
    ],
  },
  {
    name: 'distress alerts are acknowledged by coast stations; by ships only after consultation with one, and never on HF (FCC80 §80.1117 and §80.1121)',
    find: ({ values, self }) => [
      values.kind === 'distressAcknowledgement' &&
        self !== undefined &&
        !COAST.includes(kindOf(self)) &&
        warning('self', self, 'a coast station'),
    ],
  },
  {
    name: 'an acknowledgement names whose alert it acknowledges (M.493 Table A1-4.2)',
    find: ({ values }) => [
      values.kind === 'distressAcknowledgement' &&
        values.casualty === 'unknown' &&
        warning('casualty', 'unknown', 'the identity that the alert gave'),
    ],
  },
  {
    name: 'a call to a coast station proposes no working channel: the coast station names it (NAVCEN)',
    find: ({ values, to }) => [
      isOneOf(values.kind, ['urgencyCall', 'safetyCall', 'routineCall']) &&
        [...COAST, 'coastStationGroup'].includes(kindOf(to.station) ?? kindOf(to.group) ?? '') &&
        isProposal(values.message) &&
        warning('message', values.message, 'no frequency or channel, or the position on MF and HF'),
    ],
  },
  {
    name: 'group calls are routine: urgency, safety and distress relays go to all ships, an area or one station (M.493 Tables A1-4.3 to A1-4.7, from memory)',
    find: ({ to, category }) => [
      to.group !== undefined &&
        isOneOf(category, ['distress', 'urgency', 'safety']) &&
        warning('to.group', to.group, 'all ships on VHF, an area on MF and HF, or one station'),
    ],
  },
  {
    name: 'the automatic service runs between a ship and a coast station (M.493 §4)',
    find: ({ format, to, self }) => [
      format === 'automatic' &&
        self !== undefined &&
        to.station !== undefined &&
        COAST.includes(kindOf(self)) === COAST.includes(kindOf(to.station)) &&
        warning('to.station', to.station, 'a coast station, called by a ship, or the reverse'),
    ],
  },
  {
    name: 'positions are asked of ships (M.493 Table A1-4.6)',
    find: ({ values, to }) => [
      isOneOf(values.kind, ['positionRequest', 'pollingRequest']) &&
        COAST.includes(kindOf(to.station)) &&
        warning('to.station', to.station, 'a ship'),
    ],
  },
  {
    name: 'an identity has one of the forms of M.585',
    find: (facts) =>
      identities(facts).map(
        ([field, identity]) =>
          kindOf(identity) === 'unknown' && warning(field, identity, 'an identity of an assigned form'),
      ),
  },
  {
    name: 'the maritime identification digits are allocated (ITU table of MIDs)',
    find: (facts) =>
      identities(facts).map(([field, identity]) => {
        const mid = identityMid(identity);
        return (
          mid !== undefined &&
          isAllocatedMid(mid) === false &&
          warning(field, identity, `allocated digits in place of ${mid}`)
        );
      }),
  },
];

/** Table kinds whose first telecommand is free. */
const COMMUNICATION = /^(urgency|safety|routine)(Call|Acknowledgement)$/;
const REASONS: readonly SecondTelecommandName[] = [
  'noReason',
  'congestion',
  'busy',
  'queue',
  'barred',
  'noOperator',
  'operatorAway',
  'disabled',
  'cannotUseChannel',
  'cannotUseMode',
];
const CONNECTION: readonly SecondTelecommandName[] = [
  'connection0',
  'connection1',
  'connection2',
  'connection3',
  'connection4',
];
const VHF_MODES = ['f3e', 'f3eDuplex'];
const MF_HF_MODES = ['j3e', 'fec', 'arq'];
const TELEPHONY = ['f3e', 'f3eDuplex', 'j3e'];

function modeAgainstBand(field: string, mode: unknown, band: Band | undefined): Finding | false {
  if (band === 'vhf' && isOneOf(mode, MF_HF_MODES)) return error(field, mode, 'F3E or G3E on VHF');
  if (band === 'mf-hf' && isOneOf(mode, VHF_MODES)) return error(field, mode, 'J3E on MF and HF');
  return false;
}

const TELECOMMAND_RULES: readonly Rule[] = [
  {
    name: 'the telecommand suits the band (M.493 §8.3, Table A1-4)',
    find: ({ values, band }) => [
      modeAgainstBand('telecommand1', values.telecommand1, band),
      modeAgainstBand('followOn', values.followOn, band),
    ],
  },
  {
    name: 'direct printing is no longer required in the GMDSS (IMO MSC.496(105), in force 2024)',
    find: ({ values }) =>
      ['followOn', 'telecommand1'].map(
        (field) => isOneOf(values[field], ['fec', 'arq']) && warning(field, values[field], 'J3E'),
      ),
  },
  {
    name: 'an emission of an EPIRB announces no communication (M.493 Table A1-4.1)',
    find: ({ values }) => [
      values.nature === 'epirb' &&
        values.followOn !== 'none' &&
        warning('followOn', values.followOn, 'no information'),
    ],
  },
  {
    name: 'the telecommand belongs to this kind of call (M.493 Tables A1-4.5 to A1-4.8)',
    find: ({ values }) => [
      COMMUNICATION.test(String(values.kind)) &&
        isOneOf(values.telecommand1, TELECOMMANDS_OF_OTHER_KINDS) &&
        !isRoutinePosition(values) &&
        error('telecommand1', values.telecommand1, 'a mode of communication, data, or unable to comply'),
    ],
  },
  {
    name: 'only an acknowledgement says that a station is unable to comply (M.493 §8.3)',
    find: ({ values }) => [
      values.telecommand1 === 'unable' &&
        String(values.kind).endsWith('Call') &&
        error('telecommand1', 'unable', 'a mode of communication'),
    ],
  },
  {
    name: 'a reason goes with unable to comply, and only with it (M.493 §8.3, Table A1-3)',
    find: ({ values }) => [
      values.telecommand1 === 'unable' &&
        !isOneOf(values.telecommand2, REASONS) &&
        warning('telecommand2', values.telecommand2, `one of ${names(REASONS)}`),
      values.telecommand1 !== 'unable' &&
        isOneOf(values.telecommand2, REASONS) &&
        error('telecommand2', values.telecommand2, 'no reason without unable to comply'),
    ],
  },
  {
    name: 'medical transports and neutral ships announce themselves by urgency calls to all ships or an area (M.493 Table A1-4.5, Radio Regulations Article 33)',
    find: ({ values, category, format }) => [
      isOneOf(values.telecommand2, ['neutral', 'medical']) &&
        !(category === 'urgency' && isOneOf(format, ['allShips', 'area'])) &&
        warning('telecommand2', values.telecommand2, 'an urgency call to all ships or an area'),
    ],
  },
  {
    name: 'pay-phone and facsimile belong to the automatic service and to data (M.493 §8.3, likely)',
    find: ({ values, format }) => [
      isOneOf(values.telecommand2, ['payPhone', 'facsimile']) &&
        format !== 'automatic' &&
        values.telecommand1 !== 'data' &&
        warning('telecommand2', values.telecommand2, 'a call by the automatic service, or data'),
    ],
  },
  {
    name: 'the automatic connection system works by individual routine calls on MF and HF (M.493-16, likely); with data, 115 to 124 are of older editions (JP567)',
    find: ({ values, category, format, band }) => [
      values.telecommand1 === 'data' &&
        isOneOf(values.telecommand2, CONNECTION) &&
        warning('telecommand2', values.telecommand2, 'no information: with data it is of older editions'),
      values.telecommand1 !== 'data' &&
        isOneOf(values.telecommand2, CONNECTION) &&
        !(category === 'routine' && format === 'individual' && band !== 'vhf') &&
        warning('telecommand2', values.telecommand2, 'an individual routine call on MF or HF'),
    ],
  },
];

const channelHalves = ({ values }: Facts): [string, Values][] => {
  const message = recordOf(values.message);
  return [
    ['message.receive', recordOf(message.receive)],
    ['message.transmit', recordOf(message.transmit)],
  ];
};

const MESSAGE_RULES: readonly Rule[] = [
  {
    name: 'working frequencies lie in the maritime bands (Radio Regulations Article 5 and Appendix 17)',
    find: (facts) =>
      channelHalves(facts).map(
        ([field, { hz }]) =>
          typeof hz === 'number' &&
          !isWithinBand('mf-hf', hz) &&
          warning(`${field}.hz`, hz, 'a frequency in a maritime band of MF or HF'),
      ),
  },
  {
    name: 'channels are those of Radio Regulations Appendices 17 and 18',
    find: (facts) =>
      channelHalves(facts).flatMap(([field, { channel, vhfChannel }]) => [
        typeof channel === 'number' &&
          !isTelephonyChannel(channel) &&
          warning(`${field}.channel`, channel, 'a channel of the 4 to 25 MHz bands, from 401 on'),
        typeof vhfChannel === 'number' &&
          !isVhfChannel(vhfChannel) &&
          warning(`${field}.vhfChannel`, vhfChannel, 'a channel from 1 to 28 or from 60 to 88'),
        vhfChannel === DSC_CHANNEL &&
          warning(`${field}.vhfChannel`, vhfChannel, 'another channel: 70 carries DSC alone'),
      ]),
  },
  {
    name: 'communication goes on in the band of the call (common practice, no source)',
    find: (facts) =>
      channelHalves(facts).map(([field, half]) => {
        const isVhf = 'vhfChannel' in half;
        const other = facts.band === 'vhf' ? 'hz' in half || 'channel' in half : isVhf;
        return (
          facts.band !== undefined &&
          other &&
          warning(field, half, facts.band === 'vhf' ? 'a VHF channel' : 'a frequency or channel of MF or HF')
        );
      }),
  },
  {
    name: 'a call to many ships names the channel that follows (M.493 Tables A1-4.5 and A1-4.7)',
    find: ({ values, format }) => [
      isOneOf(values.telecommand1, TELEPHONY) &&
        isOneOf(format, ['allShips', 'area', 'group']) &&
        recordOf(values.message).receive === 'none' &&
        warning('message.receive', 'none', 'a frequency or channel'),
    ],
  },
  {
    name: 'a position stands for a frequency in individual calls (M.493 §8.3.3)',
    find: ({ values, format }) => [
      'position' in recordOf(values.message) &&
        !isOneOf(format, ['individual', 'automatic']) &&
        warning('message', values.message, 'a frequency or channel'),
    ],
  },
  {
    name: 'a position goes with its time, and a time with a position (M.493 §8.1.2 and §8.1.3)',
    find: ({ values }) =>
      (
        [
          ['', values],
          ['message.', recordOf(values.message)],
        ] as const
      ).flatMap(([path, { position, time }]) => [
        position === 'none' &&
          time !== undefined &&
          time !== 'none' &&
          warning(`${path}time`, time, 'no time, as there is no position'),
        position !== undefined &&
          position !== 'none' &&
          (time === 'none' || time === undefined) &&
          warning(`${path}time`, time, 'when the position was valid'),
      ]),
  },
  {
    name: 'a telephone number has at most 15 digits (ITU-T E.164)',
    find: ({ values }) => [
      typeof values.telephone === 'string' &&
        values.telephone.length > 15 &&
        warning('telephone', values.telephone, 'at most 15 digits'),
    ],
  },
];

const ADDRESS_RULES: readonly Rule[] = [
  {
    name: 'an area ends at the pole (M.493 §5.3)',
    find: ({ to: { area } }) => [
      area !== undefined &&
        Number(area.latitude) - Number(area.south) < -90 &&
        error('to.area.south', area.south, `at most ${Number(area.latitude) + 90}, down to the pole`),
    ],
  },
  {
    name: 'an area that crosses the 180th meridian is understood differently by receivers (common practice, no source)',
    find: ({ to: { area } }) => [
      area !== undefined &&
        Number(area.longitude) + Number(area.east) > 180 &&
        warning('to.area.east', area.east, `at most ${180 - Number(area.longitude)}, up to the meridian`),
    ],
  },
  {
    name: 'an area has an extent (M.493 §5.3)',
    find: ({ to: { area } }) =>
      ['south', 'east'].map(
        (side) => area?.[side] === 0 && warning(`to.area.${side}`, 0, 'at least one degree'),
      ),
  },
  {
    name: 'all ships are called on VHF, an area on MF and HF (M.493 Tables A1-4.3 and A1-4.5)',
    find: ({ values, format, band }) => [
      values.to === 'allShips' &&
        values.kind !== 'relayAcknowledgement' &&
        band === 'mf-hf' &&
        warning('to', 'allShips', 'an area on MF and HF'),
      format === 'area' && band === 'vhf' && warning('to', values.to, 'all ships on VHF'),
    ],
  },
];

const ONLY_ON: Readonly<Partial<Record<EquipmentClass, Band>>> = { D: 'vhf', H: 'vhf', M: 'vhf', E: 'mf-hf' };

const CLASS_RULES: readonly Rule[] = [
  {
    name: 'classes D, H and M work on VHF, class E on MF and HF (M.493 Annex 2)',
    find: ({ equipmentClass, band }) => {
      const only = equipmentClass && ONLY_ON[equipmentClass];
      return [
        only !== undefined &&
          band !== undefined &&
          band !== only &&
          error(
            'equipmentClass',
            equipmentClass,
            `a class that works on ${band === 'vhf' ? 'VHF' : 'MF and HF'}`,
          ),
      ];
    },
  },
  {
    name: 'telegraphy, data and the automatic service belong to class A (M.493 Annex 2, likely)',
    find: ({ equipmentClass, values, format }) => [
      equipmentClass !== undefined &&
        equipmentClass !== 'A' &&
        (format === 'automatic' || isOneOf(values.telecommand1, ['fec', 'arq', 'data'])) &&
        warning('equipmentClass', equipmentClass, 'A'),
    ],
  },
  {
    name: 'a man overboard device sends alerts for a person overboard and cancels them (M.493 class M)',
    find: ({ equipmentClass, values }) => [
      equipmentClass === 'M' &&
        !(isOneOf(values.kind, ALERTS) && values.nature === 'manOverboard') &&
        error('equipmentClass', 'M', 'another class for this call'),
    ],
  },
];

const SENDING_RULES: readonly Rule[] = [
  {
    name: 'calls are sent in the maritime bands (Radio Regulations Appendices 15, 17 and 18)',
    find: ({ frequencyHz }) => [
      frequencyHz !== undefined &&
        !isWithinBand('mf-hf', frequencyHz) &&
        !isWithinBand('vhf', frequencyHz) &&
        warning('frequencyHz', frequencyHz, 'a frequency in a maritime band'),
    ],
  },
  {
    name: 'the frequency lies in the band named',
    find: ({ frequencyHz, band }) => [
      frequencyHz !== undefined &&
        band !== undefined &&
        (band === 'vhf') !== isWithinBand('vhf', frequencyHz) &&
        error('frequencyHz', frequencyHz, band === 'vhf' ? 'a frequency on VHF' : 'a frequency on MF or HF'),
    ],
  },
];

const EXPANSION_RULES: readonly Rule[] = [
  {
    name: 'a finer position refines the position of the call (M.821-1 §2)',
    find: ({ values }) =>
      expansionsOf(values).map(
        ({ kind, value }, i) =>
          kind === 'finePosition' &&
          typeof value === 'object' &&
          !isUnassigned(value) &&
          error(`expansions[${i}]`, value, 'a position in the call that it makes finer'),
      ),
  },
  {
    name: 'a refined area refines the area of the call (M.821-1 §2)',
    find: ({ values, format }) =>
      expansionsOf(values).map(
        ({ kind, value }, i) =>
          kind === 'refinedArea' &&
          format !== 'area' &&
          error(`expansions[${i}]`, value, 'a call to an area that it makes finer'),
      ),
  },
  {
    name: 'each expansion stands once (common practice, no source)',
    find: ({ values }) =>
      expansionsOf(values).map(
        ({ kind }, i, all) =>
          all.findIndex((other) => other.kind === kind) < i &&
          warning(`expansions[${i}].kind`, kind, 'another kind than the ones before'),
      ),
  },
  {
    name: 'an expansion ends as its call does (M.821-1 §1, likely)',
    find: ({ values }) =>
      expansionsOf(values).map(
        ({ eos }, i) =>
          eos !== undefined && warning(`expansions[${i}].eos`, eos, "the call's end of sequence"),
      ),
  },
];

function expansionsOf(values: Values): readonly Values[] {
  return Array.isArray(values.expansions) ? (values.expansions as Values[]) : [];
}

const TABLE_RULES: readonly Rule[] = [
  {
    name: 'the call ends as its kind does (M.493 §9, Tables A1-4.1 to A1-4.10)',
    find: ({ values, row, format }) => [
      row !== undefined &&
        format !== undefined &&
        values.eos !== undefined &&
        values.eos !== row.eos(format) &&
        error('eos', values.eos, row.eos(format)),
    ],
  },
  {
    name: 'no characters follow those of the tables (M.493 Tables A1-4.1 to A1-4.10)',
    find: ({ values }) => [values.rest !== undefined && error('rest', values.rest, 'nothing')],
  },
  {
    name: 'format specifier and category go together (M.493 §4 and §6, Tables A1-4.1 to A1-4.10)',
    find: (facts) => [
      isOneOf(facts.values.kind, ['irregularCall', 'irregularAutomaticCall']) &&
        error(
          'to',
          facts.values.to,
          `a format that ${String(facts.category)} calls are sent with: ${names(formatsOf(facts))}`,
        ),
      facts.values.kind === 'irregularDistressCall' &&
        error(
          'telecommand1',
          facts.values.telecommand1,
          'distress acknowledgement to all ships, or distress relay to all ships, an area, a group or a station',
        ),
    ],
  },
  {
    name: 'the sequence is built as the tables say (M.493 Tables A1-4.1 to A1-4.10)',
    find: ({ values, format }) => [
      values.kind === 'unassignedCall' &&
        (format === undefined
          ? error(
              'symbols[0]',
              (values.symbols as number[])[0],
              `a format specifier: ${names(FORMATS.words.map((word) => String(word.symbol)))}`,
            )
          : error(
              'symbols',
              values.symbols,
              `the fields of a ${FORMATS.byName(format)?.text ?? 'call'}, in full`,
            )),
    ],
  },
];

/** Every rule, in the order that problems are listed. */
export const RULES: readonly Rule[] = [
  ...TABLE_RULES,
  ...ADDRESS_RULES,
  ...IDENTITY_RULES,
  ...TELECOMMAND_RULES,
  ...MESSAGE_RULES,
  ...EXPANSION_RULES,
  ...CLASS_RULES,
  ...SENDING_RULES,
];
