/**
 * `dotphase degrade`: noise, fading and other faults added to a recording.
 */
import { createReadStream } from 'node:fs';
import { realpath } from 'node:fs/promises';
import type { Command } from 'commander';
import { createLevelMeter } from '../channel/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import type { AudioKind } from '../containers/index.js';
import { audioFileBlocks } from '../containers/node.js';
import { createWavReader, type WavInfo, type WavSampleOptions } from '../wav/index.js';
import { writeWavFile } from '../wav/node.js';
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
import { complain, warn } from './exit.js';
import { numberOption } from './options.js';
import { requireRecording } from './recording.js';
import { aboutFile, screenOf } from './terminal.js';

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
    .summary('a recording through noise, fading and interference')
    .description(
      'Sends a recording through a channel, block by block. Sample rate, number of channels and length stay as they are (a clock error or a delay changes the length).',
    )
    .argument('<in>', 'audio file: WAV, FLAC, MP3, Ogg, AIFF')
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
  readonly sampleRate: number;
  readonly frames: number;
  /** Level of each channel, dB; −Infinity for silence. */
  readonly levelsDb: readonly number[];
  readonly samples: WavSampleOptions;
}

async function survey(file: string): Promise<Survey> {
  const source = audioFileBlocks(file, {
    onWarning: ({ text }) => {
      warn(`${file}: ${text}`);
    },
  });
  const meters: ReturnType<typeof createLevelMeter>[] = [];
  let sampleRate = 0;
  for (;;) {
    const next = await source.next();
    if (next.done) {
      const { frames, kind } = next.value;
      const samples: WavSampleOptions =
        kind === 'wav' ? await samplesAsIn(file) : { bitDepth: isLossless(kind) ? 24 : 16 };
      return { sampleRate, frames, levelsDb: meters.map((meter) => meter.levelDb()), samples };
    }
    sampleRate = next.value.sampleRate;
    next.value.channels.forEach((channel, i) => {
      (meters[i] ??= createLevelMeter()).push(channel);
    });
  }
}

/** Whether a kind of file may hold samples of more than 16 bits. */
function isLossless(kind: AudioKind): boolean {
  return kind === 'flac' || kind === 'ogg-flac' || kind === 'aiff';
}

/** The samples written: as many bits as were read from a WAV file, where those can be written. */
async function samplesAsIn(file: string): Promise<WavSampleOptions> {
  let info: WavInfo | undefined;
  const reader = createWavReader();
  for await (const chunk of createReadStream(file, { highWaterMark: 4096 })) {
    reader.push(chunk as Uint8Array);
    info = reader.info;
    if (info) break;
  }
  if (!info) return { bitDepth: 16 };
  const { bitDepth, encoding } = info;
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
  for await (const { channels } of audioFileBlocks(file)) yield channels;
}

async function degrade(input: string, output: string, flags: DegradeFlags): Promise<void> {
  if (flags.channel === undefined && flags.snr === undefined) {
    throw new DotphaseError('--channel', NOTHING, 'the name of a channel, a JSON file, or --snr');
  }
  await requireRecording(input);
  await requireOtherFile(input, output);
  const { sampleRate, frames, levelsDb, samples } = await survey(input);
  if (frames === 0) throw new DotphaseError(input, 'no samples', 'a recording that is not empty');
  const conditions = await conditionsOf(flags, sampleRate);
  if (!conditions) return;
  const loudest = flags.level ?? Math.max(...levelsDb);
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
      channels: levelsDb.length,
      ...samples,
      ...(keepsLength(conditions) && { frames }),
    },
    blocks,
  );
  const level = levels.map((db) => (db + gainDb).toFixed(1)).join(' and ');
  const source = flags.level === undefined ? 'measured' : 'given';
  const facts = [
    conditions.text,
    `signal level ${level} dB (${source}${gainDb === 0 ? '' : ', then turned down'})`,
    ...roomText(gainDb),
    `${(written.frames / sampleRate).toFixed(2)} s at ${sampleRate} Hz`,
  ];
  process.stdout.write(`${aboutFile(output, facts, screenOf(process.stdout))}\n`);
  if (written.clipped > 0) {
    complain(`warning: ${written.clipped} samples were beyond full scale and clipped`);
  }
}
