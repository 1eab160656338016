import { describe, expect, it } from 'vitest';
import { describeCall, formatPosition, type Call } from '../../src/calls/index.js';
import { CASES } from '../vectors/cases.js';

// What a person reads of each call, as a person wrote it.
const SENTENCES: readonly [name: string, sentence: string][] = [
  [
    'distress-alert',
    'Distress alert from ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'distress-alert-vhf',
    'Distress alert from ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on F3E or G3E.',
  ],
  [
    'distress-alert-undesignated',
    'Distress alert from ship 299 123 456: undesignated distress, position not given, time not given; voice follows on F3E or G3E.',
  ],
  [
    'distress-alert-south-east',
    'Distress alert from ship 299 654 321: fire or explosion at 33°59′S 151°59′E, position valid 23:59 UTC; telegraphy follows by FEC.',
  ],
  [
    'distress-alert-south-west',
    'Distress alert from handheld radio 8 299 12345: man overboard at 01°01′S 000°02′W, position valid 00:00 UTC; no follow-on communication named.',
  ],
  [
    'distress-alert-zero-point',
    'Distress alert from ship 299 123 456: sinking at 00°00′S 000°00′W, position valid 07:05 UTC; voice follows on J3E.',
  ],
  [
    'distress-alert-farthest',
    'Distress alert from ship 299 123 456: emission of an emergency position-indicating radiobeacon at 90°00′N 180°00′W, position valid 12:00 UTC; no follow-on communication named.',
  ],
  [
    'distress-acknowledgement',
    'Distress acknowledgement from coast station 00 299 1234 for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'distress-acknowledgement-vhf',
    'Distress acknowledgement from coast station 00 299 1234 for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on F3E or G3E.',
  ],
  [
    'own-alert-cancellation',
    'Cancellation of its own distress alert by ship 299 123 456; the alert read: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on F3E or G3E.',
  ],
  [
    'distress-relay-unknown-casualty',
    'Distress relay from ship 299 654 321 to all ships for an unknown ship: undesignated distress at 48°00′N 005°30′W, position valid 10:15 UTC; voice follows on F3E or G3E.',
  ],
  [
    'distress-relay-area',
    'Distress relay from coast station 00 299 1234 to the area 5° southwards and 8° eastwards of 50°N 010°W for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'distress-relay-group',
    'Distress relay from coast station 00 299 1234 to group of ships 0 299 12345 for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'distress-relay-individual',
    'Distress relay from ship 299 654 321 to coast station 00 299 1234 for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'relay-acknowledgement-individual',
    'Acknowledgement of a distress relay, from coast station 00 299 1234 to ship 299 654 321, for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'relay-acknowledgement-all-ships',
    'Acknowledgement of a distress relay, from coast station 00 299 1234 to all ships, for an unknown ship: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on F3E or G3E.',
  ],
  [
    'urgency-all-ships',
    'Urgency call from ship 299 123 456 to all ships: F3E or G3E telephony, all modes, on VHF channel 16.',
  ],
  [
    'urgency-medical-transport',
    'Urgency call from ship 299 123 456 to the area 5° southwards and 8° eastwards of 50°N 010°W: J3E telephony, medical transports, on 2182 kHz.',
  ],
  [
    'urgency-neutral-ship',
    'Urgency call from ship 299 123 456 to all ships: F3E or G3E telephony, all modes, ships and aircraft of States not parties to an armed conflict, on VHF channel 16.',
  ],
  [
    'urgency-individual-position',
    'Urgency call from ship 299 123 456 to coast station 00 299 1234: J3E telephony, 50°30′N 004°12′W, 09:30 UTC.',
  ],
  [
    'urgency-acknowledgement',
    'Urgency acknowledgement from coast station 00 299 1234 to ship 299 123 456: J3E telephony, on 2182 kHz.',
  ],
  [
    'urgency-group',
    'Urgency call from coast station 00 299 1234 to group of ships 0 299 12345: J3E telephony, on 4125 kHz.',
  ],
  [
    'safety-all-ships',
    'Safety call from coast station 00 299 1234 to all ships: F3E or G3E telephony, all modes, on VHF channel 13.',
  ],
  [
    'safety-area-fec',
    'Safety call from coast station 00 299 1234 to the area 5° southwards and 8° eastwards of 50°N 010°W: F1B or J2B telegraphy, FEC, on 2174.5 kHz.',
  ],
  [
    'safety-individual',
    'Safety call from ship 299 123 456 to coast station 00 299 1234: F3E or G3E telephony, all modes, no channel proposed.',
  ],
  [
    'safety-unable-busy',
    'Safety acknowledgement from coast station 00 299 1234 to ship 299 123 456: unable to comply, busy, no channel proposed.',
  ],
  [
    'routine-group',
    'Routine call from ship 299 123 456 to group of ships 0 299 12345: F3E or G3E telephony, all modes, on VHF channel 6.',
  ],
  [
    'routine-individual',
    'Routine call from ship 299 123 456 to ship 299 654 321: J3E telephony, on 8294 kHz.',
  ],
  [
    'routine-acknowledgement',
    'Routine acknowledgement from ship 299 654 321 to ship 299 123 456: J3E telephony, on 8294 kHz.',
  ],
  [
    'routine-unable-channel',
    'Routine acknowledgement from ship 299 654 321 to ship 299 123 456: unable to comply, unable to use the proposed channel, no channel proposed.',
  ],
  [
    'routine-tens-of-hertz',
    'Routine call from ship 299 123 456 to ship 299 654 321: J3E telephony, the called station to receive on 12353.55 kHz and transmit on 12353 kHz.',
  ],
  [
    'routine-arq-frequency',
    'Routine call from ship 299 123 456 to ship 299 654 321: F1B or J2B telegraphy, ARQ, on 12520 kHz.',
  ],
  [
    'routine-mf-hf-channel',
    'Routine call from ship 299 123 456 to coast station 00 299 1234: J3E telephony, on MF/HF channel 1205.',
  ],
  [
    'routine-vhf-duplex',
    'Routine call from ship 299 123 456 to coast station 00 299 1234: F3E or G3E duplex telephony, on VHF channel 26.',
  ],
  [
    'routine-vhf-one-side',
    'Routine call from ship 299 123 456 to ship 299 654 321: F3E or G3E telephony, all modes, the called station to receive on VHF channel 26 (ship frequency alone) and transmit on VHF channel 26 (coast frequency alone).',
  ],
  [
    'routine-data',
    'Routine call from ship 299 123 456 to coast station 00 299 1234: data, no channel proposed.',
  ],
  [
    'routine-connection-system',
    'Routine call from ship 299 123 456 to ship 299 654 321: J3E telephony, automatic connection system, three sendings left, on 6224 kHz.',
  ],
  [
    'test-call',
    'Test call from ship 299 123 456 to coast station 00 299 1234; an acknowledgement is requested.',
  ],
  ['test-acknowledgement', 'Test acknowledgement from coast station 00 299 1234 to ship 299 123 456.'],
  ['test-call-vhf', 'Test call from ship 299 123 456 to ship 299 654 321; an acknowledgement is requested.'],
  [
    'position-request',
    'Position request from coast station 00 299 1234 to ship 299 123 456; an acknowledgement is requested.',
  ],
  [
    'position-report',
    'Position report from ship 299 123 456 to coast station 00 299 1234: 50°30′N 004°12′W, 09:30 UTC.',
  ],
  [
    'position-report-none',
    'Position report from ship 299 123 456 to coast station 00 299 1234: position not given, time not given.',
  ],
  [
    'polling-request',
    'Polling request from coast station 00 299 1234 to ship 299 123 456; an acknowledgement is requested.',
  ],
  ['polling-reply', 'Polling reply from ship 299 123 456 to coast station 00 299 1234.'],
  [
    'automatic-call-even',
    'Automatic-service call from ship 299 123 456 to coast station 00 299 1234: F3E or G3E duplex telephony, no channel proposed, telephone number 0012345678.',
  ],
  [
    'automatic-call-odd',
    'Automatic-service call from ship 299 123 456 to coast station 00 299 1234: J3E telephony, no channel proposed, telephone number 5550123.',
  ],
  [
    'automatic-acknowledgement',
    'Automatic-service acknowledgement from coast station 00 299 1234 to ship 299 123 456: F3E or G3E duplex telephony, on VHF channel 25, telephone number 0012345678.',
  ],
  [
    'automatic-end-of-call',
    'Automatic-service call from ship 299 123 456 to coast station 00 299 1234: end of call, on VHF channel 25, no telephone number.',
  ],
  [
    'expansion-fine-position',
    'Distress alert from ship 299 123 456: flooding at 50°30.7407′N 004°12.0250′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'expansion-several',
    'Distress alert from ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on F3E or G3E. Expansions: position from GPS to 0.1′ on WGS 84; speed 12.3 knots; course 234.5°; further identification “NORDLYS 7”; 12 persons on board.',
  ],
  [
    'expansion-joined',
    'Position request from coast station 00 299 1234 to ship 299 123 456; an acknowledgement is requested. Expansions: speed not available; course requested.',
  ],
  [
    'expansion-refined-area',
    'Safety call from coast station 00 299 1234 to the area 5° southwards and 8° eastwards of 50°N 010°W: J3E telephony, on 2182 kHz. Expansions: area finer by 12.34′ of latitude and 5′ of longitude at its corner, 30′ southwards and 0.5′ eastwards, for vessels of speed 12.0 knots and course 090.0°.',
  ],
  [
    'unassigned-nature',
    'Distress alert from ship 299 123 456: nature unassigned (111) at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
  ],
  [
    'unassigned-position',
    'Distress alert from ship 299 123 456: flooding, position unassigned (15 7 50 4 12), time unassigned (24 60); voice follows on J3E.',
  ],
  [
    'surplus-characters',
    'Distress alert from ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E. Surplus characters: 126. End of sequence: acknowledgement requested (RQ).',
  ],
  [
    'irregular-routine-all-ships',
    'Irregular routine call from ship 299 123 456 to all ships: F3E or G3E telephony, all modes, on VHF channel 16.',
  ],
  ['unassigned-format', 'Unassigned call: characters 121 29 91 23 45 60 127.'],
];

describe('a call in plain language', () => {
  it.each(SENTENCES)('%s: %s', (name, sentence) => {
    const row = CASES[CASES.findIndex((candidate) => candidate.name === name)];
    expect(describeCall(row.call)).toBe(sentence);
  });

  it('is there for every hand-worked call', () => {
    expect(SENTENCES.map(([name]) => name)).toEqual(CASES.map(({ name }) => name));
  });

  const alert = CASES[0].call;
  const routine = CASES[CASES.findIndex(({ name }) => name === 'routine-individual')].call;
  it.each<[object, string]>([
    [{ ...alert, followOn: 'arq' }, 'telegraphy follows by ARQ.'],
    [{ ...alert, followOn: { unassigned: [101] } }, '; follow-on unassigned (101).'],
    [
      { ...routine, message: { receive: { hz: 8_294_000 }, transmit: 'none' } },
      'J3E telephony, on 8294 kHz.',
    ],
    [
      { ...routine, message: { receive: 'none', transmit: { hz: 8_294_000 } } },
      'J3E telephony, the called station to transmit on 8294 kHz.',
    ],
    [{ ...routine, message: { position: 'none' } }, 'J3E telephony, position not given.'],
    [{ ...routine, message: { unassigned: [126] } }, 'J3E telephony, unassigned (126).'],
    [{ ...routine, telecommand1: 'none' }, ': no telecommand, on 8294 kHz.'],
    [{ ...routine, telecommand2: { unassigned: [5] } }, ': J3E telephony, unassigned (5), on 8294 kHz.'],
    [{ ...routine, to: { station: { unassigned: [1, 2, 3, 4, 5] } } }, ' to unassigned (1 2 3 4 5): J3E'],
    [{ ...alert, eos: { unassigned: [126] } }, ' End of sequence: unassigned (126).'],
    [{ ...alert, expansions: [{ kind: 'personsOnBoard', value: 1 }] }, ' Expansions: 1 person on board.'],
    [
      { ...alert, expansions: [{ kind: 'finePosition', value: { latitude: 12, longitude: 9999 } }] },
      ' Expansions: position finer by 0.0012′ of latitude and 0.9999′ of longitude.',
    ],
    [{ ...alert, expansions: [{ kind: 'course', value: 5.5 }] }, ' Expansions: course 005.5°.'],
    [
      {
        ...alert,
        expansions: [
          { kind: 'finePosition', value: 'requested' },
          { kind: 'speed', value: { unassigned: [5] } },
          { kind: 'unassignedExpansion', symbols: [107, 5] },
        ],
      },
      ' Expansions: finer position requested; speed unassigned (5); unassigned expansion (107 5).',
    ],
    [
      {
        ...routine,
        kind: 'irregularAutomaticCall',
        to: { station: '002991234' },
        category: 'safety',
        telephone: '12',
      },
      'Irregular safety call by the automatic service from ship 299 123 456 to coast station 00 299 1234: ' +
        'J3E telephony, on 8294 kHz, telephone number 12.',
    ],
    [
      {
        ...CASES[CASES.findIndex(({ name }) => name === 'distress-relay-area')].call,
        kind: 'irregularDistressCall',
        telecommand1: 'test',
      },
      'Irregular distress call (test) from coast station 00 299 1234 to the area 5° southwards and 8° eastwards of ' +
        '50°N 010°W for ship 299 123 456: flooding at 50°30′N 004°12′W, position valid 09:30 UTC; voice follows on J3E.',
    ],
  ])('%o: %s', (call, part) => {
    expect(describeCall(call as Call)).toContain(part);
  });

  it('names stations as it is told to, and nothing else', () => {
    const names: Readonly<Record<string, string>> = {
      '299123456': 'Grey Petrel',
      '002991234': 'Halcyon Radio',
    };
    const station = (identity: string) => names[identity] ?? `station ${identity}`;
    const named = (call: object) => describeCall(call as Call, { station });
    const caseOf = (name: string) => CASES[CASES.findIndex((each) => each.name === name)].call;
    expect(named(caseOf('distress-relay-group'))).toMatch(
      /^Distress relay from Halcyon Radio to station 029912345 for Grey Petrel: flooding/,
    );
    expect(named(caseOf('distress-relay-unknown-casualty'))).toContain(
      ' from station 299654321 to all ships for an unknown ship: ',
    );
    expect(named(caseOf('test-call'))).toBe(
      'Test call from Grey Petrel to Halcyon Radio; an acknowledgement is requested.',
    );
    expect(named({ ...routine, to: { station: { unassigned: [1, 2, 3, 4, 5] } } })).toContain(
      'from Grey Petrel to unassigned (1 2 3 4 5): ',
    );
    expect(named({ ...alert, self: { unassigned: [1, 2, 3, 4, 5] } })).toContain(
      'from unassigned (1 2 3 4 5)',
    );
    // A telephone number may be nine digits too.
    const automatic = caseOf('automatic-call-even');
    expect(named({ ...automatic, telephone: '299123456' })).toContain('telephone number 299123456');
  });

  it('says characters that mean nothing as they are', () => {
    expect(describeCall({ kind: 'unassignedCall', symbols: [121, 29, 127] })).toBe(
      'Unassigned call: characters 121 29 127.',
    );
    expect(describeCall({ ...alert, rest: [126, 5] } as Call)).toContain('J3E. Surplus characters: 126 5.');
  });

  // M.493 §8.2.2 (from memory): a message names the frequencies of the station called, and the acknowledgement repeats
  // it. Coast station 00 299 1234 asks the ship to receive on 1734 and transmit on 2078; the ship agrees.
  it('says in an acknowledgement, too, which station the frequencies are for', () => {
    const agreed = {
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 1_734_000 }, transmit: { hz: 2_078_000 } },
    } as const;
    const [coast, ship] = ['002991234', '299123456'];
    for (const [kind, acknowledgement, name] of [
      ['urgencyCall', 'urgencyAcknowledgement', 'Urgency'],
      ['safetyCall', 'safetyAcknowledgement', 'Safety'],
      ['routineCall', 'routineAcknowledgement', 'Routine'],
    ] as const) {
      expect(describeCall({ kind, to: { station: ship }, self: coast, ...agreed })).toBe(
        `${name} call from coast station 00 299 1234 to ship 299 123 456: J3E telephony, the called station to ` +
          'receive on 1734 kHz and transmit on 2078 kHz.',
      );
      expect(describeCall({ kind: acknowledgement, to: { station: coast }, self: ship, ...agreed })).toBe(
        `${name} acknowledgement from ship 299 123 456 to coast station 00 299 1234: J3E telephony, the ` +
          'acknowledging station to receive on 1734 kHz and transmit on 2078 kHz.',
      );
    }
    const automatic = { ...agreed, telephone: '123456', to: { station: coast }, self: ship } as const;
    expect(describeCall({ kind: 'automaticCall', ...automatic })).toContain(
      'the called station to receive on',
    );
    expect(describeCall({ kind: 'automaticAcknowledgement', ...automatic })).toContain(
      'the acknowledging station to receive on',
    );
  });

  it('says a position as precisely as it is sent', () => {
    const fine = { ...alert, position: { latitude: 48 + 12.59 / 60, longitude: -(12 + 45.5 / 60) } };
    expect(describeCall(fine)).toContain('at 48°12′N 012°45′W, position valid');
    expect(describeCall({ ...fine, expansions: [{ kind: 'finePosition' }] })).toContain(
      'at 48°12.5900′N 012°45.5000′W, position valid',
    );
  });

  it('names second telecommands 115 to 124 with data by their number (JP567: older editions)', () => {
    const call = {
      kind: 'routineCall',
      to: { station: '002991234' },
      self: '299123456',
      telecommand1: 'data',
      message: { receive: 'none', transmit: 'none' },
    } as const;
    const said = (telecommand2: unknown) => describeCall({ ...call, telecommand2 } as Call);
    expect(said({ unassigned: [115] })).toMatch(/data, of a kind that older editions number 115,/);
    expect(said('connection4')).toMatch(/data, of a kind that older editions number 124,/);
    expect(said({ unassigned: [114] })).not.toMatch(/older/);
  });

  it('is refused for what cannot be encoded', () => {
    expect(() => describeCall({ ...alert, self: '5' } as Call)).toThrow(/^self: /);
    expect(() => describeCall({ kind: 'x' } as unknown as Call)).toThrow(/^kind: /);
  });
});

describe('a position for people', () => {
  it.each([
    [{ latitude: 50.5, longitude: -4.2 }, '50°30′N 004°12′W'],
    [{ latitude: 0, longitude: 0 }, '00°00′N 000°00′E'],
    [{ latitude: 0, longitude: 0, quadrant: 'SW' as const }, '00°00′S 000°00′W'],
    [{ latitude: -90, longitude: 180 }, '90°00′S 180°00′E'],
    [{ latitude: 0.000_01, longitude: 0 }, '00°00.0006′N 000°00.0000′E'],
    // A rounding that carries into the next degree.
    [{ latitude: 9.999_999_99, longitude: 0 }, '10°00′N 000°00′E'],
  ])('%o: %s', (position, text) => {
    expect(formatPosition(position)).toBe(text);
  });

  it('is refused beyond the globe', () => {
    expect(() => formatPosition({ latitude: 91, longitude: 0 })).toThrow(/^position\.latitude: /);
    expect(() => formatPosition({ latitude: NaN, longitude: 0 })).toThrow(/^position\.latitude: /);
  });
});
