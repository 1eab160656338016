/**
 * The written questions of a paper: drawn from sets of situations, without a recording.
 */
import type { Draw } from '../draw/draw.js';
import { FREQUENCY_SETS } from './frequencies.js';
import { RULE_SETS } from './rules.js';
import { mayStandTogether, type WrittenLine, type WrittenSet, type WrittenSubject } from './set.js';

export { WRITTEN_SUBJECTS, type WrittenSubject } from './set.js';

/** Every set. */
export const WRITTEN_SETS: readonly WrittenSet[] = [...RULE_SETS, ...FREQUENCY_SETS];

/** Choices of a question. */
const CHOICES = 4;

/** Lists of so many answers of a set that may stand together, each list once. */
function listsOf(set: WrittenSet): (readonly string[])[] {
  const answers = [...new Set(set.lines.map(({ answer }) => answer))];
  const linesOf = (answer: string) => set.lines.filter((line) => line.answer === answer);
  const agree = (a: string, b: string) =>
    linesOf(a).every((one) => linesOf(b).every((other) => mayStandTogether(set, one, other)));
  const lists = (chosen: readonly string[], from: number): (readonly string[])[] =>
    chosen.length === CHOICES
      ? [chosen]
      : answers
          .slice(from)
          .flatMap((next, i) =>
            chosen.every((one) => agree(one, next)) ? lists([...chosen, next], from + i + 1) : [],
          );
  return lists([], 0);
}

const LISTS: ReadonlyMap<WrittenSet, readonly (readonly string[])[]> = /* @__PURE__ */ new Map(
  WRITTEN_SETS.map((set) => [set, listsOf(set)]),
);

/** A written question before it has its number. */
export interface WrittenAsk {
  readonly subject: WrittenSubject;
  readonly text: string;
  readonly line: WrittenLine;
  /** The answers to choose from, in any order, the right one among them. */
  readonly answers: readonly string[];
}

/**
 * The answers that stand together are drawn first, the right one of them after that: each is right as often as any
 * other that stands beside it.
 */
function askOf(set: WrittenSet, draw: Draw): WrittenAsk {
  const answers = draw.pick(LISTS.get(set) ?? []);
  const right = draw.pick(answers);
  const line = draw.pick(set.lines.filter(({ answer }) => answer === right));
  return { subject: set.name, text: `${line.situation} ${set.ask}`, line, answers };
}

/** Draws that are tried before a question is asked for the second time. */
const MOST_DRAWS = 40;

/**
 * Draws written questions.
 *
 * @param shape - chooses what is asked about, the same in every version of a paper
 * @param draw - chooses the situations
 * @param subjects - what they may be about
 * @param asked - texts of questions that are on the paper already; those drawn are added
 */
export function drawWritten(
  shape: Draw,
  draw: Draw,
  subjects: readonly WrittenSubject[],
  count: number,
  asked: Set<string>,
): WrittenAsk[] {
  // Each subject once before any comes again, and within it each of its sets likewise.
  const order = shape.shuffle(subjects);
  const setsOf = new Map(
    order.map((subject) => [subject, shape.shuffle(WRITTEN_SETS.filter(({ name }) => name === subject))]),
  );
  return Array.from({ length: count }, (_, i) => {
    const sets = setsOf.get(order[i % order.length]) ?? [];
    const set = sets[Math.floor(i / order.length) % sets.length];
    let ask = askOf(set, draw);
    for (let n = 1; n < MOST_DRAWS && asked.has(ask.text); n++) ask = askOf(set, draw);
    asked.add(ask.text);
    return ask;
  });
}
