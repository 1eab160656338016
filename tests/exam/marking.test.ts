/**
 * Tables of answers as candidates and examiners fill them in, good and bad.
 */
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { markAnswers, type PaperKey } from '../../src/exam/index.js';

const question = (id: string, answer: string) => ({
  id,
  text: `Question ${id}?`,
  choices: ['a', 'b', 'c', 'd'].map((letter) => ({ letter, text: `choice ${letter}` })),
  answer,
  because: 'So it is.',
});
const KEY: PaperKey = {
  title: 'A paper',
  number: '4821 0937 5512',
  questions: [question('Q1.1', 'a'), question('Q1.2', 'b'), question('Q2.1', 'c')],
};
const HEAD = 'candidate,Q1.1,Q1.2,Q2.1';

/** The message that a table is refused with. */
const verdict = (table: string) => refusal(() => markAnswers(KEY, table))?.message ?? 'marked';

describe('a table of answers', () => {
  it('gives a mark for each right letter, however it is typed', () => {
    const table = `\uFEFFcandidate (paper 4821 0937 5512);Q2.1;q 1.2;1.1\r\nOne;C);b.;A\r\nTwo;;x;\r\n`;
    expect(verdict(table)).toMatch(/^row 3 \(Two\), Q1\.2: got "x", expected one of a, b, c, d, or nothing$/);
    expect(markAnswers(KEY, table.replace('x', 'd')).map(({ marks }) => marks)).toEqual([3, 0]);
  });

  it('tells of every cell that is wrong at once, with its row, candidate and question', () => {
    const lines = verdict(`${HEAD}\nOne,a,e,c\nTwo,?,b,cc\n,a,b,c\nOne,a,b,c\nFour,a,b,c,d\n`).split('\n');
    expect(lines).toEqual([
      'nothing was marked; mend these 6 cells and mark again:',
      '  row 2 (One), Q1.2: got "e", expected one of a, b, c, d, or nothing',
      '  row 3 (Two), Q1.1: got "?", expected one of a, b, c, d, or nothing',
      '  row 3 (Two), Q2.1: got "cc", expected one of a, b, c, d, or nothing',
      '  row 4, candidate: got "", expected a name or number',
      '  row 5, candidate: got "One", expected each candidate once; row 2 has the same',
      '  row 6 (Four): got "5 cells", expected at most 4, as in the first row',
    ]);
  });

  it('tells of every column that is wrong at once', () => {
    const message = verdict('candidate,Q1.1,Q1.1,Q9.9\nOne,a,b,c\n');
    expect(message).toContain('row 1, column 3: got "Q1.1", expected each question once');
    expect(message).toContain('row 1, column 4: got "Q9.9", expected a question of the paper');
    expect(message).toContain('missing: Q1.2, Q2.1');
  });

  it('is refused where it was made for another paper', () => {
    expect(verdict('candidate (paper 1111 2222 3333),Q1.1,Q1.2,Q2.1\nOne,a,b,c\n')).toMatch(
      /got "candidate \(paper 1111 2222 3333\)", expected a table of paper 4821 0937 5512/,
    );
    expect(verdict('name,Q1.1,Q1.2,Q2.1\nOne,a,b,c\n')).toMatch(/expected candidate as the name/);
  });

  it('may have no candidates', () => {
    expect(markAnswers(KEY, `${HEAD}\n`)).toEqual([]);
    expect(verdict('')).toMatch(/^CSV: /);
  });

  it('puts no control character of a name into an error', () => {
    expect(verdict(`${HEAD}\n"A\u001b[2Jnn",x,b,c\n`)).not.toContain('\u001b');
  });
});
