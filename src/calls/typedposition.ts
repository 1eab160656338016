/**
 * Positions and areas as people type them.
 *
 * The parsers of coordinates on npm accept impossible values (70 minutes, 91 degrees) or read decimal degrees as
 * degrees and minutes, so this one is our own and refuses what it does not understand.
 */
import type { Area, Position, Quadrant } from './values.js';
import { DotphaseError } from '../errors.js';

const NUMBER = String.raw`\d+(?:\.\d+)?`;
/** Degrees, then minutes, then seconds: each of the last two may be missing. */
const ANGLE = String.raw`${NUMBER}°?(?:[\s-]*${NUMBER}'?(?:\s*${NUMBER}")?)?`;
const HEMISPHERE_LAST = new RegExp(String.raw`^(${ANGLE})\s*([NS])[\s,;/]*(${ANGLE})\s*([EW])$`, 'i');
const HEMISPHERE_FIRST = new RegExp(String.raw`^([NS])\s*(${ANGLE})[\s,;/]*([EW])\s*(${ANGLE})$`, 'i');
const SIGNED = new RegExp(String.raw`^([+-]?${NUMBER})°?(\s*,\s*|\s+)([+-]?${NUMBER})°?$`);
const PARTS = new RegExp(
  String.raw`^(${NUMBER})(?:°\s*|[\s-]+|$)(?:(${NUMBER})(?:'\s*|\s+|$))?(?:(${NUMBER})"?)?$`,
);
const AREA =
  /^(\d{1,2})°?\s*([NS])[\s,]*(\d{1,3})°?\s*([EW])[\s,]+(\d{1,2})°?(?:\s*S)?[\s,]+(\d{1,2})°?(?:\s*E)?$/i;

const EXPECTED_POSITION =
  "a position such as 50°30'N 004°12'W, 50 30N 004 12W, 5030N 00412W or 50.5, -4.2, or none";

function plainCharacters(text: string): string {
  return text
    .trim()
    .replace(/[’‘′´`]/g, "'")
    .replace(/[”“″]|''/g, '"')
    .replace(/[º˚]/g, '°')
    .replace(/[−–]/g, '-');
}

/** Degrees of an angle without sign, or undefined where it is none: `DD`, `DD MM`, `DD MM SS`, `DDMM`. */
function parseAngle(text: string, degreeDigits: number, limit: number): number | undefined {
  const compact = new RegExp(`^(\\d{${degreeDigits}})(\\d\\d(?:\\.\\d+)?)'?$`).exec(text);
  const parts = compact ?? PARTS.exec(text.trim());
  if (!parts) return undefined;
  const [degrees, minutes, seconds] = parts.slice(1) as (string | undefined)[];
  const degreesEndInFraction = minutes !== undefined && (degrees?.includes('.') ?? false);
  const minutesEndInFraction = seconds !== undefined && (minutes?.includes('.') ?? false);
  const fractionBeforeEnd = degreesEndInFraction || minutesEndInFraction;
  if (fractionBeforeEnd || Number(minutes ?? 0) >= 60 || Number(seconds ?? 0) >= 60) return undefined;
  const angle = Number(degrees) + Number(minutes ?? 0) / 60 + Number(seconds ?? 0) / 3600;
  return angle <= limit ? angle : undefined;
}

/** Signs two magnitudes by their hemispheres, and names the quadrant where a zero would hide it. */
function signed(latitude: number, ns: string, longitude: number, ew: string): Position {
  const [vertical, horizontal] = [ns.toUpperCase(), ew.toUpperCase()];
  const south = vertical === 'S';
  const west = horizontal === 'W';
  const hidden = (south && latitude === 0) || (west && longitude === 0);
  return {
    latitude: south && latitude !== 0 ? -latitude : latitude,
    longitude: west && longitude !== 0 ? -longitude : longitude,
    ...(hidden && { quadrant: `${vertical}${horizontal}` as Quadrant }),
  };
}

/**
 * A position as people write it: degrees, degrees and minutes or degrees, minutes and seconds with N, S, E, W
 * before or after; `DDMM` and `DDDMM` without a gap; or signed decimal degrees, latitude first.
 *
 * @returns the position, or `'none'` for that word
 * @throws DotphaseError when it cannot be understood or lies outside ±90 and ±180 degrees
 */
export function parsePosition(text: string): Position | 'none' {
  const plain = plainCharacters(text);
  if (plain.toLowerCase() === 'none') return 'none';
  const decimal = SIGNED.exec(plain);
  if (decimal) {
    const [, latitude, gap, longitude] = decimal;
    const couldBeMinutes = !gap.includes(',') && !/[.+-]/.test(latitude + longitude);
    const position = { latitude: Number(latitude) + 0, longitude: Number(longitude) + 0 };
    if (!couldBeMinutes && Math.abs(position.latitude) <= 90 && Math.abs(position.longitude) <= 180) {
      return position;
    }
  }
  const last = HEMISPHERE_LAST.exec(plain);
  const first = HEMISPHERE_FIRST.exec(plain);
  const found = last ? last.slice(1) : first ? [first[2], first[1], first[4], first[3]] : undefined;
  if (found) {
    const latitude = parseAngle(found[0], 2, 90);
    const longitude = parseAngle(found[2], 3, 180);
    if (latitude !== undefined && longitude !== undefined) {
      return signed(latitude, found[1], longitude, found[3]);
    }
  }
  throw new DotphaseError('position', text, EXPECTED_POSITION);
}

/**
 * An area: its north-west corner in whole degrees and its sides southwards and eastwards, `58N 012W 6 10`.
 *
 * @throws DotphaseError when it cannot be understood
 */
export function parseArea(text: string): Area {
  const parts = AREA.exec(plainCharacters(text));
  if (!parts || Number(parts[1]) > 90 || Number(parts[3]) > 180) {
    const expected =
      'a north-west corner and the degrees southwards and eastwards from it, such as 58N 012W 6 10';
    throw new DotphaseError('area', text, expected);
  }
  const [, latitude, ns, longitude, ew, south, east] = parts;
  return {
    ...signed(Number(latitude), ns, Number(longitude), ew),
    south: Number(south),
    east: Number(east),
  };
}
