/**
 * Who is at sea in the exercises. All of it is invented: the maritime identification digits 299 are not allocated to
 * any country, and no ship or coast station has these names. Some identities look alike on purpose.
 */

/** A station of the scenario. */
export interface ScenarioStation {
  readonly name: string;
  /** Nine digits. */
  readonly identity: string;
}

const stations = (...rows: (readonly [name: string, identity: string])[]): readonly ScenarioStation[] =>
  rows.map(([name, identity]) => ({ name, identity }));

/** The station of the candidate: a ship. */
export const OWN_SHIP: ScenarioStation = { name: 'Quillwater', identity: '299123456' };

/** The other ships, four and four alike, and three that look like the candidate's. */
export const SHIPS: readonly ScenarioStation[] = stations(
  ['Farrowmere', '299204518'],
  ['Ostrelholm', '299240518'],
  ['Brackwing', '299204158'],
  ['Pellowick', '299240158'],
  ['Hollinvane', '299317095'],
  ['Nevermast', '299371095'],
  ['Corriewake', '299317905'],
  ['Varnstrake', '299371905'],
  ['Thistlegate', '299528364'],
  ['Wendrake', '299582364'],
  ['Marrambight', '299528634'],
  ['Tarnfleck', '299582634'],
  ['Sallowtide', '299746821'],
  ['Eskerlight', '299764821'],
  ['Dunlinmark', '299746281'],
  ['Ambermoor', '299764281'],
  ['Ravelstrand', '299132456'],
  ['Gorsewick', '299123546'],
  ['Lintelmark', '299132546'],
);

/** The coast stations. */
export const COAST_STATIONS: readonly ScenarioStation[] = stations(
  ['Sable Holm Radio', '002991234'],
  ['Petrel Bank Radio', '002990234'],
  ['Drumhaven Radio', '002991224'],
  ['Skerrow Head Radio', '002990224'],
);

/** Groups of ships; the own ship belongs to the first. */
export const GROUPS: readonly ScenarioStation[] = stations(
  ['Larkholm Line', '029912345'],
  ['Teasel Line', '029921345'],
);

/** A stretch of open sea, in whole degrees. */
export interface Sea {
  readonly south: number;
  readonly north: number;
  readonly west: number;
  readonly east: number;
  /** What has open sea on its other side too: the equator, or the meridian of Greenwich. */
  readonly mirror: 'equator' | 'meridian';
}

/** Open sea in each of the four quadrants, far from land. */
export const SEAS: readonly Sea[] = [
  { south: 5, north: 13, west: -31, east: -20, mirror: 'equator' },
  { south: -13, north: -5, west: -31, east: -20, mirror: 'equator' },
  { south: 31, north: 45, west: 160, east: 177, mirror: 'meridian' },
  { south: 31, north: 45, west: -177, east: -160, mirror: 'meridian' },
  { south: -45, north: -28, west: 83, east: 95, mirror: 'meridian' },
  { south: -45, north: -28, west: -95, east: -83, mirror: 'meridian' },
];
