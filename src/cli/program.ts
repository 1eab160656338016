/**
 * The command line: its commands, and how errors are reported.
 */
import { readFileSync } from 'node:fs';
import { Command, CommanderError } from 'commander';
import { DotphaseError } from '../errors.js';
import { addAnswer } from './answer.js';
import { addArchive } from './archive.js';
import { addBook } from './book.js';
import { addCall } from './call.js';
import { addDecode } from './decode.js';
import { addDegrade } from './degrade.js';
import { addEncode } from './encode.js';
import { EXIT, complain } from './exit.js';
import { addExplain } from './explain.js';
import { addHeard } from './heard.js';
import { addPaper } from './paper.js';
import { addMeasure } from './measure.js';
import { addLog } from './log.js';
import { keepOptionsInPlace } from './optionplaces.js';
import { addPicture } from './picture.js';
import { addRehearse } from './rehearse.js';
import { addSensitivity } from './sensitivity.js';
import { addSlice } from './slice.js';
import { addWatch } from './watch.js';

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

/** The program with all its commands. */
export function createProgram(): Command {
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
  addEncode(program);
  addDecode(program);
  addExplain(program);
  addDegrade(program);
  addSlice(program);
  addPicture(program);
  addMeasure(program);
  addSensitivity(program);
  addPaper(program);
  addRehearse(program);
  addCall(program);
  addAnswer(program);
  addLog(program);
  addHeard(program);
  addWatch(program);
  addArchive(program);
  addBook(program);
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
    await createProgram().parseAsync(args, { from: 'user' });
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
