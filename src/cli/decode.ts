/**
 * `dotphase decode`: recordings and live audio to calls.
 */
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING } from '../errors.js';
import { MAX_CHANNELS } from '../wav/index.js';
import { attemptLogger } from '../records/index.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { areFew, findFiles, requireOneRecording } from './decode/files.js';
import { Logging, type Reading } from './decode/logging.js';
import { Output } from './decode/output.js';
import { Progress } from './decode/progress.js';
import { addReceiverFlags, settingsFor, settingsOf, type ReceiverFlags } from './decode/settings.js';
import { decodeFiles } from './decodepool.js';
import type { DecodeJob, DecodeMessage } from './decoding.js';
import { EXIT, complain, statusOf, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { integerOption } from './options.js';
import { addOriginFlags, originFinder, type OriginFlags } from './origin.js';
import { addSliceFlags, addSliceSearchFlags, type SliceFlags } from './decode/sliceflags.js';
import { addProfileFlags, profileOf, type ProfileFlags } from './profile/profile.js';
import { addRawFlags, type RawFlags } from './rawflags.js';
import { eventLine } from './report.js';
import { stopSignal } from './stopsignal.js';
import { plain, screenOf, wrap } from './terminal.js';

interface DecodeFlags extends ProfileFlags, RawFlags, OriginFlags, SliceFlags, ReceiverFlags {
  readonly json?: true;
  readonly sentences?: true;
  readonly list?: string;
  readonly newFiles?: true;
  readonly log?: string;
  readonly resume?: true;
  readonly channels: number;
  readonly verbose?: true;
}

const HELP = `
How sure a call is: clean (every character was read and the error check
agrees), recovered (decided with the help of soft information, chance of error
below one in 10 000) or doubtful (anything less). Calls that break a rule are
shown whole, with the rule.

A line of JSON has start and end (seconds in the file), baud, centreHz,
inverted, symbols, certainty (for each symbol the probability that it was sent,
0 where nothing of it was received), expansions, quality, errorProbability,
call and text; these keys stay. file, channel, snrDb, sendings, attempt (its
number in the file and which of its sendings this is), moreFollowed and problems
(the rules it breaks) come beside them; with --recorded startUtc and endUtc
(ISO 8601, UTC); where the DSC frequency is known, given or that of channel 70,
frequencyHz (with --anywhere, between those known, as measured, to 10 Hz),
frequencyWarning where the call does not belong there, and
followUp: means (voice, nbdp, data or none), emission, receiveHz and transmitHz
for the station that the call is addressed to, receiveDialHz and transmitDialHz
(what an upper-sideband dial shows for them), text, rule and warnings.

A distress call that is sent once on each of several frequencies is one attempt
for people: 6 sendings on 6 frequencies. Its calls have the same characters, were
read for sure on the distress frequencies of MF and HF and begin within a minute
and a half, in one slice of spectrum or, where --recorded tells when, in several
recordings. In JSON they have the same multiFrequencyAttempt: its number in this
run, and which of the sendings this is. Calls that may become one have it too; a
call that is sent again in a row on its frequency is an attempt of its own, and
its further lines have none.

Of a slice of spectrum measuredHz is the middle of a call's tones: right to 1 or
2 Hz, but for the receiver's oscillator and for the sender, whose own error may
be 10 Hz.

A character whose certainty is below 0.9 counts as not received: text has ? for
its digits, and in call its field is { notReceived: [...] }, the field's
characters with null for each that is missing. A call whose kind hangs on such
a character has the kind partialCall. symbols is the likeliest reading all the
same: never take one of it without its certainty.

A folder stands for all audio files in it and in its folders, and for SigMF
recordings, told by the names of their two files. What an audio file is is told
by its content. Many recordings are read on all cores, and told in their
order. What nothing tells of one of them is an error of that one; the others
are read. With --log and --resume, what was read to its end before, and has not
changed since, is left out: an interrupted run goes on where it was.

Ctrl-C ends standard input: what came until then is told. Of recordings it tells
before whose end it stopped, with exit status 130.

With --log, the sendings of one attempt are one entry, and a recording that is
decoded again, also under another name, adds only what is not yet in the log.
Standard input and pipes can't be told again: their calls are logged each time.

Examples:
  Everything in two recordings:
    dotphase decode evening.wav night.wav
  One JSON object a line, for another program:
    dotphase decode --json evening.wav | jq .text
  All recordings below a folder, with the times and frequencies in their names,
  into a log; when interrupted, the same again goes on:
    dotphase decode --recorded name --frequency name --log calls.db --resume \\
      recordings
  What find finds:
    find . -name '*.flac' | dotphase decode --list -
  Live audio at 12 kHz from a sound card, calls printed as they end:
    arecord -q -f S16_LE -r 12000 -t raw |
      dotphase decode --raw s16 --rate-hz 12000 -
  What was heard on 8414.5 kHz, with names, into the log:
    dotphase decode --frequency 8414.5 --book stations.csv \\
      --recorded 2031-05-17T09:30 --log calls.db evening.wav
  All DSC channels of the 8 MHz band in a recording of I and Q:
    dotphase decode --iq --tuned 8430 slice.wav
  The same of SigMF, which tells where it was tuned, and of a pipe:
    dotphase decode slice.sigmf-meta
    cat slice.cu8 | dotphase decode --raw cu8 --rate-hz 2048000 --tuned 8430 -
  Whatever was sent in it, with the oscillator's error taken out:
    dotphase decode --anywhere --find-oscillator slice.sigmf-meta
  A recording whose tones lie around 1000 Hz, with what nearly was a call:
    dotphase decode --centre 1000 --search 50 --verbose evening.wav`;

/** Adds `decode` to the program. */
export function addDecode(program: Command): void {
  const command = program
    .command('decode')
    .summary('recordings or live audio to calls')
    .description('Finds every call in recordings or live audio, on MF/HF and VHF alike.')
    .argument(
      '[files...]',
      'audio files: WAV, FLAC, MP3, Ogg, AIFF; SigMF; folders with all in them; - for standard input',
    )
    .option('--list <file>', 'a file with the name of a recording on each line, - for standard input')
    .option('--new-files', 'go on with files as they appear in the folders, until stopped')
    .option('--json', 'one JSON object a line for each call')
    .addOption(
      new Option(
        '--sentences',
        'only IEC 61162-1 sentences, $CDDSC and $CDDSE, for a chart system; no doubtful calls',
      ).conflicts('json'),
    );
  addReceiverFlags(command);
  addSliceFlags(command);
  addSliceSearchFlags(command);
  addRawFlags(command, true)
    .option(
      '--channels <number>',
      'with --raw: samples in a frame',
      integerOption('--channels', 1, MAX_CHANNELS),
      1,
    )
    .option('--verbose', 'tell on standard error what nearly was a call')
    .option(...LOG_FLAG)
    .option('--resume', 'leave out recordings that the log says were read to their end before');
  addOriginFlags(command);
  addProfileFlags(command, { position: false }).addHelpText('after', HELP).action(decode);
}

async function decode(names: readonly string[], flags: DecodeFlags): Promise<void> {
  if (names.length === 0 && flags.list === undefined)
    throw new DotphaseError('files', NOTHING, 'audio files, folders, or --list');
  const profile = await profileOf(flags);
  const logPath = flags.log ?? profile.log;
  if (flags.resume && logPath === undefined)
    throw new DotphaseError('--resume', NOTHING, '--log beside it, where it stands what was read');
  const settings = { ...settingsOf(flags), fingerprint: logPath !== undefined };
  const find = await originFinder(flags);
  const stopped = flags.newFiles ? stopSignal() : new AbortController().signal;
  const found = await findFiles(
    { names, ...(flags.list !== undefined && { list: flags.list }), newFiles: flags.newFiles === true },
    stopped,
  );
  requireOneRecording(found, flags.recorded);
  const log = await LogFile.open(logPath, names.includes(STANDARD_STREAM));
  const logging = new Logging(log, settings);
  const output = new Output(flags, profile, settings);
  const out = screenOf(process.stdout);
  const err = screenOf(process.stderr);
  const progress = new Progress(found.known);
  const readings = new Map<number, Reading>();
  const failed = found.errors.length > 0;
  for (const { message } of found.errors) complain(message);
  const seen = { calls: 0, distress: false, failed, skipped: 0, read: 0, whole: 0 };
  const nameOf = (file: string) => (file === STANDARD_STREAM ? 'standard input' : plain(file));

  async function* files(): AsyncGenerator<DecodeJob> {
    const prepare = async (file: string, isKnown: boolean): Promise<DecodeJob | undefined> => {
      if (flags.resume && logging.hasRead(file)) {
        seen.skipped++;
        if (isKnown) progress.skip(file);
        return undefined;
      }
      try {
        const origin = await find(file);
        progress.begin(seen.read, file, isKnown);
        readings.set(seen.read++, {
          file,
          origin,
          fingerprint: undefined,
          add: attemptLogger(),
          failed: false,
        });
        return { file, settings: settingsFor(settings, origin) };
      } catch (error) {
        if (!(error instanceof DotphaseError)) throw error;
        seen.failed = true;
        progress.clear();
        complain(error.message);
        return undefined;
      }
    };
    for (const file of found.known) {
      const job = stopped.aborted ? undefined : await prepare(file, true);
      if (job) yield job;
    }
    for await (const file of found.later ?? []) {
      const job = await prepare(file, false);
      if (job) yield job;
    }
  }

  const take = (index: number, message: DecodeMessage): void => {
    const reading = readings.get(index);
    if (!reading) return;
    if (message.type === 'progress') {
      progress.update(index, message.bytes, message.seconds);
      return;
    }
    progress.clear();
    const name = nameOf(reading.file);
    switch (message.type) {
      case 'fingerprint':
        logging.recognise(reading, message.recording);
        break;
      case 'call': {
        const { call: heard } = message;
        seen.calls++;
        seen.distress ||= isDistress(heard.symbols, heard.certainty);
        // Whatever was printed is in the log, if that can be written, however the program ends.
        log.owe(logging.entry(reading, heard));
        output.call(name, heard, reading.origin);
        break;
      }
      case 'over':
        output.over(message.attempt);
        break;
      case 'event':
        process.stderr.write(
          `${err.colours.dim(`${name} ${eventLine(message.event, message.channel, message.frequencyHz).trim()}`)}\n`,
        );
        break;
      case 'warning':
        warn(`${name}: ${message.text}`);
        break;
      case 'note':
        process.stderr.write(`${wrap(`${name}: ${message.text}`, err.width).join('\n')}\n`);
        break;
      case 'error':
        seen.failed = true;
        reading.failed = true;
        complain(`${name}: ${message.text}`);
        break;
      case 'end':
        if (!reading.failed) {
          seen.whole++;
          log.owe(logging.end(reading, message.seconds));
        }
        progress.end(index, message.seconds);
        output.end();
        readings.delete(index);
    }
  };

  const caution = () => {
    if (seen.distress && !flags.json && !flags.sentences)
      process.stdout.write(`${out.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, out.width).join('\n'))}\n`);
  };
  let isEnding = false;
  const stop = () => {
    const open = [...readings.values()].map(({ file }) => file);
    // Standard input ends by itself when it is told to stop; told so twice, it is left.
    if (open.includes(STANDARD_STREAM) && !isEnding) {
      isEnding = true;
      return;
    }
    progress.clear();
    output.finish();
    caution();
    log.close();
    const where = open.length > 0 ? ` before the end of ${open.map(nameOf).join(', ')}` : '';
    complain(`stopped${where}; ${seen.whole} read to the end`);
    process.exit(statusOf('SIGINT'));
  };
  if (!flags.newFiles) process.on('SIGINT', stop);

  const isMany = found.known.length !== 1 || found.later !== undefined;
  try {
    await decodeFiles(files(), take, areFew(found));
  } finally {
    // Told to stop again meanwhile, it still logs what is owed.
    log.close();
    process.off('SIGINT', stop);
    progress.stop();
  }
  output.finish();
  if (isMany && !names.every((name) => found.known.includes(name)))
    process.stderr.write(`${err.colours.dim(summary(progress, seen.skipped, found.others))}\n`);
  if (!flags.json && !flags.sentences && seen.calls === 0 && !seen.failed && seen.read > 0)
    process.stdout.write('No call was decoded.\n');
  caution();
  const isDone = seen.calls > 0 || (seen.read === 0 && seen.skipped > 0);
  process.exitCode = seen.failed || log.failed ? EXIT.bad : isDone ? EXIT.done : EXIT.nothing;
}

/** What was read out of folders and lists, and what was left out. */
function summary(progress: Progress, skipped: number, others: number): string {
  return [
    progress.summary(),
    ...(skipped > 0 ? [`${skipped} left out, read before`] : []),
    ...(others > 0 ? [`${others} other ${others === 1 ? 'file' : 'files'} left alone`] : []),
  ].join('; ');
}
