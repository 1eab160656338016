/** Calls for maps and chart systems, and what hostile text can do there. */
import { DOMParser } from 'linkedom';
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import {
  callEntry,
  createMemoryLog,
  logToGeoJson,
  logToKml,
  logToSentences,
  placesOf,
  ringsOf,
  type LogEntry,
  type NewLogEntry,
} from '../../src/records/index.js';

const SHIP = '299123456';
const NOON = Date.UTC(2031, 4, 17, 12);
const HOSTILE = `</script><img src=x onerror="alert(1)">&lt;b&gt;]]>=1+1`;

const ALERT: Call = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
const RELAY: Call = {
  ...ALERT,
  kind: 'distressRelay',
  to: 'allShips',
  self: '002991234',
  casualty: 'unknown',
};

function entryOf(call: Call, change: Partial<NewLogEntry> = {}): LogEntry {
  const log = createMemoryLog({ clock: () => NOON });
  return log.add({ ...callEntry(call, { direction: 'received', time: NOON }), quality: 'clean', ...change });
}
const geoJson = (...entries: LogEntry[]) =>
  JSON.parse([...logToGeoJson(entries)].join('')) as {
    features: { geometry: unknown; properties: Record<string, unknown> }[];
  };

describe('places', () => {
  it("are a position with whose it is: the sender's own, or that of the ship in distress", () => {
    expect(placesOf(entryOf(ALERT)).position).toEqual({ latitude: 48.2, longitude: -12.75, of: SHIP });
    expect(placesOf(entryOf({ ...RELAY, casualty: SHIP })).position?.of).toBe(SHIP);
    expect(placesOf(entryOf(RELAY)).position?.of).toBe('unknown');
  });

  it.each([
    { position: { notReceived: [1, null] } },
    { position: 'none' },
    { position: { latitude: 91, longitude: 0 } },
    { position: { latitude: '1', longitude: 0 } },
    null,
    [],
  ])('are not made of what is none: %j', (call) => {
    expect(placesOf({ ...entryOf(ALERT), call })).toEqual({});
  });

  // RFC 7946 §3.1.6: the outer ring runs anticlockwise; §3.1.9: what crosses the antimeridian is cut there.
  it('are rings of an area, cut where it crosses the antimeridian', () => {
    expect(ringsOf({ latitude: 20, longitude: -30, south: 5, east: 10 })).toEqual([
      [
        [-30, 15],
        [-20, 15],
        [-20, 20],
        [-30, 20],
        [-30, 15],
      ],
    ]);
    const rings = ringsOf({ latitude: -85, longitude: 175, south: 20, east: 10 });
    expect(rings.map(([first, second]) => [first, second])).toEqual([
      [
        [175, -90],
        [180, -90],
      ],
      [
        [-180, -90],
        [-175, -90],
      ],
    ]);
  });
});

describe('GeoJSON', () => {
  it('has longitude before latitude, and the facts of the call', () => {
    const { features } = geoJson(entryOf(ALERT, { quality: 'doubtful', timeSource: 'live' }));
    expect(features).toHaveLength(1);
    expect(features[0].geometry).toEqual({ type: 'Point', coordinates: [-12.75, 48.2] });
    expect(features[0].properties).toMatchObject({
      time: '2031-05-17T12:00:00.000Z',
      quality: 'doubtful',
      positionOf: SHIP,
    });
  });

  it('is whole without any call, and harmless within a page', () => {
    expect(geoJson()).toEqual({ type: 'FeatureCollection', features: [] });
    const text = [...logToGeoJson([entryOf(ALERT, { text: HOSTILE })])].join('');
    expect(text).not.toContain('<');
    expect(geoJson(entryOf(ALERT, { text: HOSTILE })).features[0].properties.text).toBe(HOSTILE);
  });
});

describe('KML', () => {
  const parse = (...entries: LogEntry[]) =>
    new DOMParser().parseFromString([...logToKml(entries)].join(''), 'text/xml') as unknown as Document;

  it('has each place once, with its time where that is known', () => {
    const document = parse(entryOf(ALERT), entryOf(ALERT, { timeSource: 'decoded' }));
    const marks = [...document.querySelectorAll('Placemark')];
    expect(marks.map((mark) => mark.querySelector('coordinates')?.textContent)).toEqual([
      '-12.75,48.2',
      '-12.75,48.2',
    ]);
    expect(marks.map((mark) => mark.querySelector('when')?.textContent)).toEqual([
      '2031-05-17T12:00:00.000Z',
      undefined,
    ]);
  });

  it('shows hostile text as text, also where a description is taken for HTML', () => {
    const document = parse(entryOf(ALERT, { text: HOSTILE, quality: 'doubtful' }));
    const description = document.querySelector('description')?.textContent ?? '';
    expect(description).toMatch(/^Doubtful, it may be wrong: /);
    expect(description).not.toContain('<');
    const html = new DOMParser().parseFromString(`<p>${description}</p>`, 'text/html') as unknown as Document;
    expect(html.querySelectorAll('img')).toHaveLength(0);
    expect(html.querySelector('p')?.textContent).toContain('onerror="alert(1)"');
  });
});

describe('sentences', () => {
  it('leave out what is doubtful, not whole or no call', () => {
    const left: number[] = [];
    const entries = [
      entryOf(ALERT),
      { ...entryOf(ALERT, { quality: 'doubtful' }), id: 2 },
      { ...entryOf(ALERT), id: 3, call: {} },
      { ...entryOf(ALERT), id: 4, call: { ...ALERT, position: { notReceived: [null] } } },
    ];
    const sentences = [...logToSentences(entries, ({ id }) => left.push(id))];
    expect(sentences).toHaveLength(1);
    expect(sentences[0]).toMatch(/^\$CDDSC,12,2991234560,.*\*[0-9A-F]{2}\r\n$/);
    expect(left).toEqual([2, 3, 4]);
  });
});
