/**
 * `dotphase decode`: recordings and live audio to calls.
 */
import { statSync } from 'node:fs';
import { Option, type Command } from 'commander';
import { Presets, SingleBar } from 'cli-progress';
import { DotphaseError } from '../errors.js';
import { BIT_RATE, type Band } from '../frames/index.js';
import { SAMPLE_RATES } from '../modem/index.js';
import { MAX_CHANNELS, RAW_FORMATS, type RawFormat } from '../wav/index.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { decodeFiles } from './decodepool.js';
import type { DecodeMessage, DecodeSettings } from './decoding.js';
import { EXIT, complain } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { integerOption, numberOption } from './options.js';
import { callBlock, callLine, eventLine } from './report.js';
import { screenOf, wrap } from './terminal.js';

interface DecodeFlags {
  readonly json?: true;
  readonly channel: DecodeSettings['channel'];
  readonly vhf?: true;
  readonly mfHf?: true;
  readonly centre?: number;
  readonly search?: number;
  readonly raw?: RawFormat;
  readonly rateHz?: number;
  readonly channels: number;
  readonly verbose?: true;
}

/** From this many bytes on a progress bar is worth its line. */
const LONG_BYTES = 5_000_000;

const HELP = `
How sure a call is: clean (every character was read and the error check
agrees), recovered (decided with the help of soft information, chance of error
below one in 10 000) or doubtful (anything less).

A line of JSON has start and end (seconds in the file), baud, centreHz,
inverted, symbols, expansions, quality, errorProbability, call and text; these
keys stay. file, channel, snrDb and sendings come beside them.

Examples:
  Everything in two recordings:
    dotphase decode evening.wav night.wav
  One JSON object a line, for another program:
    dotphase decode --json evening.wav | jq .text
  Live audio at 12 kHz from a sound card, calls printed as they end:
    arecord -q -f S16_LE -r 12000 -t raw |
      dotphase decode --raw s16 --rate-hz 12000 -
  A recording whose tones lie around 1000 Hz, with what nearly was a call:
    dotphase decode --centre 1000 --search 50 --verbose evening.wav`;

function readChannel(text: string): DecodeSettings['channel'] {
  if (text === 'best' || text === 'mix' || text === 'each') return text;
  if (/^\d+$/.test(text)) return Number(text);
  throw new DotphaseError('--channel', text, 'a channel number from 0, mix, each or best');
}

/** Adds `decode` to the program. */
export function addDecode(program: Command): void {
  program
    .command('decode')
    .summary('WAV files or live audio to calls')
    .description('Finds every call in recordings or live audio, on MF/HF and VHF alike.')
    .argument('<files...>', 'WAV files, - for standard input')
    .option('--json', 'one JSON object a line for each call')
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
    )
    .addOption(
      new Option('--raw <format>', 'the input is samples without a container, little endian').choices(
        RAW_FORMATS,
      ),
    )
    .option(
      '--rate-hz <hz>',
      'with --raw: sample rate',
      integerOption('--rate-hz', SAMPLE_RATES.lowest, SAMPLE_RATES.highest, 'Hz'),
    )
    .option(
      '--channels <number>',
      'with --raw: samples in a frame',
      integerOption('--channels', 1, MAX_CHANNELS),
      1,
    )
    .option('--verbose', 'tell on standard error what nearly was a call')
    .addHelpText('after', HELP)
    .action(decode);
}

function settingsOf(flags: DecodeFlags): DecodeSettings {
  const { channel, centre, search, raw, rateHz, channels } = flags;
  if (search !== undefined && centre === undefined) {
    throw new DotphaseError('--search', search, '--centre beside it');
  }
  if (raw === undefined && rateHz !== undefined) {
    throw new DotphaseError('--rate-hz', rateHz, '--raw beside it: a WAV file tells its own sample rate');
  }
  if (raw !== undefined && rateHz === undefined) {
    throw new DotphaseError('--rate-hz', 'nothing', 'the sample rate of the raw samples');
  }
  const chosen = [...(flags.mfHf ? ['mf-hf' as const] : []), ...(flags.vhf ? ['vhf' as const] : [])];
  const bands = chosen.length > 0 ? chosen : (Object.keys(BIT_RATE) as Band[]);
  return {
    channel,
    bands,
    events: flags.verbose === true,
    ...(centre !== undefined && { centreHz: centre }),
    ...(search !== undefined && { searchHz: search }),
    ...(raw !== undefined && rateHz !== undefined && { raw: { format: raw, sampleRate: rateHz, channels } }),
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

async function decode(files: readonly string[], flags: DecodeFlags): Promise<void> {
  const settings = settingsOf(flags);
  const out = screenOf(process.stdout);
  const err = screenOf(process.stderr);
  const progress = new Progress(files);
  const seen = { calls: 0, distress: false, failed: false, name: '' };

  const print = (file: string, message: DecodeMessage): void => {
    if (message.type === 'progress') {
      progress.update(file, message.bytes);
      return;
    }
    progress.clear();
    const name = file === STANDARD_STREAM ? 'standard input' : file;
    switch (message.type) {
      case 'call':
        seen.calls++;
        seen.distress ||= isDistress(message.call.symbols);
        if (flags.json) process.stdout.write(`${callLine(message.call)}\n`);
        else {
          if (seen.name !== name) process.stdout.write(`${out.colours.bold(name)}\n`);
          seen.name = name;
          const channels = settings.channel !== 'best' || message.call.channel !== 0;
          process.stdout.write(`${callBlock(message.call, out, channels)}\n`);
        }
        break;
      case 'event':
        process.stderr.write(
          `${err.colours.dim(`${name} ${eventLine(message.event, message.channel).trim()}`)}\n`,
        );
        break;
      case 'warning':
        process.stderr.write(`${err.colours.yellow('warning:')} ${name}: ${message.text}\n`);
        break;
      case 'error':
        seen.failed = true;
        complain(`${name}: ${message.text}`);
        break;
      case 'end':
        break;
    }
  };

  await decodeFiles(files, settings, print);
  progress.stop();
  if (!flags.json) {
    if (seen.calls === 0 && !seen.failed) process.stdout.write('No call was decoded.\n');
    if (seen.distress)
      process.stdout.write(`${out.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, out.width).join('\n'))}\n`);
  }
  process.exitCode = seen.failed ? EXIT.bad : seen.calls === 0 ? EXIT.nothing : EXIT.done;
}
