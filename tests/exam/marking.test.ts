/**
 * Tables of answers as candidates and examiners fill them in, good and bad.
 */
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { markAnswers, tableText, type MarkedQuestion, type PaperKey } from '../../src/exam/index.js';

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

/** Candidates as a class has them, with names that tables get wrong. */
const NAMES = [
  'Ann Example',
  'Müller, Jürgen',
  'O’Hara "Red" Pat',
  'Åse; Ødegård',
  '=SUM(A1)',
  '+49 dial',
  '第三 候補',
  ...Array.from({ length: 23 }, (_, i) => `Candidate ${i + 8}`),
];
/** What they chose: the k-th of them has its letters by its number, so that none can be given to another unseen. */
const lettersOf = (k: number) => [0, 1, 2].map((i) => ['a', 'b', 'c', 'd', ''][Math.floor(k / 5 ** i) % 5]);
const quoted = (cell: string) => `"${cell.replaceAll('"', '""')}"`;
const utf16 = (text: string) =>
  new Uint8Array([0xff, 0xfe, ...new Uint8Array(Uint16Array.from(text, (c) => c.charCodeAt(0)).buffer)]);

describe('thirty candidates in a spreadsheet', () => {
  const rows = NAMES.map((name, k) => [name, ...lettersOf(k)]);
  const plain = markAnswers(KEY, [HEAD, ...rows.map((row) => row.map(quoted).join(','))].join('\n'));
  const make = (delimiter: string, end: string, order: readonly number[] = [0, 1, 2, 3]) =>
    [HEAD.split(','), ...rows].map((row) => order.map((i) => quoted(row[i])).join(delimiter) + end).join('');

  it('have each their own letters', () => {
    expect(plain.map(({ candidate }) => candidate)).toEqual(NAMES);
    plain.forEach(({ answers }, k) => {
      expect(answers.map(({ given }) => given?.letter ?? '')).toEqual(lettersOf(k));
    });
  });

  it.each([
    ['semicolons', make(';', '\r\n')],
    ['tabs and old line ends', make('\t', '\r')],
    ['a mark in front', `\uFEFF${make(',', '\r\n')}`],
    ['the delimiter named', `sep=;\r\n${make(';', '\r\n')}`],
    ['columns swapped, candidates last', make(',', '\n', [3, 1, 2, 0])],
    [
      'capital letters',
      make(',', '\n').replace(/"([a-d])"/g, (_, letter: string) => `"${letter.toUpperCase()}"`),
    ],
    ['brackets', make(',', '\n').replace(/"([a-d])"/g, '"($1)"')],
    ['blanks around', make(',', '\n').replace(/"([a-d])"/g, '" $1 "')],
    ['empty cells behind and lines between', make(',', ',,\n\n').replace('\n\n', '\n')],
    ['guards against formulas', make(',', '\n').replace(/"([=+])/g, `"'$1`)],
    ['an empty line in front', `\r\n${make(',', '\r\n')}`],
  ])('are marked alike with %s', (_, table) => {
    expect(markAnswers(KEY, table)).toEqual(plain);
  });

  it.each([
    ['UTF-16', utf16],
    ['UTF-8', (text: string) => new TextEncoder().encode(text)],
    ['UTF-8 with a mark', (text: string) => new TextEncoder().encode(`\uFEFF${text}`)],
  ])('are marked alike from bytes in %s', (_, bytesOf) => {
    expect(markAnswers(KEY, tableText(bytesOf(make('\t', '\r\n'))))).toEqual(plain);
  });

  it('are read from Windows-1252 too', () => {
    const bytes = Uint8Array.from(`${HEAD}\nMüller Åse,a,b,c\n`, (character) => character.charCodeAt(0));
    expect(markAnswers(KEY, tableText(bytes))[0]).toMatchObject({ candidate: 'Müller Åse', marks: 3 });
  });

  it('are told where one stands twice, whatever its case and blanks, and where one has no name', () => {
    const twice = `${make(',', '\n')}"ann  example",a,b,c\n,a,b,c\n`;
    const message = verdict(twice);
    expect(message).toContain(
      'row 32, candidate: got "ann  example", expected each candidate once; row 2 has the same',
    );
    expect(message).toContain('row 33, candidate: got "", expected a name or number');
  });

  it('are told where a cell stands in a column without a name, which nobody could mark', () => {
    expect(verdict('candidate,Q1.1,,Q1.2,Q2.1\nOne,a,b,,c\n')).toBe(
      'row 2 (One), column 3: got "b", expected a name for this column in the first row',
    );
    expect(markAnswers(KEY, 'candidate,Q1.1,,Q1.2,Q2.1\nOne,a,,b,c\n')[0].marks).toBe(3);
  });

  it('with letters that are none are told, and none is marked: a Cyrillic а, two letters, a number', () => {
    const message = verdict(`${HEAD}\nOne,\u0430,ab,1\nTwo,a,b,c\n`);
    expect(message.split('\n')).toHaveLength(4);
    expect(message).toContain('row 2 (One), Q1.2: got "ab"');
  });
});

describe('versions', () => {
  const A: PaperKey = { ...KEY, version: 'A' };
  const B: PaperKey = {
    title: 'A paper',
    number: '1111 2222 3333',
    version: 'B',
    questions: [question('Q1.1', 'd'), question('Q2.1', 'd'), question('Q2.2', 'd')],
  };

  it('are marked each by its own key: in tables of their own', () => {
    const tables = [
      'candidate (paper 1111 2222 3333),Q1.1,Q2.1,Q2.2\nBert,d,d,d\n',
      'candidate (paper 4821 0937 5512),Q1.1,Q1.2,Q2.1\nAnn,a,b,c\n',
    ];
    const marks = markAnswers([A, B], tables);
    expect(marks.map(({ candidate, version, marks: own }) => [candidate, version, own])).toEqual([
      ['Bert', 'B', 3],
      ['Ann', 'A', 3],
    ]);
  });

  it('are marked each by its own key: in one table with a column that names them', () => {
    const table = [
      'candidate,version,Q1.1,Q1.2,Q2.1,Q2.2',
      'Ann,A,a,b,c,',
      'Bert,b,d,,d,d',
      'Cleo,1111 2222 3333,d,,a,',
    ].join('\n');
    expect(markAnswers([A, B], table).map(({ marks }) => marks)).toEqual([3, 3, 1]);
  });

  it('are told where a row names none, an unknown one, or answers a question that its version has not', () => {
    const table = 'candidate,version,Q1.1,Q1.2,Q2.1,Q2.2\nAnn,,a,b,c,\nBert,C,d,,d,d\nCleo,B,d,a,d,d\n';
    const lines = (refusal(() => markAnswers([A, B], table))?.message ?? '').split('\n');
    expect(lines.slice(1)).toEqual([
      '  row 2 (Ann), version: got "", expected the paper that was sat, one of 4821 0937 5512 (version A), 1111 2222 3333 (version B)',
      '  row 3 (Bert), version: got "C", expected the paper that was sat, one of 4821 0937 5512 (version A), 1111 2222 3333 (version B)',
      '  row 4 (Cleo), Q1.2: got "a", expected nothing: paper 1111 2222 3333 (version B) has no such question',
    ]);
  });

  it('are told where a candidate stands in the tables of two, or a table is of neither', () => {
    const of = (key: PaperKey, name: string) =>
      `candidate (paper ${key.number}),${key.questions.map(({ id }) => id).join(',')}\n${name},a,a,a\n`;
    expect(refusal(() => markAnswers([A, B], [of(A, 'Ann'), of(B, 'ANN')]))?.message).toBe(
      'table 2, row 2, candidate: got "ANN", expected each candidate once; table 1, row 2 has the same',
    );
    expect(refusal(() => markAnswers(A, of(B, 'Ann')))?.message).toMatch(
      /expected a table of paper 4821 0937 5512/,
    );
    expect(refusal(() => markAnswers([A, B], `${HEAD}\nAnn,a,b,c\n`))?.message).toMatch(
      /row 2 \(Ann\), version/,
    );
  });
});

describe('typed answers', () => {
  const typed = (id: string, answer: NonNullable<MarkedQuestion['typed']>): MarkedQuestion => ({
    id,
    text: 'Which?',
    choices: [],
    answer: 'as typed',
    typed: answer,
    because: 'So it is.',
  });
  const key: PaperKey = {
    title: 'A paper',
    number: '1',
    questions: [
      typed('Q1.1', { form: 'identity', identity: '299204518' }),
      // 45°30′N 030°15′W.
      typed('Q1.2', { form: 'position', position: { latitude: 45.5, longitude: -30.25 }, withinMinutes: 1 }),
      typed('Q1.3', { form: 'time', time: '23:59', withinMinutes: 2 }),
      typed('Q1.4', { form: 'frequency', hz: 2_182_000, withinHz: 50 }),
    ],
  };
  const mark = (...cells: string[]) => {
    const [{ answers }] = markAnswers(
      key,
      `candidate;Q1.1;Q1.2;Q1.3;Q1.4\nAnn;${cells.map(quoted).join(';')}\n`,
    );
    return answers.map(({ isRight, fault }) => fault ?? isRight);
  };

  it.each([
    [['299204518', `45°30'N 030°15'W`, '23:59', '2182']],
    [['299 204 518', '45 30N 030 15W', '2359', '2182.0 kHz']],
    [['299-204-518', '4530N 03015W', '23:59 UTC', '2182,0']],
    [['299.204.518', '45°31′N 030°14′W', '2357Z', '2.182 MHz']],
    [['２９９２０４５１８', 'N45 30 W030 15', '0001', '2182.05 kHz']],
  ])('are right in every form that says it: %j', (cells) => {
    expect(mark(...cells)).toEqual([true, true, true, true]);
  });

  it.each([
    [['299240518', `45°32'N 030°15'W`, '23:56', '2182.06 kHz']],
    [['002992045', `45°30'S 030°15'W`, '11:59', '2187.5']],
  ])('are wrong beyond the tolerance: %j', (cells) => {
    expect(mark(...cells)).toEqual(Array(4).fill('another value'));
  });

  it('are wrong, and never refused, in no form at all; nothing typed is nothing', () => {
    const faults = mark('2992045180', 'here', '25:00', 'sixteen');
    for (const fault of faults) expect(fault).toMatch(/^not in the form: /);
    expect(mark('', '', '', '')).toEqual([false, false, false, false]);
  });

  it('take longitudes round the other side of 180°', () => {
    const far = typed('Q1.1', {
      form: 'position',
      position: { latitude: 0, longitude: 179.99 },
      withinMinutes: 2,
    });
    const one: PaperKey = { ...key, questions: [far] };
    const [{ marks }] = markAnswers(one, `candidate;Q1.1\nAnn;"00°00'N 179°59.5'W"\n`);
    expect(marks).toBe(1);
  });
});
