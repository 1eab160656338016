/** What a stage is, to the chain that runs it. */
import type * as z from 'zod';
import type { DotphaseError } from '../errors.js';
import type { Random } from '../dsp/index.js';

/** A chain's link as it runs: blocks in, blocks out. It may change the block it is given, and hand it back. */
export interface Processor {
  /** Takes any number of samples; gives those that are ready. */
  push(block: Float32Array): Float32Array;
  /** What is still held back, when nothing more follows. */
  flush(): Float32Array;
}

/** What a stage finds around it when it is set up. */
export interface StageContext {
  readonly sampleRate: number;
  /** Mean square of the wanted signal. */
  readonly signalPower: () => number;
  /** A random stream of the stage's own. */
  readonly random: (label?: string) => Random;
  /** Audio handed over under a name. */
  readonly source: (name: string) => Float32Array;
  /** The error for a parameter that the surroundings rule out. */
  readonly refuse: (parameter: string, value: unknown, expected: string) => DotphaseError;
}

/** A kind of stage: what its description may hold, and how it is set up from one that was checked. */
export interface StageKind<S extends z.ZodObject> {
  readonly schema: S;
  readonly create: (stage: z.output<S>, context: StageContext) => Processor;
}

/** Ties a stage's schema to what it sets up. */
export function defineStage<S extends z.ZodObject>(
  schema: S,
  create: (stage: z.output<S>, context: StageContext) => Processor,
): StageKind<S> {
  return { schema, create };
}

/** A stage that changes each sample by itself and holds nothing back. */
export function inPlace(change: (block: Float32Array) => void): Processor {
  return {
    push(block) {
      change(block);
      return block;
    },
    flush: () => new Float32Array(0),
  };
}
