/**
 * A VHF transmitter and receiver with noise between them: the subcarrier phase-modulates the carrier (pre-emphasis of
 * 6 dB an octave and frequency modulation), the receiver filters 16 kHz, takes the frequency by a discriminator and
 * takes the emphasis back (M.493 Annex 1 §1.3: index 2.0, from memory).
 */
import { Random, designLowPass } from '../../src/dsp/index.js';

/** Samples per second of the audio and of the radio. */
export const FM_RATE = 48_000;

/** Radians that the subcarrier at full deviation turns the carrier to either side. */
const MODULATION_INDEX = 2;

/** The receiver's intermediate filter: half its width, and how its edge falls. */
const HALF_WIDTH_HZ = 8000;
const EDGE_HZ = 4000;

/** De-emphasis begins here, far below the tones. */
const DEEMPHASIS_HZ = 300;

/** A linear-phase low-pass of unit gain. */
function filter(samples: Float64Array, taps: Float64Array): Float64Array {
  const reach = (taps.length - 1) / 2;
  return samples.map((_, n) => {
    let sum = 0;
    for (let tap = 0; tap < taps.length; tap++) sum += taps[tap] * (samples[n + tap - reach] ?? 0);
    return sum;
  });
}

/**
 * Audio as a VHF receiver gives it.
 *
 * @param audio - the subcarrier at {@link FM_RATE}, of amplitude 0.5, silence where only the carrier is sent
 * @param carrierToNoiseDb - in 16 kHz
 */
export function throughFm(audio: Float32Array, carrierToNoiseDb: number, seed: number): Float32Array {
  const random = new Random(seed, 'carrier noise');
  const lowPass = designLowPass(HALF_WIDTH_HZ / FM_RATE, EDGE_HZ / FM_RATE, 60);
  const reach = Math.floor(lowPass.reach);
  const taps = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => lowPass.at(i - reach));
  // Noise of all the band, of which the filter leaves 16 kHz.
  const perComponent = Math.sqrt((0.5 * 10 ** (-carrierToNoiseDb / 10) * FM_RATE) / (2 * HALF_WIDTH_HZ));
  const turned = (of: (angle: number) => number) =>
    Float64Array.from(
      audio,
      (sample) => of(2 * MODULATION_INDEX * sample) + perComponent * random.gaussian(),
    );
  const re = filter(turned(Math.cos), taps);
  const im = filter(turned(Math.sin), taps);
  const heard = new Float32Array(audio.length);
  const keep = Math.exp((-2 * Math.PI * DEEMPHASIS_HZ) / FM_RATE);
  let level = 0;
  for (let n = 1; n < audio.length; n++) {
    const cross = im[n] * re[n - 1] - re[n] * im[n - 1];
    const turn = Math.atan2(cross, re[n] * re[n - 1] + im[n] * im[n - 1]);
    level = keep * level + turn;
    heard[n] = level / (2 * MODULATION_INDEX);
  }
  return heard;
}
