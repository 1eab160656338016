/**
 * Results of classes whose skill is known: 200 candidates and 30 questions under the Rasch model (G. Rasch, Probabilistic
 * Models for Some Intelligence and Attainment Tests, 1960), in which a candidate of skill θ has a question of difficulty b
 * right with probability P = 1 / (1 + exp(b − θ)), each by itself. What follows for the figures is worked out beside them.
 */
import { describe, expect, it } from 'vitest';
import {
  classCsv,
  classResults,
  questionsStatisticsCsv,
  resultsSheet,
  type PaperKey,
} from '../../src/exam/index.js';
import { pointBiserial, reliability } from '../../src/exam/statistics.js';
import { readCsv } from '../../src/exam/csv.js';
import { Random } from '../../src/dsp/index.js';

const CANDIDATES = 200;
const QUESTIONS = 30;
const LETTERS = ['a', 'b', 'c', 'd'];

const KEY: PaperKey = {
  title: 'A paper',
  number: '4821 0937 5512',
  questions: Array.from({ length: QUESTIONS }, (_, i) => ({
    id: `Q${1 + Math.floor(i / 10)}.${1 + (i % 10)}`,
    text: `Question ${i}?`,
    choices: LETTERS.map((letter) => ({ letter, text: `choice ${letter} of ${i}` })),
    answer: LETTERS[i % 4],
    because: 'So it is.',
  })),
};

/** Skills spread as the quantiles of a normal distribution of deviation 1.2, by the logistic approximation. */
const SKILLS = Array.from({ length: CANDIDATES }, (_, j) => {
  const q = (j + 0.5) / CANDIDATES;
  return 1.2 * 0.5877 * Math.log(q / (1 - q));
});
/** Difficulties from −2 to 2. */
const DIFFICULTIES = Array.from({ length: QUESTIONS }, (_, i) => -2 + (4 * i) / (QUESTIONS - 1));
const CHANCES = DIFFICULTIES.map((b) => SKILLS.map((skill) => 1 / (1 + Math.exp(b - skill))));

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
const mean = (values: readonly number[]) => sum(values) / values.length;

/** The class at the desk: a candidate who does not know takes the three wrong letters in turn of their own. */
function table(seed: number): { csv: string; right: boolean[][] } {
  const random = new Random(seed, 'class');
  const right = SKILLS.map((_, j) => DIFFICULTIES.map((__, i) => random.uniform() < CHANCES[i][j]));
  const rows = right.map((own, j) => {
    const cells = own.map((isRight, i) => {
      const wrong = LETTERS.filter((letter) => letter !== KEY.questions[i].answer);
      return isRight ? KEY.questions[i].answer : wrong[Math.floor(random.uniform() * 3)];
    });
    return [`Candidate ${j + 1}`, ...cells].join(',');
  });
  const head = ['candidate', ...KEY.questions.map(({ id }) => id)].join(',');
  return { csv: [head, ...rows].join('\r\n'), right };
}

/** What the share of right answers of a question comes to, and its standard deviation: a sum of independent trials. */
function theoryOfShare(i: number): { expected: number; error: number } {
  const own = CHANCES[i];
  return { expected: mean(own), error: Math.sqrt(sum(own.map((p) => p * (1 - p)))) / CANDIDATES };
}

/**
 * What the point-biserial with the other questions comes to. With X the question, R the sum of the others and T their sum
 * of chances, answers being independent given the skill: cov(X, R) = mean(P·T) − mean(P)·mean(T), var X = p(1 − p),
 * var R = mean over candidates of the sum of P(1 − P), plus the variance of T. The error of a correlation r of n pairs is about
 * (1 − r²)/√(n − 1).
 */
function theoryOfSeparation(i: number): { expected: number; error: number } {
  const own = CHANCES[i];
  const others = CHANCES.filter((_, k) => k !== i);
  const rest = SKILLS.map((_, j) => sum(others.map((chances) => chances[j])));
  const covariance = mean(own.map((p, j) => p * rest[j])) - mean(own) * mean(rest);
  const noise = mean(SKILLS.map((_, j) => sum(others.map((chances) => chances[j] * (1 - chances[j])))));
  const spread = mean(rest.map((t) => t * t)) - mean(rest) ** 2;
  const share = mean(own);
  const expected = covariance / Math.sqrt(share * (1 - share) * (noise + spread));
  return { expected, error: (1 - expected ** 2) / Math.sqrt(CANDIDATES - 1) };
}

describe('200 candidates of known skill', () => {
  const { csv, right } = table(4);
  const results = classResults(KEY, csv, { pass: 50 });

  it('have the marks that they earned, each their own', () => {
    expect(results.candidates).toHaveLength(CANDIDATES);
    results.candidates.forEach(({ candidate, marks, passed }, j) => {
      const earned = right[j].filter(Boolean).length;
      expect({ candidate, marks, passed }).toEqual({
        candidate: `Candidate ${j + 1}`,
        marks: earned,
        passed: earned >= QUESTIONS / 2,
      });
    });
    expect(results.summary.passed).toBe(right.filter((own) => own.filter(Boolean).length >= 15).length);
  });

  it('give shares and separations within the sampling error of theory', () => {
    const scores = results.questions.map((question, i) => {
      const share = theoryOfShare(i);
      const separation = theoryOfSeparation(i);
      return {
        share: (question.right / CANDIDATES - share.expected) / share.error,
        separation: ((question.separation ?? NaN) - separation.expected) / separation.error,
      };
    });
    // Of 30 standard scores none lies beyond 4 (once in 500 classes), and they spread as they should: the sum of their
    // squares is chi-squared with 30 degrees of freedom, 15 to 50 in 98 of 100 cases.
    for (const name of ['share', 'separation'] as const) {
      for (const score of scores) expect(Math.abs(score[name])).toBeLessThan(4);
      const squares = sum(scores.map((score) => score[name] ** 2));
      expect(squares, name).toBeGreaterThan(8);
      expect(squares, name).toBeLessThan(60);
    }
    expect(theoryOfSeparation(15).expected).toBeGreaterThan(0.3);
  });

  it('draw each wrong answer as often as chance lets them', () => {
    for (const [i, { answers, right: own, blank }] of results.questions.entries()) {
      expect(sum(answers.map(({ candidates }) => candidates.length)) + blank.length).toBe(CANDIDATES);
      const wrong = CANDIDATES - own;
      for (const { isRight, candidates } of answers) {
        const expected = isRight ? own : wrong / 3;
        // Binomial with 1/3: its variance is 2/9 of the number of trials.
        const error = isRight ? 0 : 4 * Math.sqrt((wrong * 2) / 9);
        expect(Math.abs(candidates.length - expected), `question ${i}`).toBeLessThanOrEqual(error + 1e-9);
      }
    }
  });

  it('have the reliability that follows: variance of true marks in that of all', () => {
    const trueMarks = SKILLS.map((_, j) => sum(CHANCES.map((chances) => chances[j])));
    const spread = mean(trueMarks.map((t) => t * t)) - mean(trueMarks) ** 2;
    const noise = mean(SKILLS.map((_, j) => sum(CHANCES.map((chances) => chances[j] * (1 - chances[j])))));
    const expected = spread / (spread + noise);
    const [{ value }] = results.summary.reliability;
    expect(Math.abs(value - expected)).toBeLessThan(0.04);
  });

  it('show a question whose key is wrong, and no other', () => {
    const wrong = KEY.questions[12];
    const spoilt = {
      ...KEY,
      questions: KEY.questions.map((each) => (each === wrong ? { ...each, answer: 'b' } : each)),
    };
    const remarked = classResults(spoilt, csv).questions.filter(({ remarks }) => remarks.length > 0);
    expect(wrong.answer).not.toBe('b');
    expect(remarked.map(({ id }) => id)).toEqual([wrong.id]);
    expect(remarked[0].remarks.join(' ')).toMatch(
      /Weak candidates.*look at its answer.*did better elsewhere/,
    );
  });
});

describe('figures by hand', () => {
  it('of six candidates', () => {
    // Scores 5 4 4 2 1 0 with right, right, right, wrong, right, wrong: means 3.5 and 1, n = 6, Σ(s − 8/3)² = 62 − 6·(8/3)² = 19.333,
    // r = (3.5 − 1)·√(4·2/6)/√19.333 = 2.5·1.1547/4.3970 = 0.6565.
    const isRight = [true, true, true, false, true, false];
    expect(pointBiserial(isRight, [5, 4, 4, 2, 1, 0])).toBeCloseTo(0.6565, 4);
    expect(pointBiserial([true, true], [1, 2])).toBeUndefined();
    expect(pointBiserial([true, false], [2, 2])).toBeUndefined();
  });

  it('of the reliability of three questions', () => {
    // Marks 3, 2, 1, 0: variance 1.25. Shares 3/4, 2/4, 1/4: 3/16 + 4/16 + 3/16 = 10/16. 3/2·(1 − 0.625/1.25) = 0.75.
    const answers = [3, 2, 1, 0].map((marks) => [0, 1, 2].map((i) => i < marks));
    expect(reliability(answers)).toBeCloseTo(0.75, 10);
  });
});

describe('results as files', () => {
  const HOSTILE = '=HYPERLINK("x")<script>alert(1)</script>';
  const csv = [
    `candidate;${KEY.questions.map(({ id }) => id).join(';')}`,
    `"Müller; Åsa ""Ö""";${KEY.questions.map(({ answer }) => answer.toUpperCase()).join(';')}`,
    `"${HOSTILE.replaceAll('"', '""')}";${KEY.questions.map(() => '').join(';')}`,
  ].join('\r\n');
  const results = classResults(KEY, csv, { pass: 100 });

  it('run nothing in a spreadsheet and in a browser, and keep every name', () => {
    const sheet = resultsSheet(results);
    expect(sheet).not.toContain('<script');
    expect(sheet).toContain('&lt;script&gt;');
    for (const text of [classCsv(results), questionsStatisticsCsv(results)]) {
      const cells = readCsv(text).flatMap(({ cells: own }) => own);
      expect(cells.some((cell) => cell.includes('Müller; Åsa "Ö"'))).toBe(true);
      expect(text).not.toMatch(/(^|[,\n]"?)=HYPERLINK/m);
    }
    expect(sheet).toContain('Müller; Åsa &quot;Ö&quot;');
  });

  it('say who passed by whole marks', () => {
    expect(results.candidates.map(({ marks, passed }) => [marks, passed])).toEqual([
      [QUESTIONS, true],
      [0, false],
    ]);
    // 29 of 30 is 96.7 %, which rounds up from 96.67: it does not pass at 96.7 %.
    const almost = csv.replace(/;[A-D](?=\r\n)/, ';');
    expect(classResults(KEY, almost, { pass: 96.7 }).candidates[0]).toMatchObject({
      marks: 29,
      passed: false,
    });
  });
});
