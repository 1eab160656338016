/**
 * `dotphase paper mark`: the answers of candidates to marks.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import { DotphaseError, reasonOf } from '../errors.js';
import { markAnswers, markReason, marksCsv, parsePaperKey, type CandidateMarks } from '../exam/index.js';
import { numberOption } from './options.js';
import { screenOf, wrap, type Screen } from './terminal.js';

interface MarkFlags {
  readonly key?: string;
  readonly out?: string;
  readonly json?: true;
  readonly pass?: number;
}

const LARGEST_BYTES = 64 * 1024 * 1024;

const EXAMPLES = `
The table has a column "candidate" and one for each question, a row for each
candidate and the letters chosen in the cells, empty where a question was left
out. candidates.csv, which stands beside the paper, is made for it. Where cells
cannot be understood, all of them are named, nothing is marked and nothing is
written.

Examples:
  dotphase paper mark monday/candidates.csv
  dotphase paper mark class-b.csv --key monday/answers.json --pass 70 \\
    --out marks.csv`;

/** Adds `mark` to the command `paper`. */
export function addMark(paper: Command): void {
  paper
    .command('mark')
    .summary('marks per candidate, with the reasons')
    .description('Marks the answers of candidates by the answers of a paper.')
    .argument('<answers>', 'CSV file with the letters that each candidate chose')
    .option('--key <file>', 'answers.json of the paper (default: beside the CSV file)')
    .option('--pass <percent>', 'marks in a hundred needed to pass', numberOption('--pass', 0, 100, '%'))
    .option('--json', 'one JSON object a line for each candidate')
    .option('--out <file>', 'write a table of all marks and reasons as CSV')
    .addHelpText('after', EXAMPLES)
    .action(mark);
}

/** The text of a file. */
export async function readText(file: string, what: string): Promise<string> {
  try {
    const bytes = await readFile(file);
    if (bytes.length <= LARGEST_BYTES) return bytes.toString('utf8');
  } catch (error) {
    throw new DotphaseError('file', file, `${what} that can be read (${reasonOf(error)})`);
  }
  throw new DotphaseError('file', file, `${what} of at most ${LARGEST_BYTES} bytes`);
}

async function readKey(file: string): Promise<ReturnType<typeof parsePaperKey>> {
  const text = await readText(file, 'the answers of a paper');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw new DotphaseError(file, text, `the answers of a paper in JSON (${reasonOf(error)})`);
  }
  return parsePaperKey(value);
}

/** Whether the marks suffice, where that was asked. */
function verdict({ percent }: CandidateMarks, pass: number | undefined): boolean | undefined {
  return pass === undefined ? undefined : percent >= pass;
}

function report(marks: CandidateMarks, pass: number | undefined, { width, colours }: Screen): string {
  const { candidate, of, percent, answers } = marks;
  const passed = verdict(marks, pass);
  const words =
    passed === undefined ? '' : passed ? `, ${colours.green('passed')}` : `, ${colours.red('not passed')}`;
  const wrong = answers.filter(({ isRight }) => !isRight);
  const indent = ' '.repeat(10);
  return [
    `${colours.bold(candidate)}: ${marks.marks} of ${of}, ${percent} %${words}`,
    ...wrong.flatMap((answer) =>
      wrap(`${answer.text} ${markReason(answer)}`, width, indent, `  ${answer.id.padEnd(8)}`),
    ),
  ].join('\n');
}

async function mark(file: string, { key, out, json, pass }: MarkFlags): Promise<void> {
  const table = await readText(file, 'a table of answers');
  const answers = await readKey(key ?? join(dirname(file), 'answers.json'));
  const marks = markAnswers(answers, table);
  if (out !== undefined) {
    try {
      await writeFile(out, marksCsv(marks));
    } catch (error) {
      throw new DotphaseError('--out', out, `a file that can be written (${reasonOf(error)})`);
    }
  }
  const screen = screenOf(process.stdout);
  for (const each of marks) {
    const passed = verdict(each, pass);
    const text = json
      ? JSON.stringify({ ...each, ...(passed !== undefined && { passed }) })
      : `${report(each, pass, screen)}\n`;
    process.stdout.write(`${text}\n`);
  }
  if (marks.length === 0 && !json) process.stdout.write('The table has no candidates.\n');
}
