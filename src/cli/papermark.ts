/**
 * `dotphase paper mark`: the answers of candidates to marks, and how the questions did.
 */
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Command } from 'commander';
import { DotphaseError, reasonOf } from '../errors.js';
import {
  classCsv,
  classResults,
  markReason,
  marksCsv,
  parsePaperKey,
  questionsStatisticsCsv,
  resultsSheet,
  tableText,
  type CandidateResult,
  type ClassResults,
  type PaperKey,
} from '../exam/index.js';
import { numberOption } from './options.js';
import { EXIT } from './exit.js';
import { plain, screenOf, wrap, type Screen } from './terminal.js';

interface MarkFlags {
  readonly key?: readonly string[];
  readonly out?: string;
  readonly results?: string;
  readonly json?: true;
  readonly pass?: number;
}

const LARGEST_BYTES = 64 * 1024 * 1024;

const EXAMPLES = `
The table has a column "candidate" and one for each question, a row for each
candidate and the letters chosen in the cells, or what was typed, empty where a
question was left out. candidates.csv, which stands beside the paper, is made
for it. Where cells cannot be understood, all of them are named, nothing is
marked and nothing is written. Tables of several versions are marked together.

Examples:
  dotphase paper mark monday/candidates.csv
  dotphase paper mark monday/a/candidates.csv monday/b/candidates.csv \\
    --pass 70 --results monday/results
  dotphase paper mark class-b.csv --key monday/answers.json --out marks.csv`;

/** Adds `mark` to the command `paper`. */
export function addMark(paper: Command): void {
  paper
    .command('mark')
    .summary('marks of a class, with the reasons, and how each question did')
    .description(
      'Marks the answers of candidates by the answers of a paper: the class first, then each candidate with the reason for every answer that was wrong, then the questions that should be looked at.',
    )
    .argument('<answers...>', 'CSV files with what each candidate chose')
    .option(
      '--key <file>',
      'answers.json of the paper (default: beside each CSV file); may be given again for another version',
      (file: string, before: readonly string[] | undefined) => [...(before ?? []), file],
    )
    .option('--pass <percent>', 'marks in a hundred needed to pass', numberOption('--pass', 0, 100, '%'))
    .option('--json', 'one JSON object a line for each candidate')
    .option('--out <file>', 'write a table of all marks and reasons as CSV')
    .option(
      '--results <folder>',
      'write results.html to print (the class, a page for each candidate, the questions), class.csv, marks.csv and questions.csv',
    )
    .addHelpText('after', EXAMPLES)
    .action(mark);
}

async function readBytes(file: string, what: string): Promise<Uint8Array> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(file);
  } catch (error) {
    throw new DotphaseError('file', file, `${what} that can be read (${reasonOf(error)})`);
  }
  if (bytes.length <= LARGEST_BYTES) return bytes;
  throw new DotphaseError('file', file, `${what} of at most ${LARGEST_BYTES} bytes`);
}

/** The text of a file. */
export async function readText(file: string, what: string): Promise<string> {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(await readBytes(file, what));
}

async function readKey(file: string): Promise<PaperKey> {
  const text = await readText(file, 'the answers of a paper');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw new DotphaseError(file, text, `the answers of a paper in JSON (${reasonOf(error)})`);
  }
  return parsePaperKey(value);
}

const signed = (value: number) => value.toFixed(2).replace('-', '−');

const verdict = ({ passed }: CandidateResult, { colours }: Screen) =>
  passed === undefined ? '' : passed ? colours.green('passed') : colours.red('not passed');

function classLines({ candidates, summary }: ClassResults, screen: Screen): string {
  const longest = Math.min(40, Math.max(...candidates.map(({ candidate }) => candidate.length)));
  const rows = candidates.map((each) => {
    const version = each.version === undefined ? '' : `  ${each.version}`;
    const marks = `${String(each.marks).padStart(4)} of ${each.of}  ${each.percent.toFixed(1).padStart(5)} %`;
    return `  ${plain(each.candidate).padEnd(longest)}${version}${marks}  ${verdict(each, screen)}`.trimEnd();
  });
  const { mean, passed, reliability } = summary;
  const figures = [
    `${candidates.length} ${candidates.length === 1 ? 'candidate' : 'candidates'}`,
    ...(passed === undefined ? [] : [`${passed} passed`]),
    ...(mean === undefined ? [] : [`mean ${mean.toFixed(1)} %`]),
    ...reliability.map(
      ({ version, value }) =>
        `reliability (KR-20)${version === undefined ? '' : ` of version ${version}`} ${signed(value)}`,
    ),
  ];
  return [screen.colours.bold('Class'), ...rows, `  ${figures.join(', ')}`].join('\n');
}

function candidateLines(each: CandidateResult, screen: Screen): string {
  const { width, colours } = screen;
  const { candidate, of, percent, answers } = each;
  const passed = verdict(each, screen);
  const wrong = answers.filter(({ isRight }) => !isRight);
  const indent = ' '.repeat(10);
  return [
    `${colours.bold(plain(candidate))}: ${each.marks} of ${of}, ${percent} %${passed === '' ? '' : `, ${passed}`}`,
    ...wrong.flatMap((answer) =>
      wrap(plain(`${answer.text} ${markReason(answer)}`), width, indent, `  ${answer.id.padEnd(8)}`),
    ),
  ].join('\n');
}

/** The questions that should be looked at; empty where there are none. */
function questionLines({ questions }: ClassResults, { width, colours }: Screen): string {
  const remarked = questions.filter(({ remarks }) => remarks.length > 0);
  if (remarked.length === 0) return '';
  const lines = remarked.flatMap(({ id, version, text, candidates, right, separation, remarks }) => {
    const figures = `${right} of ${candidates} right${separation === undefined ? '' : `, point-biserial ${signed(separation)}`}`;
    const name = `${version ?? ''}${version === undefined ? '' : ' '}${id}`;
    return wrap(`${text} ${figures}. ${remarks.join(' ')}`, width, ' '.repeat(12), `  ${name.padEnd(10)}`);
  });
  return [colours.bold('Questions to look at'), ...lines].join('\n');
}

async function writeResults(folder: string, results: ClassResults): Promise<void> {
  const files = {
    'results.html': resultsSheet(results),
    'class.csv': classCsv(results),
    'marks.csv': marksCsv(results.candidates),
    'questions.csv': questionsStatisticsCsv(results),
  };
  try {
    await mkdir(folder, { recursive: true });
    for (const [name, content] of Object.entries(files)) await writeFile(join(folder, name), content);
  } catch (error) {
    throw new DotphaseError('--results', folder, `a folder that can be written to (${reasonOf(error)})`);
  }
}

/** The keys of the tables, each once. */
async function keysFor(tables: readonly string[], given: readonly string[] | undefined): Promise<PaperKey[]> {
  const files = [...new Set(given ?? tables.map((table) => join(dirname(table), 'answers.json')))];
  const keys = await Promise.all(files.map(readKey));
  return keys.filter(({ number }, i) => keys.findIndex((other) => other.number === number) === i);
}

async function mark(tables: string[], { key, out, results: folder, json, pass }: MarkFlags): Promise<void> {
  const texts: string[] = [];
  for (const table of tables) texts.push(tableText(await readBytes(table, 'a table of answers')));
  const results = classResults(await keysFor(tables, key), texts, { pass });
  const { candidates } = results;
  if (out !== undefined) {
    try {
      await writeFile(out, marksCsv(candidates));
    } catch (error) {
      throw new DotphaseError('--out', out, `a file that can be written (${reasonOf(error)})`);
    }
  }
  if (folder !== undefined) await writeResults(folder, results);
  process.exitCode = candidates.length === 0 ? EXIT.nothing : EXIT.done;
  if (json) {
    for (const each of candidates) process.stdout.write(`${JSON.stringify(each)}\n`);
    return;
  }
  if (candidates.length === 0) {
    process.stdout.write('The table has no candidates.\n');
    return;
  }
  const screen = screenOf(process.stdout);
  const parts = [
    classLines(results, screen),
    ...candidates.map((each) => candidateLines(each, screen)),
    questionLines(results, screen),
  ];
  process.stdout.write(`${parts.filter((part) => part !== '').join('\n\n')}\n`);
}
