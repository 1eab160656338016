/**
 * `dotphase decode`: recordings and live audio to calls.
 */
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { Option, type Command } from 'commander';
import { Presets, SingleBar } from 'cli-progress';
import { describeCall, isReceivedWhole, toSentences } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { BIT_RATE, type Band } from '../symbols/index.js';
import { addToAttempts, type AttemptGroup } from '../receiver/index.js';
import { MAX_CHANNELS } from '../wav/index.js';
import { maritimeBand, parseFrequency } from '../frequencies/index.js';
import { attemptLogger } from '../records/index.js';
import { followUpOfCall, followUpText, frequencyOf, frequencyWarning, problemsOf } from './advice.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { decodeFiles } from './decodepool.js';
import type { DecodeMessage, DecodeSettings } from './decoding.js';
import type { HeardCall } from './heardcall.js';
import { EXIT, complain, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { fingerprint } from './log/fingerprint.js';
import { parseMoment } from './log/moment.js';
import { integerOption, numberOption, once } from './options.js';
import { originOf, type FrequencyFrom, type Origin, type RecordedAt } from './origin.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { addRawFlags, rawInput, type RawFlags } from './rawflags.js';
import { attemptLine, callBlock, callLine, clock, eventLine, type JudgedCall } from './report.js';
import { screenOf, wrap } from './terminal.js';

interface DecodeFlags extends ProfileFlags, RawFlags {
  readonly json?: true;
  readonly sentences?: true;
  readonly frequency?: FrequencyFrom;
  readonly log?: string;
  readonly recorded?: RecordedAt;
  readonly namePattern?: string;
  readonly channel: DecodeSettings['channel'];
  readonly vhf?: true;
  readonly mfHf?: true;
  readonly centre?: number;
  readonly search?: number;
  readonly channels: number;
  readonly verbose?: true;
}

/** From this many bytes on a progress bar is worth its line. */
const LONG_BYTES = 5_000_000;

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
frequencyHz, frequencyWarning where the call does not belong there, and
followUp: means (voice, nbdp, data or none), emission, receiveHz and transmitHz
for the station that the call is addressed to, receiveDialHz and transmitDialHz
(what an upper-sideband dial shows for them), text, rule and warnings.

A character whose certainty is below 0.9 counts as not received: text has ? for
its digits, and in call its field is { notReceived: [...] }, the field's
characters with null for each that is missing. A call whose kind hangs on such
a character has the kind partialCall. symbols is the likeliest reading all the
same: never take one of it without its certainty.

With --log, the sendings of one attempt are one entry, and a recording that is
decoded again, also under another name, adds only what is not yet in the log.
Standard input and pipes can't be told again: their calls are logged each time.

Examples:
  Everything in two recordings:
    dotphase decode evening.wav night.wav
  One JSON object a line, for another program:
    dotphase decode --json evening.wav | jq .text
  Live audio at 12 kHz from a sound card, calls printed as they end:
    arecord -q -f S16_LE -r 12000 -t raw |
      dotphase decode --raw s16 --rate-hz 12000 -
  What was heard on 8414.5 kHz, with names, into the log:
    dotphase decode --frequency 8414.5 --book stations.csv \\
      --recorded 2031-05-17T09:30 --log calls.db evening.wav
  A recording whose tones lie around 1000 Hz, with what nearly was a call:
    dotphase decode --centre 1000 --search 50 --verbose evening.wav`;

function readChannel(text: string): DecodeSettings['channel'] {
  if (text === 'best' || text === 'mix' || text === 'each') return text;
  if (/^\d+$/.test(text)) return Number(text);
  throw new DotphaseError('--channel', text, 'a channel number from 0, mix, each or best');
}

/** Adds `decode` to the program. */
export function addDecode(program: Command): void {
  const command = program
    .command('decode')
    .summary('recordings or live audio to calls')
    .description('Finds every call in recordings or live audio, on MF/HF and VHF alike.')
    .argument('<files...>', 'audio files: WAV, FLAC, MP3, Ogg, AIFF; - for standard input')
    .option('--json', 'one JSON object a line for each call')
    .addOption(
      new Option(
        '--sentences',
        'only IEC 61162-1 sentences, $CDDSC and $CDDSE, for a chart system; no doubtful calls',
      ).conflicts('json'),
    )
    .option(
      '--channel <which>',
      'of a file with several: a number from 0, mix, each, or best: each, and a call on several printed once',
      readChannel,
      'best',
    )
    .option('--mf-hf', 'look for 100 Bd only')
    .option('--vhf', 'look for 1200 Bd only')
    .option(
      '--centre <hz>',
      'where the tones are centred (default: at 100 Bd anywhere from 400 to 2600, at 1200 Bd around 1700)',
      numberOption('--centre', 200, 3000, 'Hz'),
    )
    .option(
      '--search <hz>',
      'how far from --centre to look (default 50)',
      numberOption('--search', 0, 2000, 'Hz'),
    );
  addRawFlags(command)
    .option(
      '--channels <number>',
      'with --raw: samples in a frame',
      integerOption('--channels', 1, MAX_CHANNELS),
      1,
    )
    .option('--verbose', 'tell on standard error what nearly was a call')
    .option(
      '--frequency <frequency>',
      'DSC frequency it comes from, as in "8414.5 kHz", or name: each file\'s name tells it. To be told what follows a call and on which frequency, and if it is the wrong one',
      once('--frequency', (text) => (text === 'name' ? 'name' : parseFrequency(text))),
    )
    .option(...LOG_FLAG)
    .option(
      '--recorded <moment>',
      'when the recording began, as in 2031-05-17T09:30, UTC; or what tells it for each file: name (a date and time in its name) or chunk (broadcast wave, EBU Tech 3285). Calls are shown and logged with their time (default: not known; a log takes the time of decoding)',
      (text) => (text === 'name' || text === 'chunk' ? text : parseMoment(text, '--recorded', Date.now())),
    )
    .option(
      '--name-pattern <pattern>',
      'how names of files tell it, with {year} {month} {day} {hour} {minute} {second}, {khz} or {hz}, and * for anything, as in "*_{year}{month}{day}-{hour}{minute}.wav" (default: ISO 8601 and a number before kHz or Hz, anywhere in the name)',
    );
  addProfileFlags(command, { position: false }).addHelpText('after', HELP).action(decode);
}

function settingsOf(flags: DecodeFlags): DecodeSettings {
  const { channel, centre, search, channels } = flags;
  if (search !== undefined && centre === undefined) {
    throw new DotphaseError('--search', search, '--centre beside it');
  }
  const raw = rawInput(flags);
  const chosen = [...(flags.mfHf ? ['mf-hf' as const] : []), ...(flags.vhf ? ['vhf' as const] : [])];
  const bands = chosen.length > 0 ? chosen : (Object.keys(BIT_RATE) as Band[]);
  return {
    channel,
    bands,
    events: flags.verbose === true,
    ...(centre !== undefined && { centreHz: centre }),
    ...(search !== undefined && { searchHz: search }),
    ...(raw && { raw: { ...raw, channels } }),
  };
}

function sizeOf(file: string): number {
  return file === STANDARD_STREAM ? 0 : (statSync(file, { throwIfNoEntry: false })?.size ?? 0);
}

/** A bar on standard error for long input; nothing where nobody would see it. */
class Progress {
  readonly #bar: SingleBar | undefined;
  readonly #bytes = new Map<string, number>();

  constructor(files: readonly string[]) {
    const total = files.reduce((sum, file) => sum + sizeOf(file), 0);
    if (!process.stderr.isTTY || total < LONG_BYTES) return;
    const format = '{bar} {percentage}% | {eta_formatted} left';
    this.#bar = new SingleBar(
      { stream: process.stderr, format, clearOnComplete: true, hideCursor: true },
      Presets.shades_classic,
    );
    this.#bar.start(total, 0);
  }

  update(file: string, bytes: number): void {
    this.#bytes.set(file, bytes);
    this.#bar?.update([...this.#bytes.values()].reduce((sum, part) => sum + part, 0));
  }

  /** Makes room for a line of text. */
  clear(): void {
    if (this.#bar) process.stderr.write('\r\x1b[K');
  }

  stop(): void {
    this.#bar?.stop();
  }
}

/** Qualities from the surest on. */
const RANK = { clean: 0, recovered: 1, doubtful: 2 } as const;

/** Shows calls as they end, each on what was asked for. */
class Output {
  private readonly out = screenOf(process.stdout);
  private name = '';
  private attempts: AttemptGroup<HeardCall>[] = [];

  constructor(
    private readonly flags: DecodeFlags,
    private readonly profile: Profile,
    private readonly settings: DecodeSettings,
  ) {}

  call(name: string, heard: HeardCall, origin: Origin): void {
    const { json, sentences } = this.flags;
    const judged = this.judge(heard, origin);
    if (json) process.stdout.write(`${callLine(judged)}\n`);
    else if (sentences) this.sentences(name, heard);
    else this.lines(name, judged);
  }

  /** Tells of an attempt that is over how many sendings of it were received. */
  over(attempt: number): void {
    const group = this.attempts.find(({ id }) => id === attempt);
    this.attempts = this.attempts.filter((other) => other !== group);
    if (group && group.sendings.length > 1) process.stdout.write(`${attemptLine(group, this.out)}\n`);
  }

  /** The first sending of an attempt at once and whole; of the others only what is surer. */
  private lines(name: string, heard: JudgedCall): void {
    const before = this.attempts.find(({ id }) => id === heard.attempt.id);
    this.attempts = addToAttempts(this.attempts, heard);
    if (before && RANK[heard.quality] >= RANK[before.best.quality]) return;
    if (this.name !== name) process.stdout.write(`${this.out.colours.bold(name)}\n`);
    this.name = name;
    const channels = this.settings.channel !== 'best' || heard.channel !== 0;
    process.stdout.write(`${callBlock(heard, this.out, channels)}\n`);
  }

  /** A call with names and advice. */
  private judge(heard: HeardCall, { recorded, frequencyHz }: Origin): JudgedCall {
    const { call } = heard;
    const band = heard.baud === BIT_RATE.vhf ? 'vhf' : 'mf-hf';
    const hz = frequencyHeard(heard, frequencyHz);
    const text = describeCall(call, { station: (identity) => this.profile.describe(identity) });
    const wrongPlace = hz === undefined ? undefined : frequencyWarning(call, hz);
    const follow = hz === undefined ? undefined : followUpOfCall(call, hz);
    const followText = hz === undefined ? undefined : followUpText(call, follow);
    return {
      ...heard,
      text,
      problems: problemsOf(call, band, hz),
      ...(recorded !== undefined && { recorded }),
      ...(hz !== undefined && { frequencyHz: hz }),
      ...(wrongPlace !== undefined && { wrongPlace }),
      ...(follow !== undefined && { follow }),
      ...(followText !== undefined && { followText }),
    };
  }

  private sentences(name: string, { quality, call, start }: HeardCall): void {
    const where = `${name}, ${clock(start)}`;
    if (quality === 'doubtful') {
      warn(`${where}: a doubtful call is left out, as sentences cannot say that it is`);
      return;
    }
    if (!isReceivedWhole(call)) {
      warn(
        `${where}: no sentence carries this call: it was not received whole, and an empty field would say something else`,
      );
      return;
    }
    try {
      process.stdout.write(
        toSentences(call)
          .map((sentence) => `${sentence}\r\n`)
          .join(''),
      );
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      warn(`${where}: no sentence carries this call: ${error.message}`);
    }
  }
}

/** The DSC frequency a call was heard on: at 1200 Bd channel 70, at 100 Bd as given. */
function frequencyHeard({ baud }: HeardCall, given: number | undefined): number | undefined {
  if (baud === BIT_RATE.vhf) return frequencyOf(undefined, 'vhf');
  return given === undefined || maritimeBand(given) === 'VHF' ? undefined : given;
}

/** When a call began, milliseconds since 1970 UTC: in live audio it has just ended. */
function timeOf({ start, end }: HeardCall, { recorded }: Origin): number {
  return recorded === undefined ? Date.now() - (end - start) * 1000 : recorded + start * 1000;
}

/** Refuses a beginning for several recordings, which cannot all have it. */
function requireOneRecording(files: readonly string[], { recorded }: DecodeFlags): void {
  if (typeof recorded !== 'number' || files.length === 1) return;
  throw new DotphaseError(
    '--recorded',
    `${files.length} recordings`,
    'one recording, for each began at a time of its own: say name or chunk if their names or chunks tell it',
  );
}

/** What logs the calls of one input. A recording that the log knows adds only what it did not add before. */
async function loggerOf(file: string, origin: Origin, log: LogFile): Promise<(heard: HeardCall) => void> {
  const recording = log.isOpen ? await fingerprint(file) : undefined;
  if (recording !== undefined && log.write((calls) => calls.list({ recording, limit: 1 }))?.length === 1) {
    warn(`${file}: calls of this recording are in the log already; they are not logged again`);
  }
  const add = attemptLogger();
  return (heard) => {
    const context = {
      time: timeOf(heard, origin),
      frequencyHz: frequencyHeard(heard, origin.frequencyHz),
      ...(file !== STANDARD_STREAM && { file: resolve(file) }),
      ...(recording !== undefined && { recording, offset: heard.start }),
    };
    log.write((calls) => add(calls, heard, context));
  };
}

async function decode(files: readonly string[], flags: DecodeFlags): Promise<void> {
  requireOneRecording(files, flags);
  const settings = settingsOf(flags);
  const profile = await profileOf(flags);
  const origins = new Map<string, Origin>();
  for (const file of files) origins.set(file, await originOf(file, flags));
  const log = await LogFile.open(flags.log ?? profile.log);
  const logs = new Map<string, (heard: HeardCall) => void>();
  for (const [file, origin] of origins) logs.set(file, await loggerOf(file, origin, log));
  const output = new Output(flags, profile, settings);
  const out = screenOf(process.stdout);
  const err = screenOf(process.stderr);
  const progress = new Progress(files);
  const seen = { calls: 0, distress: false, failed: false };

  const print = (file: string, message: DecodeMessage): void => {
    if (message.type === 'progress') {
      progress.update(file, message.bytes);
      return;
    }
    progress.clear();
    const name = file === STANDARD_STREAM ? 'standard input' : file;
    switch (message.type) {
      case 'call': {
        const { call: heard } = message;
        seen.calls++;
        seen.distress ||= isDistress(heard.symbols, heard.certainty);
        output.call(name, heard, origins.get(file) ?? {});
        logs.get(file)?.(heard);
        break;
      }
      case 'over':
        output.over(message.attempt);
        break;
      case 'event':
        process.stderr.write(
          `${err.colours.dim(`${name} ${eventLine(message.event, message.channel).trim()}`)}\n`,
        );
        break;
      case 'warning':
        warn(`${name}: ${message.text}`);
        break;
      case 'error':
        seen.failed = true;
        complain(`${name}: ${message.text}`);
        break;
      case 'end':
        break;
    }
  };

  try {
    await decodeFiles(files, settings, print);
  } finally {
    log.close();
  }
  progress.stop();
  if (!flags.json && !flags.sentences) {
    if (seen.calls === 0 && !seen.failed) process.stdout.write('No call was decoded.\n');
    if (seen.distress)
      process.stdout.write(`${out.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, out.width).join('\n'))}\n`);
  }
  process.exitCode = seen.failed || log.failed ? EXIT.bad : seen.calls === 0 ? EXIT.nothing : EXIT.done;
}
