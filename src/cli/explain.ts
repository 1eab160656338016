/**
 * `dotphase explain`: a sequence slot by slot.
 */
import type { Command } from 'commander';
import type { Band } from '../symbols/index.js';
import { DotphaseError } from '../errors.js';
import { groupAttempts } from '../receiver/index.js';
import { addCallFlags } from './callflags.js';
import { callOf, findKind, refuseCallFlags } from './callsource.js';
import { decodeFile } from './decoding.js';
import type { HeardCall } from './heardcall.js';
import { EXIT } from './exit.js';
import type { Sequence } from './explain/sequence.js';
import { isList, sequenceOfCall, sequenceOfList, sequenceOfReception } from './explain/source.js';
import { renderExplanation } from './explain/view.js';
import { STANDARD_STREAM, lookInto } from './input.js';
import { integerOption } from './options.js';
import { addProfileFlags, profileOf, type ProfileFlags } from './profile/profile.js';
import { clock, factsOf, sendingsText, trustOf } from './report.js';
import { LEAST_WIDTH, screenOf } from './terminal.js';

interface ExplainFlags extends ProfileFlags {
  readonly vhf?: true;
  readonly width?: number;
}

const HELP = `
Examples:
  A call made up from its fields, with the same flags as encode:
    dotphase explain distress-alert --from 299123456 --nature flooding \\
      --position "48°12'N 012°45'W" --time 09:30
  The calls in a recording, with what each slot read as:
    dotphase explain evening.wav
  A list of characters from one format specifier through the error check:
    dotphase explain 112 29 91 23 45 60 107 99 99 99 99 99 88 88 109 127 42
  A list of slots from the first phasing character on, x for each not read:
    dotphase explain 125 111 x 110 125 109 125 108 125 107 125 106 112 105 112 ...
  A call in JSON, as decode --json prints it:
    dotphase decode --json evening.wav | head -n 1 | dotphase explain -
  For a wall, in colour, through a pager:
    FORCE_COLOR=1 dotphase explain --width 110 evening.wav | less -R`;

/** Adds `explain` to the program. */
export function addExplain(program: Command): void {
  const command = program
    .command('explain')
    .summary('a sequence slot by slot: what each character is and how the error check comes about')
    .description(
      'Shows a sequence slot by slot: what each character is, DX and RX, the bits as B and Y, which were read, and how the error check comes about.',
    )
    .argument(
      '<what...>',
      'a kind of call in plain words, an audio file, a file with a call in JSON (- for standard input), or a list of characters',
    );
  addProfileFlags(addCallFlags(command), { position: true })
    .option('--vhf', 'on VHF channel 70 instead of MF/HF')
    .option(
      '--width <columns>',
      'columns to use (default: the terminal’s)',
      integerOption('--width', LEAST_WIDTH, 1000),
    )
    .addHelpText('after', HELP)
    .action(explain);
}

async function explain(what: readonly string[], flags: ExplainFlags): Promise<void> {
  const stream = process.stdout;
  const { width, colours } = screenOf(stream);
  const screen = { width: flags.width ?? width, colours };
  const sequences = await sequencesOf(what, flags);
  if (sequences.length === 0) {
    stream.write('No call was decoded.\n');
    process.exitCode = EXIT.nothing;
    return;
  }
  sequences.forEach((sequence, i) => {
    const { reception } = sequence;
    if (i > 0) stream.write('\n\n');
    if (reception?.start !== undefined) {
      stream.write(`${colours.dim(`Call ${i + 1} of ${sequences.length}, at ${clock(reception.start)}`)}\n`);
    }
    stream.write(renderExplanation(sequence, screen));
  });
}

async function sequencesOf(what: readonly string[], flags: ExplainFlags): Promise<Sequence[]> {
  const band: Band = flags.vhf ? 'vhf' : 'mf-hf';
  if (isList(what)) {
    refuseCallFlags(flags, what.join(' '));
    return [sequenceOfList(what, band)];
  }
  const [source, ...more] = what;
  if (more.length > 0 && findKind(what.join(' ')) === undefined) {
    throw new DotphaseError('what', what.join(' '), 'one kind of call, one file or a list of characters');
  }
  const name = more.length > 0 ? what.join(' ') : source;
  if (findKind(name) === undefined && name !== STANDARD_STREAM && /[./\\]/.test(name)) {
    const found = await lookInto(name);
    if (found.isRecording) {
      refuseCallFlags(flags, name);
      return groupAttempts(await heardIn(name)).map((group) => {
        const { best, sendings } = group;
        const often = sendings.length > 1 ? `, the surest of ${sendingsText(group)}` : '';
        return sequenceOfReception({
          ...best,
          trust: `Received at ${factsOf(best)}${often}; ${trustOf(best)}.`,
        });
      });
    }
  }
  const { symbols, expansions } = await callOf(name, flags, await profileOf(flags));
  return [sequenceOfCall(symbols, expansions, band)];
}

async function heardIn(file: string): Promise<HeardCall[]> {
  const calls: HeardCall[] = [];
  let failure: string | undefined;
  await decodeFile(file, { channel: 'best', bands: ['mf-hf', 'vhf'] }, (message) => {
    if (message.type === 'call') calls.push(message.call);
    if (message.type === 'error') failure = message.text;
  });
  if (failure !== undefined && calls.length === 0) throw new DotphaseError('file', file, failure);
  return calls;
}
