/**
 * Sets of four similar values: whichever is sent, the other three are what a slip of the ear, the eye or the pen could
 * make of it.
 */
import { identityKind, type Position, type TimeOfDay } from '../../calls/index.js';
import { SEAS, type Sea } from '../scenario.js';
import type { Draw } from './draw.js';

/** Four values, one for each version of an exercise. */
export type Four<Value> = readonly [Value, Value, Value, Value];

/** The four combinations of two readings of one part and two of another. */
function combine<A, B, Value>(
  [a, otherA]: readonly [A, A],
  [b, otherB]: readonly [B, B],
  make: (a: A, b: B) => Value,
): Four<Value> {
  return [make(a, b), make(otherA, b), make(a, otherB), make(otherA, otherB)];
}

const flipped = (digit: string) => String(Number(digit) ^ 1).slice(-1);

/** Two digits swapped; where they are equal, the second is changed. */
const turned = ([first, second]: string) =>
  first === second ? `${first}${flipped(second)}` : `${second}${first}`;

/** Two digits, the second changed. */
const changed = (pair: string) => `${pair[0]}${flipped(pair[1])}`;

/**
 * Four identities of the same kind of station, the given one first. They differ in their fifth to eighth digit, which
 * stand in the third and fourth character of an identity (M.493 §5.2, from memory).
 */
export function alikeIdentities(identity: string): Four<string> {
  const [head, third, fourth, tail] = [
    identity.slice(0, 4),
    identity.slice(4, 6),
    identity.slice(6, 8),
    identity.slice(8),
  ];
  // The fifth digit of a coast station's identity belongs to its country.
  const other = identityKind(identity) === 'coastStation' ? changed : turned;
  return combine([third, other(third)], [fourth, other(fourth)], (a, b) => `${head}${a}${b}${tail}`);
}

/** Four telephone numbers alike. The country code 999 belongs to no country (ITU-T E.164, from memory). */
export function alikeTelephones(draw: Draw): Four<string> {
  const pair = () => String(draw.integer(0, 99)).padStart(2, '0');
  const [head, first, middle, last] = [pair(), pair(), pair(), pair()];
  return combine([first, turned(first)], [last, changed(last)], (a, b) => `999${head}${a}${middle}${b}`);
}

/** An angle: its sign, whole degrees and whole minutes. */
interface Angle {
  readonly sign: 1 | -1;
  readonly degrees: number;
  readonly minutes: number;
}

const angleOf = (value: number): Angle => {
  const minutes = Math.round(Math.abs(value) * 60);
  return { sign: value < 0 ? -1 : 1, degrees: Math.floor(minutes / 60), minutes: minutes % 60 };
};

const valueOf = ({ sign, degrees, minutes }: Angle) => sign * (degrees + minutes / 60);

/** Two digits of a number below 60 the other way round, where that is another number below 60. */
function turnedMinutes(minutes: number): number[] {
  const other = (minutes % 10) * 10 + Math.floor(minutes / 10);
  return other < 60 && other !== minutes ? [other] : [];
}

const inRange = (values: readonly number[], low: number, high: number) =>
  values.filter((value) => value >= low && value <= high);

/** What an angle is misread as. */
function misread(
  draw: Draw,
  angle: Angle,
  [low, high]: readonly [number, number],
  mayMirror: boolean,
): Angle {
  const { sign, degrees, minutes } = angle;
  return draw.pick<Angle>([
    ...inRange([degrees - 1, degrees + 1], low, high).map((other) => ({ ...angle, degrees: other })),
    // At the pole and at 180° there are no minutes.
    ...(degrees > high
      ? []
      : [...inRange([minutes - 10, minutes + 10], 0, 59), ...turnedMinutes(minutes)]
    ).map((other) => ({ ...angle, minutes: other })),
    ...(mayMirror ? [{ ...angle, sign: sign === 1 ? (-1 as const) : (1 as const) }] : []),
  ]);
}

/** The whole degrees that the positions of a sea may have, without their sign. */
function bounds(low: number, high: number): readonly [number, number] {
  const [a, b] = [Math.abs(low), Math.abs(high)];
  return [Math.min(a, b), Math.max(a, b) - 1];
}

/** A position in open sea, to the minute. */
function positionIn(draw: Draw, { south, north, west, east }: Sea): Position {
  const [low, high] = bounds(south, north);
  const [near, far] = bounds(west, east);
  const make = (sign: 1 | -1, from: number, to: number) =>
    valueOf({ sign, degrees: draw.integer(from, to), minutes: draw.integer(1, 59) });
  return { latitude: make(north > 0 ? 1 : -1, low, high), longitude: make(east > 0 ? 1 : -1, near, far) };
}

/** Anywhere: for positions that a plan gives. */
const ANYWHERE = { latitudes: [0, 89], longitudes: [0, 179], mirror: undefined } as const;

/**
 * Four positions alike.
 *
 * @param given - the first of them; drawn in open sea by default
 * @param isLost - whether they may differ only in the third and fourth character: the last digit of the minutes of
 *   latitude and the degrees of longitude (M.493 §8.1.2, from memory)
 */
export function alikePositions(draw: Draw, given: Position | undefined, isLost: boolean): Four<Position> {
  const sea = draw.pick(SEAS);
  const first = given ?? positionIn(draw, sea);
  const { latitudes, longitudes, mirror } =
    given === undefined
      ? {
          latitudes: bounds(sea.south, sea.north),
          longitudes: bounds(sea.west, sea.east),
          mirror: sea.mirror,
        }
      : ANYWHERE;
  const latitude = angleOf(first.latitude);
  const longitude = angleOf(first.longitude);
  const unit = latitude.minutes % 10;
  const otherLatitude = isLost
    ? latitude.degrees > latitudes[1]
      ? latitude
      : { ...latitude, minutes: latitude.minutes - unit + ((unit + draw.integer(1, 9)) % 10) }
    : misread(draw, latitude, latitudes, mirror === 'equator');
  const span = longitudes[1] - longitudes[0] + 1;
  const otherLongitude = isLost
    ? {
        ...longitude,
        degrees: longitudes[0] + ((longitude.degrees - longitudes[0] + draw.integer(1, span - 1)) % span),
      }
    : misread(draw, longitude, longitudes, mirror === 'meridian');
  return combine([latitude, otherLatitude], [longitude, otherLongitude], (north, east) => ({
    latitude: valueOf(north),
    longitude: valueOf(east),
  }));
}

const two = (value: number) => String(value).padStart(2, '0');

/**
 * Four times of day alike.
 *
 * @param given - the first of them; drawn by default
 */
export function alikeTimes(draw: Draw, given: TimeOfDay | undefined): Four<TimeOfDay> {
  const [hours, minutes] = given?.split(':').map(Number) ?? [draw.integer(0, 23), draw.integer(0, 59)];
  const otherHours = draw.pick([hours + 1, hours + 12, hours + 23]) % 24;
  const otherMinutes = draw.pick([
    ...turnedMinutes(minutes),
    ...inRange([minutes - 10, minutes + 10], 0, 59),
  ]);
  return combine([hours, otherHours], [minutes, otherMinutes], (h, m): TimeOfDay => `${two(h)}:${two(m)}`);
}
