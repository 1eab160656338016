/**
 * The results of a class: its candidates first, then its questions, so that a bad one is found.
 */
import { requireNumber } from '../errors.js';
import { writeCsv } from './csv.js';
import type { MarkedQuestion, PaperKey } from './key.js';
import { markAnswers, shownText, type CandidateMarks, type ShownAnswer } from './marking.js';
import { median } from '../dsp/index.js';
import { deviation, mean, pointBiserial, reliability } from './statistics.js';

/** A candidate of a class. */
export interface CandidateResult extends CandidateMarks {
  /** Absent where no pass mark was asked for. */
  readonly passed?: boolean;
}

/** An answer that candidates gave. */
export interface AnswerStatistics extends ShownAnswer {
  readonly isRight: boolean;
  /** Who gave it. */
  readonly candidates: readonly string[];
  /** Mean share of right answers that those have in all other questions, 0 to 1; undefined where nobody gave it. */
  readonly strength: number | undefined;
}

/** How a question did. */
export interface QuestionStatistics {
  readonly id: string;
  readonly text: string;
  readonly paper: string;
  readonly version?: string | undefined;
  /** Candidates that sat the paper, and how many of them had it right. */
  readonly candidates: number;
  readonly right: number;
  /**
   * Point-biserial correlation of a right answer with the marks in all other questions, −1 to 1: how well it separates
   * good candidates from weak ones. Undefined where it cannot: all right, all wrong, or too few candidates.
   */
  readonly separation: number | undefined;
  /** Every answer that could be chosen, or was typed, the right one first where it is typed. */
  readonly answers: readonly AnswerStatistics[];
  /** Who gave none. */
  readonly blank: readonly string[];
  /** What should be looked at, in sentences. */
  readonly remarks: readonly string[];
}

/** The results of a class. */
export interface ClassResults {
  readonly title: string;
  /** Marks in a hundred needed to pass. */
  readonly pass: number | undefined;
  /** In the order of the tables. */
  readonly candidates: readonly CandidateResult[];
  readonly summary: ClassSummary;
  /** In the order of the papers. */
  readonly questions: readonly QuestionStatistics[];
}

/** A class in figures; undefined where there are too few candidates. */
export interface ClassSummary {
  readonly candidates: number;
  readonly passed: number | undefined;
  /** Of the marks in a hundred. */
  readonly mean: number | undefined;
  readonly median: number | undefined;
  readonly deviation: number | undefined;
  readonly lowest: number | undefined;
  readonly highest: number | undefined;
  /** Kuder and Richardson's formula 20 for each paper that two or more candidates sat. */
  readonly reliability: readonly {
    readonly paper: string;
    readonly version?: string | undefined;
    readonly value: number;
  }[];
}

/** Below this a question hardly separates: common practice, no source. */
const LOW_SEPARATION = 0.15;
/** Candidates below which nothing is remarked: with fewer, chance says anything. */
const FEWEST_CANDIDATES = 8;
/** Candidates whose wrong answer says something. */
const FEWEST_STRONG = 3;

/** Share of right answers of a candidate in all questions but one. */
function strengthBeside({ answers, marks }: CandidateMarks, index: number): number {
  const others = answers.length - 1;
  return others === 0 ? 0 : (marks - Number(answers[index].isRight)) / others;
}

/** The standard error of a mean; without bounds for fewer than two. */
const errorOfMean = (values: readonly number[]) => {
  const spread = deviation(values);
  return spread === undefined ? Infinity : spread / Math.sqrt(values.length);
};

/** Whether the mean of some is higher than that of others by more than its standard error. */
const isHigher = (values: readonly number[], others: readonly number[]) =>
  values.length > 0 &&
  others.length > 0 &&
  mean(values) - mean(others) > Math.hypot(errorOfMean(values), errorOfMean(others));

/**
 * What should be looked at: only what is larger than its sampling error, (1 − r²)/√(n − 1) of a correlation.
 *
 * @param strengthOf - the share of right answers elsewhere of a candidate
 */
function remarksOn(
  { candidates, right, separation, answers }: Omit<QuestionStatistics, 'remarks'>,
  strengthOf: (candidate: string) => number,
): string[] {
  if (candidates < FEWEST_CANDIDATES) return [];
  const strengths = ({ candidates: own }: AnswerStatistics) => own.map(strengthOf);
  const key = answers.filter(({ isRight }) => isRight).flatMap(strengths);
  const traps = answers.filter(
    (answer) =>
      !answer.isRight && answer.candidates.length >= FEWEST_STRONG && isHigher(strengths(answer), key),
  );
  const highest =
    separation === undefined ? Infinity : separation + (1 - separation ** 2) / Math.sqrt(candidates - 1);
  return [
    ...(right === candidates ? ['Everyone had it right: it separates nobody.'] : []),
    ...(right === 0 ? ['Nobody had it right: look at its answer and its wording.'] : []),
    ...(highest < 0 ? ['Weak candidates had it right more often than good ones: look at its answer.'] : []),
    ...(highest >= 0 && highest < LOW_SEPARATION
      ? ['It hardly separates good candidates from weak ones.']
      : []),
    ...traps.map(
      (trap) =>
        `Those who gave “${shownText(trap)}” did better elsewhere than those who gave the right answer.`,
    ),
  ];
}

/** The answers that can be told apart: the choices, or what was typed. */
function answersTo(
  question: MarkedQuestion,
  index: number,
  marks: readonly CandidateMarks[],
): AnswerStatistics[] {
  const given = marks.flatMap((each) => {
    const { given: own, isRight } = each.answers[index];
    return own === undefined ? [] : [{ each, own, isRight }];
  });
  const gather = (
    answer: ShownAnswer,
    isRight: boolean,
    own: readonly CandidateMarks[],
  ): AnswerStatistics => ({
    ...answer,
    isRight,
    candidates: own.map(({ candidate }) => candidate),
    strength: own.length === 0 ? undefined : mean(own.map((each) => strengthBeside(each, index))),
  });
  if (question.typed) {
    const wrong = [...new Set(given.filter(({ isRight }) => !isRight).map(({ own }) => own.text))];
    return [
      gather(
        { text: question.answer },
        true,
        given.filter(({ isRight }) => isRight).map(({ each }) => each),
      ),
      ...wrong.map((text) =>
        gather(
          { text },
          false,
          given.filter(({ own, isRight }) => !isRight && own.text === text).map(({ each }) => each),
        ),
      ),
    ];
  }
  return question.choices.map(({ letter, text }) =>
    gather(
      { letter, text },
      letter === question.answer,
      given.filter(({ own }) => own.letter === letter).map(({ each }) => each),
    ),
  );
}

/** How the questions of a paper did. */
function questionsOf(key: PaperKey, marks: readonly CandidateMarks[]): QuestionStatistics[] {
  return key.questions.map((question, index) => {
    const isRight = marks.map(({ answers }) => answers[index].isRight);
    const rest = marks.map((each) => strengthBeside(each, index));
    const statistics = {
      id: question.id,
      text: question.text,
      paper: key.number,
      ...(key.version !== undefined && { version: key.version }),
      candidates: marks.length,
      right: isRight.filter(Boolean).length,
      separation: pointBiserial(isRight, rest),
      answers: answersTo(question, index, marks),
      blank: marks
        .filter(({ answers }) => answers[index].given === undefined)
        .map(({ candidate }) => candidate),
    };
    const strengths = new Map(marks.map(({ candidate }, i) => [candidate, rest[i]]));
    return { ...statistics, remarks: remarksOn(statistics, (candidate) => strengths.get(candidate) ?? 0) };
  });
}

function summaryOf(
  candidates: readonly CandidateResult[],
  papers: readonly { key: PaperKey; marks: readonly CandidateMarks[] }[],
  pass: number | undefined,
): ClassSummary {
  const percents = candidates.map(({ percent }) => percent);
  const isEmpty = percents.length === 0;
  return {
    candidates: candidates.length,
    passed: pass === undefined ? undefined : candidates.filter(({ passed }) => passed).length,
    mean: isEmpty ? undefined : mean(percents),
    median: isEmpty ? undefined : median(percents),
    deviation: deviation(percents),
    lowest: isEmpty ? undefined : Math.min(...percents),
    highest: isEmpty ? undefined : Math.max(...percents),
    reliability: papers.flatMap(({ key, marks }) => {
      const value = reliability(marks.map(({ answers }) => answers.map(({ isRight }) => isRight)));
      const version = key.version === undefined ? {} : { version: key.version };
      return value === undefined ? [] : [{ paper: key.number, ...version, value }];
    }),
  };
}

/** What {@link classResults} may be told. */
export interface ResultsOptions {
  /** Marks in a hundred needed to pass, 0 to 100. */
  readonly pass?: number | undefined;
}

/**
 * Marks a class: the tables of answers by the keys of their papers, the candidates, and how each question did.
 *
 * @param key - from {@link parsePaperKey}; of several versions all of them
 * @param tables - as {@link markAnswers} takes them
 * @throws DotphaseError that names every row and column that is wrong
 */
export function classResults(
  key: PaperKey | readonly PaperKey[],
  tables: string | readonly string[],
  { pass }: ResultsOptions = {},
): ClassResults {
  if (pass !== undefined) requireNumber('pass', pass, 0, 100, '%');
  const keys: readonly PaperKey[] = 'questions' in key ? [key] : key;
  const marks = markAnswers(keys, tables);
  const candidates = marks.map((each) => ({
    ...each,
    ...(pass !== undefined && { passed: hasPassed(each, pass) }),
  }));
  const papers = keys.map((own) => ({ key: own, marks: marks.filter(({ paper }) => paper === own.number) }));
  return {
    title: keys[0].title,
    pass,
    candidates,
    summary: summaryOf(candidates, papers, pass),
    questions: papers.flatMap(({ key: own, marks: sat }) => questionsOf(own, sat)),
  };
}

/** Whether marks suffice: by the marks themselves, not by the rounded share. */
const hasPassed = ({ marks, of }: CandidateMarks, pass: number) => 100 * marks >= pass * of - 1e-9;

const rounded = (value: number | undefined, digits: number) =>
  value === undefined ? '' : Number(value.toFixed(digits));

/** The class as a table: a row for each candidate. Safe to open in a spreadsheet. */
export function classCsv({ candidates }: ClassResults): string {
  const rows = candidates.map(({ candidate, paper, version, marks, of, percent, passed }) => [
    candidate,
    paper,
    version ?? '',
    marks,
    of,
    percent,
    passed === undefined ? '' : passed ? 'yes' : 'no',
  ]);
  return writeCsv([['candidate', 'paper', 'version', 'marks', 'of', 'percent', 'passed'], ...rows]);
}

/** The questions as a table: a row for each answer to each of them. Safe to open in a spreadsheet. */
export function questionsStatisticsCsv({ questions }: ClassResults): string {
  const rows = questions.flatMap((question) => {
    const { id, paper, version, text, candidates, right, separation, answers, blank, remarks } = question;
    const own = [id, paper, version ?? '', text, candidates, right, rounded(separation, 3)];
    return [
      ...answers.map((answer) => [
        ...own,
        answer.letter ?? '',
        answer.text,
        answer.isRight ? 'yes' : 'no',
        answer.candidates.length,
        rounded(answer.strength, 3),
        answer.candidates.join('; '),
        answer.isRight ? remarks.join(' ') : '',
      ]),
      ...(blank.length > 0
        ? [[...own, '', '(no answer)', 'no', blank.length, '', blank.join('; '), '']]
        : []),
    ];
  });
  const head = ['question', 'paper', 'version', 'text', 'candidates', 'right', 'separation'];
  const more = ['letter', 'answer', 'is right', 'chosen by', 'share right elsewhere', 'who', 'remarks'];
  return writeCsv([[...head, ...more], ...rows]);
}
