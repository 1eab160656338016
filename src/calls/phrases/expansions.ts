/**
 * The data of expansions for people.
 */
import type { DatumName, PositionSourceName } from '../expansions/index.js';
import type { DataKind } from '../fields/index.js';
import type { Phrase } from './phrase.js';

/** What each source of a position is called. */
export const SOURCE_TEXTS: Readonly<Record<PositionSourceName, string>> = {
  invalid: 'position data not valid now',
  differentialGps: 'differential GPS',
  gps: 'GPS',
  differentialLoranC: 'differential Loran-C',
  loranC: 'Loran-C',
  glonass: 'GLONASS',
  radar: 'radar fix',
  decca: 'Decca',
  other: 'another source',
};

/** What each datum is called. */
export const DATUM_TEXTS: Readonly<Record<DatumName, string>> = {
  wgs84: 'WGS 84',
  wgs72: 'WGS 72',
  other: 'another datum',
};

const saySpeed = (knots: number) => `speed ${knots.toFixed(1)} knots`;
const sayCourse = (degrees: number) => `course ${degrees.toFixed(1).padStart(5, '0')}°`;
const sayFine = (steps: number) => `0.${String(steps).padStart(4, '0')}′`;

/** The words for the data of each expansion. */
export const DATA_PHRASES: Readonly<Record<DataKind, Phrase>> = {
  finePosition: {
    describe(value) {
      const { latitude, longitude } = value as { latitude: number; longitude: number };
      return `position finer by ${sayFine(latitude)} of latitude and ${sayFine(longitude)} of longitude`;
    },
  },
  positionSource: {
    describe(value) {
      const { source, resolutionMinutes, datum } = value as {
        source: PositionSourceName;
        resolutionMinutes: number;
        datum: DatumName;
      };
      return `position from ${SOURCE_TEXTS[source]} to ${String(resolutionMinutes)}′ on ${DATUM_TEXTS[datum]}`;
    },
  },
  speed: { describe: (value) => saySpeed(value as number) },
  course: { describe: (value) => sayCourse(value as number) },
  furtherIdentification: { describe: (value) => `further identification “${String(value)}”` },
  refinedArea: {
    describe(value) {
      const area = value as Record<string, number>;
      return (
        `area finer by ${area.latitudeMinutes}′ of latitude and ${area.longitudeMinutes}′ of longitude at its corner, ` +
        `${area.southMinutes}′ southwards and ${area.eastMinutes}′ eastwards, for vessels of ` +
        `${saySpeed(area.speed)} and ${sayCourse(area.course)}`
      );
    },
  },
  personsOnBoard: {
    describe: (value) => `${String(value)} ${value === 1 ? 'person' : 'persons'} on board`,
  },
};
