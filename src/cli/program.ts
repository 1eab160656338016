/**
 * The command line: its commands, and how errors are reported.
 */
import { readFileSync } from 'node:fs';
import { Command, CommanderError } from 'commander';
import { DotphaseError } from '../errors.js';
import { EXIT, complain } from './exit.js';
import { keepOptionsInPlace } from './optionplaces.js';

const DESCRIPTION = `Maritime digital selective calling (DSC, ITU-R M.493): calls to audio, and audio back to calls.`;
const HELP = `
Exit status: 0 done, 1 nothing decoded, answered, acknowledged or marked, 2 bad
use, bad input, or something that could not be written.
Colours: NO_COLOR=1 switches them off, FORCE_COLOR=1 on.

Cautions:
  Never feed distress, urgency or safety audio to a transmitter on the air: use
  a dummy load or a cable. If a false alert goes out, cancel it by the published
  procedure. A decoded distress alert is not a watch: keep the watch your
  station must keep on its own equipment. Follow your administration's rules and
  licensed practice.`;

function version(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}

/** What adds each command; loaded when it is needed, since all of them together take a second. */
const COMMANDS: Readonly<Record<string, () => Promise<(program: Command) => void>>> = {
  encode: async () => (await import('./encode.js')).addEncode,
  decode: async () => (await import('./decode.js')).addDecode,
  explain: async () => (await import('./explain.js')).addExplain,
  degrade: async () => (await import('./degrade.js')).addDegrade,
  slice: async () => (await import('./slice.js')).addSlice,
  picture: async () => (await import('./picture.js')).addPicture,
  measure: async () => (await import('./measure.js')).addMeasure,
  sensitivity: async () => (await import('./sensitivity.js')).addSensitivity,
  paper: async () => (await import('./paper.js')).addPaper,
  rehearse: async () => (await import('./rehearse.js')).addRehearse,
  call: async () => (await import('./call.js')).addCall,
  answer: async () => (await import('./answer.js')).addAnswer,
  log: async () => (await import('./log.js')).addLog,
  heard: async () => (await import('./heard.js')).addHeard,
  watch: async () => (await import('./watch.js')).addWatch,
  archive: async () => (await import('./archive.js')).addArchive,
  book: async () => (await import('./book.js')).addBook,
};

/** Options of the program itself that need no command. */
const VERSION_FLAGS = ['-V', '--version'];

/**
 * The program.
 *
 * @param only - the name of the one command that is wanted; all of them unless it is one
 */
export async function createProgram(only = ''): Promise<Command> {
  const program = new Command('dotphase')
    .description(DESCRIPTION)
    .version(version())
    .exitOverride()
    .configureOutput({
      outputError: (message) => {
        complain(`${message.replace(/^error: /, '').trimEnd()} (see dotphase --help)`);
      },
    })
    .addHelpText('after', HELP);
  const commands = VERSION_FLAGS.includes(only) ? [] : Object.values(COMMANDS);
  const wanted = Object.hasOwn(COMMANDS, only) ? [COMMANDS[only]] : commands;
  for (const add of await Promise.all(wanted.map((load) => load()))) add(program);
  keepOptionsInPlace(program);
  return program;
}

/**
 * Runs a command line.
 *
 * @param args - the arguments behind the program's name
 */
export async function run(args: readonly string[]): Promise<void> {
  try {
    const program = await createProgram(args[0]);
    await program.parseAsync(args, { from: 'user' });
  } catch (error) {
    if (error instanceof CommanderError) {
      process.exitCode = error.exitCode === 0 ? EXIT.done : EXIT.bad;
      return;
    }
    process.exitCode = EXIT.bad;
    complain(error instanceof Error ? error.message : String(error));
    if (!(error instanceof DotphaseError) && error instanceof Error)
      process.stderr.write(`${error.stack ?? ''}\n`);
  }
}
