/**
 * Tables of answers as people's programs write them (RFC 4180 for the separators and the line ends).
 */
import { describe, expect, it } from 'vitest';
import { readCsv, writeCsv } from '../../src/exam/csv.js';

describe('a table of answers', () => {
  it('is understood where rows were added with other line ends than the first has', () => {
    const table = writeCsv([['candidate', 'Q1.1', 'Q1.2']]);
    expect(table.endsWith('\r\n')).toBe(true);
    expect(readCsv(`${table}One,a,b\nTwo,c,d\r\nThree,b,a\r`)).toEqual([
      { number: 1, cells: ['candidate', 'Q1.1', 'Q1.2'] },
      { number: 2, cells: ['One', 'a', 'b'] },
      { number: 3, cells: ['Two', 'c', 'd'] },
      { number: 4, cells: ['Three', 'b', 'a'] },
    ]);
  });

  it.each([',', ';', '\t'])('is understood with %j between its cells', (separator) => {
    const text = ['candidate', 'Q1.1'].join(separator) + '\n' + ['One', 'a'].join(separator);
    expect(readCsv(text).map(({ cells }) => cells)).toEqual([
      ['candidate', 'Q1.1'],
      ['One', 'a'],
    ]);
  });
});
