/**
 * VHF channels: Radio Regulations Appendix 18; four-digit numbers ITU-R M.1084-5 Annex 4 (from memory).
 */
import { DotphaseError } from '../errors.js';
import type { Provenance } from './provenance.js';

/** A VHF channel. */
export interface VhfChannel extends Provenance {
  /** 1–28 and 60–88; with 1000 or 2000 added where one side of a two-frequency channel is used alone. */
  readonly channel: number;
  /** What ships transmit on, hertz. */
  readonly shipHz: number;
  /** What coast stations transmit on, hertz; the same as `shipHz` on a single-frequency channel. */
  readonly coastHz: number;
  /** Whether the two differ. */
  readonly duplex: boolean;
  /** What the channel is set apart for, where it is. */
  readonly use?: string;
}

const APPENDIX_18 = 'Radio Regulations Appendix 18 (from memory)';
const DUPLEX_HZ = 4_600_000;
const SPACING_HZ = 50_000;

/** Single-frequency channels; all others have two frequencies. */
const SIMPLEX = new Set([
  6, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 67, 68, 69, 70, 71, 72, 73, 74, 75, 76, 77, 87, 88,
]);

const USES: ReadonlyMap<number, string> = new Map([
  [6, 'ship to ship, and ships with aircraft in search and rescue'],
  [8, 'ship to ship'],
  [13, 'navigation safety, bridge to bridge'],
  [15, 'on-board communication, 1 W'],
  [16, 'distress, safety and calling'],
  [17, 'on-board communication, 1 W'],
  [70, 'digital selective calling only; no voice'],
  [72, 'ship to ship'],
  [75, 'navigation only, 1 W'],
  [76, 'navigation only, 1 W'],
  [77, 'ship to ship'],
  [2006, 'autonomous radio devices, group B; no voice'],
  [2027, 'application-specific messages ASM 1; no voice'],
  [2028, 'application-specific messages ASM 2; no voice'],
  [2087, 'automatic identification AIS 1; no voice'],
  [2088, 'automatic identification AIS 2; no voice'],
]);

/** One side of a two-frequency channel that Appendix 18 itself lists as a channel of its own. */
const LISTED_SIDES = new Set(
  [19, 20, 24, 25, 26, 27, 28, 78, 79, 84, 85, 86].flatMap((channel) => [1000 + channel, 2000 + channel]),
);

function use(channel: number): { use?: string } {
  const text = USES.get(channel);
  return text === undefined ? {} : { use: text };
}

/** Channels 1–28 from 156.050 MHz, 60–88 from 156.025 MHz, 50 kHz apart; coast stations 4.6 MHz higher. */
function twoDigit(channel: number): VhfChannel {
  const shipHz =
    channel < 60 ? 156_000_000 + channel * SPACING_HZ : 156_025_000 + (channel - 60) * SPACING_HZ;
  const duplex = !SIMPLEX.has(channel);
  const coastHz = duplex ? shipHz + DUPLEX_HZ : shipHz;
  return { channel, shipHz, coastHz, duplex, ...use(channel), source: APPENDIX_18, certainty: 'established' };
}

function oneSide(channel: number, hz: number): VhfChannel {
  const listed = LISTED_SIDES.has(channel) || USES.has(channel);
  return {
    channel,
    shipHz: hz,
    coastHz: hz,
    duplex: false,
    ...use(channel),
    source: listed ? APPENDIX_18 : 'ITU-R M.1084-5 Annex 4 (from memory)',
    certainty: listed ? 'likely' : 'derived',
  };
}

function range(first: number, last: number): number[] {
  return Array.from({ length: last - first + 1 }, (_, i) => first + i);
}

const TWO_DIGIT = [...range(1, 28), ...range(60, 88)].map(twoDigit);
const SIDES = TWO_DIGIT.filter((row) => row.duplex);

/** The frequencies 4.6 MHz above single-frequency channels that have a use of their own: AIS and autonomous devices. */
const ABOVE = TWO_DIGIT.filter((row) => !row.duplex && USES.has(2000 + row.channel)).map((row) =>
  oneSide(2000 + row.channel, row.shipHz + DUPLEX_HZ),
);

/**
 * All VHF channels in order of their numbers: 1–28 and 60–88, then the ship side alone (1001…), then the coast
 * side alone (2001…). RR Appendix 18 and M.1084-5 Annex 4 (from memory).
 */
export const VHF_CHANNELS: readonly VhfChannel[] = [
  ...TWO_DIGIT,
  ...SIDES.map((row) => oneSide(1000 + row.channel, row.shipHz)),
  ...SIDES.map((row) => oneSide(2000 + row.channel, row.coastHz)),
  ...ABOVE,
].sort((a, b) => a.channel - b.channel);

const BY_NUMBER = new Map(VHF_CHANNELS.map((row) => [row.channel, row]));

/**
 * The frequencies of a VHF channel.
 *
 * @param channel - 1–28, 60–88, or such a two-frequency channel plus 1000 (ship side alone) or 2000 (coast side)
 * @throws DotphaseError for any other number
 */
export function vhfChannel(channel: number): VhfChannel {
  const row = BY_NUMBER.get(channel);
  if (!row) {
    throw new DotphaseError(
      'VHF channel',
      channel,
      '1–28, 60–88, or a two-frequency one of them plus 1000 or 2000 for one side alone',
    );
  }
  return row;
}

/**
 * The channels that a frequency belongs to, on either side, in order of their numbers.
 *
 * @param hz - whole hertz
 */
export function vhfChannelsAt(hz: number): VhfChannel[] {
  return VHF_CHANNELS.filter((row) => row.shipHz === hz || row.coastHz === hz);
}
