/** White Gaussian noise. */
import * as z from 'zod';
import { dbToPower } from '../level.js';
import { type Shape, exactlyOne, number } from '../parameters.js';
import { defineStage, inPlace } from '../stage.js';

/**
 * White Gaussian noise, its strength given in exactly one of three ways. Its one-sided density N₀ is the same at
 * every frequency up to half the sample rate.
 */
export interface NoiseStage {
  kind: 'noise';
  /** Signal power over the noise power within `bandwidthHz`, −60 to 100 dB. */
  snrDb?: number | undefined;
  /** Energy per bit over N₀, −60 to 100 dB; the bit's energy is the signal power divided by `bitRate`. */
  ebN0Db?: number | undefined;
  /** Level of the noise within `bandwidthHz` whatever the signal, −200 to 60 dB (0 dB is the mean square 1). */
  absoluteDb?: number | undefined;
  /** Bandwidth that `snrDb` and `absoluteDb` speak of, 1 to 100 000 Hz; 3000 Hz unless given. */
  bandwidthHz?: number | undefined;
  /** Bits per second that `ebN0Db` speaks of, 1 to 100 000; 100 unless given. */
  bitRate?: number | undefined;
}

const schema = exactlyOne(
  z.strictObject({
    kind: z.literal('noise'),
    snrDb: number(-60, 100, 'dB', 'signal over noise within the bandwidth').optional(),
    ebN0Db: number(-60, 100, 'dB', 'energy per bit over noise density').optional(),
    absoluteDb: number(-200, 60, 'dB', 'level of the noise within the bandwidth').optional(),
    bandwidthHz: number(1, 100_000, 'Hz', 'bandwidth that snrDb and absoluteDb speak of').default(3000),
    bitRate: number(1, 100_000, 'bit/s', 'bit rate that ebN0Db speaks of').default(100),
  } satisfies Shape<NoiseStage>),
  ['snrDb', 'ebN0Db', 'absoluteDb'],
);

/** White Gaussian noise as a stage. */
export const noise = defineStage(schema, (stage, context) => {
  const density = (): number => {
    if (stage.snrDb !== undefined) return context.signalPower() / dbToPower(stage.snrDb) / stage.bandwidthHz;
    if (stage.ebN0Db !== undefined) return context.signalPower() / dbToPower(stage.ebN0Db) / stage.bitRate;
    return dbToPower(stage.absoluteDb ?? -Infinity) / stage.bandwidthHz;
  };
  const amplitude = Math.sqrt((density() * context.sampleRate) / 2);
  const random = context.random();
  return inPlace((block) => {
    for (let i = 0; i < block.length; i++) block[i] += amplitude * random.gaussian();
  });
});
