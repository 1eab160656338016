/**
 * The name of each expansion (ITU-R M.821-1 §2, from memory).
 */
import type { Certainty } from '../../symbols/index.js';
import type { ExpansionRow } from './table.js';

/** The name of each expansion, and how well the layout of its data is remembered. */
export const EXPANSION_TEXTS: Readonly<
  Record<ExpansionRow['kind'], { readonly text: string; readonly certainty: Certainty }>
> = {
  finePosition: { text: 'finer position', certainty: 'likely' },
  positionSource: { text: 'source and datum of the position', certainty: 'uncertain' },
  speed: { text: 'speed', certainty: 'likely' },
  course: { text: 'course', certainty: 'likely' },
  furtherIdentification: { text: 'further identification', certainty: 'likely' },
  refinedArea: { text: 'refined area', certainty: 'uncertain' },
  personsOnBoard: { text: 'persons on board', certainty: 'likely' },
};
