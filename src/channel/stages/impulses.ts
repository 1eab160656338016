/**
 * Atmospheric noise: crashes of static at random times. Arrivals are a Poisson process, and the amplitudes have a
 * Pareto distribution, as the measured amplitude probability distributions of atmospheric noise suggest (ITU-R P.372;
 * from memory). Each crash is a burst of white noise that dies away exponentially.
 */
import * as z from 'zod';
import { dbToPower } from '../level.js';
import { type Shape, number } from '../parameters.js';
import { defineStage } from '../stage.js';
import { type Added, addedShape, between } from './added.js';

/**
 * Crashes of static. `levelDb` is the power of the weakest crash at its beginning, within 3 kHz, relative to the
 * signal.
 */
export interface ImpulsesStage extends Added {
  kind: 'impulses';
  /** Crashes per second on average, 0.001 to 1000; 5 unless given. */
  ratePerSecond?: number | undefined;
  /** How far crashes exceed the weakest on average, 0 to 20 dB; 6 unless given. The excess in dB is exponentially distributed and ends at 60 dB. */
  tailDb?: number | undefined;
  /** Time in which a crash's amplitude falls to 1/e, 0.01 to 1000 ms; 3 ms unless given. */
  decayMs?: number | undefined;
}

/** Bandwidth that the level speaks of, hertz. */
const BANDWIDTH_HZ = 3000;
const MOST_EXCESS_DB = 60;
/** A crash ends when its power has fallen below this part of the signal's power. */
const INAUDIBLE = 1e-8;

/** Crashes of static as a stage. */
export const impulses = defineStage(
  z.strictObject({
    kind: z.literal('impulses'),
    ratePerSecond: number(0.001, 1000, '1/s', 'crashes per second on average').default(5),
    tailDb: number(0, 20, 'dB', 'mean excess over the weakest crash').default(6),
    decayMs: number(0.01, 1000, 'ms', 'time in which the amplitude falls to 1/e').default(3),
    ...addedShape,
  } satisfies Shape<ImpulsesStage>),
  (stage, context) => {
    const { sampleRate } = context;
    const signalPower = context.signalPower();
    const weakest = (signalPower * dbToPower(stage.levelDb) * (sampleRate / 2)) / BANDWIDTH_HZ;
    const interval = sampleRate / stage.ratePerSecond;
    const decay = Math.exp(-2000 / (stage.decayMs * sampleRate));
    const arrivals = context.random('arrivals');
    const sound = context.random('sound');
    let power = 0;
    let wait = arrivals.exponential() * interval;
    return between(stage, context, (block) => {
      for (let i = 0; i < block.length; i++) {
        // Independent bursts add up to Gaussian noise whose variance is the sum of theirs.
        for (; wait < 1; wait += arrivals.exponential() * interval) {
          power += weakest * dbToPower(Math.min(MOST_EXCESS_DB, stage.tailDb * arrivals.exponential()));
        }
        wait--;
        if (power > INAUDIBLE * signalPower) {
          block[i] += Math.sqrt(power) * sound.gaussian();
          power *= decay;
        }
      }
    });
  },
);
