/** White Gaussian noise. */
import { dbToPower } from '../level.js';
import { defineStage } from '../spec.js';

/**
 * White Gaussian noise, its strength given in exactly one of three ways. Its one-sided density N₀ is the same at
 * every frequency up to half the sample rate.
 */
export interface NoiseStage {
  kind: 'noise';
  /** Signal power over the noise power within `bandwidthHz`, −60 to 100 dB. */
  snrDb?: number;
  /** Energy per bit over N₀, −60 to 100 dB; the bit's energy is the signal power divided by `bitRate`. */
  ebN0Db?: number;
  /** Level of the noise within `bandwidthHz` whatever the signal, −200 to 60 dB (0 dB is the mean square 1). */
  levelDb?: number;
  /** Bandwidth that `snrDb` and `levelDb` speak of, 1 to 100 000 Hz; 3000 Hz unless given. */
  bandwidthHz?: number;
  /** Bits per second that `ebN0Db` speaks of, 1 to 100 000; 100 unless given. */
  bitRate?: number;
}

/** White Gaussian noise as a stage. */
export const noise = defineStage<NoiseStage, 'snrDb' | 'ebN0Db' | 'levelDb'>({
  kind: 'noise',
  about: 'white Gaussian noise',
  fields: {
    snrDb: {
      type: 'number',
      min: -60,
      max: 100,
      unit: 'dB',
      about: 'signal over noise within the bandwidth',
    },
    ebN0Db: { type: 'number', min: -60, max: 100, unit: 'dB', about: 'energy per bit over noise density' },
    levelDb: { type: 'number', min: -200, max: 60, unit: 'dB', about: 'noise level within the bandwidth' },
    bandwidthHz: {
      type: 'number',
      min: 1,
      max: 100_000,
      unit: 'Hz',
      default: 3000,
      about: 'bandwidth that snrDb and levelDb speak of',
    },
    bitRate: {
      type: 'number',
      min: 1,
      max: 100_000,
      unit: 'bit/s',
      default: 100,
      about: 'bit rate that ebN0Db speaks of',
    },
  },
  oneOf: ['snrDb', 'ebN0Db', 'levelDb'],
  create(stage, context) {
    const density =
      stage.snrDb !== undefined
        ? context.signalPower() / dbToPower(stage.snrDb) / stage.bandwidthHz
        : stage.ebN0Db !== undefined
          ? context.signalPower() / dbToPower(stage.ebN0Db) / stage.bitRate
          : dbToPower(stage.levelDb ?? -Infinity) / stage.bandwidthHz;
    const amplitude = Math.sqrt((density * context.sampleRate) / 2);
    const random = context.random('noise');
    return {
      push(block) {
        for (let i = 0; i < block.length; i++) block[i] += amplitude * random.gaussian();
        return block;
      },
      flush: () => new Float32Array(0),
    };
  },
});
