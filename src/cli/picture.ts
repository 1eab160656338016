/**
 * `dotphase picture`: a recording as a drawing.
 */
import { writeFile } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import { Option, type Command } from 'commander';
import { DotphaseError, reasonOf } from '../errors.js';
import { createHoursDrawing, drawPicture, type HoursDrawing } from '../pictures/index.js';
import { createReceiver, receiveCalls, type ReceivedCall, type Receiver } from '../receiver/index.js';
import type { ChannelChoice } from '../wav/index.js';
import { audioFileBlocks } from '../containers/node.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { integerOption, numberOption } from './options.js';
import { momentIn, originFinder, readRecorded, type RecordedAt } from './origin.js';
import { concatenated, requireRecording } from './recording.js';
import { callBlock } from './report.js';
import { aboutFile, screenOf, wrap, type Screen } from './terminal.js';

interface PictureFlags {
  readonly out?: string;
  readonly from: number;
  readonly seconds?: number;
  readonly channel: Exclude<ChannelChoice, 'each'>;
  readonly overview?: true;
  readonly whole?: true;
  readonly recorded?: RecordedAt;
  readonly title?: string;
  readonly width: number;
}

const DEFAULT_SECONDS = 60;
const LONGEST_SECONDS = 600;
/** Beyond ten minutes lines of an hour are drawn, up to a week of them. */
const LONGEST_LINES_SECONDS = 604_800;
const MOST_SECONDS_IN_BITS = 120;

const HELP = `
Examples:
  A call and all its bits:
    dotphase picture alert.wav --out alert.svg
  Ten seconds of a long recording, the spectrogram alone, to be scaled freely:
    dotphase picture evening.wav --from 1805 --seconds 10 --overview --out ten.svg
  A whole night, the calls marked:
    dotphase picture night.flac --whole --recorded 2031-05-17T21:00 --out night.svg
  As pixels, which needs one more package, @resvg/resvg-js:
    dotphase picture alert.wav --out alert.png --width 1600`;

function readChannel(text: string): PictureFlags['channel'] {
  if (text === 'mix') return text;
  if (/^\d+$/.test(text)) return Number(text);
  throw new DotphaseError('--channel', text, 'a channel number from 0, or mix');
}

/** Adds `picture` to the program. */
export function addPicture(program: Command): void {
  program
    .command('picture')
    .summary('a recording to a drawing of its calls')
    .description(
      'Draws a spectrogram with the dot pattern, phasing and characters of each call over time, and below it, bit by bit, the energy of both tones, the bits and the characters they spell.',
    )
    .argument('<file>', 'audio file: WAV, FLAC, MP3, Ogg, AIFF')
    .option('--out <file>', 'SVG or PNG file to write (default: the name of the recording with .svg)')
    .option('--from <seconds>', 'where to begin', numberOption('--from', 0, 1e6, 'seconds'), 0)
    .option(
      '--seconds <number>',
      `how much to draw (default: up to ${DEFAULT_SECONDS}); of more than ${LONGEST_SECONDS} an hour a line, the calls marked`,
      numberOption('--seconds', 0.01, LONGEST_LINES_SECONDS, 'seconds'),
    )
    .addOption(new Option('--whole', 'all of it, an hour a line').conflicts(['from', 'seconds', 'overview']))
    .option(
      '--recorded <moment>',
      'when it began, as in 2031-05-17T09:30, UTC; or name, chunk or modified, as of decode',
      readRecorded,
    )
    .option('--channel <which>', 'of a file with several: a number from 0, or mix', readChannel, 0)
    .option('--overview', 'the spectrogram alone')
    .option('--title <text>', 'heading')
    .option('--width <pixels>', 'of a PNG', integerOption('--width', 200, 8000, 'pixels'), 2000)
    .addHelpText('after', HELP)
    .action(picture);
}

/** Part of a recording. */
interface Excerpt {
  readonly samples: Float32Array;
  readonly sampleRate: number;
  /** Whether the recording goes on behind it. */
  readonly isCut: boolean;
}

/** Reads a part of a file, holding no more than that. */
async function readExcerpt(file: string, flags: PictureFlags): Promise<Excerpt> {
  const pieces: Float32Array[] = [];
  let sampleRate = 0;
  let at = 0;
  let isCut = false;
  for await (const block of audioFileBlocks(file, { channel: flags.channel })) {
    sampleRate = block.sampleRate;
    const first = Math.round(flags.from * sampleRate);
    const end = first + Math.round((flags.seconds ?? DEFAULT_SECONDS) * sampleRate);
    const [samples] = block.channels;
    if (at + samples.length > first)
      pieces.push(samples.slice(Math.max(0, first - at), Math.max(0, end - at)));
    at += samples.length;
    isCut = at > end;
    if (isCut) break;
  }
  const length = pieces.reduce((sum, piece) => sum + piece.length, 0);
  if (length === 0) {
    throw new DotphaseError(
      '--from',
      flags.from,
      `less than the length of ${file}, ${at / (sampleRate || 1)} s`,
    );
  }
  return { samples: concatenated(pieces), sampleRate, isCut };
}

/** What turns a drawing into pixels, from the package that draws them. */
async function loadRenderer(): Promise<(svg: string, width: number) => Uint8Array> {
  const { Resvg } = await import('@resvg/resvg-js').catch((error: unknown) => {
    throw new DotphaseError(
      '--out',
      `a PNG file, and no package that draws it (${error instanceof Error ? error.message : String(error)})`,
      'an SVG file, or @resvg/resvg-js beside dotphase: npm install @resvg/resvg-js@2',
    );
  });
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text y="9">x</text></svg>`;
  if (new Resvg(text).getBBox() === undefined) {
    throw new DotphaseError(
      '--out',
      'a PNG file',
      'an SVG file: this system has no fonts to draw letters with',
    );
  }
  return (svg, width) => new Resvg(svg, { fitTo: { mode: 'width', value: width } }).render().asPng();
}

async function picture(file: string, flags: PictureFlags): Promise<void> {
  const out = flags.out ?? `${basename(file, extname(file))}.svg`;
  const kind = extname(out).toLowerCase();
  if (kind !== '.png' && kind !== '.svg') throw new DotphaseError('--out', out, 'a .png or .svg file');
  const renderPng = kind === '.png' ? await loadRenderer() : undefined;
  await requireRecording(file);
  const isInHours = flags.whole === true || (flags.seconds ?? 0) > LONGEST_SECONDS;
  const drawing = isInHours ? await drawHours(file, flags) : await drawExcerpt(file, flags);
  try {
    await writeFile(out, renderPng?.(drawing.svg, flags.width) ?? drawing.svg);
  } catch (error) {
    if (error instanceof DotphaseError) throw error;
    throw new DotphaseError('--out', out, `a file that can be written: ${reasonOf(error)}`);
  }
  tell(out, file, drawing, flags, screenOf(process.stdout));
}

/** A drawing and what is in it. */
interface Drawing {
  readonly svg: string;
  /** In seconds from the first sample drawn. */
  readonly calls: readonly ReceivedCall[];
  readonly seconds: number;
  /** Whether the recording goes on behind it though no end was asked for. */
  readonly goesOn: boolean;
}

/** Draws a recording of any length while it is read. */
async function drawHours(file: string, flags: PictureFlags): Promise<Drawing> {
  const { from, seconds = Infinity, recorded, channel } = flags;
  const origin = await (await originFinder({ ...(recorded !== undefined && { recorded }) }))(file);
  const calls: ReceivedCall[] = [];
  let ear: { receiver: Receiver; drawing: HoursDrawing; rate: number } | undefined;
  let at = 0;
  for await (const { channels, sampleRate } of audioFileBlocks(file, { channel })) {
    ear ??= {
      receiver: createReceiver({ sampleRate }),
      drawing: createHoursDrawing({ sampleRate }),
      rate: sampleRate,
    };
    const [samples] = channels;
    const first = Math.max(0, Math.round(from * sampleRate) - at);
    const end = Math.round((from + seconds) * sampleRate) - at;
    if (end <= 0) break;
    const part = samples.subarray(first, Math.max(first, end));
    at += samples.length;
    ear.drawing.push(part);
    calls.push(...ear.receiver.push(part));
  }
  if (!ear || at <= from * ear.rate) {
    throw new DotphaseError('--from', from, `less than the length of ${file}, ${at / (ear?.rate ?? 1)} s`);
  }
  calls.push(...ear.receiver.flush());
  const began = momentIn(origin, from);
  const svg = ear.drawing.end({
    calls,
    title: flags.title ?? basename(file),
    ...(began !== undefined && { began }),
  });
  return { svg, calls, seconds: Math.min(seconds, at / ear.rate - from), goesOn: false };
}

/** Draws a part of a recording, every bit of it where that is short enough. */
async function drawExcerpt(file: string, flags: PictureFlags): Promise<Drawing> {
  const { samples, sampleRate, isCut } = await readExcerpt(file, flags);
  const isLong = samples.length > MOST_SECONDS_IN_BITS * sampleRate;
  if (isLong && !flags.overview) {
    throw new DotphaseError(
      '--seconds',
      flags.seconds,
      `at most ${MOST_SECONDS_IN_BITS}, or --overview beside it`,
    );
  }
  const calls = receiveCalls(samples, { sampleRate });
  const svg = drawPicture(samples, {
    sampleRate,
    calls,
    clockSeconds: flags.from,
    title: flags.title ?? basename(file),
    show: flags.overview ? 'overview' : 'bits',
  });
  const goesOn = isCut && flags.seconds === undefined;
  return { svg, calls, seconds: samples.length / sampleRate, goesOn };
}

/** Says what was drawn. */
function tell(
  out: string,
  file: string,
  { calls, seconds, goesOn }: Drawing,
  flags: PictureFlags,
  screen: Screen,
): void {
  const { colours, width } = screen;
  const drawn = `${seconds.toFixed(2)} s drawn${goesOn ? '; the recording goes on: --from and --seconds choose another part' : ''}`;
  process.stdout.write(`${aboutFile(out, [drawn], screen)}\n`);
  for (const call of calls) {
    const heard = { ...call, file, channel: flags.channel, start: call.start + flags.from };
    process.stdout.write(`${callBlock(heard, screen, false)}\n`);
  }
  if (calls.length === 0) process.stdout.write('No call was decoded in it.\n');
  if (calls.some(({ symbols, certainty }) => isDistress(symbols, certainty))) {
    process.stdout.write(`${colours.yellow(wrap(DECODED_DISTRESS_CAUTION, width).join('\n'))}\n`);
  }
}
