/**
 * Position and time from RMC, GGA and GLL sentences: IEC 61162-1 §7 and §8.3 (from memory).
 *
 * Read here and not by one of the general packages, because those take a missing date from the computer's clock and
 * half a number for a whole one; a position that goes out in a distress alert must be right or absent.
 */
import type { Position } from '../calls/index.js';
import { DotphaseError } from '../errors.js';

/** A sentence that carries the own position. */
export interface NavigationSentence {
  /** Which sentence it is. */
  readonly formatter: 'RMC' | 'GGA' | 'GLL';
  /** Two letters for the kind of sender: GP, GN … */
  readonly talker: string;
  /**
   * The position, where the sentence declares it valid: status A with mode autonomous, differential, precise or
   * real-time kinematic, or GGA quality 1 to 5. Estimated, manual and simulated positions do not count
   * (IEC 61162-1, from memory: the status is then V).
   */
  readonly position?: Position;
  /** Milliseconds since midnight UTC at which the position was valid; present with the position. */
  readonly timeOfDay?: number;
  /** Midnight UTC of the day, milliseconds since 1970; RMC only, present with the position. */
  readonly day?: number;
}

const VALID_MODES = new Set(['', 'A', 'D', 'F', 'P', 'R']);
const VALID_QUALITIES = new Set(['1', '2', '3', '4', '5']);

/** Where each formatter has its fields, counted from 1 behind the address; `least` is how many there must be. */
const LAYOUTS = {
  RMC: { least: 11, time: 1, latitude: 3, status: 2, mode: 12, day: 9 },
  GGA: { least: 14, time: 1, latitude: 2, quality: 6 },
  GLL: { least: 6, time: 5, latitude: 1, status: 6, mode: 7 },
} as const;

interface Layout {
  readonly least: number;
  readonly time: number;
  /** The first of four fields: latitude, N or S, longitude, E or W. */
  readonly latitude: number;
  readonly status?: number;
  readonly mode?: number;
  readonly quality?: number;
  readonly day?: number;
}

/** The fields between $ and *, the address first. Throws a DotphaseError when the checksum is missing or wrong. */
function checkedFields(sentence: string): string[] {
  const match = /^\$([\x20-\x7e]*)\*([0-9A-F]{2})$/i.exec(sentence);
  if (!match) throw new DotphaseError('sentence', sentence, 'printable characters and a checksum, *hh');
  let sum = 0;
  for (let i = 0; i < match[1].length; i++) sum ^= match[1].charCodeAt(i);
  if (sum !== Number.parseInt(match[2], 16)) {
    throw new DotphaseError('checksum', match[2], sum.toString(16).toUpperCase().padStart(2, '0'));
  }
  return match[1].split(',');
}

/** Degrees from ddmm.mm or dddmm.mm and a letter. */
function coordinate(name: string, digits: 2 | 3, text: string, side: string, sides: 'NS' | 'EW'): number {
  const match = new RegExp(`^(\\d{${digits}})([0-5]\\d(?:\\.\\d{1,12})?)$`).exec(text);
  const degrees = match ? Number(match[1]) + Number(match[2]) / 60 : NaN;
  const most = digits === 2 ? 90 : 180;
  if (!(degrees <= most)) throw new DotphaseError(name, text, `degrees and minutes up to ${most}°`);
  if (side.length !== 1 || !sides.includes(side))
    throw new DotphaseError(name, side, sides.split('').join(' or '));
  return side === sides[0] || degrees === 0 ? degrees : -degrees;
}

/** Milliseconds since midnight from hhmmss.ss. */
function readTime(text: string): number {
  const match = /^([01]\d|2[0-3])([0-5]\d)([0-5]\d|60)(\.\d{1,9})?$/.exec(text);
  if (!match) throw new DotphaseError('time', text, 'hhmmss or hhmmss.ss');
  const seconds = Math.min(Number(match[3] + ((match[4] as string | undefined) ?? '')), 59.999);
  return (Number(match[1]) * 60 + Number(match[2])) * 60_000 + Math.floor(seconds * 1000);
}

/** Midnight UTC from ddmmyy; years 80–99 are 1980–1999. */
function readDay(text: string): number {
  const match = /^(\d\d)(\d\d)(\d\d)$/.exec(text);
  const [day, month, year] = match ? match.slice(1).map(Number) : [NaN, NaN, NaN];
  const midnight = Date.UTC(year < 80 ? 2000 + year : 1900 + year, month - 1, day);
  const date = new Date(midnight);
  if (date.getUTCDate() !== day || date.getUTCMonth() !== month - 1) {
    throw new DotphaseError('date', text, 'a day of the calendar as ddmmyy');
  }
  return midnight;
}

function isValid(layout: Layout, fields: readonly string[], simulated: boolean): boolean {
  if (layout.quality !== undefined) {
    const quality = fields[layout.quality];
    return VALID_QUALITIES.has(quality) || (simulated && quality === '8');
  }
  const mode = layout.mode === undefined ? '' : ((fields[layout.mode] as string | undefined) ?? '');
  if (simulated && mode === 'S') return true;
  return layout.status !== undefined && fields[layout.status] === 'A' && VALID_MODES.has(mode);
}

/** What counts as a position apart from a satellite fix. */
export interface SentenceOptions {
  /** Take simulated positions (mode S, GGA quality 8) for valid, in training; default false. */
  readonly simulated?: boolean;
}

/**
 * Reads one sentence.
 *
 * @param line - with or without its line break; anything before the last $, such as a tag block, is skipped
 * @returns undefined for anything but RMC, GGA and GLL; without a position where the sentence declares none valid
 * @throws DotphaseError for one of these whose checksum is missing or wrong or that cannot be read
 */
export function readNavigationSentence(
  line: string,
  { simulated = false }: SentenceOptions = {},
): NavigationSentence | undefined {
  const sentence = line.slice(line.lastIndexOf('$')).trimEnd();
  const address = /^\$([A-Z0-9]{2})(RMC|GGA|GLL),/.exec(sentence);
  if (!address) return undefined;
  const formatter = address[2] as NavigationSentence['formatter'];
  const layout: Layout = LAYOUTS[formatter];
  const fields = checkedFields(sentence);
  const bare = { formatter, talker: address[1] };
  if (fields.length <= layout.least) {
    throw new DotphaseError('sentence', sentence, `at least ${layout.least} fields in ${formatter}`);
  }
  if (!isValid(layout, fields, simulated)) return bare;
  const [latitude, northSouth, longitude, eastWest] = fields.slice(layout.latitude);
  return {
    ...bare,
    position: {
      latitude: coordinate('latitude', 2, latitude, northSouth, 'NS'),
      longitude: coordinate('longitude', 3, longitude, eastWest, 'EW'),
    },
    timeOfDay: readTime(fields[layout.time]),
    ...(layout.day === undefined ? {} : { day: readDay(fields[layout.day]) }),
  };
}
