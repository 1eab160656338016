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
  makeVersions,
  paperFiles,
  parsePaperPlan,
  roomFiles,
  type Level,
  type Paper,
  type PaperExercise,
  type PaperPlan,
  type RoomOptions,
} from '../exam/index.js';
import { lookInto } from './input.js';
import { integerOption, numberOption } from './options.js';
import { findVoice } from './paper/speech.js';
import { addMark, readText } from './papermark.js';
import { plain, screenOf, wrap } from './terminal.js';

interface PaperFlags {
  readonly out?: string;
  readonly level?: Level;
  readonly secret?: string;
  readonly secretFile?: string;
  readonly seed?: string;
  readonly exercises?: number;
  readonly title?: string;
  readonly characters?: true;
  readonly pictures?: boolean;
  readonly typed?: true;
  readonly written?: number;
  readonly versions?: number;
  readonly sameRecordings?: true;
  readonly room?: true;
  readonly times?: number;
  readonly pause?: number;
  readonly answerTime?: number;
  readonly beeps?: true;
  readonly plan?: string;
  readonly force?: true;
}

const MOST_EXERCISES = 60;
const MOST_VERSIONS = 8;

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
  Three versions of one difficulty in monday/a, monday/b and monday/c, each
  with five written questions and one long recording for the room:
    dotphase paper --level 2 --versions 3 --written 5 --room --out monday
  Marks for the letters that were typed into monday/candidates.csv:
    dotphase paper mark monday/candidates.csv`;

/** Adds `paper` to the program. */
export function addPaper(program: Command): void {
  const command = program
    .command('paper')
    .summary('recordings with questions and answers, and the marks')
    .description(
      'Makes a set of exercises: numbered WAV files, a question sheet and an answer sheet that print on A4, both as JSON and CSV too. Every recording is received again before it counts. A paper is made from a secret, drawn anew each time unless given: the same secret, level and number of exercises give the same paper. Keep its files all the same: another version of Node may make recordings that differ in their noise. Questions show a number made one way from it; the secret stands in plan.json and with the answers, and whoever has it can make the answers.',
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
    .option('--no-pictures', 'print no spectrograms on the question sheet')
    .option('--typed', 'let identities, positions, times and frequencies be typed, not chosen')
    .option(
      '--written <number>',
      'questions about rules and frequencies as well, without a recording',
      integerOption('--written', 1, MOST_EXERCISES),
    )
    .option(
      '--versions <number>',
      'versions A, B and so on of one difficulty, each in a folder of its own',
      integerOption('--versions', 1, MOST_VERSIONS),
    )
    .option(
      '--same-recordings',
      'let all versions have the same recordings, with other letters: for one room',
    )
    .option(
      '--room',
      'one long recording for the room as well, room.wav: the number of each exercise, spoken where espeak-ng is installed and else in beeps, the exercise, and pauses',
    )
    .option(
      '--times <number>',
      'how often it has each exercise, 1 to 5 (default 2)',
      integerOption('--times', 1, 5),
    )
    .option(
      '--pause <seconds>',
      'before it has an exercise again (default 5)',
      numberOption('--pause', 0, 120, 's'),
    )
    .option(
      '--answer-time <seconds>',
      'to answer in, behind each exercise (default 30)',
      numberOption('--answer-time', 0, 600, 's'),
    )
    .option(
      '--beeps',
      'beeps in place of a voice: a long low one for each ten, a short high one for each unit',
    )
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
  const { plan, level, exercises, title, characters, pictures, typed, written, versions, sameRecordings } =
    flags;
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
    ...(pictures === false && { pictures }),
    ...(typed && { typed }),
    ...(written !== undefined && { written }),
    ...(versions !== undefined && { versions }),
    ...(sameRecordings && { vary: 'letters' as const }),
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

/** Options that say what the recording for the room is like, and ask for one by themselves. */
const ROOM_FLAGS = ['times', 'pause', 'answerTime', 'beeps'] as const;

/** The recording for the room that the options ask for. */
function roomOf(flags: PaperFlags, sampleRate: number): RoomOptions | undefined {
  const isAsked = flags.room ?? ROOM_FLAGS.some((name) => flags[name] !== undefined);
  if (!isAsked) return undefined;
  const { times, pause, answerTime, beeps } = flags;
  return {
    times,
    pauseSeconds: pause,
    answerSeconds: answerTime,
    speak: beeps ? undefined : findVoice(sampleRate),
  };
}

/** Writes a version into its folder. */
async function write(folder: string, paper: Paper, room: RoomOptions | undefined): Promise<void> {
  await mkdir(folder, { recursive: true });
  const files = [...paperFiles(paper), ...(room ? roomFiles(paper, room) : [])];
  for (const { name, content } of files) await writeFile(join(folder, name), content);
}

/** Makes sure that a voice is there, or says what will be heard instead. */
function sayVoice(room: RoomOptions | undefined, { beeps }: PaperFlags, say: (text: string) => void): void {
  if (!room) return;
  const how = room.speak
    ? 'spoken numbers'
    : `numbers in beeps, a long low one for each ten and a short high one for each unit${beeps ? '' : ' (espeak-ng would speak them where it is installed)'}`;
  say(`room.wav: one long recording for the room, with ${how}; room.csv: what is to be heard when.`);
}

async function paper(flags: PaperFlags): Promise<void> {
  const { out } = flags;
  if (out === undefined) throw new DotphaseError('--out', NOTHING, 'the folder to write to');
  const plan = await planOf(flags);
  const { versions, version, sampleRate } = parsePaperPlan(plan);
  if (flags.sameRecordings && versions === 1) {
    throw new DotphaseError('--same-recordings', 'one version', '--versions beside it');
  }
  await prepareFolder(out, flags.force ?? false);
  const { width, colours } = screenOf(process.stdout);
  const say = (text: string, indent = '') => {
    process.stdout.write(`${wrap(text, width, indent, '').join('\n')}\n`);
  };
  const folderOf = (letter: string | undefined) =>
    versions > 1 && letter !== undefined ? join(out, letter.toLowerCase()) : out;
  const room = roomOf(flags, sampleRate);
  const told = ({ file, heardOn, seconds, calls, questions }: PaperExercise, letter: string) => {
    const number = `${calls.length} ${calls.length === 1 ? 'call' : 'calls'}`;
    const text = `${heardOn}, ${seconds.toFixed(1)} s, ${number}, ${questions.length} questions`;
    const name = versions > 1 ? `${letter.toLowerCase()}/${file}` : file;
    say(`${colours.bold(name)}  ${text}`, '        ');
  };
  // A plan of one version keeps its letter.
  const made =
    versions > 1
      ? makeVersions(plan, told)
      : [
          makePaper(plan, (exercise) => {
            told(exercise, version);
          }),
        ];
  for (const each of made) await write(folderOf(each.version), each, room);
  const numbers = made.map((each) =>
    each.version === undefined ? each.number : `${each.number} (version ${each.version})`,
  );
  const folders = made.map((each) => folderOf(each.version)).join(', ');
  say(
    `${colours.bold(plain(folders))}: questions.html and answers.html to print, both as JSON and CSV, candidates.csv to type the answers into, plan.json to make the paper again. It is paper ${numbers.join(', ')}. Hand out the recordings and questions.* alone: plan.json and answers.* hold its secret.`,
  );
  sayVoice(room, flags, say);
  const error = screenOf(process.stderr);
  process.stderr.write(`${error.colours.yellow(wrap(CAUTION, error.width).join('\n'))}\n`);
}
