/** The amplitude, as a root mean square, of a level in dB: a mean square of 1 is 0 dB. */
export function dbToAmplitude(db: number): number {
  return 10 ** (db / 20);
}
