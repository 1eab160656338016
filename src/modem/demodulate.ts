/**
 * Audio to likelihoods of bits when nothing is known of what they say: timing and centre from how clearly
 * each bit is one tone or the other, then noncoherent detection.
 */
import { DotphaseError, requireNumber } from '../errors.js';
import { createBasebandFilter, type Baseband } from '../dsp/index.js';
import { bitEnergy, integrateTone, timingMetric, type ToneIntegral } from './energies.js';
import { bitLikelihoods, type Levels } from './likelihood.js';
import { MODULATIONS, requireCentre, requireSampleRate, type Modulation } from './modulation.js';

/** What a demodulator is told. */
export interface DemodulateOptions {
  /** Samples per second, 8000–192000. */
  sampleRate: number;
  /** Default: 100 Bd, 170 Hz shift. */
  modulation?: Modulation;
  /** Hertz midway between the tones; default: the modulation's own. */
  centreHz?: number;
  /** How far off the centre may be, 0–500 Hz; default: a fifth of the bit rate. */
  searchHz?: number;
  /** Whether the tones are swapped; default false. */
  inverted?: boolean;
}

/** A demodulated stretch of audio. */
export interface Demodulated {
  /** For each whole bit ln p(B) − ln p(Y): the sign decides, the size tells how surely. */
  readonly ratios: Float64Array;
  /** The bits by those signs, 1 for Y and 0 for B. */
  readonly bits: Uint8Array;
  /** Seconds from the first sample to the first whole bit. */
  readonly start: number;
  /** Hertz midway between the tones, as found. */
  readonly centreHz: number;
  /** Signal and noise energies behind the ratios, bit by bit. */
  readonly levels: Levels;
}

/** Bits from which timing and centre are found at most, so that a long recording costs no more than a short one. */
const RECOVERY_BITS = 2000;
const TIMINGS = 16;
/** Centres are tried this far apart, in bit rates. */
const CENTRE_STEP = 0.04;
/** Baseband samples a bit, at least. */
const SAMPLES_PER_BIT = 8;

/**
 * Demodulates a stretch of audio that is one signal from end to end.
 *
 * @param samples - at least two bits of audio, full scale ±1
 * @throws DotphaseError when an option is out of range or the audio is too short
 */
export function demodulate(samples: Float32Array, options: DemodulateOptions): Demodulated {
  const sampleRate = requireSampleRate(options.sampleRate);
  const modulation = options.modulation ?? MODULATIONS['mf-hf'];
  const { baud, shiftHz } = modulation;
  const centreHz = requireCentre(options.centreHz ?? modulation.centreHz, modulation, sampleRate);
  const searchHz = requireNumber('searchHz', options.searchHz ?? baud / 5, 0, 500, 'Hz');
  if (samples.length < (2 * sampleRate) / baud) {
    throw new DotphaseError(
      'samples',
      samples.length,
      `two bits of audio, ${Math.ceil((2 * sampleRate) / baud)} samples`,
    );
  }
  const pass = shiftHz / 2 + 1.2 * baud + searchHz;
  const decimation = Math.max(1, Math.floor(sampleRate / Math.max(SAMPLES_PER_BIT * baud, 3.2 * pass)));
  const baseband = createBasebandFilter({ sampleRate, decimation, pass, stop: 1.6 * pass }).apply(
    samples,
    centreHz,
  );
  const samplesPerBit = baseband.rate / baud;
  const count = Math.floor(baseband.re.length / samplesPerBit) - 1;
  const half = ((options.inverted ? -1 : 1) * shiftHz) / 2;
  const tonesAt = (piece: Baseband, centre: number) =>
    [integrateTone(piece, centre + half), integrateTone(piece, centre - half)] as const;

  const used = Math.min(count, RECOVERY_BITS);
  const length = Math.ceil((used + 2) * samplesPerBit);
  const head = { ...baseband, re: baseband.re.subarray(0, length), im: baseband.im.subarray(0, length) };
  let best = { centre: centreHz, timing: { start: 0, samplesPerBit }, score: -1 };
  const reach = Math.ceil(searchHz / (CENTRE_STEP * baud));
  for (let step = -reach; step <= reach; step++) {
    const centre = centreHz + (reach === 0 ? 0 : (step / reach) * searchHz);
    const tones = tonesAt(head, centre);
    for (let shift = 0; shift < TIMINGS; shift++) {
      const timing = { start: (shift / TIMINGS) * samplesPerBit, samplesPerBit };
      const score = timingMetric(tones, timing, used);
      if (score > best.score) best = { centre, timing, score };
    }
  }

  const [upper, lower] = tonesAt(baseband, best.centre);
  const energies = (tone: ToneIntegral) =>
    Float64Array.from({ length: count }, (_, bit) => bitEnergy(tone, best.timing, bit));
  const { ratios, levels } = bitLikelihoods({
    upper: energies(upper),
    lower: energies(lower),
    known: new Int8Array(count),
  });
  return {
    ratios,
    bits: Uint8Array.from(ratios, (ratio) => (ratio < 0 ? 1 : 0)),
    start: best.timing.start / baseband.rate,
    centreHz: best.centre,
    levels,
  };
}
