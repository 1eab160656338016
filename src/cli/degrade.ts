/**
 * `dotphase degrade`: a recording, worse.
 */
import { realpath } from 'node:fs/promises';
import type { Command } from 'commander';
import { createLevelMeter } from '../channel/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import type { WavInfo, WavSampleOptions } from '../wav/index.js';
import { wavFileBlocks, writeWavFile } from '../wav/node.js';
import {
  addConditionFlags,
  amplify,
  conditionsHelp,
  conditionsOf,
  keepsLength,
  passWithRoom,
  roomText,
  type ConditionFlags,
} from './conditions.js';
import { complain } from './exit.js';
import { numberOption } from './options.js';
import { requireRecording } from './recording.js';
import { screenOf, wrap } from './terminal.js';

interface DegradeFlags extends ConditionFlags {
  readonly level?: number;
  readonly gain: number;
}

const EXAMPLES = `
Examples:
  Moderate fading and noise 6 dB under the signal:
    dotphase degrade call.wav faded.wav --channel mid-latitude-moderate --snr 6
  A chain of your own, three times with other fading:
    for seed in 1 2 3; do
      dotphase degrade call.wav evening-$seed.wav --channel evening.json --seed $seed
    done`;

/** Adds `degrade` to the program. */
export function addDegrade(program: Command): void {
  const command = program
    .command('degrade')
    .summary('a WAV file through noise, fading and interference')
    .description(
      'Sends a recording through a channel, block by block. Sample rate, number of channels and length stay as they are (a clock error or a delay changes the length).',
    )
    .argument('<in>', 'WAV file to read')
    .argument('<out>', 'WAV file to write');
  addConditionFlags(command)
    .option(
      '--level <db>',
      'level of the wanted signal, 0 dB being the mean square 1 (default: measured over the recording without its digital silence)',
      numberOption('--level', -200, 60, 'dB'),
    )
    .option('--gain <db>', 'change of level before the channel', numberOption('--gain', -100, 60, 'dB'), 0)
    .addHelpText('after', conditionsHelp)
    .addHelpText('after', EXAMPLES)
    .action(degrade);
}

/** What a first reading finds out. */
interface Survey {
  readonly info: WavInfo;
  readonly frames: number;
  /** Level of each channel, dB; −Infinity for silence. */
  readonly levelsDb: readonly number[];
}

async function survey(file: string): Promise<Survey> {
  const source = wavFileBlocks(file);
  const meters: ReturnType<typeof createLevelMeter>[] = [];
  for (;;) {
    const next = await source.next();
    if (next.done) {
      const { info, frames } = next.value;
      return { info, frames, levelsDb: meters.map((meter) => meter.levelDb()) };
    }
    next.value.channels.forEach((samples, i) => {
      (meters[i] ??= createLevelMeter()).push(samples);
    });
  }
}

/** The samples written: as many bits as were read, where those can be written. */
function sampleOptions({ bitDepth, encoding }: WavInfo): WavSampleOptions {
  if (encoding === 'float') return { float: true };
  const depth = ([8, 16, 24, 32] as const).find((bits) => bitDepth <= bits) ?? 32;
  return { bitDepth: encoding === 'pcm' ? depth : 16 };
}

async function requireOtherFile(input: string, output: string): Promise<void> {
  const [a, b] = await Promise.all([input, output].map((path) => realpath(path).catch(() => undefined)));
  if (a !== undefined && a === b)
    throw new DotphaseError('out', output, 'another file than the one that is read');
}

async function* channelsOf(file: string): AsyncGenerator<readonly Float32Array[]> {
  for await (const { channels } of wavFileBlocks(file)) yield channels;
}

async function degrade(input: string, output: string, flags: DegradeFlags): Promise<void> {
  if (flags.channel === undefined && flags.snr === undefined) {
    throw new DotphaseError('--channel', NOTHING, 'the name of a channel, a JSON file, or --snr');
  }
  await requireRecording(input, 'wav');
  await requireOtherFile(input, output);
  const { info, frames, levelsDb } = await survey(input);
  const { sampleRate } = info;
  const conditions = await conditionsOf(flags, sampleRate);
  if (!conditions) return;
  const loudest = flags.level ?? Math.max(...levelsDb);
  if (frames === 0) throw new DotphaseError(input, 'no samples', 'a recording that is not empty');
  if (loudest === -Infinity) {
    throw new DotphaseError('--level', NOTHING, 'the level of the signal: the recording is silent');
  }
  const levels = levelsDb.map(
    (level) => flags.gain + (flags.level ?? (Number.isFinite(level) ? level : loudest)),
  );
  const { blocks, gainDb } = await passWithRoom(
    () => amplify(channelsOf(input), flags.gain),
    conditions,
    sampleRate,
    levels,
    flags.clip === true,
  );
  const written = await writeWavFile(
    output,
    {
      sampleRate,
      channels: info.channelCount,
      ...sampleOptions(info),
      ...(keepsLength(conditions) && { frames }),
    },
    blocks,
  );
  const { width, colours } = screenOf(process.stdout);
  const level = levels.map((db) => (db + gainDb).toFixed(1)).join(' and ');
  const source = flags.level === undefined ? 'measured' : 'given';
  const facts = [
    conditions.text,
    `signal level ${level} dB (${source}${gainDb === 0 ? '' : ', then turned down'})`,
    ...roomText(gainDb),
    `${(written.frames / sampleRate).toFixed(2)} s at ${sampleRate} Hz`,
  ];
  process.stdout.write(`${wrap(`${colours.bold(output)}: ${facts.join('; ')}`, width).join('\n')}\n`);
  if (written.clipped > 0) {
    complain(`warning: ${written.clipped} samples were beyond full scale and clipped`);
  }
}
