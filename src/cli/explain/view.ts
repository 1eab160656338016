/**
 * An explanation as a text for a terminal: what a teacher projects on a wall.
 */
import { certainCharacters, decodeCall, describeCall } from '../../calls/index.js';
import { problemText, problemsOf } from '../advice.js';
import { wrap, type Screen } from '../terminal.js';
import { drawTiming, drawWorkedCharacter } from './air.js';
import { drawErrorCheck } from './errorcheck.js';
import { drawFields } from './fields.js';
import { Page } from './page.js';
import { drawReception } from './reception.js';
import { labelSlots, type Sequence } from './sequence.js';
import { drawSlots } from './slots.js';

/**
 * A sequence explained: the call, its fields, its slots as B and Y, and how the error check comes about.
 */
export function renderExplanation(sequence: Sequence, screen: Screen): string {
  const page = new Page(screen);
  const { symbols, certainty, expansions, band } = sequence;
  const call = decodeCall(symbols, { ignoreErrorCheck: true, expansions, certainty });
  for (const line of wrap(describeCall(call), page.width)) page.line(page.colours.bold(line));
  for (const line of problemsOf(call, band).flatMap((problem) => wrap(problemText(problem), page.width))) {
    page.line(page.colours.yellow(line));
  }
  drawFields(page, sequence);
  const slots = labelSlots(sequence);
  drawTiming(page, sequence, slots.length);
  const [format] = certainCharacters(symbols, certainty);
  if (format !== null) drawWorkedCharacter(page, format);
  drawSlots(page, sequence, slots);
  drawReception(page, sequence, slots);
  drawErrorCheck(page, sequence);
  return page.toString();
}
