/**
 * Levels. Every level is a mean square in dB, where 0 dB is the mean square 1: a sine of amplitude 1 lies at
 * −3.01 dB, one of amplitude 0.5 at −9.03 dB.
 */

/** The amplitude, as a root mean square, of a level in dB. */
export function dbToAmplitude(db: number): number {
  return 10 ** (db / 20);
}

/** The mean square of a level in dB. */
export function dbToPower(db: number): number {
  return 10 ** (db / 10);
}

/** Samples in the pieces that {@link measureLevelDb} judges one by one. */
const PIECE = 256;

/**
 * The level of a signal: its mean square in dB, where a sine of amplitude 1 lies at −3.01 dB. Pieces of 256
 * samples that are wholly zero (padding, pauses) do not count.
 *
 * @param samples - the signal, any length
 * @returns the level in dB, −Infinity for silence
 */
export function measureLevelDb(samples: Float32Array): number {
  let sum = 0;
  let counted = 0;
  for (let start = 0; start < samples.length; start += PIECE) {
    const end = Math.min(start + PIECE, samples.length);
    let piece = 0;
    for (let i = start; i < end; i++) piece += samples[i] * samples[i];
    if (piece === 0) continue;
    sum += piece;
    counted += end - start;
  }
  return counted === 0 ? -Infinity : 10 * Math.log10(sum / counted);
}
