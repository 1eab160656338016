/** The chain of stages that audio passes. */
import { DotphaseError, requireInteger } from '../errors.js';
import {
  type ChannelDescription,
  type CheckedDescription,
  checkChannel,
  createStage,
} from './description.js';
import { dbToPower, measureLevelDb } from './level.js';
import { Random, isFloat32Array, joinSamples } from '../dsp/index.js';
import type { Processor, StageContext } from './stage.js';

/** Lowest and highest sample rate of a channel, hertz. */
const SAMPLE_RATES = [4000, 192_000] as const;

/** Samples that go through the chain at a time, so that working memory does not grow with the caller's blocks. */
const PIECE = 4096;

/** Everything that a channel is made from. */
export interface ChannelOptions extends ChannelDescription {
  /** Samples per second, integer 4000 to 192 000. */
  sampleRate: number;
  /** Audio that stages of kind `audio` mix in, by name, at the channel's sample rate. */
  sources?: Readonly<Record<string, Float32Array>>;
}

/** A channel that audio streams through. */
export interface Channel {
  /**
   * Takes the next samples (any number of them, any finite values) and returns those that are ready. What comes out
   * stands in step with what went in: stages that look ahead return less at first, and the rest at the end. Nothing
   * is clipped unless a stage does so: samples may lie beyond ±1, see `roomGainDb`.
   */
  push(block: Float32Array): Float32Array;
  /** Ends the stream: returns all that was held back. Afterwards only `reset` may follow. */
  flush(): Float32Array;
  /** Begins again as if newly created: the same input gives the same output. */
  reset(): void;
}

/**
 * Sets up a channel. The output depends on the options and the input alone, not on how the input is cut into blocks.
 *
 * @throws DotphaseError that names the option, for example `stages[2].delayMs`, and what was expected there
 */
export function createChannel(options: ChannelOptions): Channel {
  const { sampleRate, sources = {}, ...rest } = options;
  requireInteger('sampleRate', sampleRate, ...SAMPLE_RATES);
  const description = checkChannel(rest);
  const start = (): Processor[] => createProcessors(description, sampleRate, sources);
  let processors = start();
  let ended = false;

  const pass = (samples: Float32Array, from: number): Float32Array => {
    let block = samples;
    for (let i = from; i < processors.length; i++) block = processors[i].push(block);
    return block;
  };

  return {
    push(block) {
      if (ended) throw new DotphaseError('push', 'a block', 'reset() first, for the channel was flushed');
      requireSamples('block', block);
      const pieces: Float32Array[] = [];
      for (let i = 0; i < block.length; i += PIECE) pieces.push(pass(block.slice(i, i + PIECE), 0));
      return join(pieces);
    },
    flush() {
      const pieces: Float32Array[] = [];
      if (!ended) processors.forEach((processor, i) => pieces.push(pass(processor.flush(), i + 1)));
      ended = true;
      return join(pieces);
    },
    reset() {
      processors = start();
      ended = false;
    },
  };
}

/**
 * Passes a whole signal through a channel. Where `signalLevelDb` is not given, the level of the signal is measured
 * over all of it first, as {@link measureLevelDb} does.
 *
 * @param samples - the wanted signal, any length
 * @returns the impaired signal: as long as the input, but for the stages that lengthen or shorten it (delay, fading by
 * its longest path, clock error); samples may lie beyond ±1, see `roomGainDb`
 * @throws DotphaseError as {@link createChannel}
 */
export function applyChannel(samples: Float32Array, options: ChannelOptions): Float32Array {
  requireSamples('samples', samples);
  const level = options.signalLevelDb ?? measureLevelDb(samples);
  const channel = createChannel(Number.isFinite(level) ? { ...options, signalLevelDb: level } : options);
  return join([channel.push(samples), channel.flush()]);
}

function requireSamples(field: string, samples: unknown): void {
  if (!isFloat32Array(samples)) throw new DotphaseError(field, samples, 'a Float32Array of samples');
  for (let i = 0; i < samples.length; i++) {
    if (!Number.isFinite(samples[i]))
      throw new DotphaseError(`${field}[${i}]`, samples[i], 'a finite number');
  }
}

const join = (pieces: readonly Float32Array[]): Float32Array =>
  pieces.length === 1 ? pieces[0] : joinSamples(pieces);

/** A stage's random streams depend on the seed, its kind and its number among those of its kind, so that adding a stage of another kind leaves them as they were. */
function createProcessors(
  description: CheckedDescription,
  sampleRate: number,
  sources: Readonly<Record<string, Float32Array>>,
): Processor[] {
  const { stages, seed, signalLevelDb } = description;
  const seen = new Map<string, number>();
  return stages.map((stage, index) => {
    const path = `stages[${index}]`;
    const ordinal = seen.get(stage.kind) ?? 0;
    seen.set(stage.kind, ordinal + 1);
    const context: StageContext = {
      sampleRate,
      signalPower() {
        if (signalLevelDb === undefined) {
          throw new DotphaseError(
            'signalLevelDb',
            signalLevelDb,
            `the level of a signal, for ${path} (${stage.kind}) is relative to it`,
          );
        }
        return dbToPower(signalLevelDb);
      },
      random: (label = '') => new Random(seed, `${stage.kind} ${ordinal} ${label}`),
      source(name) {
        if (!Object.hasOwn(sources, name)) {
          throw new DotphaseError(`${path}.source`, name, 'the name of audio given in sources');
        }
        requireSamples(`sources.${name}`, sources[name]);
        return sources[name];
      },
      refuse: (parameter, value, expected) => new DotphaseError(`${path}.${parameter}`, value, expected),
    };
    return createStage(stage, context);
  });
}
