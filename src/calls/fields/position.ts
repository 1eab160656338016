/**
 * Positions: quadrant, latitude DDMM, longitude DDDMM (ITU-R M.493 Annex 1 §8.1.2), and the ten-thousandths of
 * a minute that an expansion adds (ITU-R M.821-1 §2); both from memory.
 */
import { DotphaseError, requireRecord } from '../../errors.js';
import { digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import type { Position } from '../values.js';
import {
  DIGIT_PAIR,
  fixedLength,
  only,
  pairSet,
  repeated,
  sameSymbols,
  type Field,
  type FieldWriter,
} from './field.js';
import { inQuadrant, quadrantDigit, readDigit } from './quadrant.js';

/** Minutes in a degree. */
export const MINUTES_PER_DEGREE = 60;
/** The finest step of a position: ten-thousandths of a minute. */
export const STEPS_PER_MINUTE = 10_000;
const lengthAt = /* @__PURE__ */ fixedLength(5);
const NO_POSITION = repeated(99, 5);

/** A position in whole steps of 1/10000 minute from the equator and the meridian. */
export interface Steps {
  quadrant: number;
  latitude: number;
  longitude: number;
}

function stepsIn(degrees: number): number {
  return Math.round(Math.abs(degrees) * MINUTES_PER_DEGREE * STEPS_PER_MINUTE);
}

function coordinate(value: unknown, path: string, limit: number): number {
  if (typeof value !== 'number' || !(Math.abs(value) <= limit)) {
    throw new DotphaseError(path, value, `decimal degrees from −${limit} to ${limit}`);
  }
  return value;
}

/** A position in steps; a DotphaseError naming `path` where it is none. */
export function toSteps(value: unknown, path: string): Steps {
  const expected = "{ latitude, longitude } or 'none'";
  const { latitude, longitude, quadrant } = requireRecord(
    value,
    path,
    ['latitude', 'longitude', 'quadrant'],
    expected,
  );
  const point = {
    latitude: coordinate(latitude, `${path}.latitude`, 90),
    longitude: coordinate(longitude, `${path}.longitude`, 180),
    quadrant,
  };
  return {
    quadrant: quadrantDigit(point, path),
    latitude: stepsIn(point.latitude),
    longitude: stepsIn(point.longitude),
  };
}

function fromSteps({ quadrant, latitude, longitude }: Steps): Position {
  const degrees = (count: number) => count / (MINUTES_PER_DEGREE * STEPS_PER_MINUTE);
  return inQuadrant(quadrant, degrees(latitude), degrees(longitude));
}

/** The position so many steps into a quadrant, or undefined beyond a pole or the far meridian. */
function fromStepsWithin(steps: Steps): Position | undefined {
  const position = fromSteps(steps);
  const isWithin = Math.abs(position.latitude) <= 90 && Math.abs(position.longitude) <= 180;
  return isWithin ? position : undefined;
}

function degreesMinutes(minutes: number, width: number): string {
  return (
    String(Math.floor(minutes / MINUTES_PER_DEGREE)).padStart(width, '0') +
    String(minutes % MINUTES_PER_DEGREE).padStart(2, '0')
  );
}

function minuteSymbols(quadrant: number, latitudeMinutes: number, longitudeMinutes: number): number[] {
  const digits = degreesMinutes(latitudeMinutes, 2) + degreesMinutes(longitudeMinutes, 3);
  return digitsToSymbols(`${quadrant}${digits}`);
}

/**
 * Quadrant, latitude DDMM and longitude DDDMM, or 9 ten times (M.493 §8.1.2). A finer position is cut off to the
 * minute, not rounded, as sets do (common practice, no source).
 */
export const positionField: Field = {
  kind: 'position',
  length: 5,
  lengthAt,
  read(symbols) {
    if (sameSymbols(symbols, NO_POSITION)) return 'none';
    const match = /^([0-3])(\d\d)([0-5]\d)(\d{3})([0-5]\d)$/.exec(symbolsToDigits(symbols) ?? '');
    if (!match) return undefined;
    const [quadrant, latDegrees, latMinutes, lonDegrees, lonMinutes] = match.slice(1).map(Number);
    return fromStepsWithin({
      quadrant,
      latitude: (latDegrees * MINUTES_PER_DEGREE + latMinutes) * STEPS_PER_MINUTE,
      longitude: (lonDegrees * MINUTES_PER_DEGREE + lonMinutes) * STEPS_PER_MINUTE,
    });
  },
  shapes: () => [
    [
      pairSet([0, 3], [0, 9]),
      pairSet([0, 9], [0, 5]),
      pairSet([0, 9], [0, 1]),
      DIGIT_PAIR,
      pairSet([0, 5], [0, 9]),
    ],
    only(NO_POSITION),
  ],
};

/** How that is written. */
export const positionWriter: FieldWriter = {
  lengthAt,
  write(value, path) {
    if (value === 'none') return [...NO_POSITION];
    const { quadrant, latitude, longitude } = toSteps(value, path);
    const minutes = (steps: number) => Math.floor(steps / STEPS_PER_MINUTE);
    return minuteSymbols(quadrant, minutes(latitude), minutes(longitude));
  },
};

/** What a position finer than a minute is split into: whole minutes, and the steps of 1/10000 minute above them. */
export interface SplitPosition {
  /** The position cut off to the minute, which {@link positionField} sends. */
  readonly coarse: Position;
  /** Steps of 1/10000 minute, 0–9999. */
  readonly latitude: number;
  /** Likewise. */
  readonly longitude: number;
}

/** Splits a position for the call and its expansion; a DotphaseError where it is none. */
export function splitPosition(value: unknown, path: string): SplitPosition {
  const { quadrant, latitude, longitude } = toSteps(value, path);
  const [latitudeRest, longitudeRest] = [latitude % STEPS_PER_MINUTE, longitude % STEPS_PER_MINUTE];
  const coarse = fromSteps({
    quadrant,
    latitude: latitude - latitudeRest,
    longitude: longitude - longitudeRest,
  });
  return { coarse, latitude: latitudeRest, longitude: longitudeRest };
}

/**
 * The reverse of {@link splitPosition}, or undefined where the sum lies beyond a pole or the far meridian.
 *
 * @param coarse - a position in whole minutes
 */
export function joinPosition(coarse: Position, latitude: number, longitude: number): Position | undefined {
  return fromStepsWithin({
    quadrant: readDigit(coarse),
    latitude: stepsIn(coarse.latitude) + latitude,
    longitude: stepsIn(coarse.longitude) + longitude,
  });
}
