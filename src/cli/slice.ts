/**
 * `dotphase slice`: calls, carriers and noise on a slice of spectrum, as a receiver on a computer would record it.
 */
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING, reasonOf } from '../errors.js';
import { encodeCall } from '../calls/index.js';
import { IQ_FORMATS, checkSliceScene, type IqFormat, type SliceScene } from '../radio/index.js';
import { transmitCaution } from './cautions.js';
import { EXIT, complain } from './exit.js';
import { STANDARD_STREAM, lookInto, readStandardInput } from './input.js';
import { integerOption } from './options.js';
import { send } from './output.js';
import { EXAMPLE } from './slice/example.js';
import { roomOf, targetOf, write, type Target } from './slice/target.js';
import { aboutFile, screenOf, wrap } from './terminal.js';

interface SliceFlags {
  readonly out?: string;
  readonly format?: IqFormat;
  readonly seed?: number;
  readonly clip?: true;
  readonly example?: true;
}

const HELP = `
The scene is JSON; its schema comes with the package as
dotphase/slice.schema.json. It has sampleRate (complex samples a second, 8000 to
10000000), tunedHz (the frequency in the middle), seconds, and:

  calls     each with call (as decode --json prints it) or symbols, frequencyHz,
            atSeconds, levelDb or snrDb, repeat (sendings in a row), fading (a
            condition of ITU-R F.1487). Below 30 MHz it is sent as J2B, above by
            frequency modulation, as on channel 70
  carriers  frequencyHz, levelDb or snrDb, fromSeconds, untilSeconds
  noiseDb   white noise: its level in 3 kHz
  receiver  what it does wrong: oscillatorPpm (how much higher than said it is
            tuned), dcI and dcQ (the spike in the middle), imbalanceDb and
            skewDegrees (Q against I)
  seed      chooses noise and fading: the same scene gives the same samples
  recorded  when it began, written into SigMF

Levels are of a carrier, in dB: 0 is the largest that fits. snrDb is the level
over the noise in 3 kHz. The name of the file tells what is written: .wav (two
channels of 16 bits; of floating point with --format cf32), .sigmf-meta (with
its .sigmf-data, where each call is annotated) or raw .cu8, .cs8, .cs16, .cf32.
What would be beyond full scale turns all of it down, so that nothing clips.

Examples:
  A scene to begin with, made and read:
    dotphase slice --example > scene.json
    dotphase slice scene.json --out slice.sigmf-meta
    dotphase decode slice.sigmf-meta
  Other noise, as a sound card of a receiver would give it:
    dotphase slice scene.json --seed 2 --out slice.wav
    dotphase decode --iq --tuned 8430 slice.wav
  Into a pipe:
    dotphase slice scene.json --format cs16 --out - |
      dotphase decode --raw cs16 --rate-hz 96000 --tuned 8430 -

Never feed distress, urgency or safety calls to a transmitter on the air, as
samples either: use a dummy load or a cable.`;

/** Adds `slice` to the program. */
export function addSlice(program: Command): void {
  program
    .command('slice')
    .summary('calls, carriers and noise on a slice of spectrum (I and Q)')
    .description(
      'Makes a recording of a slice of spectrum, as a receiver on a computer records it: calls on any frequencies in it, carriers, noise and what such receivers do wrong.',
    )
    .argument('[scene]', 'JSON file that says what is in it, - for standard input')
    .option(
      '--out <file>',
      'file to write: .wav, .sigmf-meta, .cu8, .cs8, .cs16, .cf32; - for standard output',
    )
    .addOption(
      new Option(
        '--format <format>',
        'how I and Q are coded, where the name of the file does not tell (default: cs16)',
      ).choices(IQ_FORMATS),
    )
    .option(
      '--seed <number>',
      "chooses noise and fading, instead of the scene's own",
      integerOption('--seed', 0, Number.MAX_SAFE_INTEGER),
    )
    .option('--clip', 'keep the levels even beyond full scale, and clip there')
    .addOption(
      new Option('--example', 'print a scene to begin with').conflicts(['out', 'format', 'seed', 'clip']),
    )
    .addHelpText('after', HELP)
    .action(slice);
}

async function textOf(path: string): Promise<string> {
  if (path === STANDARD_STREAM) return readStandardInput();
  const found = await lookInto(path);
  if (found.isRecording) throw new DotphaseError('scene', path, 'a scene in JSON, not a recording');
  return found.text;
}

async function readScene(path: string): Promise<SliceScene> {
  const text = await textOf(path);
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch (error) {
    throw new DotphaseError('scene', path, `a scene in JSON (${reasonOf(error)})`);
  }
  return checkSliceScene(data);
}

async function slice(path: string | undefined, flags: SliceFlags): Promise<void> {
  if (flags.example) {
    if (path !== undefined) throw new DotphaseError('--example', path, 'no scene beside it');
    await send(`${JSON.stringify(EXAMPLE, undefined, 2)}\n`);
    return;
  }
  if (path === undefined) throw new DotphaseError('scene', NOTHING, 'a JSON file; --example prints one');
  const target = targetOf(flags);
  const given = await readScene(path);
  const scene = flags.seed === undefined ? given : { ...given, seed: flags.seed };
  if (target.kind === 'wav' && !Number.isInteger(scene.sampleRate))
    throw new DotphaseError('sampleRate', scene.sampleRate, 'a whole number in a WAV file');
  const isExact = target.format === 'cf32' || flags.clip === true;
  const gainDb = isExact ? 0 : roomOf(scene);
  const clipped = await write(target, scene, gainDb);
  tell(target, scene, gainDb);
  if (clipped > 0) complain(`warning: ${clipped} samples were beyond full scale and clipped`);
  process.exitCode = EXIT.done;
}

/** What is to be known of calls that are not routine, each caution once. */
function cautionsOf(calls: SliceScene['calls'] = []): Set<string> {
  const all = calls.map(({ call, symbols = [] }) =>
    transmitCaution(call ? encodeCall(call).symbols : symbols),
  );
  return new Set(all.filter((caution) => caution !== undefined));
}

/** What was written, for people. */
function tell({ kind, path, format }: Target, scene: SliceScene, gainDb: number): void {
  const stream = path === STANDARD_STREAM ? process.stderr : process.stdout;
  const screen = screenOf(stream);
  const { width, colours } = screen;
  const { sampleRate, tunedHz, seconds, calls = [], carriers = [] } = scene;
  const count = (number: number, what: string) => `${number} ${what}${number === 1 ? '' : 's'}`;
  const name = path === STANDARD_STREAM ? 'standard output' : kind === 'sigmf' ? `${path}.sigmf-meta` : path;
  const facts = [
    `${seconds} s at ${sampleRate} samples a second, ${format}`,
    `tuned to ${tunedHz / 1000} kHz`,
    count(calls.length, 'call'),
    ...(carriers.length > 0 ? [count(carriers.length, 'carrier')] : []),
    ...(gainDb === 0 ? [] : [`turned down by ${(-gainDb).toFixed(1)} dB so that nothing clips`]),
  ];
  stream.write(`${aboutFile(name, facts, screen)}\n`);
  for (const caution of cautionsOf(calls))
    stream.write(`${colours.yellow(wrap(caution, width).join('\n'))}\n`);
}
