/**
 * `dotphase answer`: a station that answers over a cable.
 */
import { createReadStream, statSync } from 'node:fs';
import { constants } from 'node:os';
import { resolve } from 'node:path';
import type { Command } from 'commander';
import { describeCall, type Call, type DecodedCall, type Identity } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { formatFrequency, parseFrequency } from '../frequencies/index.js';
import type { OwnPosition, PositionForCall } from '../navigation/index.js';
import { RULES, describeRefusal } from '../procedures/texts/index.js';
import { attemptLogger, callEntry, type LogContext } from '../records/index.js';
import {
  createAnsweringStation,
  type AnsweringEvent,
  type AnsweringOptions,
  type AnsweringStation,
} from '../simulation/index.js';
import { SECOND_TELECOMMANDS, type SecondTelecommandName, type Band } from '../symbols/index.js';
import { createWavWriter, readRawBlocks, readWavBlocks, type AudioBlock } from '../wav/index.js';
import { wavFileBlocks, writeWavFile } from '../wav/node.js';
import { EXIT, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { fingerprint } from './log/fingerprint.js';
import { numberOption, once } from './options.js';
import { send } from './output.js';
import { followNavigation } from './profile/navigation.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { parsePosition } from './position.js';
import { addRawFlags, rawInput, type RawFlags } from './rawflags.js';
import { requireRecording } from './recording.js';
import { trustOf } from './report.js';
import { screenOf, wrap } from './terminal.js';
import { parseWord, kebab } from './words.js';

interface AnswerFlags extends ProfileFlags, RawFlags {
  readonly as?: readonly string[];
  readonly out: string;
  readonly delay: number;
  readonly unable?: SecondTelecommandName;
  readonly position?: PositionForCall['position'];
  readonly frequency?: number;
  readonly vhf?: true;
  readonly mfHf?: true;
  readonly level: number;
  readonly trainingAcknowledge?: true;
  readonly log?: string;
}

const DEFAULT_DELAY_SECONDS = 2;
const DEFAULT_LEVEL_DB = -6;

const CAUTION = 'Caution: onto a cable or dummy load only. It does not acknowledge distress alerts.';

const TRAINING_CAUTION =
  'Caution: onto a cable or dummy load only. It acknowledges alerts, which silences real ones.';

const REASONS = SECOND_TELECOMMANDS.words.map(({ name }) => name);

const HELP = `
The output is as long as the input and runs in step with it: silence, and each
acknowledgement where it is due. Raw samples come out as s16, one channel.
Calls that were read with doubt are shown and not answered.

Examples:
  A set on a dummy load gets its test calls answered through a sound card:
    arecord -q -f S16_LE -r 12000 -t raw |
      dotphase answer --as 002991234 --raw s16 --rate-hz 12000 - |
      aplay -q -f S16_LE -r 12000
  What would have been answered to a recording:
    dotphase answer --as 002991234 evening.wav --out answers.wav
  A coast station in a training room, which acknowledges alerts too:
    dotphase answer --as 002991234 --training-acknowledge exercise.wav --out answers.wav`;

function collect(text: string, before: readonly string[] | undefined): string[] {
  return [...(before ?? []), text];
}

/** Adds `answer` to the program. */
export function addAnswer(program: Command): void {
  const command = program
    .command('answer')
    .summary('listens and answers the calls to its identities, over a cable')
    .description(
      'Listens to audio, and gives the audio of the acknowledgements of the calls to the identities it plays.',
    )
    .argument('[file]', 'WAV file or raw samples, - for standard input', STANDARD_STREAM)
    .option(
      '--as <identity>',
      'an identity to play: nine digits, or a name with --book; may be given again (default: identity of the settings)',
      collect,
    )
    .option('--out <file>', 'where the answers go: WAV file, - for standard output', STANDARD_STREAM)
    .option(
      '--delay <seconds>',
      'from the end of a call to its acknowledgement; a coast station waits at least 5 s (ITU-R M.541)',
      numberOption('--delay', 0, 300, 'seconds'),
      DEFAULT_DELAY_SECONDS,
    )
    .option('--unable <reason>', `refuse what can be refused: ${REASONS.map(kebab).join(', ')}`, (text) =>
      parseWord(text, REASONS, '--unable'),
    )
    .option(
      '--position <position>',
      'where it says it is, for position requests (default: by --navigation or the settings, or not given)',
      parsePosition,
    )
    .option(
      '--frequency <frequency>',
      'DSC frequency that 100 Bd audio comes from, as in "8414.5 kHz" (default 2187.5 kHz)',
      once('--frequency', parseFrequency),
    )
    .option('--mf-hf', 'listen for 100 Bd only')
    .option('--vhf', 'listen for 1200 Bd only')
    .option(
      '--level <db>',
      'peak level below full scale',
      numberOption('--level', -100, 0, 'dB'),
      DEFAULT_LEVEL_DB,
    );
  addRawFlags(command)
    .option('--training-acknowledge', 'acknowledge distress alerts too, for training off the air')
    .option(...LOG_FLAG);
  addProfileFlags(command, { position: true }).addHelpText('after', HELP).action(answer);
}

function blocksOf(file: string, flags: AnswerFlags): AsyncIterable<AudioBlock> {
  const raw = rawInput(flags);
  if (raw) {
    const source = file === STANDARD_STREAM ? process.stdin : createReadStream(file);
    return readRawBlocks(source, { ...raw, channel: 0 });
  }
  return file === STANDARD_STREAM
    ? readWavBlocks(process.stdin, { channel: 0 })
    : wavFileBlocks(file, { channel: 0 });
}

/** The identities it plays. */
function identitiesOf({ as }: AnswerFlags, profile: Profile): Identity[] {
  if (as !== undefined) return as.map((typed) => profile.station(typed));
  if (profile.identity === undefined) throw new DotphaseError('--as', NOTHING, 'an identity to play');
  return [profile.identity];
}

/** Where it says it is: as given, or as sentences and settings tell at each call. */
function positionOf({ position }: AnswerFlags, ownPosition: OwnPosition, now: number) {
  if (position === undefined) return () => ownPosition.forCall();
  const time = new Date(now).toISOString().slice(11, 16);
  return { position, time: position === 'none' ? ('none' as const) : time };
}

function optionsOf(
  flags: AnswerFlags,
  profile: Profile,
  ownPosition: OwnPosition,
  sampleRate: number,
  now: number,
): AnsweringOptions {
  const { delay, unable, frequency, level, trainingAcknowledge } = flags;
  const bands: Band[] = [
    ...(flags.mfHf ? (['mf-hf'] as const) : []),
    ...(flags.vhf ? (['vhf'] as const) : []),
  ];
  return {
    identities: identitiesOf(flags, profile),
    position: positionOf(flags, ownPosition, now),
    sampleRate,
    start: now,
    delaySeconds: delay,
    amplitude: 10 ** (level / 20),
    ...(bands.length > 0 && { bands }),
    ...(unable && { unable }),
    ...(frequency !== undefined && { frequencyHz: frequency }),
    ...(trainingAcknowledge && { trainingAcknowledge }),
  };
}

/** Whose call an acknowledgement answers. */
function answeredStation(call: Call): Identity | undefined {
  const station =
    call.kind === 'distressAcknowledgement'
      ? call.casualty
      : 'to' in call && typeof call.to === 'object' && 'station' in call.to
        ? call.to.station
        : undefined;
  return typeof station === 'string' ? station : undefined;
}

/** What becomes of the answers: they are sent, or only written to a file. */
function outputContext({ out }: AnswerFlags): Pick<LogContext, 'direction' | 'file'> {
  const goesOn = out === STANDARD_STREAM || statSync(out, { throwIfNoEntry: false })?.isFile() === false;
  return goesOn ? { direction: 'sent' } : { direction: 'made', file: resolve(out) };
}

/** What was heard and answered: on standard error, and in the log. */
class Teller {
  answers = 0;
  private readonly screen = screenOf(process.stderr);
  /** The log's entry of the call that each sender sent last. */
  private readonly entries = new Map<string, number>();
  private readonly logReceived = attemptLogger();
  /** When the audio began, milliseconds since 1970 UTC. */
  private start = 0;
  /** The answer that goes out: its entry, and when it ends. */
  private sending: { readonly entry: number; readonly end: number } | undefined;

  constructor(
    private readonly log: LogFile,
    private readonly profile: Profile,
    private readonly output: Pick<LogContext, 'direction' | 'file'>,
    private readonly input: Pick<LogContext, 'file' | 'recording'>,
  ) {}

  /** Takes when the audio began, and gives it. */
  begin(start: number): number {
    this.start = start;
    return start;
  }

  /** Notes in the log that an answer was broken off, where so many seconds went out and it is not at its end. */
  breakOff(seconds: number): void {
    const { sending } = this;
    if (sending && sending.end > this.start + seconds * 1000 + 1)
      this.log.write((log) => log.stop(sending.entry));
    this.sending = undefined;
  }

  /** A call in a sentence, with names. */
  private describe(call: DecodedCall): string {
    return describeCall(call, { station: (identity) => this.profile.describe(identity) });
  }

  caution(text: string): void {
    process.stderr.write(`${this.screen.colours.yellow(wrap(text, this.screen.width).join('\n'))}\n`);
  }

  take(event: AnsweringEvent): void {
    const { time } = event;
    if (event.type === 'received') {
      const { received, frequencyHz } = event;
      this.line(time, `Heard: ${this.describe(received.call)}`, trustOf(received));
      const { file, recording } = this.input;
      const offset = received.start;
      const setting = {
        time: this.start + offset * 1000,
        frequencyHz,
        file,
        ...(recording !== undefined && { recording, offset }),
      };
      const entry = this.log.write((log) => this.logReceived(log, received, setting));
      if (entry?.from !== undefined) this.entries.set(entry.from, entry.id);
    } else if (event.type === 'answering') {
      const { call, frequencyHz, identity, seconds } = event;
      this.answers++;
      const setting = `as ${this.profile.describe(identity)}, ${formatFrequency(frequencyHz)}, ${seconds.toFixed(1)} s`;
      this.line(time, `Answers: ${this.describe(call)}`, setting);
      const to = answeredStation(call);
      const entry = to === undefined ? undefined : this.entries.get(to);
      const added = this.log.write((log) => log.add(callEntry(call, { ...this.output, time, frequencyHz })));
      if (added) this.sending = { entry: added.id, end: time + seconds * 1000 };
      if (entry !== undefined) this.log.write((log) => log.acknowledge(entry, time));
    } else if (event.action.type === 'refuse') {
      this.line(time, describeRefusal(event.action), RULES[event.action.rule].source);
    }
  }

  private line(time: number, text: string, setting: string): void {
    const { colours, width } = this.screen;
    const head = `${new Date(time).toISOString().slice(11, 19)}  `;
    const indent = ' '.repeat(head.length);
    const lines = [
      ...wrap(text, width, indent, colours.bold(head)),
      ...wrap(setting, width, indent, indent).map((line) => colours.dim(line)),
    ];
    process.stderr.write(`${lines.join('\n')}\n`);
  }
}

/** The answers to blocks of audio, block by block. `onWritten` is told how many seconds of them went out. */
async function* answersTo(
  blocks: AsyncIterable<AudioBlock>,
  create: (sampleRate: number) => AnsweringStation,
  onWritten: (seconds: number) => void,
): AsyncGenerator<{ sampleRate: number; samples: Float32Array }> {
  let station: AnsweringStation | undefined;
  let rate = 0;
  let written = 0;
  const count = (samples: Float32Array) => {
    written += samples.length;
    onWritten(written / rate);
  };
  for await (const { sampleRate, channels } of blocks) {
    rate = sampleRate;
    station ??= create(sampleRate);
    const samples = station.push(channels[0]);
    yield { sampleRate, samples };
    count(samples);
  }
  if (!station) return;
  const samples = station.flush();
  yield { sampleRate: rate, samples };
  count(samples);
}

/** Samples as s16 without a container. */
function rawSamples(samples: Float32Array): Uint8Array {
  const bytes = new Uint8Array(samples.length * 2);
  const view = new DataView(bytes.buffer);
  samples.forEach((sample, n) => {
    view.setInt16(2 * n, Math.round(Math.min(1, Math.max(-1, sample)) * 32_767), true);
  });
  return bytes;
}

type Answers = ReturnType<typeof answersTo>;

async function writeTo(out: string, asRaw: boolean, answers: Answers): Promise<void> {
  if (out !== STANDARD_STREAM) {
    const first = await answers.next();
    const sampleRate = first.done ? SAMPLE_RATES.lowest : first.value.sampleRate;
    const pieces = async function* (): AsyncGenerator<readonly Float32Array[]> {
      if (!first.done) yield [first.value.samples];
      for await (const { samples } of answers) yield [samples];
    };
    await writeWavFile(out, { sampleRate }, pieces());
    return;
  }
  if (process.stdout.isTTY) throw new DotphaseError('--out', out, 'a file: standard output is a terminal');
  let writer: ReturnType<typeof createWavWriter> | undefined;
  for await (const { sampleRate, samples } of answers) {
    if (asRaw) {
      await send(rawSamples(samples));
      continue;
    }
    if (!writer) {
      writer = createWavWriter({ sampleRate });
      await send(writer.header);
    }
    await send(writer.push([samples]));
  }
  if (writer) await send(writer.end().tail);
}

/** What ends the command from outside. */
const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

function endBySignal(signal: NodeJS.Signals): void {
  process.exit(128 + constants.signals[signal]);
}

async function answer(file: string, flags: AnswerFlags): Promise<void> {
  const profile = await profileOf(flags);
  if (profile.navigation === STANDARD_STREAM && file === STANDARD_STREAM) {
    throw new DotphaseError(
      '--navigation',
      STANDARD_STREAM,
      'a file or device: the audio is on standard input',
    );
  }
  identitiesOf(flags, profile);
  if (file !== STANDARD_STREAM && flags.raw === undefined) await requireRecording(file);
  const ownPosition = profile.createPosition();
  const blocks = blocksOf(file, flags);
  const stop =
    profile.navigation === undefined
      ? undefined
      : followNavigation(profile.navigation, ownPosition, (error) => {
          if (error) warn(error.message);
        });
  const log = await LogFile.open(flags.log ?? profile.log);
  const recording = log.isOpen ? await fingerprint(file) : undefined;
  const input = {
    ...(file !== STANDARD_STREAM && { file: resolve(file) }),
    ...(recording !== undefined && { recording }),
  };
  const teller = new Teller(log, profile, outputContext(flags), input);
  let written = 0;
  const end = () => {
    teller.breakOff(written);
    log.close();
  };
  // Standard output that closes ends the process, and so does Ctrl-C: the log is told of an answer that breaks off.
  process.once('exit', end);
  for (const signal of SIGNALS) process.once(signal, endBySignal);
  try {
    teller.caution(flags.trainingAcknowledge ? TRAINING_CAUTION : CAUTION);
    const create = (sampleRate: number) =>
      createAnsweringStation({
        ...optionsOf(flags, profile, ownPosition, sampleRate, teller.begin(Date.now())),
        onEvent: (event) => {
          teller.take(event);
        },
      });
    const answers = answersTo(blocks, create, (seconds) => {
      written = seconds;
    });
    await writeTo(flags.out, flags.raw !== undefined, answers);
  } finally {
    stop?.();
    for (const signal of SIGNALS) process.off(signal, endBySignal);
    process.off('exit', end);
    end();
  }
  process.exitCode = log.failed ? EXIT.bad : teller.answers === 0 ? EXIT.nothing : EXIT.done;
}
