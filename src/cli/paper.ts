/**
 * `dotphase paper`: exercises for those who learn to read calls.
 */
import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING, reasonOf } from '../errors.js';
import {
  LEVELS,
  SECRET_RULE,
  SHORTEST_SECRET,
  isSecret,
  makePaper,
  paperFiles,
  type Level,
  type PaperPlan,
} from '../exam/index.js';
import { lookInto } from './input.js';
import { integerOption } from './options.js';
import { addMark, readText } from './papermark.js';
import { screenOf, wrap } from './terminal.js';

interface PaperFlags {
  readonly out?: string;
  readonly level?: Level;
  readonly secret?: string;
  readonly secretFile?: string;
  readonly seed?: string;
  readonly exercises?: number;
  readonly title?: string;
  readonly characters?: true;
  readonly plan?: string;
  readonly force?: true;
}

const MOST_EXERCISES = 60;

function levelsHelp(): string {
  const { width } = screenOf(process.stdout);
  const lines = Object.entries(LEVELS).flatMap(([level, { about }]) =>
    wrap(about, width, '     ', `  ${level}  `),
  );
  return `\nLevels:\n${lines.join('\n')}`;
}

const EXAMPLES = `
Examples:
  A paper of six easy exercises in the folder monday:
    dotphase paper --level 1 --out monday
  The same paper again, from the secret that stands in monday/plan.json, or
  with one exercise of that plan changed by hand:
    dotphase paper --plan monday/plan.json --out tuesday
  Marks for the letters that were typed into monday/candidates.csv:
    dotphase paper mark monday/candidates.csv`;

/** Adds `paper` to the program. */
export function addPaper(program: Command): void {
  const command = program
    .command('paper')
    .summary('recordings with questions and answers, and the marks')
    .description(
      'Makes a set of exercises: numbered WAV files, a question sheet and an answer sheet that print on A4, both as JSON and CSV too. Every recording is received again before it counts. A paper is made from a secret, drawn anew each time unless given: the same secret, level and number of exercises give the same paper. Questions show a number made one way from it; the secret stands in plan.json and with the answers, and whoever has it can make the answers.',
    )
    .option('--out <folder>', 'folder to write to; made if it does not exist')
    .option(
      '--level <number>',
      'how hard, 1 to 5 (default 1)',
      (text) => integerOption('--level', 1, 5)(text) as Level,
    )
    .option(
      '--secret-file <file>',
      `file with the secret to make the paper from: ${SHORTEST_SECRET} characters or more that nobody guesses`,
    )
    .option('--secret <text>', 'the secret itself; others may see it in the list of processes')
    .addOption(new Option('--seed <number>').hideHelp())
    .option('--exercises <number>', 'how many (default 6)', integerOption('--exercises', 1, MOST_EXERCISES))
    .option('--title <text>', 'heading of the sheets')
    .option('--characters', 'print the characters as received, for candidates without a receiver')
    .option('--plan <file>', 'JSON file that says more; the other options go before what it says')
    .option('--force', 'write into a folder that has files in it')
    .addHelpText('after', levelsHelp)
    .addHelpText('after', EXAMPLES)
    .action(paper);
  addMark(command);
}

async function readPlan(file: string): Promise<PaperPlan> {
  const found = await lookInto(file);
  if (found.isRecording) throw new DotphaseError(file, 'an audio file', 'a plan in JSON');
  try {
    return JSON.parse(found.text) as PaperPlan;
  } catch (error) {
    throw new DotphaseError(file, found.text, `a plan in JSON (${reasonOf(error)})`);
  }
}

/** The secret that the options give, if they do. */
async function secretOf({ secret, secretFile, seed }: PaperFlags): Promise<string | undefined> {
  if (seed !== undefined) {
    const expected = 'no seed: a paper is made from a secret, drawn anew unless --secret-file names one';
    throw new DotphaseError('--seed', seed, expected);
  }
  if (secret !== undefined && secretFile !== undefined) {
    throw new DotphaseError('--secret', secret.replace(/./g, '•'), 'one of --secret and --secret-file');
  }
  const [name, given] =
    secretFile === undefined
      ? ['--secret', secret]
      : ['--secret-file', (await readText(secretFile, 'a file with a secret')).trim()];
  if (given !== undefined && !isSecret(given)) {
    throw new DotphaseError(name, `${given.length} characters`, SECRET_RULE);
  }
  return given;
}

async function planOf(flags: PaperFlags): Promise<PaperPlan> {
  const { plan, level, exercises, title, characters } = flags;
  const secret = await secretOf(flags);
  const given = plan === undefined ? {} : await readPlan(plan);
  const isObject = typeof given === 'object' && (given as unknown) !== null && !Array.isArray(given);
  if (!isObject) return given;
  return {
    ...given,
    ...(level !== undefined && { level }),
    ...(secret !== undefined && { secret }),
    ...(exercises !== undefined && { exercises }),
    ...(title !== undefined && { title }),
    ...(characters && { characters }),
  };
}

/** Makes sure that a folder is there, and empty unless that does not matter. */
async function prepareFolder(folder: string, force: boolean): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
    const files = await readdir(folder);
    if (files.length > 0 && !force) {
      throw new DotphaseError('--out', folder, 'an empty folder, or --force beside it');
    }
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('--out', folder, `a folder that can be written to (${reasonOf(error)})`);
  }
}

const CAUTION =
  'Caution: play the recordings over headphones, loudspeakers or a cable to a receiver. Never feed distress, urgency or ' +
  'safety audio to a transmitter on the air: use a dummy load or a cable. Follow your administration’s rules and licensed ' +
  'practice; if a false alert goes out, cancel it by the published procedure.';

async function paper(flags: PaperFlags): Promise<void> {
  const { out } = flags;
  if (out === undefined) throw new DotphaseError('--out', NOTHING, 'the folder to write to');
  const plan = await planOf(flags);
  await prepareFolder(out, flags.force ?? false);
  const { width, colours } = screenOf(process.stdout);
  const say = (text: string, indent = '') => {
    process.stdout.write(`${wrap(text, width, indent, '').join('\n')}\n`);
  };
  const made = makePaper(plan, ({ file, heardOn, seconds, calls, questions }) => {
    const number = `${calls.length} ${calls.length === 1 ? 'call' : 'calls'}`;
    const text = `${heardOn}, ${seconds.toFixed(1)} s, ${number}, ${questions.length} questions`;
    say(`${colours.bold(file)}  ${text}`, '        ');
  });
  for (const { name, content } of paperFiles(made)) await writeFile(join(out, name), content);
  say(
    `${colours.bold(out)}: questions.html and answers.html to print, both as JSON and CSV, candidates.csv to type the answers into, plan.json to make the paper again. It is paper ${made.number}. Hand out the recordings and questions.* alone: plan.json and answers.* hold its secret.`,
  );
  const error = screenOf(process.stderr);
  process.stderr.write(`${error.colours.yellow(wrap(CAUTION, error.width).join('\n'))}\n`);
}
