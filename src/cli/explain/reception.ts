/**
 * What became of the slots of a received sequence, counted.
 */
import type { Page } from './page.js';
import type { LabelledSlot, Sequence } from './sequence.js';

/** Draws the legend of the marks and how much was read; nothing where the sequence was not received. */
export function drawReception(page: Page, { reception }: Sequence, slots: readonly LabelledSlot[]): void {
  if (!reception) return;
  const { green, red } = page.colours;
  const told = slots.filter(({ character, read }) => character !== undefined && read !== 'untold');
  const isRight = ({ read, symbol }: LabelledSlot) => read === symbol;
  page.line();
  if (told.length === 0) {
    page.text('Several sendings were added up to read this call; no single one was read by itself.');
  } else {
    const characters = [...new Set(told.map(({ character }) => character))].map((character) =>
      told.filter((slot) => slot.character === character),
    );
    const once = characters.filter(
      (sendings) => sendings.filter(isRight).length === 1 && sendings.length > 1,
    );
    const never = characters.filter((sendings) => !sendings.some(isRight));
    page.text(
      `${green('✓')} the check bits agree; ${red('✗')} they do not, so the slot was not read; ` +
        `${red('≠')} they agree, but on another character than the one decided.`,
    );
    page.text(
      `${told.filter(isRight).length} of ${told.length} slots after the phasing were read. Characters read in one of ` +
        `two sendings: ${once.length}, in none: ${never.length}.`,
    );
  }
  if (reception.trust !== undefined) page.text(reception.trust);
}
