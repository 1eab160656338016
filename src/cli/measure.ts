/**
 * `dotphase measure`: what a set sends, in figures with their uncertainty.
 */
import { readFile } from 'node:fs/promises';
import type { Command } from 'commander';
import { describeCall } from '../calls/index.js';
import { DotphaseError, reasonOf } from '../errors.js';
import {
  USUAL_CLOCK_PPM,
  clockFromTone,
  clockWithin,
  compareWithTruth,
  createMeter,
  figureText,
  pooled,
  readOwnLimits,
  tolerancesFor,
  verdictsOn,
  withClock,
  type Figure,
  type MeasuredCall,
  type Meter,
  type MeteredCall,
  type OwnLimits,
  type ReportedBand,
  type Tolerance,
} from '../measure/index.js';
import type { ReceivedCall } from '../receiver/index.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { blocksOf } from './decode/blocks.js';
import { EXIT, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import {
  figureLines,
  measuredBlock,
  measuredLine,
  pooledLine,
  type JudgedMeasurement,
} from './measure/output.js';
import { integerOption, numberOption } from './options.js';
import { addRawFlags, rawInput, type RawFlags } from './rawflags.js';
import { concatenated, requireRecording } from './recording.js';
import { clock as clockText } from './report.js';
import { screenOf, wrap, type Screen } from './terminal.js';
import {
  addReportFlags,
  earlierReport,
  ladderFor,
  writeReports,
  type ReportFlags,
} from './measure/report.js';
import { addTruthFlags, truthOf, type TruthFlags } from './measure/truth.js';

interface MeasureFlags extends RawFlags, TruthFlags, ReportFlags {
  readonly json?: true;
  readonly clockPpm: number;
  readonly referenceHz?: number;
  readonly referenceChannel?: number;
  readonly channel: number;
  readonly centre?: number;
  readonly limits?: string;
}

/** A sample this large is at full scale, in 16 bits too. */
const FULL_SCALE = 32_766 / 32_768;
/** Clicks alone bring a few samples there. */
const MOST_AT_FULL_SCALE = 10;
/** Seconds of a recording in which the reference is looked for. */
const REFERENCE_SECONDS = 120;

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
      'Measures the calls in recordings: tones, symbol rate, levels, phase, spectrum, dots and characters, each figure with its standard uncertainty and a verdict, and all calls together.',
    )
    .argument('<files...>', 'audio files: WAV, FLAC, MP3, Ogg, AIFF; - for standard input');
  addReportFlags(addTruthFlags(addRawFlags(command)))
    .option('--json', 'one JSON object for each call on a line, the last one for all together')
    .option(
      '--clock-ppm <ppm>',
      'how far the clock of the sound card may be off, either way',
      numberOption('--clock-ppm', 0, 1000, 'ppm'),
      USUAL_CLOCK_PPM,
    )
    .option(
      '--reference-hz <hz>',
      'a steady tone of this true frequency is in the recording: the clock is calibrated against it',
      numberOption('--reference-hz', 20, 80_000, 'Hz'),
    )
    .option(
      '--reference-channel <number>',
      'with --reference-hz: the channel it is on, from 0 (default: that of the calls)',
      integerOption('--reference-channel', 0, 31),
    )
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

/**
 * Tells the calls of a recording as they end; with a reference to calibrate its clock against, when it has been read.
 *
 * @returns the clock's error
 */
async function readRecording(
  file: string,
  flags: MeasureFlags,
  tell: (calls: readonly MeteredCall[], clock: Figure) => void,
): Promise<Figure> {
  const { referenceHz, referenceChannel = flags.channel, channel, centre } = flags;
  if (file !== STANDARD_STREAM && flags.raw === undefined) await requireRecording(file);
  const raw = rawInput(flags);
  let meter: Meter | undefined;
  const given = referenceHz === undefined ? clockWithin(flags.clockPpm) : undefined;
  const held: MeteredCall[] = [];
  const take = (calls: readonly MeteredCall[]) => {
    if (given) tell(calls, given);
    else held.push(...calls);
  };
  const reference: Float32Array[] = [];
  let kept = 0;
  let clipped = 0;
  let sampleRate = 0;
  const wanted = Math.max(channel, referenceHz === undefined ? 0 : referenceChannel);
  const blocks = blocksOf(
    file,
    { channel: wanted === 0 ? 0 : 'each', ...(raw && { raw: { ...raw, channels: 1 } }) },
    ({ text }) => {
      warn(`${file}: ${text}`);
    },
    () => undefined,
  );
  for await (const block of blocks) {
    if (wanted >= block.channels.length) {
      const count = block.channels.length;
      throw new DotphaseError(
        channel >= count ? '--channel' : '--reference-channel',
        wanted,
        count === 1 ? '0: the recording has one channel' : `a channel from 0 to ${count - 1}`,
      );
    }
    sampleRate = block.sampleRate;
    meter ??= createMeter({ sampleRate, ...(centre !== undefined && { centreHz: centre, searchHz: 100 }) });
    take(meter.push(block.channels[channel]));
    for (const sample of block.channels[channel]) if (Math.abs(sample) >= FULL_SCALE) clipped++;
    if (referenceHz === undefined || kept >= REFERENCE_SECONDS * sampleRate) continue;
    const part = block.channels[referenceChannel].slice();
    reference.push(part);
    kept += part.length;
  }
  take(meter?.flush() ?? []);
  if (clipped > MOST_AT_FULL_SCALE)
    warn(
      `${file}: ${clipped} samples at full scale: it is clipped, and its figures are worth little; record it softer`,
    );
  if (given) return given;
  const clock = clockFromTone(concatenated(reference), sampleRate, referenceHz ?? NaN);
  tell(held, clock);
  return clock;
}

async function measure(files: readonly string[], flags: MeasureFlags): Promise<void> {
  const limits = await ownLimits(flags.limits);
  const before = await earlierReport(flags);
  const ladder = await ladderFor(flags);
  const screen = screenOf(process.stdout);
  const say = (line: string) => process.stdout.write(`${line}\n`);
  const all: JudgedMeasurement[] = [];
  const truth = truthOf(flags);
  const tolerances = (baud: number, symbols: readonly number[]) =>
    tolerancesFor({
      band: baud === 100 ? 'mf-hf' : 'vhf',
      symbols,
      own: limits,
      ...(flags.centre !== undefined && { centreHz: flags.centre }),
    });
  const clocks: Figure[] = [];
  for (const file of files) {
    let isHeaded = flags.json === true;
    const tell = (calls: readonly MeteredCall[], clock: Figure) => {
      for (const { received, measured } of calls) {
        if (!measured) {
          const where = `${file}, ${clockText(received.start)}`;
          warn(`${where}: a call was received, but not whole or not clearly enough to be measured`);
          continue;
        }
        const figures = withClock(measured.figures, clock);
        const judged: JudgedMeasurement = {
          file,
          received,
          measured,
          text: describeCall(received.call),
          figures,
          verdicts: verdictsOn(figures, limitsOf([received], tolerances(measured.baud, measured.symbols))),
          truth: compareWithTruth(received.call, truth),
        };
        all.push(judged);
        if (!isHeaded) say(heading(file, clock, flags, screen));
        isHeaded = true;
        say(flags.json ? measuredLine(judged) : measuredBlock(judged, screen));
      }
    };
    clocks.push(await readRecording(file, flags, tell));
  }
  const bands = all.length > 0 ? bandsOf(all, clocks, tolerances) : [];
  for (const band of bands) if (band.calls > 1) tellPooled(band, flags.json === true);
  if (flags.report && all.length > 0) {
    const clock = widest(clocks);
    const parts = { bands, clock, clockSource: clockSource(flags), when: new Date() };
    await writeReports(flags, { ...parts, ...(ladder && { ladder }) }, before);
    if (!flags.json) say(`Report: ${flags.report.join(', ')}`);
  }
  if (all.length === 0) {
    process.exitCode = EXIT.nothing;
    warn('no call was measured');
  }
  if (!flags.json && all.some(({ received }) => isDistress(received.symbols, received.certainty)))
    say(screen.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, screen.width).join('\n')));
}

const clockSource = ({ referenceHz }: MeasureFlags): string =>
  referenceHz === undefined ? 'not calibrated' : `calibrated against ${referenceHz} Hz`;

function heading(file: string, clock: Figure, flags: MeasureFlags, { colours }: Screen): string {
  return `${colours.bold(file)}\n  clock of the sound card: ${figureText(clock, 'ppm')} fast, ${clockSource(flags)}`;
}

/** The clocks of recordings made with one sound card are off alike: the widest doubt stands for all. */
const widest = (clocks: readonly Figure[]): Figure =>
  clocks.reduce((worst, one) => (one.uncertainty > worst.uncertainty ? one : worst));

/** The limits that hold for calls: that of the dots only where all need the same, and it is sure which. */
function limitsOf(calls: readonly ReceivedCall[], tolerances: readonly Tolerance[]): Tolerance[] {
  const isSure = calls.every(({ quality }) => quality !== 'doubtful');
  const isOne = new Set(calls.map(({ symbols }) => symbols.join())).size === 1;
  return tolerances.filter(({ figure }) => figure !== 'dots' || (isSure && isOne));
}

/** The calls of each bit rate together. */
function bandsOf(
  all: readonly JudgedMeasurement[],
  clocks: readonly Figure[],
  tolerances: (baud: number, symbols: readonly number[]) => Tolerance[],
): ReportedBand[] {
  return [...new Set(all.map(({ measured }) => measured.baud))].map((baud) => {
    const those = all.filter(({ measured }) => measured.baud === baud);
    const calls = those.map(({ measured }) => measured);
    const figures = withClock(pooled(calls), widest(clocks));
    const limits = limitsOf(
      those.map(({ received }) => received),
      tolerances(baud, calls[0].symbols),
    );
    const ratio = ({ figures: own }: MeasuredCall) => own.snrDb?.value ?? -Infinity;
    const { lines, detail } = calls.reduce((best, call) => (ratio(call) > ratio(best) ? call : best));
    const texts = [...new Set(those.map(({ text }) => text))];
    return {
      baud,
      texts,
      calls: calls.length,
      figures,
      verdicts: verdictsOn(figures, limits),
      lines,
      detail,
    };
  });
}

function tellPooled({ baud, calls, figures, verdicts }: ReportedBand, isJson: boolean): void {
  const screen = screenOf(process.stdout);
  const title = screen.colours.bold(`${calls} calls at ${baud} Bd together`);
  const text = isJson
    ? pooledLine(calls, figures, verdicts)
    : [title, ...figureLines(figures, verdicts, screen)].join('\n');
  process.stdout.write(`${text}\n`);
}
