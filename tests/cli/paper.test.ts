/**
 * `dotphase paper` and `dotphase paper mark` as examiners type them.
 */
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { here } from './here.js';

const SECRET = 'k7qf-2m4x-0rzt-9wbe';
const CALL = { kind: 'testCall', to: { station: '299123456' }, self: '002991234' };
/** One call on VHF, half a second. */
const PLAN = { sampleRate: 8000, exercises: [{ frequencyHz: 156_525_000, calls: [{ call: CALL }] }] };

let folder: string;
const at = (...names: string[]) => join(folder, ...names);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-paper-'));
  writeFileSync(at('plan.json'), JSON.stringify(PLAN));
  writeFileSync(at('secret.txt'), `${SECRET}\n`);
});

afterAll(() => {
  rmSync(folder, { recursive: true });
});

describe('a paper', () => {
  it('is the same from the same secret, given as text or in a file, and another without', async () => {
    const make = async (out: string, ...more: string[]) => {
      const run = await here(['paper', '--plan', at('plan.json'), '--out', at(out), ...more]);
      expect(run.code).toBe(0);
      return readdirSync(at(out)).map((name) => [name, readFileSync(at(out, name), 'latin1')]);
    };
    const first = await make('one', '--secret', SECRET);
    expect(await make('two', '--secret-file', at('secret.txt'))).toEqual(first);
    expect(await make('three')).not.toEqual(first);
    const shown = first.filter(([, content]) => content.includes(SECRET)).map(([name]) => name);
    expect(shown).toEqual(['answers.html', 'answers.json', 'plan.json']);
  });

  it.each([
    [['--seed', '7'], /^--seed: .*a paper is made from a secret/],
    [['--secret', '2026'], /^--secret: got "4 characters", expected text of 16 to 200/],
    [['--secret', SECRET, '--secret-file', 'x'], /one of --secret and --secret-file/],
    [['--secret-file', 'missing'], /missing/],
  ])('is refused with %j, and nothing is written', async (more, message) => {
    const { code, stderr } = await here(['paper', '--out', at('never'), ...more]);
    expect({ code, said: message.test(stderr.replace(/^dotphase: /, '')) ? 'as it should' : stderr }).toEqual(
      {
        code: 2,
        said: 'as it should',
      },
    );
    expect(stderr).not.toContain(SECRET);
    expect(existsSync(at('never'))).toBe(false);
  });
});

describe('marks', () => {
  it('name every cell that is wrong, and write nothing', async () => {
    const table = at('one', 'candidates.csv');
    const head = readFileSync(table, 'utf8');
    const untyped = await here(['paper', 'mark', table]);
    expect(untyped).toMatchObject({ code: 1, stdout: 'The table has no candidates.\n' });
    writeFileSync(table, `${head}One,x,a\r\nTwo,a,y\r\n`);
    const bad = await here(['paper', 'mark', table, '--out', at('marks.csv')]);
    expect(bad).toMatchObject({ code: 2, stdout: '' });
    expect(bad.stderr).toMatch(/row 2 \(One\), Q1\.1: got "x"[\s\S]*row 3 \(Two\), Q1\.2: got "y"/);
    expect(existsSync(at('marks.csv'))).toBe(false);
    expect(bad.stderr.match(/^ {2}row/gm)).toHaveLength(2);
    // A name that would turn a terminal red.
    writeFileSync(table, `${head}\u001b[31mRed,b,a\r\n`);
    const red = await here(['paper', 'mark', table]);
    expect(red.stdout).toContain('�[31mRed');
    expect(red.stdout).not.toContain('\u001b');
    writeFileSync(table, `${head}One,b,a\r\n`);
    expect(await here(['paper', 'mark', table, '--out', at('marks.csv')])).toMatchObject({ code: 0 });
    expect(readFileSync(at('marks.csv'), 'utf8')).toContain('One,all');
  });

  it('are not given by the answers of another paper', async () => {
    const run = await here([
      'paper',
      'mark',
      at('three', 'candidates.csv'),
      '--key',
      at('one', 'answers.json'),
    ]);
    expect(run.code).toBe(2);
    expect(run.stderr).toMatch(/expected a table of paper/);
  });
});

describe('versions', () => {
  it('stand in folders of their own, with a recording for the room, and are marked together', async () => {
    const plan = at('versions.json');
    writeFileSync(
      plan,
      JSON.stringify({ level: 1, exercises: [{ frequencyHz: 156_525_000 }], sampleRate: 8000 }),
    );
    const out = at('versions');
    const made = await here([
      ...['paper', '--plan', plan, '--versions', '2', '--written', '2', '--typed', '--no-pictures'],
      ...['--room', '--beeps', '--times', '1', '--answer-time', '1', '--secret', SECRET, '--out', out],
    ]);
    expect(made).toMatchObject({ code: 0 });
    expect(made.stdout).toMatch(/a\/01\.wav[\s\S]*b\/01\.wav[\s\S]*\(version A\)[\s\S]*room\.wav: .*beeps/);
    expect(readdirSync(out).sort()).toEqual(['a', 'b']);
    const keys = ['a', 'b'].map((letter) => {
      const text = readFileSync(join(out, letter, 'answers.json'), 'utf8');
      return JSON.parse(text) as { number: string; questions: { id: string; answer: string }[] };
    });
    expect(keys[0].questions).toHaveLength(keys[1].questions.length);
    const tables = ['a', 'b'].map((letter, i) => {
      const file = join(out, letter, 'candidates.csv');
      const cells = keys[i].questions.map(({ answer }, n) => (n === i ? '' : answer));
      writeFileSync(file, `${readFileSync(file, 'utf8')}${i === 0 ? 'Ann' : 'Bert'},${cells.join(',')}\r\n`);
      return file;
    });
    const results = at('results');
    const marked = await here(['paper', 'mark', ...tables, '--pass', '50', '--results', results]);
    expect(marked).toMatchObject({ code: 0 });
    const all = keys[0].questions.length;
    // The class stands before the candidates.
    expect(marked.stdout).toMatch(
      new RegExp(
        `^Class\\n  Ann +A +${all - 1} of ${all} .*passed\\n  Bert +B +${all - 1} of ${all} .*passed\\n  2 candidates, 2 passed[\\s\\S]*Ann: ${all - 1} of ${all}`,
      ),
    );
    expect(readdirSync(results).sort()).toEqual(['class.csv', 'marks.csv', 'questions.csv', 'results.html']);
    expect(readFileSync(join(results, 'class.csv'), 'utf8')).toContain(
      `Ann,${keys[0].number},A,${all - 1},${all}`,
    );
  });

  it('are refused where they cannot be', async () => {
    const run = await here(['paper', '--same-recordings', '--out', at('none')]);
    expect(run).toMatchObject({ code: 2 });
    expect(run.stderr).toContain('--same-recordings');
    expect(existsSync(at('none'))).toBe(false);
  });
});
