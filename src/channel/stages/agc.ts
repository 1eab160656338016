/** Automatic gain control that pumps: strong impulses and neighbours take the gain down for a while. */
import * as z from 'zod';
import { dbToAmplitude } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { defineStage, inPlace } from '../stage.js';

/** A receiver's automatic gain control. Its detector rectifies, rises with the attack and falls with the decay time. */
export interface AgcStage {
  kind: 'agc';
  /** Level that a steady tone is brought to, −100 to 0 dB (0 dB is the mean square 1); −20 dB unless given. */
  targetDb?: number | undefined;
  /** Time constant when the input grows, 0.1 to 1000 ms; 5 ms unless given. */
  attackMs?: number | undefined;
  /** Time constant when the input falls, 1 to 60 000 ms; 500 ms unless given. The gain recovers by 8.69 dB in it. */
  decayMs?: number | undefined;
  /** How long the gain stays before it recovers, 0 to 60 000 ms; 0 unless given. */
  hangMs?: number | undefined;
  /** Gain that is not exceeded, −100 to 120 dB; 40 dB unless given. */
  maxGainDb?: number | undefined;
}

/** Automatic gain control as a stage. */
export const agc = defineStage(
  z.strictObject({
    kind: z.literal('agc'),
    targetDb: number(-100, 0, 'dB', 'level that a steady tone is brought to').default(-20),
    attackMs: number(0.1, 1000, 'ms', 'time constant when the input grows').default(5),
    decayMs: number(1, 60_000, 'ms', 'time constant when the input falls').default(500),
    hangMs: number(0, 60_000, 'ms', 'how long the gain stays before it recovers').default(0),
    maxGainDb: number(-100, 120, 'dB', 'gain that is not exceeded').default(40),
  } satisfies Shape<AgcStage>),
  (stage, { sampleRate }) => {
    const perSample = (milliseconds: number): number => Math.exp(-1000 / (milliseconds * sampleRate));
    const target = Math.SQRT2 * dbToAmplitude(stage.targetDb);
    const floor = target / dbToAmplitude(stage.maxGainDb);
    const attack = 1 - perSample(stage.attackMs);
    const decay = perSample(stage.decayMs);
    const hang = Math.round((stage.hangMs * sampleRate) / 1000);
    let envelope = target;
    let held = 0;
    return inPlace((block) => {
      for (let i = 0; i < block.length; i++) {
        const size = Math.abs(block[i]);
        if (size > envelope) {
          envelope += attack * (size - envelope);
          held = hang;
        } else if (held > 0) {
          held--;
        } else {
          envelope *= decay;
        }
        if (envelope < floor) envelope = floor;
        block[i] *= target / envelope;
      }
    });
  },
);
