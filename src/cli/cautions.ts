/**
 * The cautions that stand wherever the work could hurt someone: a line each; `dotphase --help` has them in full.
 */
import { certainCharacters, explainFields } from '../calls/index.js';
import { CATEGORIES, FORMATS } from '../symbols/index.js';

const ROUTINE = CATEGORIES.byName('routine')?.symbol;
const DISTRESS = FORMATS.byName('distress')?.symbol;

/** What the explanation of a call says of a category that was not received. */
const NOT_RECEIVED = 'not received';

/** The category a call's audio would claim on the air, or undefined for a routine call. */
function priorityOf(
  symbols: readonly number[],
  certainty: readonly number[] | undefined,
): string | undefined {
  const [format] = certainCharacters(symbols, certainty);
  if (format === DISTRESS) return 'distress';
  const category = explainFields(symbols, certainty).find(({ field }) => field === 'category');
  if (!category) return format === null ? NOT_RECEIVED : 'unassigned';
  return category.symbols[0] === ROUTINE ? undefined : category.meaning;
}

/** What to say beside the audio of a call, or undefined for a routine call. */
export function transmitCaution(symbols: readonly number[]): string | undefined {
  const priority = priorityOf(symbols, undefined);
  if (priority === undefined) return undefined;
  return `Caution: a ${priority} call: never put it on the air, use a dummy load or cable.`;
}

/** What to say when distress calls were decoded. */
export const DECODED_DISTRESS_CAUTION =
  'Caution: a decoded distress alert is not a watch: keep yours as you must.';

/** Whether a received call is about distress, or may be: its category was not received. */
export function isDistress(symbols: readonly number[], certainty: readonly number[] | undefined): boolean {
  const priority = priorityOf(symbols, certainty);
  return priority === 'distress' || priority === NOT_RECEIVED;
}
