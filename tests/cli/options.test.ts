/**
 * Every option of every command reaches its command, wherever it stands.
 */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Command, Option } from 'commander';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createProgram } from '../../src/cli/program.js';
import { here } from './here.js';

/** The commands that do something, each by the names that lead to it. */
function commandsOf(command: Command, path: readonly string[] = []): (readonly string[])[] {
  return command.commands.flatMap((below) => {
    const way = [...path, below.name()];
    return [way, ...commandsOf(below, way)];
  });
}

const find = (program: Command, path: readonly string[]): Command =>
  path.reduce((command, name) => {
    const below = command.commands.find((each) => each.name() === name);
    if (!below) throw new Error(`no command ${name}`);
    return below;
  }, program);

const VALUE = '7';

/** An option as it is typed; what its reader makes of the value does not matter here. */
function typed(option: Option, form: 'apart' | 'joined'): string[] {
  const name = option.long ?? option.flags;
  if (!option.required) return [name];
  const value = option.argChoices?.[0] ?? VALUE;
  return form === 'apart' ? [name, value] : [`${name}=${value}`];
}

/** Runs a command line on a program whose commands only note their options; those of the command at `path`. */
async function optionsReached(
  path: readonly string[],
  args: (command: Command) => readonly string[],
): Promise<Record<string, unknown>> {
  // As a run does: with the one command alone.
  const program = await createProgram(path[0]);
  const command = find(program, path);
  let reached: Record<string, unknown> | undefined;
  for (const each of commandsOf(program)) {
    const { options } = find(program, each);
    for (const option of options) option.env(`UNSET_${option.attributeName()}`);
    find(program, each).action(() => {
      if (each.join(' ') === path.join(' ')) reached = find(program, each).opts();
    });
  }
  await program.parseAsync([...args(command)], { from: 'user' });
  if (!reached) throw new Error(`${path.join(' ')} was not run`);
  return reached;
}

const PROGRAM = await createProgram();
const CASES = commandsOf(PROGRAM).flatMap((path) =>
  find(PROGRAM, path)
    .options.filter(({ long }) => long !== '--help')
    .map((option) => [path.join(' '), option.long ?? option.flags] as const),
);

describe('each option reaches its command', () => {
  it('walks through all of them', () => {
    expect(CASES.length).toBeGreaterThan(100);
    expect(new Set(CASES.map(([path]) => path))).toContain('paper mark');
  });

  it.each(CASES)('dotphase %s %s', async (words, name) => {
    const path = words.split(' ');
    for (const form of ['apart', 'joined'] as const) {
      for (const order of ['before the arguments', 'behind them', 'between them'] as const) {
        let attribute = '';
        const reached = await optionsReached(path, (command) => {
          const option = command.options.find(({ long }) => long === name);
          if (!option) throw new Error(`no option ${name}`);
          attribute = option.attributeName();
          const needed = command.options.filter((other) => other.mandatory && other !== option);
          for (const each of [option, ...needed]) each.argParser((text: string) => text);
          const operands = command.registeredArguments.flatMap(({ variadic }) =>
            variadic ? ['a', 'b'] : ['a'],
          );
          const others = needed.flatMap((each) => typed(each, form));
          const own = typed(option, form);
          if (order === 'before the arguments') return [...path, ...own, ...others, ...operands];
          if (order === 'behind them') return [...path, ...operands, ...others, ...own];
          return [...path, ...operands.slice(0, 1), ...own, ...operands.slice(1), ...others];
        });
        const option = find(PROGRAM, path).options.find(({ long }) => long === name);
        // An option that begins with --no- turns off what is on by itself.
        const isOn = !(option?.negate ?? false);
        const expected = option?.required ? (option.argChoices?.[0] ?? VALUE) : isOn;
        expect(reached[attribute], `${form}, ${order}`).toBe(expected);
      }
    }
  });

  it('does not take the name of an option for the value of another', async () => {
    const run = await here(['decode', '--log', '--json', 'x.wav']);
    expect(run).toMatchObject({
      code: 2,
      stdout: '',
      stderr: 'dotphase: --log: got "--json", expected a value, as in --log <file>\n',
    });
  });
});

describe('marks', () => {
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'dotphase-options-'));
    await here(['paper', '--exercises', '1', '--out', join(folder, 'paper')]);
    const head = readFileSync(join(folder, 'paper', 'candidates.csv'), 'utf8');
    const answers = head.trim().split(',').fill('a', 1);
    writeFileSync(join(folder, 'paper', 'mine.csv'), `${head}One,${answers.slice(1).join(',')}\r\n`);
  });
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  it('are written where --out says, and an option before "mark" is refused', async () => {
    const answers = join(folder, 'paper', 'mine.csv');
    const out = join(folder, 'marks.csv');
    const misplaced = await here(['paper', '--out', out, 'mark', answers]);
    expect(misplaced.code).toBe(2);
    expect(misplaced.stderr).toBe('dotphase: --out: got "--out before mark", expected --out behind mark\n');
    expect(existsSync(out)).toBe(false);
    expect(await here(['paper', 'mark', answers, '--out', out])).toMatchObject({ code: 0, stderr: '' });
    expect(readFileSync(out, 'utf8')).toMatch(/candidate/);
  });
});
