/**
 * The source of truth of the test vectors: for each call its characters, typed by hand from the tables of
 * ITU-R M.493 Annex 1 (Tables A1-2 to A1-4.10, from memory) and of ITU-R M.821-1 (from memory), never taken from the
 * encoder. The last character of each row is the error check, the exclusive-or of the ones before it.
 *
 * Identities use the unallocated MID 299. Characters of the players:
 * ship 299123456 = 29 91 23 45 60, ship 299654321 = 29 96 54 32 10, coast station 002991234 = 00 29 91 23 40,
 * group 029912345 = 02 99 12 34 50, handheld 829912345 = 82 99 12 34 50.
 */
import type { Call } from '../../src/calls/index.js';
import type { Band } from '../../src/symbols/index.js';

/** One hand-worked call. */
export interface VectorCase {
  readonly name: string;
  readonly about: string;
  readonly band: Band;
  readonly call: Call;
  /** One format specifier through the error check. */
  readonly characters: string;
  /** Each expansion sequence, from its specifier through its error check. */
  readonly expansions?: readonly string[];
  /** Bits of dot pattern (M.493 §3.1, from memory). */
  readonly dots: 20 | 200;
  /** Whether a WAV of it is among the vectors. */
  readonly wav?: true;
}

const SHIP = '299123456';
const OTHER = '299654321';
const COAST = '002991234';
const GROUP = '029912345';
const HANDHELD = '829912345';

const toCoast = { to: { station: COAST }, self: SHIP };
const toShip = { to: { station: SHIP }, self: COAST };
const toOther = { to: { station: OTHER }, self: SHIP };
const toArea = { to: { area: { latitude: 50, longitude: -10, south: 5, east: 8 } } };
const toGroup = { to: { group: GROUP } };

const flooding = {
  nature: 'flooding',
  position: { latitude: 50.5, longitude: -4.2 },
  time: '09:30',
  followOn: 'j3e',
} as const;
const floodingVhf = { ...flooding, followOn: 'f3e' } as const;

const none = { receive: 'none', transmit: 'none' } as const;
const channel16 = { receive: { vhfChannel: 16 }, transmit: 'none' } as const;

export const CASES: readonly VectorCase[] = [
  // Distress alerts (Table A1-4.1): format, self-ID, nature, position, time, follow-on, end of sequence.
  {
    name: 'distress-alert',
    about: 'Flooding at 50°30′N 004°12′W at 09:30 UTC, J3E follows',
    band: 'mf-hf',
    call: { kind: 'distressAlert', self: SHIP, ...flooding },
    characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 84',
    dots: 200,
    wav: true,
  },
  {
    name: 'distress-alert-vhf',
    about: 'The same on VHF, F3E follows',
    band: 'vhf',
    call: { kind: 'distressAlert', self: SHIP, ...floodingVhf },
    characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93',
    dots: 20,
    wav: true,
  },
  {
    name: 'distress-alert-undesignated',
    about: 'Neither position nor time: 9 ten times and 8888',
    band: 'vhf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      nature: 'undesignated',
      position: 'none',
      time: 'none',
      followOn: 'f3e',
    },
    characters: '112 29 91 23 45 60 107 99 99 99 99 99 88 88 100 127 35',
    dots: 20,
  },
  {
    name: 'distress-alert-south-east',
    about: 'Quadrant 2, latest minutes and time, FEC follows',
    band: 'mf-hf',
    call: {
      kind: 'distressAlert',
      self: OTHER,
      nature: 'fire',
      position: { latitude: -(33 + 59 / 60), longitude: 151 + 59 / 60 },
      time: '23:59',
      followOn: 'fec',
    },
    characters: '112 29 96 54 32 10 100 23 35 91 51 59 23 59 113 127 48',
    dots: 200,
  },
  {
    name: 'distress-alert-south-west',
    about: 'Quadrant 3, the sender being a handheld radio',
    band: 'vhf',
    call: {
      kind: 'distressAlert',
      self: HANDHELD,
      nature: 'manOverboard',
      position: { latitude: -(1 + 1 / 60), longitude: -(2 / 60) },
      time: '00:00',
      followOn: 'none',
    },
    characters: '112 82 99 12 34 50 110 30 10 10 00 02 00 00 126 127 46',
    dots: 20,
  },
  {
    name: 'distress-alert-zero-point',
    about: 'Zero degrees in both, sent as south and west',
    band: 'mf-hf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      nature: 'sinking',
      position: { latitude: 0, longitude: 0, quadrant: 'SW' },
      time: '07:05',
      followOn: 'j3e',
    },
    characters: '112 29 91 23 45 60 105 30 00 00 00 00 07 05 109 127 87',
    dots: 200,
  },
  {
    name: 'distress-alert-farthest',
    about: 'A pole and the 180th meridian',
    band: 'mf-hf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      nature: 'epirb',
      position: { latitude: 90, longitude: -180 },
      time: '12:00',
      followOn: 'none',
    },
    characters: '112 29 91 23 45 60 112 19 00 01 80 00 12 00 126 127 15',
    dots: 200,
  },
  // Distress acknowledgement and cancellation (Table A1-4.2): all ships, category, self-ID, 110, casualty, message.
  {
    name: 'distress-acknowledgement',
    about: 'A coast station acknowledges the alert',
    band: 'mf-hf',
    call: { kind: 'distressAcknowledgement', self: COAST, casualty: SHIP, ...flooding },
    characters: '116 112 00 29 91 23 40 110 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 55',
    dots: 200,
    wav: true,
  },
  {
    name: 'distress-acknowledgement-vhf',
    about: 'A coast station acknowledges the alert on VHF',
    band: 'vhf',
    call: { kind: 'distressAcknowledgement', self: COAST, casualty: SHIP, ...floodingVhf },
    characters: '116 112 00 29 91 23 40 110 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 62',
    dots: 20,
    wav: true,
  },
  {
    name: 'own-alert-cancellation',
    about: 'The ship cancels its own alert: the casualty is the sender',
    band: 'vhf',
    call: { kind: 'ownAlertCancellation', self: SHIP, ...floodingVhf },
    characters: '116 112 29 91 23 45 60 110 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 07',
    dots: 20,
    wav: true,
  },
  // Distress relays and their acknowledgements (Tables A1-4.3 and A1-4.4): 112 in place of 110.
  {
    name: 'distress-relay-unknown-casualty',
    about: 'A ship relays for a casualty whose identity it does not know',
    band: 'vhf',
    call: {
      kind: 'distressRelay',
      to: 'allShips',
      self: OTHER,
      casualty: 'unknown',
      nature: 'undesignated',
      position: { latitude: 48, longitude: -5.5 },
      time: '10:15',
      followOn: 'f3e',
    },
    characters: '116 112 29 96 54 32 10 112 126 126 126 126 126 107 14 80 00 05 30 10 15 100 127 91',
    dots: 20,
    wav: true,
  },
  {
    name: 'distress-relay-area',
    about: 'A coast station relays to an area 5° by 8°',
    band: 'mf-hf',
    call: { kind: 'distressRelay', ...toArea, self: COAST, casualty: SHIP, ...flooding },
    characters:
      '102 15 00 10 05 08 112 00 29 91 23 40 112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 51',
    dots: 200,
    wav: true,
  },
  {
    name: 'distress-relay-group',
    about: 'A coast station relays to a group of ships',
    band: 'mf-hf',
    call: { kind: 'distressRelay', ...toGroup, self: COAST, casualty: SHIP, ...flooding },
    characters:
      '114 02 99 12 34 50 112 00 29 91 23 40 112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 82',
    dots: 200,
  },
  {
    name: 'distress-relay-individual',
    about: 'A ship relays to a coast station, which is to acknowledge',
    band: 'mf-hf',
    call: { kind: 'distressRelay', to: { station: COAST }, self: OTHER, casualty: SHIP, ...flooding },
    characters:
      '120 00 29 91 23 40 112 29 96 54 32 10 112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 117 78',
    dots: 20,
  },
  {
    name: 'relay-acknowledgement-individual',
    about: 'The coast station acknowledges the relay to the relaying ship',
    band: 'mf-hf',
    call: { kind: 'relayAcknowledgement', to: { station: OTHER }, self: COAST, casualty: SHIP, ...flooding },
    characters:
      '120 29 96 54 32 10 112 00 29 91 23 40 112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 122 65',
    dots: 20,
  },
  {
    name: 'relay-acknowledgement-all-ships',
    about: 'The coast station acknowledges the relay to all ships',
    band: 'vhf',
    call: { kind: 'relayAcknowledgement', to: 'allShips', self: COAST, casualty: 'unknown', ...floodingVhf },
    characters: '116 112 00 29 91 23 40 112 126 126 126 126 126 101 15 03 00 04 12 09 30 100 122 27',
    dots: 20,
  },
  // Urgency and safety (Tables A1-4.5 and A1-4.6).
  {
    name: 'urgency-all-ships',
    about: 'Urgency to all ships, voice on VHF channel 16',
    band: 'vhf',
    call: {
      kind: 'urgencyCall',
      to: 'allShips',
      self: SHIP,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: channel16,
    },
    characters: '116 110 29 91 23 45 60 100 126 90 00 16 126 126 126 127 11',
    dots: 20,
    wav: true,
  },
  {
    name: 'urgency-medical-transport',
    about: 'Medical transport announces itself to an area, voice on 2182 kHz',
    band: 'mf-hf',
    call: {
      kind: 'urgencyCall',
      ...toArea,
      self: SHIP,
      telecommand1: 'j3e',
      telecommand2: 'medical',
      message: { receive: { hz: 2_182_000 }, transmit: { hz: 2_182_000 } },
    },
    characters: '102 15 00 10 05 08 110 29 91 23 45 60 109 111 02 18 20 02 18 20 127 61',
    dots: 200,
  },
  {
    name: 'urgency-neutral-ship',
    about: 'A ship of a State not party to a conflict announces itself',
    band: 'vhf',
    call: {
      kind: 'urgencyCall',
      to: 'allShips',
      self: SHIP,
      telecommand1: 'f3e',
      telecommand2: 'neutral',
      message: channel16,
    },
    characters: '116 110 29 91 23 45 60 100 110 90 00 16 126 126 126 127 27',
    dots: 20,
  },
  {
    name: 'urgency-individual-position',
    about: 'Urgency to a coast station with the position in place of a frequency',
    band: 'mf-hf',
    call: {
      kind: 'urgencyCall',
      ...toCoast,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { position: { latitude: 50.5, longitude: -4.2 }, time: '09:30' },
    },
    characters: '120 00 29 91 23 40 110 29 91 23 45 60 109 126 55 15 03 00 04 12 09 30 117 109',
    dots: 20,
  },
  {
    name: 'urgency-acknowledgement',
    about: 'The coast station acknowledges and names 2182 kHz',
    band: 'mf-hf',
    call: {
      kind: 'urgencyAcknowledgement',
      ...toShip,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 2_182_000 }, transmit: { hz: 2_182_000 } },
    },
    characters: '120 29 91 23 45 60 110 00 29 91 23 40 109 126 02 18 20 02 18 20 122 70',
    dots: 20,
  },
  {
    name: 'urgency-group',
    about: 'Urgency to a group of ships',
    band: 'mf-hf',
    call: {
      kind: 'urgencyCall',
      ...toGroup,
      self: COAST,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 4_125_000 }, transmit: { hz: 4_125_000 } },
    },
    characters: '114 02 99 12 34 50 110 00 29 91 23 40 109 126 04 12 50 04 12 50 127 116',
    dots: 200,
  },
  {
    name: 'safety-all-ships',
    about: 'Safety to all ships, voice on VHF channel 13',
    band: 'vhf',
    call: {
      kind: 'safetyCall',
      to: 'allShips',
      self: COAST,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 13 }, transmit: { vhfChannel: 13 } },
    },
    characters: '116 108 00 29 91 23 40 100 126 90 00 13 90 00 13 127 04',
    dots: 20,
  },
  {
    name: 'safety-area-fec',
    about: 'Safety to an area, telegraphy by FEC on 2174.5 kHz',
    band: 'mf-hf',
    call: {
      kind: 'safetyCall',
      ...toArea,
      self: COAST,
      telecommand1: 'fec',
      telecommand2: 'none',
      message: { receive: { hz: 2_174_500 }, transmit: 'none' },
    },
    characters: '102 15 00 10 05 08 108 00 29 91 23 40 113 126 02 17 45 126 126 126 127 75',
    dots: 200,
  },
  {
    name: 'safety-individual',
    about: 'Safety to a coast station that is to name a channel',
    band: 'vhf',
    call: {
      kind: 'safetyCall',
      ...toCoast,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: none,
    },
    characters: '120 00 29 91 23 40 108 29 91 23 45 60 100 126 126 126 126 126 126 126 117 66',
    dots: 20,
  },
  {
    name: 'safety-unable-busy',
    about: 'The coast station cannot comply: busy',
    band: 'vhf',
    call: {
      kind: 'safetyAcknowledgement',
      ...toShip,
      telecommand1: 'unable',
      telecommand2: 'busy',
      message: none,
    },
    characters: '120 29 91 23 45 60 108 00 29 91 23 40 104 102 126 126 126 126 126 126 122 89',
    dots: 20,
  },
  // Routine (Tables A1-4.7 and A1-4.8).
  {
    name: 'routine-group',
    about: 'Routine to a group, voice on VHF channel 6',
    band: 'vhf',
    call: {
      kind: 'routineCall',
      ...toGroup,
      self: SHIP,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 6 }, transmit: 'none' },
    },
    characters: '114 02 99 12 34 50 100 29 91 23 45 60 100 126 90 00 06 126 126 126 127 108',
    dots: 20,
  },
  {
    name: 'routine-individual',
    about: 'Ship to ship, voice on 8294 kHz',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toOther,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 8_294_000 }, transmit: { hz: 8_294_000 } },
    },
    characters: '120 29 96 54 32 10 100 29 91 23 45 60 109 126 08 29 40 08 29 40 117 91',
    dots: 200,
    wav: true,
  },
  {
    name: 'routine-acknowledgement',
    about: 'The other ship agrees',
    band: 'mf-hf',
    call: {
      kind: 'routineAcknowledgement',
      to: { station: SHIP },
      self: OTHER,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 8_294_000 }, transmit: { hz: 8_294_000 } },
    },
    characters: '120 29 91 23 45 60 100 29 96 54 32 10 109 126 08 29 40 08 29 40 122 84',
    dots: 20,
  },
  {
    name: 'routine-unable-channel',
    about: 'The other ship cannot use the channel proposed',
    band: 'mf-hf',
    call: {
      kind: 'routineAcknowledgement',
      to: { station: SHIP },
      self: OTHER,
      telecommand1: 'unable',
      telecommand2: 'cannotUseChannel',
      message: none,
    },
    characters: '120 29 91 23 45 60 100 29 96 54 32 10 104 108 126 126 126 126 126 126 122 67',
    dots: 20,
  },
  {
    name: 'routine-tens-of-hertz',
    about: 'Frequencies in multiples of 10 Hz: 12353.55 kHz, and 12353 kHz sent so',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toOther,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 12_353_550 }, transmit: { hz: 12_353_000, resolutionHz: 10 } },
    },
    characters: '120 29 96 54 32 10 100 29 91 23 45 60 109 126 41 23 53 55 41 23 53 00 117 108',
    dots: 200,
  },
  {
    name: 'routine-arq-frequency',
    about: 'Telegraphy by ARQ on 12520.0 kHz, which is sent 12 52 00',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toOther,
      telecommand1: 'arq',
      telecommand2: 'none',
      message: { receive: { hz: 12_520_000 }, transmit: { hz: 12_520_000 } },
    },
    characters: '120 29 96 54 32 10 100 29 91 23 45 60 115 126 12 52 00 12 52 00 117 69',
    dots: 200,
  },
  {
    name: 'routine-mf-hf-channel',
    about: 'Radiotelephony channel 1205 of RR Appendix 17',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toCoast,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { channel: 1205 }, transmit: { channel: 1205 } },
    },
    characters: '120 00 29 91 23 40 100 29 91 23 45 60 109 126 30 12 05 30 12 05 117 67',
    dots: 20,
  },
  {
    name: 'routine-vhf-duplex',
    about: 'Duplex voice on VHF channel 26',
    band: 'vhf',
    call: {
      kind: 'routineCall',
      ...toCoast,
      telecommand1: 'f3eDuplex',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 26 }, transmit: { vhfChannel: 26 } },
    },
    characters: '120 00 29 91 23 40 100 29 91 23 45 60 101 126 90 00 26 90 00 26 117 75',
    dots: 20,
  },
  {
    name: 'routine-vhf-one-side',
    about: 'The ship frequency of channel 26 alone, and the coast frequency alone',
    band: 'vhf',
    call: {
      kind: 'routineCall',
      ...toOther,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: {
        receive: { vhfChannel: 26, simplex: 'ship' },
        transmit: { vhfChannel: 26, simplex: 'coast' },
      },
    },
    characters: '120 29 96 54 32 10 100 29 91 23 45 60 100 126 90 10 26 90 20 26 117 76',
    dots: 20,
  },
  {
    name: 'routine-data',
    about: 'Data, the coast station to choose the frequency',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toCoast,
      telecommand1: 'data',
      telecommand2: 'none',
      message: none,
    },
    characters: '120 00 29 91 23 40 100 29 91 23 45 60 106 126 126 126 126 126 126 126 117 68',
    dots: 20,
  },
  {
    name: 'routine-connection-system',
    about: 'Automatic connection system: three sendings left (M.493-16, likely)',
    band: 'mf-hf',
    call: {
      kind: 'routineCall',
      ...toOther,
      telecommand1: 'j3e',
      telecommand2: 'connection3',
      message: { receive: { hz: 6_224_000 }, transmit: { hz: 6_224_000 } },
    },
    characters: '120 29 96 54 32 10 100 29 91 23 45 60 109 123 06 22 40 06 22 40 117 94',
    dots: 200,
  },
  // Tests, positions, polling (Tables A1-4.6 and A1-4.8): fixed telecommands.
  {
    name: 'test-call',
    about: 'Test call to a coast station',
    band: 'mf-hf',
    call: { kind: 'testCall', ...toCoast },
    characters: '120 00 29 91 23 40 108 29 91 23 45 60 118 126 126 126 126 126 126 126 117 80',
    dots: 20,
    wav: true,
  },
  {
    name: 'test-acknowledgement',
    about: 'The coast station acknowledges the test call',
    band: 'mf-hf',
    call: { kind: 'testAcknowledgement', ...toShip },
    characters: '120 29 91 23 45 60 108 00 29 91 23 40 118 126 126 126 126 126 126 126 122 95',
    dots: 20,
    wav: true,
  },
  {
    name: 'test-call-vhf',
    about: 'Test call from ship to ship on VHF',
    band: 'vhf',
    call: { kind: 'testCall', ...toOther },
    characters: '120 29 96 54 32 10 108 29 91 23 45 60 118 126 126 126 126 126 126 126 117 72',
    dots: 20,
    wav: true,
  },
  {
    name: 'position-request',
    about: 'A coast station asks a ship for its position',
    band: 'mf-hf',
    call: { kind: 'positionRequest', ...toShip },
    characters: '120 29 91 23 45 60 108 00 29 91 23 40 121 126 126 126 126 126 126 126 117 95',
    dots: 200,
  },
  {
    name: 'position-report',
    about: 'The ship answers with its position and time',
    band: 'mf-hf',
    call: {
      kind: 'positionReport',
      ...toCoast,
      position: { latitude: 50.5, longitude: -4.2 },
      time: '09:30',
    },
    characters: '120 00 29 91 23 40 108 29 91 23 45 60 121 126 55 15 03 00 04 12 09 30 122 116',
    dots: 20,
  },
  {
    name: 'position-report-none',
    about: 'The ship does not know its position',
    band: 'vhf',
    call: { kind: 'positionReport', ...toCoast, position: 'none', time: 'none' },
    characters: '120 00 29 91 23 40 108 29 91 23 45 60 121 126 55 99 99 99 99 99 88 88 122 04',
    dots: 20,
  },
  {
    name: 'polling-request',
    about: 'A coast station asks whether a ship is in range',
    band: 'mf-hf',
    call: { kind: 'pollingRequest', ...toShip },
    characters: '120 29 91 23 45 60 100 00 29 91 23 40 103 126 126 126 126 126 126 126 117 73',
    dots: 200,
  },
  {
    name: 'polling-reply',
    about: 'The ship is in range',
    band: 'mf-hf',
    call: { kind: 'pollingReply', ...toCoast },
    characters: '120 00 29 91 23 40 100 29 91 23 45 60 103 126 126 126 126 126 126 126 122 70',
    dots: 20,
  },
  // Automatic service (Tables A1-4.9 and A1-4.10): format 123, the telephone number last.
  {
    name: 'automatic-call-even',
    about: 'A call to a telephone number of ten digits',
    band: 'vhf',
    call: {
      kind: 'automaticCall',
      ...toCoast,
      telecommand1: 'f3eDuplex',
      telecommand2: 'none',
      message: none,
      telephone: '0012345678',
    },
    characters:
      '123 00 29 91 23 40 100 29 91 23 45 60 101 126 126 126 126 126 126 126 106 00 12 34 56 78 117 122',
    dots: 20,
  },
  {
    name: 'automatic-call-odd',
    about: 'A call to a telephone number of seven digits, padded with a leading 0',
    band: 'mf-hf',
    call: {
      kind: 'automaticCall',
      ...toCoast,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: none,
      telephone: '5550123',
    },
    characters:
      '123 00 29 91 23 40 100 29 91 23 45 60 109 126 126 126 126 126 126 126 105 05 55 01 23 117 13',
    dots: 20,
  },
  {
    name: 'automatic-acknowledgement',
    about: 'The coast station assigns VHF channel 25',
    band: 'vhf',
    call: {
      kind: 'automaticAcknowledgement',
      ...toShip,
      telecommand1: 'f3eDuplex',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 25 }, transmit: { vhfChannel: 25 } },
      telephone: '0012345678',
    },
    characters: '123 29 91 23 45 60 100 00 29 91 23 40 101 126 90 00 25 90 00 25 106 00 12 34 56 78 122 117',
    dots: 20,
  },
  {
    name: 'automatic-end-of-call',
    about: 'The ship ends the call; no number',
    band: 'vhf',
    call: {
      kind: 'automaticCall',
      ...toCoast,
      telecommand1: 'endOfCall',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 25 }, transmit: { vhfChannel: 25 } },
      telephone: 'none',
    },
    characters: '123 00 29 91 23 40 100 29 91 23 45 60 105 126 90 00 25 90 00 25 117 68',
    dots: 20,
  },
  // Expansions (M.821-1): specifier, data, an end of sequence and an error check of their own.
  {
    name: 'expansion-fine-position',
    about: 'The alert at 50°30.7407′N 004°12.0250′W: the call to the minute, the rest in expansion 100',
    band: 'mf-hf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      ...flooding,
      position: { latitude: 50 + 30.7407 / 60, longitude: -(4 + 12.025 / 60) },
      expansions: [{ kind: 'finePosition' }],
    },
    characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 127 84',
    expansions: ['100 74 07 02 50 127 102'],
    dots: 200,
    wav: true,
  },
  {
    name: 'expansion-several',
    about: 'Source and datum, speed 12.3 kn, course 234.5°, a name and twelve persons, each with its own end',
    band: 'vhf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      ...floodingVhf,
      expansions: [
        { kind: 'positionSource', value: { source: 'gps', resolutionMinutes: 0.1, datum: 'wgs84' } },
        { kind: 'speed', value: 12.3 },
        { kind: 'course', value: 234.5 },
        { kind: 'furtherIdentification', value: 'NORDLYS 7' },
        { kind: 'personsOnBoard', value: 12 },
      ],
    },
    characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 100 127 93',
    expansions: [
      '101 02 01 00 127 25',
      '102 01 23 127 15',
      '103 23 45 127 34',
      '104 24 25 28 14 22 35 29 41 07 127 02',
      '106 00 12 127 25',
    ],
    dots: 20,
  },
  {
    name: 'expansion-joined',
    about: 'Speed not known and course asked for, in one sequence with one end',
    band: 'vhf',
    call: {
      kind: 'positionRequest',
      ...toShip,
      expansions: [
        { kind: 'speed', value: 'none' },
        { kind: 'course', value: 'requested', joined: true },
      ],
    },
    characters: '120 29 91 23 45 60 108 00 29 91 23 40 121 126 126 126 126 126 126 126 117 95',
    expansions: ['102 126 103 110 117 100'],
    dots: 20,
  },
  {
    name: 'expansion-refined-area',
    about:
      'The corner at 50°12.34′N 010°05.00′W, sides 5°30.00′ and 8°00.50′, for ships at 12.0 kn on 090.0°',
    band: 'mf-hf',
    call: {
      kind: 'safetyCall',
      ...toArea,
      self: COAST,
      telecommand1: 'j3e',
      telecommand2: 'none',
      message: { receive: { hz: 2_182_000 }, transmit: 'none' },
      expansions: [
        {
          kind: 'refinedArea',
          value: {
            latitudeMinutes: 12.34,
            longitudeMinutes: 5,
            southMinutes: 30,
            eastMinutes: 0.5,
            speed: 12,
            course: 90,
          },
        },
      ],
    },
    characters: '102 15 00 10 05 08 108 00 29 91 23 40 109 126 02 18 20 126 126 126 127 109',
    expansions: ['105 12 34 05 00 30 00 00 50 01 20 09 00 127 13'],
    dots: 200,
  },
  // What the tables do not assign: kept, and sent again as it is.
  {
    name: 'unassigned-nature',
    about: 'A nature of distress that is not assigned',
    band: 'mf-hf',
    call: { kind: 'distressAlert', self: SHIP, ...flooding, nature: { unassigned: [111] } },
    characters: '112 29 91 23 45 60 111 15 03 00 04 12 09 30 109 127 94',
    dots: 200,
  },
  {
    name: 'unassigned-position',
    about: 'Latitude with 75 minutes and a time of 24:60',
    band: 'mf-hf',
    call: {
      kind: 'distressAlert',
      self: SHIP,
      ...flooding,
      position: { unassigned: [15, 7, 50, 4, 12] },
      time: { unassigned: [24, 60] },
    },
    characters: '112 29 91 23 45 60 101 15 07 50 04 12 24 60 109 127 81',
    dots: 200,
  },
  {
    name: 'surplus-characters',
    about: 'A character more than an alert has, and an end of sequence that it must not have',
    band: 'mf-hf',
    call: { kind: 'distressAlert', self: SHIP, ...flooding, rest: [126], eos: 'acknowledgeRequest' },
    characters: '112 29 91 23 45 60 101 15 03 00 04 12 09 30 109 126 117 32',
    dots: 200,
  },
  {
    name: 'irregular-routine-all-ships',
    about: 'A routine call to all ships, which no table has',
    band: 'vhf',
    call: {
      kind: 'irregularCall',
      to: 'allShips',
      category: 'routine',
      self: SHIP,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: channel16,
    },
    characters: '116 100 29 91 23 45 60 100 126 90 00 16 126 126 126 127 01',
    dots: 20,
  },
  {
    name: 'unassigned-format',
    about: 'A format specifier that is not assigned',
    band: 'vhf',
    call: { kind: 'unassignedCall', symbols: [121, 29, 91, 23, 45, 60, 127] },
    characters: '121 29 91 23 45 60 127 70',
    dots: 20,
  },
];

/** The numbers in a row of characters. */
export function numbers(row: string): number[] {
  return row.split(' ').map(Number);
}
