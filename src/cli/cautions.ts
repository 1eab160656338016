/**
 * The cautions that stand wherever the work could hurt someone.
 */
import { explainFields } from '../calls/index.js';
import { CATEGORIES, FORMATS } from '../symbols/index.js';

const ROUTINE = CATEGORIES.byName('routine')?.symbol;
const DISTRESS = FORMATS.byName('distress')?.symbol;

/** The category a call's audio would claim on the air, or undefined for a routine call. */
function priorityOf(symbols: readonly number[]): string | undefined {
  if (symbols[0] === DISTRESS) return 'distress';
  const category = explainFields(symbols).find(({ field }) => field === 'category');
  if (!category) return 'unassigned';
  return category.symbols[0] === ROUTINE ? undefined : category.meaning;
}

/** What to say beside the audio of a call, or undefined for a routine call. */
export function transmitCaution(symbols: readonly number[]): string | undefined {
  const priority = priorityOf(symbols);
  if (priority === undefined) return undefined;
  return (
    `Caution: this is the audio of a ${priority} call. Never feed distress, urgency or safety audio to a transmitter ` +
    'on the air: use a dummy load or a cable. Follow your administration’s rules and licensed practice; if a ' +
    'false alert goes out, cancel it by the published procedure.'
  );
}

/** What to say when distress calls were decoded. */
export const DECODED_DISTRESS_CAUTION =
  'Caution: a decoded distress alert is not a watch. Keep the watch your station must keep on its own equipment, ' +
  'and follow your administration’s rules and licensed practice.';

/** Whether a call is about distress. */
export function isDistress(symbols: readonly number[]): boolean {
  return priorityOf(symbols) === 'distress';
}
