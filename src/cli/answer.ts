/**
 * `dotphase answer`: a station that answers over a cable.
 */
import { createReadStream } from 'node:fs';
import { constants } from 'node:os';
import { resolve } from 'node:path';
import type { Command } from 'commander';
import { parsePosition, timeOfDay, type Identity } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { parseFrequency } from '../frequencies/index.js';
import type { OwnPosition, PositionForCall } from '../navigation/index.js';
import type { LogContext } from '../records/index.js';
import {
  createAnsweringStation,
  type AnsweringEvent,
  type AnsweringOptions,
  type AnsweringStation,
} from '../simulation/index.js';
import { SECOND_TELECOMMANDS, type SecondTelecommandName, type Band } from '../symbols/index.js';
import { readAudioBlocks } from '../containers/index.js';
import { audioFileBlocks } from '../containers/node.js';
import { createWavWriter, readRawBlocks, type AudioBlock } from '../wav/index.js';
import { writeWavFile } from '../wav/node.js';
import { dbToAmplitude } from '../dsp/index.js';
import { answerLive, refuseStreams } from './answer/live.js';
import { whySilent } from './answer/silence.js';
import { Teller } from './answer/teller.js';
import { diskStatus } from './diskstatus.js';
import { EXIT, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { fingerprint } from './log/fingerprint.js';
import { numberOption, once } from './options.js';
import { send } from './output.js';
import { followNavigation } from './profile/navigation.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { addRawFlags, rawInput, type RawFlags } from './rawflags.js';
import { requireRecording } from './recording.js';
import { addSoundFlags, soundCard, wantsSoundCard, type SoundFlags } from './sound/flags.js';
import { toS16 } from './sound/port.js';
import { ENDING } from './stopsignal.js';
import { parseWord, kebab } from './words.js';

interface AnswerFlags extends ProfileFlags, RawFlags, SoundFlags {
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
Calls that were read with doubt are shown and not answered. With an option of
the sound card it listens there until Ctrl-C, also while it answers, and plays
each acknowledgement; its own sound in the input is not taken for a call.

Examples:
  A set on a dummy load gets its test calls answered through a sound card:
    dotphase answer --as 002991234 --sound auto
  The same through pipes:
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
    .argument('[file]', 'audio file or raw samples, - for standard input', STANDARD_STREAM)
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
  addSoundFlags(command);
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
    ? readAudioBlocks(process.stdin, { channel: 0 })
    : audioFileBlocks(file, { channel: 0 });
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
  return { position, time: position === 'none' ? ('none' as const) : timeOfDay(now) };
}

function optionsOf(
  flags: AnswerFlags,
  profile: Profile,
  ownPosition: OwnPosition,
  sampleRate: number,
  now: number,
): AnsweringOptions {
  const { delay, unable, frequency, trainingAcknowledge } = flags;
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
    level: dbToAmplitude(flags.level),
    ...(bands.length > 0 && { bands }),
    ...(unable && { unable }),
    ...(frequency !== undefined && { frequencyHz: frequency }),
    ...(trainingAcknowledge && { trainingAcknowledge }),
  };
}

/** Whether answers are sent, or only written to a file. */
function outputContext({ out }: AnswerFlags): Pick<LogContext, 'direction' | 'file'> {
  const goesOn = out === STANDARD_STREAM || diskStatus(out)?.isFile() === false;
  return goesOn ? { direction: 'sent' } : { direction: 'made', file: resolve(out) };
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
      await send(toS16(samples));
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

function endBySignal(signal: NodeJS.Signals): void {
  process.exit(128 + constants.signals[signal]);
}

async function answer(file: string, flags: AnswerFlags): Promise<void> {
  const profile = await profileOf(flags);
  const isLive = wantsSoundCard(flags);
  if (isLive) refuseStreams(file, flags);
  if (!isLive && profile.navigation === STANDARD_STREAM && file === STANDARD_STREAM) {
    throw new DotphaseError(
      '--navigation',
      STANDARD_STREAM,
      'a file or device: the audio is on standard input',
    );
  }
  const identities = identitiesOf(flags, profile);
  if (file !== STANDARD_STREAM && flags.raw === undefined) await requireRecording(file);
  const ownPosition = profile.createPosition();
  const port = isLive ? soundCard(flags, flags.rateHz) : undefined;
  const blocks = port ? undefined : blocksOf(file, flags);
  const stop =
    profile.navigation === undefined
      ? undefined
      : followNavigation(profile.navigation, ownPosition, (error) => {
          if (error) warn(error.message);
        });
  const log = await LogFile.open(flags.log ?? profile.log, isLive);
  const recording = log.isOpen ? await fingerprint(file) : undefined;
  const input = {
    ...(file !== STANDARD_STREAM && { file: resolve(file) }),
    ...(recording !== undefined && { recording }),
  };
  const teller = new Teller(
    log,
    profile,
    outputContext(flags),
    input,
    { isLive },
    (received, frequencyHz) => {
      const rule = whySilent(received, frequencyHz, identities);
      // In training alerts and relays are acknowledged as the procedures say.
      return flags.trainingAcknowledge && rule === 'neverAutomatic' ? undefined : rule;
    },
  );
  let written = 0;
  const end = () => {
    void port?.close();
    teller.breakOff(written);
    log.close();
  };
  // Standard output that closes ends the process, and so does Ctrl-C: the log is told of an answer that breaks off.
  process.once('exit', end);
  for (const signal of ENDING) process.once(signal, endBySignal);
  try {
    teller.caution(flags.trainingAcknowledge ? TRAINING_CAUTION : CAUTION);
    const create = (
      sampleRate: number,
      onEvent = (event: AnsweringEvent) => {
        teller.take(event);
      },
    ) =>
      createAnsweringStation({
        ...optionsOf(flags, profile, ownPosition, sampleRate, teller.begin(Date.now())),
        onEvent,
      });
    if (port) await answerLive(port, teller, create, dbToAmplitude(flags.level));
    if (blocks) {
      const answers = answersTo(blocks, create, (seconds) => {
        written = seconds;
      });
      await writeTo(flags.out, flags.raw !== undefined, answers);
    }
  } finally {
    stop?.();
    for (const signal of ENDING) process.off(signal, endBySignal);
    process.off('exit', end);
    end();
  }
  process.exitCode = log.failed ? EXIT.bad : teller.answers === 0 ? EXIT.nothing : EXIT.done;
}
