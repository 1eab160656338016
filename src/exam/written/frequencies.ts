/**
 * Written questions about frequencies, made from the tables: what each is for, where each kind of call belongs, what a
 * dial shows, where an answer comes back, and VHF channels. Choices lie in one band wherever that can be.
 */
import {
  DISTRESS_FREQUENCIES,
  DSC_FREQUENCIES,
  SHIP_TO_SHIP_FREQUENCIES,
  VHF_CHANNELS,
  dialFrequency,
  formatFrequency,
  type DistressFrequency,
  type MaritimeBand,
} from '../../frequencies/index.js';
import { TOLERANCES, type TypedAnswer } from '../typed.js';
import type { WrittenLine, WrittenSet } from './set.js';

/** What frequencies of a band are for. */
const ROLES = {
  dsc: {
    use: 'DSC: distress, urgency, safety and test calls',
    asked: 'A distress alert is to be sent by DSC.',
  },
  voice: {
    use: 'Voice: distress and safety traffic',
    asked: 'The distress traffic that follows an alert is to be spoken.',
  },
  printing: {
    use: 'Direct printing: distress and safety traffic, no longer required',
    asked: 'Distress traffic by direct printing, no longer required, was to be heard.',
  },
  toCoast: {
    use: 'DSC: routine calls from ships to coast stations',
    asked: 'A ship is to make a routine call by DSC to a coast station of another nationality.',
  },
  toShip: {
    use: 'DSC: routine calls from coast stations to ships',
    asked: 'A coast station is to make a routine call by DSC to a ship.',
  },
  betweenShips: {
    use: 'DSC: routine calls between ships, and from coast stations to ships',
    asked: 'A ship is to make a routine call by DSC to another ship.',
  },
  simplex: {
    use: 'Voice: between ships, on one frequency',
    asked: 'Two ships are to talk on one frequency about a routine matter.',
  },
} as const;
type RoleName = keyof typeof ROLES;

/** A frequency with what it is for. */
interface Row {
  readonly role: RoleName;
  readonly hz: number;
  readonly source: string;
}

const MEDIUM_FREQUENCY: MaritimeBand = '2 MHz';

/** What stands in the tables for a band: of several frequencies for the same the first. */
function rowsOf({ band, dscHz, voiceHz, nbdpHz, source }: DistressFrequency): Row[] {
  const routine = DSC_FREQUENCIES.filter((row) => row.band === band && row.scope === 'worldwide');
  const dsc = (role: RoleName, use: 'shipToCoast' | 'coastToShip'): Row[] =>
    routine
      .filter(({ uses }) => uses.includes(use))
      .slice(0, 1)
      .map((row) => ({ role, hz: row.hz, source: row.source }));
  const simplex = SHIP_TO_SHIP_FREQUENCIES.find((row) => row.band === band);
  return [
    { role: 'dsc', hz: dscHz, source },
    { role: 'voice', hz: voiceHz, source },
    ...(nbdpHz === undefined ? [] : [{ role: 'printing' as const, hz: nbdpHz, source }]),
    ...dsc('toCoast', 'shipToCoast'),
    ...dsc(band === MEDIUM_FREQUENCY ? 'betweenShips' : 'toShip', 'coastToShip'),
    ...(simplex && band !== MEDIUM_FREQUENCY
      ? [{ role: 'simplex' as const, hz: simplex.hz, source: simplex.source }]
      : []),
  ];
}

const BANDS = DISTRESS_FREQUENCIES.filter(({ band }) => band !== 'VHF');
const cite = (text: string, source: string) => `${text} (${source}).`;
const typedFrequency = (hz: number): TypedAnswer => ({
  form: 'frequency',
  hz,
  withinHz: TOLERANCES.frequencyHz,
});

/** The frequencies for one thing beside those for another that is much the same. */
function pairsOf(one: RoleName, other: RoleName): (readonly [string, string])[] {
  const rows = BANDS.flatMap(rowsOf);
  const of = (role: RoleName) => rows.filter((row) => row.role === role);
  return of(one).flatMap(({ hz }) =>
    of(other).map((row) => [formatFrequency(hz), formatFrequency(row.hz)] as const),
  );
}

/** What a frequency is for, one set for all bands. */
const USE: WrittenSet = {
  name: 'use',
  ask: 'What is this frequency for?',
  lines: BANDS.flatMap((row) =>
    rowsOf(row).map(({ role, hz, source }): WrittenLine => {
      const frequency = formatFrequency(hz);
      return {
        key: frequency,
        situation: `${frequency}.`,
        answer: ROLES[role].use,
        because: cite(`${frequency} is for ${ROLES[role].use}`, source),
        rules: [],
      };
    }),
  ),
  apart: [...pairsOf('toShip', 'betweenShips'), ...pairsOf('voice', 'simplex')],
};

/** What has one frequency in a band and no other. */
const ALONE: readonly RoleName[] = ['dsc', 'voice', 'printing', 'toCoast'];

/** Where a call or traffic belongs, a set for each band. */
const PLACE: readonly WrittenSet[] = BANDS.map((row) => ({
  name: 'place',
  ask: `On which frequency of the ${row.band} band?`,
  lines: rowsOf(row).map(({ role, hz, source }): WrittenLine => ({
    key: role,
    situation: ROLES[role].asked,
    answer: formatFrequency(hz),
    because: cite(`${ROLES[role].use}, on ${formatFrequency(hz)}`, source),
    rules: [],
    ...(ALONE.includes(role) && { typed: typedFrequency(hz) }),
  })),
}));

const DIAL_SOURCE = 'ITU-R M.493 Annex 1 §1.3, from memory';

/** What the dial shows, a set for each band. */
const DIAL: readonly WrittenSet[] = BANDS.map((row) => ({
  name: 'dial',
  ask: 'What does the dial of an upper-sideband receiver show that hears DSC tones around 1700 Hz, and voice as it is?',
  lines: rowsOf(row)
    .filter(({ role }) => role !== 'simplex' && role !== 'printing')
    .map(({ role, hz }): WrittenLine => {
      const isVoice = role === 'voice';
      const dial = isVoice ? hz : dialFrequency(hz);
      return {
        key: role,
        situation: `${isVoice ? 'Voice' : 'DSC'} is to be heard on ${formatFrequency(hz)}.`,
        answer: formatFrequency(dial),
        because: isVoice
          ? cite('Frequencies of telephony are carriers, which is what the dial shows', DIAL_SOURCE)
          : cite(
              `The tones lie around 1700 Hz above what the dial shows: ${formatFrequency(hz)} less 1.7 kHz`,
              DIAL_SOURCE,
            ),
        rules: [],
        typed: typedFrequency(dial),
      };
    }),
}));

/** Where the acknowledgement comes back, a set for each HF band. */
const PAIR: readonly WrittenSet[] = BANDS.filter(({ band }) => band !== MEDIUM_FREQUENCY).map(
  ({ band, dscHz }) => ({
    name: 'pair',
    ask: 'On which frequency does the acknowledgement come back?',
    lines: [
      {
        key: 'safety',
        situation: `A test call from a ship to a coast station went out on ${formatFrequency(dscHz)}.`,
        answer: formatFrequency(dscHz),
        because:
          'Safety and test calls are acknowledged on the frequency they came on (M541-8 Annex 2; FCC80 §80.1077).',
        rules: [],
        typed: typedFrequency(dscHz),
      },
      ...DSC_FREQUENCIES.filter((row) => row.band === band && row.pairHz !== undefined).map(
        ({ hz, pairHz = 0, uses, source }): WrittenLine => ({
          key: String(hz),
          situation: uses.includes('shipToCoast')
            ? `A routine call from a ship to a coast station went out on ${formatFrequency(hz)}.`
            : `A routine call from a coast station to a ship went out on ${formatFrequency(hz)}.`,
          answer: formatFrequency(pairHz),
          because: cite(
            `Ship and coast frequency of a pair: ${formatFrequency(hz)} and ${formatFrequency(pairHz)}`,
            source,
          ),
          rules: [],
          typed: typedFrequency(pairHz),
        }),
      ),
    ],
  }),
);

/** Channels with a use of their own that says nothing of another's (RR Appendix 18, from memory). */
const OWN_USE = [6, 13, 15, 16, 70, 75, 2087];

/** What VHF channels are for. */
const VHF: WrittenSet = {
  name: 'vhf',
  ask: 'What is this channel for?',
  lines: VHF_CHANNELS.flatMap(({ channel, use, source }) =>
    use === undefined || !OWN_USE.includes(channel)
      ? []
      : [
          {
            key: String(channel),
            situation: `VHF channel ${channel}.`,
            answer: use.charAt(0).toUpperCase() + use.slice(1),
            because: cite(`VHF channel ${channel} is for ${use}`, source),
            rules: [],
          },
        ],
  ),
  // Both are for navigation, and ships call each other on channel 16 too.
  apart: [
    ['13', '75'],
    ['6', '16'],
  ],
};

/** The sets about frequencies. */
export const FREQUENCY_SETS: readonly WrittenSet[] = [USE, ...PLACE, ...DIAL, ...PAIR, VHF];
