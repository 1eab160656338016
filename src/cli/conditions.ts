/**
 * The channel that audio is sent through, as people ask for it: a name, or a file with a chain of stages, and how
 * strong the signal stands above the noise.
 */
import { dirname } from 'node:path';
import type { Command } from 'commander';
import {
  CHANNEL_PRESETS,
  channelPreset,
  createChannel,
  parseChannel,
  roomGainDb,
  type ChannelDescription,
  type ChannelStage,
} from '../channel/index.js';
import { DotphaseError, reasonOf } from '../errors.js';
import { audioFileBlocks } from '../containers/node.js';
import { dbToAmplitude } from '../dsp/index.js';
import { lookInto } from './input.js';
import { concatenated } from './recording.js';
import { integerOption, numberOption } from './options.js';
import { screenOf, wrap } from './terminal.js';
import { fileWithin } from './within.js';

/** What {@link addConditionFlags} adds. */
export interface ConditionFlags {
  readonly channel?: string;
  readonly seed?: number;
  readonly snr?: number;
  readonly clip?: true;
}

/** A channel that people asked for. */
export interface Conditions {
  readonly description: ChannelDescription;
  /** Other audio that the channel mixes in, by name. */
  readonly sources: Readonly<Record<string, Float32Array>>;
  /** What it is, for people. */
  readonly text: string;
}

/** Whether a word looks like the name of a file and not like that of a channel. */
const FILE_NAME = /[./\\]/;

/** Stages that make audio longer or shorter on purpose. */
const STRETCHING: readonly ChannelStage['kind'][] = ['clock', 'delay'];

/** Adds the flags that choose a channel. */
export function addConditionFlags(command: Command): Command {
  return command
    .option(
      '--channel <name>',
      'send it through a channel: a name below, or a JSON file with a chain of stages',
    )
    .option(
      '--snr <db>',
      'with or instead of --channel: signal over noise in 3 kHz',
      numberOption('--snr', -60, 100, 'dB'),
    )
    .option(
      '--seed <number>',
      'chooses the noise and the fading; the same seed gives the same audio (default 0)',
      integerOption('--seed', 0, Number.MAX_SAFE_INTEGER),
    )
    .option(
      '--clip',
      'keep the level even where the result goes beyond full scale, and clip it there (default: turn all of it down so that nothing clips)',
    );
}

/** The names of channels, for the help. */
export function conditionsHelp(): string {
  const { width } = screenOf(process.stdout);
  const names = Object.entries(CHANNEL_PRESETS);
  const longest = Math.max(...names.map(([name]) => name.length));
  const indent = ' '.repeat(longest + 4);
  const lines = names.flatMap(([name, { title }]) =>
    wrap(title ?? '', width, indent, `  ${name.padEnd(longest)}  `),
  );
  return `\nChannels:\n${lines.join('\n')}`;
}

async function describe(channel: string): Promise<ChannelDescription> {
  if (!FILE_NAME.test(channel)) return channelPreset(channel);
  const found = await lookInto(channel);
  if (found.isRecording) throw new DotphaseError(channel, 'an audio file', 'a channel in JSON');
  let value: unknown;
  try {
    value = JSON.parse(found.text);
  } catch (error) {
    throw new DotphaseError(channel, found.text, `a channel in JSON (${reasonOf(error)})`);
  }
  return parseChannel(value);
}

/** The first channel of an audio file, whole. */
async function firstChannel(path: string): Promise<{ samples: Float32Array; sampleRate: number }> {
  const pieces: Float32Array[] = [];
  let sampleRate = 0;
  for await (const block of audioFileBlocks(path, { channel: 0 })) {
    sampleRate = block.sampleRate;
    pieces.push(block.channels[0]);
  }
  return { samples: concatenated(pieces), sampleRate };
}

/** The audio that a chain mixes in: audio files in the folder of the chain or below it. */
async function readSources(
  stages: readonly ChannelStage[],
  folder: string,
  sampleRate: number,
): Promise<Record<string, Float32Array>> {
  const sources: Record<string, Float32Array> = {};
  for (const [i, stage] of stages.entries()) {
    if (stage.kind !== 'audio') continue;
    const path = await fileWithin(folder, stage.source, `stages[${i}].source`);
    const audio = await firstChannel(path);
    if (audio.sampleRate !== sampleRate) {
      const expected = `an audio file of ${sampleRate} Hz, not ${audio.sampleRate} Hz`;
      throw new DotphaseError(`stages[${i}].source`, stage.source, expected);
    }
    sources[stage.source] = audio.samples;
  }
  return sources;
}

/** The stages with noise of another strength: in place of the noise they have, or behind them. */
function withSnr(stages: readonly ChannelStage[], snrDb: number): ChannelStage[] {
  const noise: ChannelStage = { kind: 'noise', snrDb };
  const first = stages.findIndex(({ kind }) => kind === 'noise');
  if (first < 0) return [...stages, noise];
  return stages
    .filter(({ kind }, i) => kind !== 'noise' || i === first)
    .map((stage, i) => (i === first ? noise : stage));
}

/**
 * The channel that the flags ask for, or undefined where they ask for none.
 *
 * @throws DotphaseError naming the flag, the file or the place in the file that is wrong
 */
export async function conditionsOf(
  { channel, seed, snr }: ConditionFlags,
  sampleRate: number,
): Promise<Conditions | undefined> {
  if (channel === undefined && snr === undefined) {
    if (seed !== undefined) throw new DotphaseError('--seed', seed, '--channel or --snr beside it');
    return undefined;
  }
  const named = channel === undefined ? { stages: [] } : await describe(channel);
  const stages = snr === undefined ? named.stages : withSnr(named.stages, snr);
  const description = { ...named, stages, seed: seed ?? named.seed ?? 0 };
  const text = [
    ...(channel === undefined ? [] : [`through ${channel}`]),
    ...(snr === undefined ? [] : [`${snr} dB SNR in 3 kHz`]),
    `seed ${description.seed}`,
  ].join(', ');
  const sources = await readSources(stages, dirname(channel ?? ''), sampleRate);
  return { description, sources, text };
}

/** Whether what comes out is as long as what went in. */
export function keepsLength({ description }: Conditions): boolean {
  return !description.stages.some(({ kind }) => STRETCHING.includes(kind));
}

type Blocks = AsyncIterable<readonly Float32Array[]> | Iterable<readonly Float32Array[]>;

/** Audio that went through a channel, at a level that leaves room. */
export interface Passed {
  readonly blocks: AsyncIterable<Float32Array[]>;
  /** How far all of it was turned down so that nothing clips, dB; 0 for not at all. */
  readonly gainDb: number;
}

/**
 * Sends blocks through a channel as {@link passBlocks} does, all of them turned down where one would go beyond full
 * scale. For that they pass twice, as the peak of faded, noisy audio is known only at its end.
 *
 * @param read - gives the same blocks each time
 * @param clip - leaves the level as it is
 */
export async function passWithRoom(
  read: () => Blocks,
  conditions: Conditions,
  sampleRate: number,
  levelsDb: readonly (number | undefined)[],
  clip: boolean,
): Promise<Passed> {
  const pass = () => passBlocks(read(), conditions, sampleRate, levelsDb);
  if (clip) return { blocks: pass(), gainDb: 0 };
  let peak = 0;
  for await (const block of pass()) {
    for (const samples of block) for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
  }
  const gainDb = roomGainDb(peak);
  return { blocks: gainDb === 0 ? pass() : amplify(pass(), gainDb), gainDb };
}

/** Blocks louder or softer by so many dB. */
export async function* amplify(blocks: Blocks, gainDb: number): AsyncGenerator<Float32Array[]> {
  const factor = dbToAmplitude(gainDb);
  for await (const block of blocks) yield block.map((samples) => samples.map((sample) => factor * sample));
}

/** How far audio was turned down, for people; nothing where it was not. */
export function roomText(gainDb: number): string[] {
  return gainDb === 0 ? [] : [`turned down by ${(-gainDb).toFixed(1)} dB so that nothing clips`];
}

/**
 * Sends blocks through a channel, one of its own for each of the blocks' arrays. All of them see the same noise and
 * fading, so that what was the same in two of them stays the same.
 *
 * @param levelsDb - the level of the wanted signal in each array, 0 dB being the mean square 1; undefined for none
 */
async function* passBlocks(
  blocks: Blocks,
  conditions: Conditions,
  sampleRate: number,
  levelsDb: readonly (number | undefined)[],
): AsyncGenerator<Float32Array[], void, undefined> {
  const { description, sources } = conditions;
  const channels = levelsDb.map((signalLevelDb) =>
    createChannel({
      ...description,
      sampleRate,
      sources,
      ...(signalLevelDb !== undefined && { signalLevelDb }),
    }),
  );
  let left = 0;
  for await (const block of blocks) {
    const passed = channels.map((channel, i) => channel.push(block[i]));
    left += block[0].length - passed[0].length;
    yield passed;
  }
  const rest = channels.map((channel) => channel.flush());
  yield keepsLength(conditions) ? rest.map((samples) => samples.subarray(0, left)) : rest;
}
