/**
 * The stations that the scenarios of the package share, all of them invented. A scenario adds the frequencies that a
 * station keeps watch on, and whatever is different there.
 */
import type { ScenarioStation } from '../scenario.js';

type SharedStation = Omit<ScenarioStation, 'watch'>;

/** The ship whose part people play. */
export const GREY_PETREL: SharedStation = {
  identity: '299000111',
  name: 'Grey Petrel',
  callSign: 'ZZ9GP',
  position: { latitude: 47.2, longitude: -14.1 },
  reactionSeconds: [3, 5],
};

/** A ship nearby. */
export const SEA_HOLLY: SharedStation = {
  identity: '299000333',
  name: 'Sea Holly',
  callSign: 'ZZ9SH',
  position: { latitude: 47.6, longitude: -13.3 },
  reactionSeconds: [6, 10],
};

/** A ship that calls on its own account. */
export const TERN_PASSAGE: SharedStation = {
  identity: '299000222',
  name: 'Tern Passage',
  callSign: 'ZZ9TP',
  position: { latitude: 48.2, longitude: -12.3 },
  reactionSeconds: [3, 5],
};

/** A ship that is not meant by the call. */
export const LONG_FETCH: SharedStation = {
  identity: '299000444',
  name: 'Long Fetch',
  position: { latitude: 45.4, longitude: -13.9 },
};

/** The coast station. */
export const HALCYON_BANK_RADIO: SharedStation = {
  identity: '002990001',
  name: 'Halcyon Bank Radio',
  position: { latitude: 48, longitude: -12.5 },
  reactionSeconds: [6, 9],
};
