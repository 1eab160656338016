/**
 * Calls for maps and chart systems: GeoJSON (RFC 7946), KML 2.2 (OGC 07-147r2) and sentences (IEC 61162-1). What was heard
 * is text from anybody: it can do nothing in what reads these files.
 */
import {
  formatIdentity,
  isReceivedWhole,
  toSentences,
  type Area,
  type DecodedCall,
} from '../../calls/index.js';
import { escapeMarkup } from '../../data/index.js';
import { DotphaseError } from '../../errors.js';
import type { LogEntry } from './entry.js';

/** A point, degrees, north and east positive. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Where a call says something is. */
export interface PlacesOfCall {
  /** A position, and whose: nine digits, or `unknown`. */
  readonly position?: Place & { readonly of: string };
  /** The area that the call is for. */
  readonly area?: Area;
}

function field(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null ? (value as Record<string, unknown>)[name] : undefined;
}

const isWithin = (value: unknown, most: number): value is number =>
  typeof value === 'number' && Math.abs(value) <= most;

function placeIn(value: unknown): Place | undefined {
  const [latitude, longitude] = [field(value, 'latitude'), field(value, 'longitude')];
  return isWithin(latitude, 90) && isWithin(longitude, 180) ? { latitude, longitude } : undefined;
}

/** Calls whose position is that of the ship in distress, not of the sender. */
const ABOUT_ANOTHER = /relay|acknowledgement|irregular/i;

/** The position and the area that a logged call carries, where they were received. */
export function placesOf({ call, kind, from, casualty }: LogEntry): PlacesOfCall {
  const position = placeIn(field(call, 'position')) ?? placeIn(field(field(call, 'message'), 'position'));
  const of = casualty ?? (ABOUT_ANOTHER.test(kind) ? undefined : from) ?? 'unknown';
  const area = field(field(call, 'to'), 'area');
  const corner = placeIn(area);
  const [south, east] = [field(area, 'south'), field(area, 'east')];
  return {
    ...(position && { position: { ...position, of } }),
    ...(corner && isWithin(south, 99) && isWithin(east, 99) && { area: { ...corner, south, east } }),
  };
}

/** An area as closed rings anticlockwise, in two where it crosses the antimeridian (RFC 7946 §3.1.6, §3.1.9). */
export function ringsOf({
  latitude,
  longitude,
  south,
  east,
}: Area): [longitude: number, latitude: number][][] {
  const bottom = Math.max(-90, latitude - south);
  const ring = (west: number, end: number): [longitude: number, latitude: number][] => [
    [west, bottom],
    [end, bottom],
    [end, latitude],
    [west, latitude],
    [west, bottom],
  ];
  const end = longitude + east;
  return end <= 180 ? [ring(longitude, end)] : [ring(longitude, 180), ring(-180, end - 360)];
}

const utc = (milliseconds: number) => new Date(milliseconds).toISOString();

/** What a place on a map says of its call. */
function factsOf(entry: LogEntry): Record<string, unknown> {
  const { id, time, timeSource, kind, from, to, casualty, frequencyHz, quality, snrDb, input, text } = entry;
  const { multiFrequencyAttempt } = entry;
  const facts = {
    id,
    time: utc(time),
    timeSource,
    kind,
    from,
    to,
    casualty,
    frequencyHz,
    quality,
    snrDb,
    input,
    text,
    multiFrequencyAttempt,
  };
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined));
}

/** JSON that may also stand within markup. */
const json = (value: unknown) => JSON.stringify(value).replaceAll('<', '\\u003c');

function geometriesOf(entry: LogEntry): { geometry: unknown; positionOf?: string }[] {
  const { position, area } = placesOf(entry);
  const rings = area && ringsOf(area);
  return [
    ...(position
      ? [
          {
            geometry: { type: 'Point', coordinates: [position.longitude, position.latitude] },
            positionOf: position.of,
          },
        ]
      : []),
    ...(rings
      ? [
          {
            geometry:
              rings.length === 1
                ? { type: 'Polygon', coordinates: rings }
                : { type: 'MultiPolygon', coordinates: rings.map((ring) => [ring]) },
          },
        ]
      : []),
  ];
}

/**
 * The positions and areas that calls carry, as a GeoJSON FeatureCollection, piece by piece. Each feature has the facts of
 * its call, `quality` among them: what a doubtful call says may be wrong. `positionOf` says whose position a point is.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToGeoJson(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  yield '{"type":"FeatureCollection","features":[';
  let separator = '\n';
  for (const entry of entries) {
    for (const { geometry, ...more } of geometriesOf(entry)) {
      yield separator + json({ type: 'Feature', geometry, properties: { ...factsOf(entry), ...more } });
      separator = ',\n';
    }
  }
  yield '\n]}\n';
}

function placemark(entry: LogEntry, name: string, geometry: string): string {
  const doubt = entry.quality === 'doubtful' ? 'Doubtful, it may be wrong: ' : '';
  const when = entry.timeSource === 'decoded' ? '' : `<TimeStamp><when>${utc(entry.time)}</when></TimeStamp>`;
  // Who reads KML takes a description for HTML.
  const description = escapeMarkup(escapeMarkup(doubt + entry.text));
  return `<Placemark><name>${escapeMarkup(name)}</name><description>${description}</description>${when}${geometry}</Placemark>\n`;
}

const identity = (digits: string) => (/^\d{9}$/.test(digits) ? formatIdentity(digits) : digits);

/**
 * The positions and areas that calls carry, as KML, piece by piece.
 *
 * @param entries - for example from {@link logEntries}
 */
export function* logToKml(entries: Iterable<LogEntry>): Generator<string, void, undefined> {
  yield '<?xml version="1.0" encoding="UTF-8"?>\n<kml xmlns="http://www.opengis.net/kml/2.2"><Document>\n';
  for (const entry of entries) {
    const { position, area } = placesOf(entry);
    if (position) {
      const point = `<Point><coordinates>${position.longitude},${position.latitude}</coordinates></Point>`;
      yield placemark(entry, identity(position.of), point);
    }
    if (area) {
      const polygons = ringsOf(area).map(
        (ring) =>
          `<Polygon><outerBoundaryIs><LinearRing><coordinates>${ring.map((corner) => corner.join(',')).join(' ')}</coordinates></LinearRing></outerBoundaryIs></Polygon>`,
      );
      const name = entry.from === undefined ? 'area' : `area, called by ${identity(entry.from)}`;
      yield placemark(entry, name, `<MultiGeometry>${polygons.join('')}</MultiGeometry>`);
    }
  }
  yield '</Document></kml>\n';
}

/**
 * Calls as IEC 61162-1 sentences, each ending in CR LF. Doubtful calls, which a sentence cannot mark, and those that no
 * sentence carries are left out.
 *
 * @param entries - for example from {@link logEntries}
 * @param onLeftOut - told of each that is left out
 */
export function* logToSentences(
  entries: Iterable<LogEntry>,
  onLeftOut?: (entry: LogEntry) => void,
): Generator<string, void, undefined> {
  for (const entry of entries) {
    const sentences = entry.quality === 'doubtful' ? undefined : sentencesOf(entry.call);
    if (sentences) for (const sentence of sentences) yield `${sentence}\r\n`;
    else onLeftOut?.(entry);
  }
}

function sentencesOf(call: unknown): readonly string[] | undefined {
  try {
    const decoded = call as DecodedCall;
    return isReceivedWhole(decoded) ? toSentences(decoded) : undefined;
  } catch (error) {
    if (error instanceof DotphaseError || error instanceof TypeError) return undefined;
    throw error;
  }
}
