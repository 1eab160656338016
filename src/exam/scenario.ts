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

/** The other ships. */
export const SHIPS: readonly ScenarioStation[] = stations(
  ['Farrowmere', '299204518'],
  ['Ostrelholm', '299240518'],
  ['Brackwing', '299204581'],
  ['Hollinvane', '299317095'],
  ['Nevermast', '299371095'],
  ['Corriewake', '299317059'],
  ['Thistlegate', '299528364'],
  ['Wendrake', '299582364'],
  ['Marrambight', '299528346'],
  ['Sallowtide', '299746821'],
  ['Eskerlight', '299764821'],
  ['Dunlinmark', '299746812'],
);

/** The coast stations. */
export const COAST_STATIONS: readonly ScenarioStation[] = stations(
  ['Sable Holm Radio', '002991234'],
  ['Petrel Bank Radio', '002991243'],
  ['Drumhaven Radio', '002992134'],
  ['Skerrow Head Radio', '002992143'],
);

/** Groups of ships; the own ship belongs to the first. */
export const GROUPS: readonly ScenarioStation[] = stations(
  ['Larkholm Line', '029912345'],
  ['Teasel Line', '029912354'],
);

/** A stretch of open sea, in whole degrees. */
export interface Sea {
  readonly south: number;
  readonly north: number;
  readonly west: number;
  readonly east: number;
}

/** Open sea in each of the four quadrants, far from land. */
export const SEAS: readonly Sea[] = [
  { south: 43, north: 54, west: -36, east: -20 },
  { south: -33, north: -23, west: -26, east: -14 },
  { south: -30, north: -16, west: 76, east: 92 },
  { south: 31, north: 45, west: 160, east: 177 },
];
