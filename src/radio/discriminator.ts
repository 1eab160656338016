/**
 * Frequency modulation to audio, and back from that audio to what the carrier did.
 */

/** The subcarrier turns the carrier by this many radians to either side (M.493: modulation index 2.0). */
const MODULATION_INDEX = 2;

/** De-emphasis begins here, far below the tones. */
const DEEMPHASIS_HZ = 300;

const keptOf = (rate: number) => Math.exp((-2 * Math.PI * DEEMPHASIS_HZ) / rate);

/** A discriminator and de-emphasis; a subcarrier of full deviation comes out with the amplitude ½. */
export function frequencyModulation(
  rate: number,
): (re: Float64Array, im: Float64Array, count: number) => Float32Array {
  const keep = keptOf(rate);
  let [lastRe, lastIm, level] = [0, 0, 0];
  return (re, im, count) => {
    const audio = new Float32Array(count);
    for (let n = 0; n < count; n++) {
      const turn = Math.atan2(im[n] * lastRe - re[n] * lastIm, re[n] * lastRe + im[n] * lastIm);
      level = keep * level + turn;
      audio[n] = level / (2 * MODULATION_INDEX);
      [lastRe, lastIm] = [re[n], im[n]];
    }
    return audio;
  };
}

/**
 * What the carrier did behind the audio of a channel with frequency modulation: hertz from the channel's middle, each
 * the mean since the sample before; the first is 0.
 *
 * @param sampleRate - of the audio
 */
export function carrierDeviation(audio: Float32Array, sampleRate: number): Float32Array {
  const keep = keptOf(sampleRate);
  const scale = (2 * MODULATION_INDEX * sampleRate) / (2 * Math.PI);
  return audio.map((sample, n) => (n === 0 ? 0 : scale * (sample - keep * audio[n - 1])));
}

/** How much of a tone is left in {@link carrierDeviation}, which takes means from sample to sample: 0 to 1. */
export function deviationGain(hz: number, sampleRate: number): number {
  const x = (Math.PI * hz) / sampleRate;
  return Math.sin(x) / x;
}
