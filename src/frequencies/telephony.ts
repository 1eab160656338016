/**
 * MF and HF radiotelephony: Radio Regulations Appendix 17 Part B Section I (from memory). All frequencies are
 * carriers, which is what an upper-sideband dial shows.
 */
import type { MaritimeBand } from '../calls/index.js';
import { DotphaseError } from '../errors.js';

import type { Provenance } from './provenance.js';

/** A two-frequency radiotelephony channel between ships and coast stations. */
export interface TelephonyChannel extends Provenance {
  /** ITU channel number, 401–2510. */
  readonly channel: number;
  /** The band it lies in. */
  readonly band: MaritimeBand;
  /** Carrier that ships transmit on, hertz. */
  readonly shipHz: number;
  /** Carrier that coast stations transmit on, hertz. */
  readonly coastHz: number;
}

const SPACING_HZ = 3000;

/**
 * Each band's first and last channel and the carriers of the first, in kilohertz; the others follow 3 kHz apart.
 * Cross-checks: the last ship channel ends where simplex telephony begins (12350 + 3 = 12353, 16525 + 3 = 16528,
 * 18822 + 3 = 18825, 22156 + 3 = 22159, 25097 + 3 = 25100), the last coast channel at the edge of the band (13200,
 * 17410, 19800, 22855, 26175), and the calling channels 421, 606, 821, 1221 and 1621 have the distress carriers
 * 4125, 6215, (8255), 12290 and 16420 on the ship side.
 */
const ROWS: readonly (readonly [
  MaritimeBand,
  first: number,
  last: number,
  shipKhz: number,
  coastKhz: number,
])[] = [
  ['4 MHz', 401, 427, 4065, 4357],
  ['6 MHz', 601, 608, 6200, 6501],
  ['8 MHz', 801, 832, 8195, 8719],
  ['12 MHz', 1201, 1241, 12230, 13077],
  ['16 MHz', 1601, 1656, 16360, 17242],
  ['18/19 MHz', 1801, 1815, 18780, 19755],
  ['22 MHz', 2201, 2253, 22000, 22696],
  ['25/26 MHz', 2501, 2510, 25070, 26145],
];

/**
 * Channels beside the rows, ship and coast carriers in kilohertz. They lie at the lower edge of their bands, outside the
 * 3 kHz rule, so that nothing here checks them.
 */
const MORE: readonly (readonly [MaritimeBand, channel: number, shipKhz: number, coastKhz: number])[] = [
  ['4 MHz', 428, 4060, 4351],
  ['4 MHz', 429, 4063, 4354],
  ['8 MHz', 834, 8107, 8707],
  ['8 MHz', 835, 8110, 8710],
  ['8 MHz', 836, 8113, 8713],
  ['8 MHz', 837, 8116, 8716],
];

const SOURCE = 'Radio Regulations Appendix 17 Part B Section I Sub-Section A (from memory)';

const BY_ROWS: readonly TelephonyChannel[] = ROWS.flatMap(([band, first, last, shipKhz, coastKhz]) =>
  Array.from({ length: last - first + 1 }, (_, step) => ({
    channel: first + step,
    band,
    shipHz: shipKhz * 1000 + step * SPACING_HZ,
    coastHz: coastKhz * 1000 + step * SPACING_HZ,
    source: SOURCE,
    certainty: step === 0 ? 'established' : 'derived',
  })),
);

/** All two-frequency channels, in order of their numbers (RR Appendix 17, from memory). */
export const TELEPHONY_CHANNELS: readonly TelephonyChannel[] = [
  ...BY_ROWS,
  ...MORE.map(([band, channel, shipKhz, coastKhz]) => ({
    channel,
    band,
    shipHz: shipKhz * 1000,
    coastHz: coastKhz * 1000,
    source: SOURCE,
    certainty: 'likely' as const,
  })),
].sort((a, b) => a.channel - b.channel);

const BY_NUMBER = new Map(TELEPHONY_CHANNELS.map((row) => [row.channel, row]));

/**
 * The two carriers of an MF or HF radiotelephony channel.
 *
 * @param channel - ITU channel number
 * @throws DotphaseError for a number that is not known here
 */
export function telephonyChannel(channel: number): TelephonyChannel {
  const row = BY_NUMBER.get(channel);
  if (!row) {
    const ranges = [...ROWS.map(([, first, last]) => `${first}–${last}`), '428, 429, 834–837'].join(', ');
    throw new DotphaseError('channel', channel, `an MF/HF telephony channel: ${ranges}`);
  }
  return row;
}

/** A carrier that ships talk to each other on, on one frequency. */
export interface ShipToShipFrequency extends Provenance {
  /** The band it lies in. */
  readonly band: MaritimeBand;
  /** Carrier, hertz. */
  readonly hz: number;
}

/** Carriers in kilohertz. */
const SIMPLEX_ROWS: readonly (readonly [MaritimeBand, ...kilohertz: number[]])[] = [
  ['4 MHz', 4146, 4149],
  ['6 MHz', 6224, 6227, 6230],
  ['8 MHz', 8294, 8297],
  ['12 MHz', 12353, 12356, 12359, 12362, 12365],
  ['16 MHz', 16528, 16531, 16534, 16537, 16540, 16543, 16546],
  ['18/19 MHz', 18825, 18828, 18831, 18834, 18837, 18840, 18843],
  ['22 MHz', 22159, 22162, 22165, 22168, 22171, 22174, 22177],
  ['25/26 MHz', 25100, 25103, 25106, 25109, 25112, 25115, 25118],
];

/** Ship-to-ship simplex telephony, upwards: all 40 carriers of AP17 (Radio Regulations Appendix 17, Rev. WRC-07). */
export const SHIP_TO_SHIP_FREQUENCIES: readonly ShipToShipFrequency[] = SIMPLEX_ROWS.flatMap(
  ([band, ...kilohertz]) =>
    kilohertz.map((khz) => ({
      band,
      hz: khz * 1000,
      source: 'AP17 (Radio Regulations Appendix 17, Rev. WRC-07) Part B Section I Sub-Section B',
      certainty: 'established' as const,
    })),
);
