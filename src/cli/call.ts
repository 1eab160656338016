/**
 * `dotphase call`: sends a call through real sound, and carries the exchange through.
 */
import { resolve } from 'node:path';
import type { Command } from 'commander';
import { encodeCall, type Call } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { formatFrequency } from '../frequencies/index.js';
import type { Band } from '../symbols/index.js';
import { dbToAmplitude } from '../dsp/index.js';
import {
  channelWarnings,
  dialAdvice,
  frequencyWarning,
  problemText,
  problemsOf,
  suitedFrequencies,
} from './advice.js';
import { STATUS, type Outcome } from './call/ending.js';
import { LiveExchange, type Ask, type CallPlan } from './call/exchange.js';
import { Printer } from './call/printer.js';
import { ExchangeRecord } from './call/record.js';
import { addCallFlags } from './callflags.js';
import { frequenciesFor, readFrequencies, type GivenFrequencies } from './callfrequencies.js';
import { callOf, sourceOf } from './callsource.js';
import { transmitCaution } from './cautions.js';
import { EXIT, complain, statusOf } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { integerOption, numberOption } from './options.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { addRawFlags } from './rawflags.js';
import { addSoundFlags, openSound, type SoundFlags, type StreamFlags } from './sound/flags.js';
import type { SoundPort } from './sound/port.js';
import { ENDING } from './stopsignal.js';

interface CallCommandFlags extends ProfileFlags, SoundFlags, StreamFlags {
  readonly json?: true;
  readonly vhf?: true;
  readonly frequency?: GivenFrequencies;
  readonly centre?: number;
  readonly inverted?: true;
  readonly level: number;
  readonly wait?: number;
  readonly attempts?: number;
  readonly offAir?: true;
  readonly log?: string;
}

const DEFAULT_LEVEL_DB = -6;

const HELP = `
dotphase encode --help lists the kinds of call and the fields of each.

What goes out is shown as it goes out: dots, phasing, each character in DX and
RX, and the seconds on the air. Then it listens, also while it sends, explains
the acknowledgement, and otherwise offers to send again when the procedures
allow it, each time with the rule. The own sound in the input is known again
and not taken for a call. What else is heard is shown and logged.

On a terminal you are asked what comes next; elsewhere, or with --attempts, it
goes on by itself. Calls that are not routine ask first whether the set is on a
dummy load or a cable, unless --off-air says so.

With --in and --out two pipes carry raw samples, in real time, to a set or a
station anywhere, or two WAV files stand for the input and the output: then it
computes as fast as it can, and behind the end of the input there is silence.

Exit status: 0 sent, and acknowledged where that is asked for; 1 no
acknowledgement, or "unable to comply"; 2 bad use, or something failed; 130
ended with Ctrl-C. The log is whole in any case.

Examples:
  A test call through the sound card, the set on a dummy load:
    dotphase call test-call --from 299123456 --to 002991234 --off-air
  A routine call on VHF, logged, with another recorder and player:
    dotphase call routine-call --vhf --from 299123456 --to 299654321 \\
      --receive "vhf 8" --log calls.db --sound sox
  With programs of your own choice:
    dotphase call test-call --from 299123456 --to 002991234 --off-air \\
      --recorder "arecord -q -D hw:1 -t raw -f S16_LE -c 1 -r {rate}" \\
      --player "aplay -q -D hw:1 -t raw -f S16_LE -c 1 -r {rate}"
  Three attempts at most, without questions, through pipes:
    dotphase call test-call --from 299123456 --to 002991234 --off-air \\
      --attempts 3 --raw s16 --rate-hz 12000 --in back --out there
  What would be sent, and how a recording answers it:
    dotphase call test-call --from 299123456 --to 002991234 \\
      --in heard.wav --out sent.wav`;

/** Adds `call` to the program. */
export function addCall(program: Command): void {
  const command = program
    .command('call')
    .summary('sends a call and waits for its acknowledgement, through a sound card')
    .description(
      'Sends a call through a sound card, pipes or files, shows it as it goes out, and listens for the acknowledgement.',
    )
    .argument(
      '[call]',
      'a kind of call in plain words, a call in JSON, a file with one, or - for JSON from standard input',
    );
  addProfileFlags(addCallFlags(command), { position: true })
    .option('--json', 'the call is JSON, from standard input where none is named')
    .option('--vhf', 'VHF channel 70, 1200 Bd, instead of MF/HF, 100 Bd')
    .option(
      '--frequency <frequency>',
      'DSC frequency it goes out on, as in "8414.5 kHz"; for a distress alert may be given again, or all (default: one of the called station in the address book, else the lowest that suits the call)',
      readFrequencies,
    )
    .option(
      '--wait <seconds>',
      'for the acknowledgement (default: about 60 s, common practice; of a distress alert until its next attempt)',
      numberOption('--wait', 1, 3600, 'seconds'),
    )
    .option(
      '--attempts <number>',
      'send so many times at most, without questions (default: asks on a terminal, else 1)',
      integerOption('--attempts', 1, 100),
    )
    .option('--off-air', 'the set is on a dummy load or a cable: do not ask')
    .option(
      '--centre <hz>',
      'midway between the tones that are sent (default 1700)',
      numberOption('--centre', 200, 3000, 'Hz'),
    )
    .option('--inverted', 'swap the tones that are sent, as lower sideband does')
    .option(
      '--level <db>',
      'peak level below full scale',
      numberOption('--level', -100, 0, 'dB'),
      DEFAULT_LEVEL_DB,
    )
    .option(...LOG_FLAG);
  addSoundFlags(command)
    .option(
      '--in <file>',
      'instead of a sound card: pipe with raw samples, - for standard input, or a WAV file',
    )
    .option(
      '--out <file>',
      'beside --in: pipe for raw samples (s16), - for standard output, or a WAV file to write',
    );
  addRawFlags(command).addHelpText('after', HELP).action(call);
}

/** The DSC frequencies that the call goes out on. */
function placesOf(call: Call, flags: CallCommandFlags, band: Band, profile: Profile): readonly number[] {
  const named = frequenciesFor(call, flags.frequency, band, profile);
  if (call.kind === 'distressAlert' && flags.frequency !== undefined) return named;
  if (flags.frequency !== undefined && named.length > 1) {
    const given = named.map(formatFrequency).join(', ');
    throw new DotphaseError('--frequency', given, 'one frequency: only a distress alert goes out on several');
  }
  const places = named.length > 0 ? named : suitedFrequencies(call, band);
  if (places.length === 0)
    throw new DotphaseError('--frequency', NOTHING, 'the DSC frequency it goes out on');
  return [places[0]];
}

/** A call as the tables have it: what goes out then is what was asked for. */
function requireRegular(call: Call): void {
  const odd = (['eos', 'rest'] as const).find(
    (name) => name in call && call[name as keyof Call] !== undefined,
  );
  if (odd === undefined) return;
  throw new DotphaseError(
    odd === 'eos' ? '--eos' : odd,
    call[odd as keyof Call],
    'a call as the tables have it: encode makes the others',
  );
}

function refuseSharedInput(source: string, flags: CallCommandFlags, profile: Profile): void {
  const readers = [source, flags.in, profile.navigation].filter((name) => name === STANDARD_STREAM);
  if (readers.length < 2) return;
  throw new DotphaseError(
    '--in',
    STANDARD_STREAM,
    'one use of standard input, for the call, the sound or the position',
  );
}

/** Tells what will be sent, and what is odd about it. */
function announce(
  call: Call,
  { frequencies, band }: CallPlan,
  told: string | undefined,
  printer: Printer,
): void {
  if (told !== undefined) printer.paragraph(told);
  for (const hz of frequencies) printer.paragraph(`${dialAdvice(hz)}.`);
  const warnings = frequencies.flatMap((hz) => [
    ...problemsOf(call, band, hz).map(problemText),
    frequencyWarning(call, hz),
    ...channelWarnings(call, hz),
  ]);
  for (const text of new Set(warnings))
    if (text !== undefined) printer.paragraph(printer.screen.colours.yellow(`warning: ${text}`));
}

/**
 * Makes sure that what must not go on the air does not.
 *
 * @param isLive - whether the sound goes anywhere but into a file
 * @param isTerminal - whether somebody can be asked
 * @returns whether the call may be sent
 */
async function isOffAir(
  call: Call,
  flags: CallCommandFlags,
  { isLive, isTerminal }: { readonly isLive: boolean; readonly isTerminal: boolean },
  printer: Printer,
): Promise<boolean> {
  const caution = transmitCaution(encodeCall(call).symbols);
  if (caution === undefined) return true;
  printer.paragraph(printer.screen.colours.yellow(caution));
  if (!isLive || flags.offAir) return true;
  if (!isTerminal) {
    throw new DotphaseError(
      '--off-air',
      NOTHING,
      '--off-air, which says that the set is on a dummy load or a cable: there is no terminal to ask at',
    );
  }
  const { askOffAir } = await import('./call/questions.js');
  return askOffAir();
}

/** Whether an error is a Ctrl-C at a question. */
function isExit(error: unknown): boolean {
  return error instanceof Error && error.name === 'ExitPromptError';
}

async function call(named: string | undefined, flags: CallCommandFlags): Promise<void> {
  const source = sourceOf(named, flags.json === true);
  const profile = await profileOf(flags);
  refuseSharedInput(source, flags, profile);
  const band = flags.vhf ? 'vhf' : 'mf-hf';
  const given = await callOf(source, flags, profile);
  requireRegular(given.call);
  const { centre, inverted, level, wait, attempts } = flags;
  const plan: CallPlan = {
    call: given.call,
    frequencies: placesOf(given.call, flags, band, profile),
    band,
    tones: {
      level: dbToAmplitude(level),
      ...(centre !== undefined && { centreHz: centre }),
      ...(inverted && { inverted }),
    },
    waitMs: wait === undefined ? undefined : wait * 1000,
    attempts: attempts ?? 1,
  };
  const stream = flags.out === STANDARD_STREAM ? process.stderr : process.stdout;
  const printer = new Printer(stream);
  const isTerminal = process.stdin.isTTY && stream.isTTY && flags.in !== STANDARD_STREAM;
  announce(given.call, plan, given.told, printer);
  try {
    const port = await openSound(flags);
    const isLive = port.kind === 'live';
    if (!(await isOffAir(given.call, flags, { isLive, isTerminal }, printer))) {
      printer.paragraph('Nothing was sent.');
      process.exitCode = EXIT.bad;
      return;
    }
    const ask = isTerminal && attempts === undefined && isLive ? await asker(port) : undefined;
    await carryThrough(plan, { port, printer, profile, ask, log: flags.log ?? profile.log });
  } catch (error) {
    if (!isExit(error)) throw error;
    process.exitCode = statusOf('SIGINT');
  }
}

/** What asks the operator; loaded only where somebody is there. */
async function asker(port: SoundPort): Promise<Ask> {
  const { askNext } = await import('./call/questions.js');
  return (message, choices, other, signal) => askNext(message, choices, port.now(), other, signal);
}

interface Means {
  readonly port: SoundPort;
  readonly printer: Printer;
  readonly profile: Profile;
  readonly ask: Ask | undefined;
  /** The file of the log, if there is to be one. */
  readonly log: string | undefined;
}

async function carryThrough(
  plan: CallPlan,
  { port, printer, profile, ask, log: path }: Means,
): Promise<void> {
  const log = await LogFile.open(path, true);
  const file = port.outputFile === undefined ? undefined : resolve(port.outputFile);
  const record = new ExchangeRecord(log, profile, file);
  const exchange = new LiveExchange(plan, { port, printer, record, profile, ask });
  let ended: number | undefined;
  let said = 'Stopped.';
  /** Errors of closing are ignored: whoever waits for the port reports them. */
  const letGo = () => {
    void Promise.resolve(port.close()).catch(() => undefined);
  };
  /** Everything that must be in order when the process ends, at once. */
  const end = () => {
    exchange.close();
    log.close();
    letGo();
  };
  const stop = (signal: NodeJS.Signals) => {
    ended = statusOf(signal);
    said = exchange.isSending ? 'Stopped: the sending is broken off.' : 'Stopped.';
    exchange.close();
    letGo();
  };
  process.once('exit', end);
  for (const signal of ENDING) process.on(signal, stop);
  try {
    const outcome = await exchange.run();
    await port.close();
    process.exitCode = ended ?? finish(outcome, port, printer);
  } catch (error) {
    if (!isExit(error)) throw error;
    ended = statusOf('SIGINT');
    process.exitCode = ended;
  } finally {
    for (const signal of ENDING) process.off(signal, stop);
    process.off('exit', end);
    end();
    if (ended !== undefined) printer.entry(port.now(), said);
    const { advice } = exchange;
    if (advice !== undefined && (ended !== undefined || process.exitCode !== EXIT.done))
      printer.warning(advice);
    if (log.failed && ended === undefined) process.exitCode = EXIT.bad;
  }
}

function finish(outcome: Outcome | undefined, port: SoundPort, printer: Printer): number {
  const words: Readonly<Record<Outcome, string>> = {
    acknowledged: 'Acknowledged.',
    announced: 'Sent. No acknowledgement is asked for.',
    cancelled: 'Cancelled by DSC.',
    declined: 'Acknowledged: the called station is unable to comply.',
    unanswered: 'Not acknowledged.',
    unsent: 'The call did not go out, or not whole.',
    refused: 'Nothing was sent.',
  };
  if (outcome === undefined) return EXIT.bad;
  printer.entry(port.now(), words[outcome]);
  if (outcome === 'refused') complain('the procedures do not allow this call');
  return STATUS[outcome];
}
