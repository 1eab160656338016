/**
 * Levels. Every level is a mean square in dB, where 0 dB is the mean square 1: a sine of amplitude 1 lies at
 * −3.01 dB, one of amplitude 0.5 at −9.03 dB.
 */
import { requireNumber } from '../errors.js';

/** The mean square of a level in dB. */
export function dbToPower(db: number): number {
  return 10 ** (db / 10);
}

/** Samples in the pieces that are judged one by one. */
const PIECE = 256;

/** Measures the level of a stream. */
export interface LevelMeter {
  /** Takes the next samples, any number of them. */
  push(samples: Float32Array): void;
  /** The level of all that was taken, dB; −Infinity for silence. */
  levelDb(): number;
}

/**
 * Sets up the measurement of a signal that comes in blocks: its mean square in dB, where a sine of amplitude 1 lies at
 * −3.01 dB. Pieces of 256 samples that are wholly zero (padding, pauses) do not count. How the signal is cut into
 * blocks makes no difference.
 */
export function createLevelMeter(): LevelMeter {
  let sum = 0;
  let counted = 0;
  let piece = 0;
  let pieceLength = 0;
  return {
    push(samples) {
      for (let i = 0; i < samples.length; i++) {
        piece += samples[i] * samples[i];
        pieceLength++;
        if (pieceLength < PIECE) continue;
        if (piece > 0) {
          sum += piece;
          counted += PIECE;
        }
        piece = 0;
        pieceLength = 0;
      }
    },
    levelDb() {
      const all = sum + piece;
      return all === 0 ? -Infinity : 10 * Math.log10(all / (counted + (piece > 0 ? pieceLength : 0)));
    },
  };
}

/**
 * The level of a whole signal, as {@link createLevelMeter} measures it.
 *
 * @param samples - the signal, any length
 * @returns the level in dB, −Infinity for silence
 */
export function measureLevelDb(samples: Float32Array): number {
  const meter = createLevelMeter();
  meter.push(samples);
  return meter.levelDb();
}

/** Highest peak that leaves a converter and a filter some room, dB below full scale (common practice, no source). */
const HIGHEST_PEAK_DB = -1;

/**
 * How far audio must be turned down before it goes where samples beyond ±1 are clipped, such as a WAV file of whole
 * numbers or a sound card. A channel clips nothing by itself: noise, fading and other traffic add to the signal.
 *
 * @param peak - the largest magnitude of its samples, 0 or more
 * @returns dB, 0 where no sample lies above −1 dB of full scale, else so much that the largest lies there
 * @throws DotphaseError for a peak that is negative or not finite
 */
export function roomGainDb(peak: number): number {
  requireNumber('peak', peak, 0, Number.MAX_VALUE);
  return Math.min(0, HIGHEST_PEAK_DB - 20 * Math.log10(peak));
}
