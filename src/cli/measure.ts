/**
 * `dotphase measure`: what a set sends, in figures with their uncertainty.
 */
import { readFile } from 'node:fs/promises';
import type { Command } from 'commander';
import { DotphaseError, NOTHING, reasonOf } from '../errors.js';
import {
  addJudged,
  figureText,
  judgeCall,
  judgeTogether,
  readOwnLimits,
  unsteadyText,
  type Figure,
  type JudgedCall,
  type JudgeSettings,
  type MeteredCall,
  type OwnLimits,
  type ReportedBand,
} from '../measure/index.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { formatFrequency } from '../frequencies/index.js';
import { EXIT, warn } from './exit.js';
import {
  figureLines,
  measuredBlock,
  measuredLine,
  pooledLine,
  type JudgedMeasurement,
} from './measure/output.js';
import { isSliceFile, measureFile, measureSlice, measureSound, type InputFlags } from './measure/input.js';
import { addSliceFlags } from './decode/sliceflags.js';
import { addClockFlags, clockSource } from './measure/reference.js';
import { STANDARD_STREAM } from './input.js';
import { integerOption, numberOption } from './options.js';
import { addRawFlags } from './rawflags.js';
import { clock as clockText } from './report.js';
import { addSoundInputFlags, soundInput, wantsSoundCard, type SoundFlags } from './sound/flags.js';
import { plain, screenOf, wrap, type Screen } from './terminal.js';
import {
  addReportFlags,
  earlierReport,
  ladderFor,
  writeReports,
  type ReportFlags,
} from './measure/report.js';
import { addTruthFlags, truthOf, type TruthFlags } from './measure/truth.js';

interface MeasureFlags extends InputFlags, TruthFlags, ReportFlags, SoundFlags {
  readonly json?: true;
  readonly calls?: number;
  readonly limits?: string;
}

const EXAMPLES = `
Examples:
  What a set sends, from a recording on a cable or a dummy load:
    dotphase measure set.wav
  The clock of the sound card is known to 5 ppm:
    dotphase measure --clock-ppm 5 set.wav
  A tone of 1000 Hz from a frequency standard is in the recording, beside or
  before the calls; or on the other channel:
    dotphase measure --reference-hz 1000 set.wav
    dotphase measure --reference-hz 1000 --reference-channel 1 set.wav
  Live from the sound card, each call as it comes, until Ctrl-C or five calls;
  or raw samples through a pipe:
    dotphase measure --sound auto --calls 5 --report set.html --set "bridge set"
    arecord -q -f S16_LE -r 48000 -t raw | \\
      dotphase measure --raw s16 --rate-hz 48000 -
  A set on channel 70 from I and Q: deviation and carrier too; the receiver's
  clock is known to 0.2 ppm:
    dotphase measure --iq --tuned 156.5MHz --clock-ppm 0.2 slice.wav
  The clock from a pulse a second on the other channel:
    dotphase measure --reference-hz 1 --reference-channel 1 set.wav
  Limits of your own, and what the set ought to say:
    echo '{"levelDifferenceDb": [-1, 1], "droopDb": [-0.5, 0.5]}' > limits.json
    dotphase measure --limits limits.json --identity 299123456 set.wav
  A report to print and one to keep, compared with that before a repair:
    dotphase measure set.wav --report after.html --report after.json \\
      --before before.json --set "bridge set" --by "A. Surveyor"

Each figure stands with its standard uncertainty. It is within its limits only
where 1.96 times that on both sides is; where that reaches over a limit, the
measurement can't tell.`;

/** Adds `measure` to the program. */
export function addMeasure(program: Command): void {
  const command = program
    .command('measure')
    .summary('what a set sends, in figures with limits')
    .description(
      'Measures the calls in recordings or as they come in: tones, symbol rate, levels, phase, spectrum, dots and characters, from slices of spectrum the carrier too, each figure with its standard uncertainty and a verdict, and all calls together.',
    )
    .argument(
      '[files...]',
      'audio files: WAV, FLAC, MP3, Ogg, AIFF; slices of spectrum: SigMF, or with --iq; - for standard input; none with the options of a sound card',
    );
  addSoundInputFlags(command);
  addSliceFlags(command);
  addClockFlags(addReportFlags(addTruthFlags(addRawFlags(command, true))))
    .option('--json', 'one JSON object for each call on a line, the last one for all together')
    .option('--calls <number>', 'end after so many measured calls', integerOption('--calls', 1, 100_000))
    .option('--channel <number>', 'of a file with several, from 0', integerOption('--channel', 0, 31), 0)
    .option(
      '--centre <hz>',
      'where the centre of the tones ought to lie (default 1700)',
      numberOption('--centre', 100, 10_000, 'Hz'),
    )
    .option('--limits <file>', 'JSON with limits of your own by the names of figures')
    .addHelpText('after', EXAMPLES)
    .action(measure);
}

async function ownLimits(file: string | undefined): Promise<OwnLimits> {
  if (file === undefined) return {};
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch (error) {
    throw new DotphaseError('--limits', file, `a file that can be read: ${reasonOf(error)}`);
  }
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new DotphaseError('--limits', file, 'JSON, for example {"droopDb": [-0.5, 0.5]}');
  }
  return readOwnLimits(data);
}

function heading(name: string, clock: Figure, flags: MeasureFlags, { colours }: Screen): string {
  const of = isSliceFile(name, flags) ? 'receiver' : 'sound card';
  return `${colours.bold(plain(name))}\n  clock of the ${of}: ${figureText(clock, 'ppm')} fast, ${clockSource(flags)}`;
}

/** The clocks of recordings made with one sound card are off alike: the widest doubt stands for all. */
const widest = (clocks: readonly Figure[]): Figure =>
  clocks.reduce((worst, one) => (one.uncertainty > worst.uncertainty ? one : worst));

/** An input: its name, and what reads it and tells its calls. */
interface Source {
  readonly name: string;
  /** Whether its times are those of the day. */
  readonly isLive: boolean;
  measure(tell: (calls: readonly MeteredCall[], clock: Figure) => void): Promise<Figure>;
  /** Ends it before its end; its last calls are told. */
  stop(): void;
}

function sourcesOf(files: readonly string[], flags: MeasureFlags): Source[] {
  const isSound = wantsSoundCard(flags);
  if (isSound && (flags.iq || flags.tuned !== undefined))
    throw new DotphaseError('--iq', true, 'nothing beside a sound card: a slice comes from a file or a pipe');
  if (!isSound && files.length === 0)
    throw new DotphaseError(
      'files',
      NOTHING,
      'recordings, - for standard input, or --sound auto to measure live',
    );
  if (isSound && files.length > 0)
    throw new DotphaseError('files', files[0], 'either files, or the options of a sound card');
  if (isSound) {
    if (flags.raw !== undefined)
      throw new DotphaseError('--raw', flags.raw, 'nothing beside a sound card: its samples are s16');
    const input = soundInput(flags, flags.rateHz);
    return [
      {
        name: input.inputName,
        isLive: true,
        measure: (tell) => measureSound(input, flags, tell),
        stop: () => {
          void input.close();
        },
      },
    ];
  }
  return files.map((name) => {
    const state = { isStopped: false };
    return {
      name,
      isLive: false,
      measure: (tell) => {
        const read = isSliceFile(name, flags) ? measureSlice : measureFile;
        return read(name, flags, tell, () => state.isStopped);
      },
      stop: () => {
        state.isStopped = true;
      },
    };
  });
}

async function measure(files: readonly string[], flags: MeasureFlags): Promise<void> {
  const own = await ownLimits(flags.limits);
  const before = await earlierReport(flags);
  const ladder = await ladderFor(flags);
  const sources = sourcesOf(files, flags);
  const screen = screenOf(process.stdout);
  const say = (line: string) => process.stdout.write(`${line}\n`);
  let all: JudgedCall[] = [];
  const settings = (clock: Figure): JudgeSettings => ({
    clock,
    own,
    truth: truthOf(flags),
    ...(flags.centre !== undefined && { centreHz: flags.centre }),
  });
  const isEnough = () => flags.calls !== undefined && all.length >= flags.calls;
  const clocks: Figure[] = [];
  for (const source of sources) {
    if (isEnough()) break;
    const { name } = source;
    let isHeaded = flags.json === true;
    const began = Date.now();
    const tell = (calls: readonly MeteredCall[], clock: Figure) => {
      for (const call of calls) {
        if (isEnough()) return;
        const judged = judgeCall(call, settings(clock));
        if (!judged) {
          const where = `${name}, ${clockText(call.received.start)}`;
          warn(`${where}: a call was received, but not whole or not clearly enough to be measured`);
          continue;
        }
        all = addJudged(all, judged);
        if (!isHeaded) say(heading(name, clock, flags, screen));
        isHeaded = true;
        const told: JudgedMeasurement = {
          ...judged,
          file: name,
          ...(source.isLive && { time: new Date(began + 1000 * judged.measured.start).toISOString() }),
        };
        say(flags.json ? measuredLine(told) : measuredBlock(told, screen));
        if (isEnough()) source.stop();
      }
    };
    if (source.isLive && !flags.json)
      say(`Listening to ${plain(name)}. Let the set send; Ctrl-C ends it and puts the calls together.`);
    const stop = () => {
      source.stop();
    };
    if (source.isLive || name === STANDARD_STREAM) {
      process.once('SIGINT', stop);
      process.once('SIGTERM', stop);
    }
    try {
      clocks.push(await source.measure(tell));
    } finally {
      process.off('SIGINT', stop);
      process.off('SIGTERM', stop);
    }
  }
  const bands = all.length > 0 ? judgeTogether(all, settings(widest(clocks))) : [];
  for (const band of bands) if (band.calls > 1) tellPooled(band, flags.json === true);
  if (flags.report && all.length > 0) {
    const parts = { bands, clock: widest(clocks), clockSource: clockSource(flags), when: new Date() };
    await writeReports(flags, { ...parts, ...(ladder && { ladder }) }, before);
    if (!flags.json) say(`Report: ${plain(flags.report.join(', '))}`);
  }
  if (all.length === 0) {
    process.exitCode = EXIT.nothing;
    warn('no call was measured');
  }
  if (!flags.json && all.some(({ received }) => isDistress(received.symbols, received.certainty)))
    say(screen.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, screen.width).join('\n')));
}

function tellPooled(band: ReportedBand, isJson: boolean): void {
  const { baud, frequencyHz, calls, unsteadyCalls, figures, verdicts } = band;
  const screen = screenOf(process.stdout);
  const on = frequencyHz === undefined ? '' : ` on ${formatFrequency(frequencyHz)}`;
  const title = screen.colours.bold(`${calls} calls at ${baud} Bd${on} together`);
  const text = isJson
    ? pooledLine({ pooledCalls: calls, unsteadyCalls, baud, frequencyHz }, figures, verdicts)
    : [
        title,
        ...figureLines(figures, verdicts, screen),
        ...unsteadyText(unsteadyCalls).flatMap((line) =>
          wrap(`without ${line}`, screen.width, '    ', '    '),
        ),
      ].join('\n');
  process.stdout.write(`${text}\n`);
}
