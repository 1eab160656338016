/**
 * Audio and a received call in, figures out. `docs/pages/measuring.md` derives what stands behind them.
 */
import { createResampler, isFloat32Array } from '../dsp/index.js';
import { DotphaseError, NOTHING, requireNumber } from '../errors.js';
import { MODULATIONS, type Modulation } from '../modem/index.js';
import { requireSampleRate } from '../modem/internal.js';
import type { ReceivedCall } from '../receiver/index.js';
import type { Band } from '../symbols/index.js';
import { exactly, together, type Figure } from './figure.js';
import { fitTones, modelled, type Fit } from './fit.js';
import { countDots, readSlots, withDots, type CallPlace, type SentSlot } from './sent.js';
import { levelUnrest, withScatter } from './steadiness.js';
import { readSequence, type SentSequence } from './sequence.js';
import {
  findLines,
  joined,
  meanDensity,
  occupation,
  welch,
  withoutTones,
  type SpectralLine,
  type Spectrum,
} from './spectrum.js';
import { TONE_PARAMETERS, bitSample, type KeyedBits, type ToneParameters } from './tonemodel.js';
import {
  levelRun,
  phaseContinuity,
  rampTime,
  transitionEye,
  type EyeTrace,
  type LevelRun,
  type PhaseContinuity,
} from './transitions.js';

/** What can be measured of each call; a figure that the audio does not tell is left out. */
export const FIGURES = [
  'centreHz',
  'shiftHz',
  'toneBHz',
  'toneYHz',
  'driftHzPerSecond',
  'rateErrorPpm',
  'levelDifferenceDb',
  'levelDb',
  'droopDb',
  'levelUnrestDb',
  'phaseStepDegrees',
  'phaseStepRmsDegrees',
  'riseMs',
  'fallMs',
  'occupiedHz',
  'beyond500Share',
  'snrDb',
  'noiseFloorDb',
  'dots',
  'phasingDx',
  'phasingRx',
  'charactersBetween',
  'oddCharacters',
  'unequalCharacters',
  'errorChecksWrong',
  'endsDx',
  'endsRx',
  'gapMs',
  'sendingsUnequal',
  'peakDeviationHz',
  'modulationIndexB',
  'modulationIndexY',
  'preEmphasisDb',
  'carrierErrorHz',
  'assignedErrorHz',
] as const;

/** The name of a figure. */
export type FigureName = (typeof FIGURES)[number];

/** Figures by their names, each with its standard uncertainty. */
export type Figures = Readonly<Partial<Record<FigureName, Figure>>>;

/** What drawings of a measured call are made of. Times are seconds of the audio that was given. */
export interface MeasuredDetail {
  readonly phase: PhaseContinuity['steps'];
  readonly level: LevelRun['bits'];
  readonly spectrum: Spectrum;
  readonly noise: Spectrum;
  /** Frequencies about transitions, one over the other; none at 1200 Bd, where a bit has too few cycles. */
  readonly eye: readonly EyeTrace[];
}

/** A call that was measured. */
export interface MeasuredCall {
  /** Seconds of the audio to the first bit of the dot pattern. */
  readonly start: number;
  /** Seconds to the end of the last character. */
  readonly end: number;
  /** Standard uncertainty of both, seconds. */
  readonly timeUncertainty: number;
  readonly baud: number;
  readonly inverted: boolean;
  /** The channel's assigned frequency, hertz, where the call was taken out of a slice of spectrum. */
  readonly frequencyHz?: number;
  /** Peak amplitudes of the tones, full scale 1. */
  readonly amplitudes: { readonly b: Figure; readonly y: Figure };
  /** One format specifier through EOS and ECC, as received. */
  readonly symbols: readonly number[];
  /** By the clock of the audio, unless `withClock` went over them. */
  readonly figures: Figures;
  /** Steady tones beside the call, the strongest first. */
  readonly lines: readonly SpectralLine[];
  readonly sequence: SentSequence;
  /** Whether the noise was taken where nothing was sent; otherwise it is what the fitted tones leave. */
  readonly isNoiseFromSilence: boolean;
  /** Whether the phase begins anew at each transition; then the rate is not measured. */
  readonly isPhaseBroken: boolean;
  /** Whether the level moves more than a set's does, as over a path that fades: then tones, timing, droop and dots are left out. */
  readonly isUnsteady: boolean;
  readonly detail: MeasuredDetail;
}

/** What is known of the audio. */
export interface MeasureOptions {
  /** Samples per second, 8000–192000. */
  sampleRate: number;
  /** Seconds of the audio before which it belongs to something else; default 0. */
  from?: number;
  /** Seconds of the audio behind which it belongs to something else; default its end. */
  to?: number;
}

/** At 100 Bd, audio above this rate is brought down to {@link REDUCED_RATE} first. */
const REDUCED_ABOVE = 16_000;
const REDUCED_RATE = 12_000;
/** Bits at each end of a call that the ramps of its level may take, left out of the fit. */
const RAMP_BITS = 1;
/** Bits around a call that count as no silence. */
const CLEARANCE_BITS = 3;
/** Bits of a piece of audio whose spectrum is taken. */
const PIECE_BITS = { 'mf-hf': 10, vhf: 30 };
/** Bandwidth that ratios and noise refer to, hertz. */
const NOISE_HZ = 3000;
const LEAST_NOISE_PIECES = 2;
/** Audio with more than this share of the call's own density is no silence. */
const MOST_IN_SILENCE = 0.3;
/** Digital silence has no noise; then this variance stands for rounding to 16 bits. */
const LEAST_VARIANCE = 2 ** -30 / 12;

const decibels = (ratio: number) => 10 * Math.log10(ratio);
const PER_NEPER_DB = 20 / Math.LN10;

function reduced(
  audio: Float32Array,
  sampleRate: number,
  band: Band,
): { audio: Float32Array; sampleRate: number } {
  if (band === 'vhf' || sampleRate <= REDUCED_ABOVE) return { audio, sampleRate };
  const resampler = createResampler({
    from: sampleRate,
    to: REDUCED_RATE,
    pass: 4400,
    stop: REDUCED_RATE - 4400,
    attenuation: 70,
  });
  const down = resampler.push(audio).slice();
  return { audio: down, sampleRate: REDUCED_RATE };
}

/** Hertz that the call's own spectrum reaches, where the noise that hurts it is measured. */
const ownBand = (centreHz: number, { shiftHz, baud }: Modulation): [number, number] => [
  centreHz - shiftHz / 2 - baud,
  centreHz + shiftHz / 2 + baud,
];

/** What the fit leaves of the bits that were fitted. */
interface Residue {
  readonly residue: Float64Array;
  /** Its first sample in the audio, and the one behind its last. */
  readonly extent: readonly [number, number];
  readonly spectrum: Spectrum;
  /** The variance of white noise that has its density in the call's band. */
  readonly variance: number;
}

function residueOf(
  audio: Float32Array,
  sampleRate: number,
  fit: Fit,
  modulation: Modulation,
  pieceSeconds: number,
): Residue {
  const { keyed, parameters, range } = fit;
  const model = modelled(fit, sampleRate, audio.length);
  const edge = (bit: number) =>
    Math.max(0, Math.min(audio.length, Math.ceil(bitSample(parameters, keyed.pivot, sampleRate, bit))));
  const [first, end] = [edge(range[0]), edge(range[1])];
  const residue = Float64Array.from({ length: end - first }, (_, n) => audio[first + n] - model[first + n]);
  const spectrum = welch(residue, sampleRate, pieceSeconds);
  const density = meanDensity(spectrum, ...ownBand(parameters.centreHz, modulation));
  return {
    residue,
    extent: [first, end],
    spectrum,
    variance: Math.max(LEAST_VARIANCE, (density * sampleRate) / 2),
  };
}

const meanAmplitude = ({ upper, lower }: ToneParameters) => Math.sqrt((upper ** 2 + lower ** 2) / 2);

/** The figures that follow from the fit alone. */
function toneFigures(fit: Fit, variance: number, baud: number, inverted: boolean): Figures {
  const { parameters, covariance, isBroken, drift } = fit;
  const cov = (i: number, j = i) => variance * covariance[i * TONE_PARAMETERS + j];
  const { centreHz, shiftHz, bitSeconds, upper, lower } = parameters;
  const tone = (side: number): Figure => ({
    value: centreHz + (side * shiftHz) / 2,
    uncertainty: Math.sqrt(cov(0) + cov(1) / 4 + side * cov(0, 1)),
  });
  const [b, y] = inverted ? [-1, 1] : [1, -1];
  const difference = PER_NEPER_DB * Math.log(upper / lower) * b;
  const relative = Math.sqrt(cov(4) / upper ** 2 + cov(5) / lower ** 2 - (2 * cov(4, 5)) / (upper * lower));
  const bandSeconds = bitSeconds * baud;
  return {
    centreHz: { value: centreHz, uncertainty: Math.sqrt(cov(0)) },
    shiftHz: { value: shiftHz, uncertainty: Math.sqrt(cov(1)) },
    toneBHz: tone(b),
    toneYHz: tone(y),
    driftHzPerSecond: { value: drift.value, uncertainty: Math.sqrt(variance * drift.variance) },
    ...(!isBroken && {
      rateErrorPpm: {
        value: 1e6 * (1 / bandSeconds - 1),
        uncertainty: (1e6 * Math.sqrt(cov(3))) / bitSeconds,
      },
    }),
    levelDifferenceDb: { value: difference, uncertainty: PER_NEPER_DB * relative },
  };
}

/** The mean power of both tones, dB full scale. */
function levelFigure({ parameters: { upper, lower }, covariance }: Fit, variance: number): Figure {
  const relative = (amplitude: number, at: number) =>
    (variance * covariance[at * TONE_PARAMETERS + at]) / amplitude ** 2;
  return {
    value: decibels((upper ** 2 + lower ** 2) / 4),
    uncertainty: (PER_NEPER_DB * Math.sqrt(relative(upper, 4) + relative(lower, 5))) / 2,
  };
}

/** Peak amplitudes of B and Y. */
function amplitudesOf(
  { parameters, covariance }: Fit,
  variance: number,
  inverted: boolean,
): MeasuredCall['amplitudes'] {
  const upper = {
    value: parameters.upper,
    uncertainty: Math.sqrt(variance * covariance[4 * TONE_PARAMETERS + 4]),
  };
  const lower = {
    value: parameters.lower,
    uncertainty: Math.sqrt(variance * covariance[5 * TONE_PARAMETERS + 5]),
  };
  return inverted ? { b: lower, y: upper } : { b: upper, y: lower };
}

/** The counts of a sequence as figures. */
function countFigures(sequence: SentSequence): Figures {
  // A slot that noise hides may hold one wrong character more.
  const doubt = Math.sqrt(sequence.unclear) / 2;
  const { charactersBetween, errorCheckAgrees } = sequence;
  return {
    phasingDx: exactly(sequence.phasingDx),
    phasingRx: exactly(sequence.phasingRx),
    ...(charactersBetween !== undefined && { charactersBetween: exactly(charactersBetween) }),
    oddCharacters: { value: sequence.odd.length, uncertainty: doubt },
    unequalCharacters: { value: sequence.unequal, uncertainty: doubt },
    ...(errorCheckAgrees !== undefined && {
      errorChecksWrong: { value: errorCheckAgrees ? 0 : 1, uncertainty: errorCheckAgrees ? 0 : doubt },
    }),
    endsDx: exactly(sequence.endsDx),
    endsRx: exactly(sequence.endsRx),
  };
}

function requireCall(call: CallPlace): Band {
  const band = (['mf-hf', 'vhf'] as const).find((name) => MODULATIONS[name].baud === call.baud);
  if (band === undefined) throw new DotphaseError('call.baud', call.baud, '100 or 1200');
  return band;
}

/**
 * Measures a call by the clock of the audio: what the sample rate is off, `withClock` takes account of.
 *
 * @param audio - full scale ±1; best with a second of silence on both sides of the call
 * @param call - as a receiver gave it, its `start` counted in this audio
 * @returns undefined where the audio does not hold the call so that its tones can be fitted
 * @throws DotphaseError when an option is out of range
 */
export function measureCall(
  audio: Float32Array,
  call: CallPlace & Pick<ReceivedCall, 'symbols' | 'expansions'>,
  options: MeasureOptions,
): MeasuredCall | undefined {
  requireSampleRate(options.sampleRate);
  if (!isFloat32Array(audio)) throw new DotphaseError('audio', audio, 'a Float32Array of samples');
  if (audio.length === 0) throw new DotphaseError('audio', NOTHING, 'samples');
  const seconds = audio.length / options.sampleRate;
  const from = requireNumber('from', options.from ?? 0, 0, Number.MAX_VALUE, 's');
  const to = Math.min(seconds, requireNumber('to', options.to ?? seconds, 0, Number.MAX_VALUE, 's'));
  const band = requireCall(call);
  const modulation = MODULATIONS[band];
  const work = reduced(audio, options.sampleRate, band);
  const pieceSeconds = PIECE_BITS[band] / modulation.baud;
  const left = (fit: Fit, samples: Float32Array) =>
    residueOf(samples, work.sampleRate, fit, modulation, pieceSeconds);

  const read = (place: CallPlace, shiftHz: number) =>
    readSlots(work.audio, work.sampleRate, place, shiftHz, call);
  const b = call.inverted ? -1 : 1;
  const signsOf = (slots: readonly SentSlot[]) =>
    Int8Array.from(slots.flatMap(({ bits }) => Array.from(bits, (bit) => (bit === 0 ? b : -b))));
  const rough = signsOf(read(call, modulation.shiftHz));
  const bitSeconds = 1 / modulation.baud;
  const keyed = (bits: Int8Array, start: number): KeyedBits => ({
    signs: bits,
    pivot: bits.length / 2,
    reference: start + (bits.length / 2) * bitSeconds,
    segments: [0],
  });
  const first = fitTones(
    work.audio,
    work.sampleRate,
    keyed(rough, call.start),
    {
      centreHz: call.centreHz,
      shiftHz: modulation.shiftHz,
      instant: call.start + (rough.length / 2) * bitSeconds,
      bitSeconds,
      upper: 1,
      lower: 1,
      driftHzPerSecond: 0,
    },
    [RAMP_BITS, rough.length - RAMP_BITS],
  );
  if (!first) return undefined;
  // A call that the audio does not hold to its end is not one to measure.
  const beyond =
    bitSample(first.parameters, first.keyed.pivot, work.sampleRate, rough.length) - work.audio.length;
  if (beyond > bitSeconds * work.sampleRate) return undefined;
  const dots = countDots(
    work.audio,
    work.sampleRate,
    first,
    left(first, work.audio).variance,
    from,
    call.inverted,
  );

  // With the timing known, the bits are read again.
  const { parameters } = first;
  const slots = read(
    {
      ...call,
      start: bitSample(parameters, first.keyed.pivot, 1, 0),
      baud: 1 / parameters.bitSeconds,
      centreHz: parameters.centreHz,
    },
    parameters.shiftHz,
  );
  const all = withDots(signsOf(slots), dots.value, call.inverted);
  const begin = bitSample(parameters, first.keyed.pivot, 1, -dots.value);
  const again = keyed(all, begin);
  const refit = (samples: Float32Array) =>
    fitTones(
      samples,
      work.sampleRate,
      again,
      { ...parameters, instant: begin + again.pivot * parameters.bitSeconds },
      [RAMP_BITS, all.length - RAMP_BITS],
    );
  let fit = refit(work.audio);
  if (!fit) return undefined;
  // Steady tones would draw the fit a little; with them taken out it is made again.
  const { residue, extent } = left(fit, work.audio);
  const lines = findLines(residue, work.sampleRate, meanAmplitude(fit.parameters));
  const tones = lines.map(({ tone }) => tone);
  const clean = tones.length > 0 ? withoutTones(work.audio, work.sampleRate, tones, extent) : work.audio;
  fit = tones.length > 0 ? refit(clean) : fit;
  if (!fit) return undefined;
  return figuresOf(work.audio, clean, work.sampleRate, fit, left(fit, clean), {
    call,
    lines: lines.map(({ line }) => line),
    modulation,
    pieceSeconds,
    dots,
    sequence: readSequence(slots, call.symbols.length + 3),
    // What another sending ends before begins there.
    areDotsWhole: from > 0 || begin > bitSeconds / 2,
    within: [from, to],
  });
}

/** What {@link figuresOf} needs beside the fit. */
interface Measured {
  readonly call: CallPlace & Pick<ReceivedCall, 'symbols'>;
  readonly modulation: Modulation;
  readonly pieceSeconds: number;
  readonly dots: Figure;
  readonly lines: readonly SpectralLine[];
  readonly sequence: SentSequence;
  /** Whether the dot pattern begins within the audio: otherwise more of it may have been sent. */
  readonly areDotsWhole: boolean;
  /** Seconds between which the audio belongs to the call. */
  readonly within: readonly [number, number];
}

/** @param clean - the audio with steady tones taken out of the call */
function figuresOf(
  audio: Float32Array,
  clean: Float32Array,
  sampleRate: number,
  fit: Fit,
  { residue, spectrum: left, variance }: Residue,
  { call, lines, modulation, pieceSeconds, dots, areDotsWhole, sequence, within }: Measured,
): MeasuredCall {
  const { unrest, isUnsteady } = levelUnrest(clean, sampleRate, fit, variance);
  const scattered = withScatter(clean, sampleRate, fit, variance);
  const { parameters, keyed, covariance } = scattered;
  const bits = keyed.signs.length;
  const place = (bit: number) => bitSample(parameters, keyed.pivot, sampleRate, bit);
  const [start, end] = [place(0), place(bits)];
  const part = (a: number, z: number) =>
    audio.subarray(Math.max(0, Math.ceil(a)), Math.max(0, Math.floor(z)));
  const clearance = CLEARANCE_BITS * parameters.bitSeconds * sampleRate;
  const spectrum = welch(part(start, end), sampleRate, pieceSeconds);
  const band = ownBand(parameters.centreHz, modulation);
  const loudest = MOST_IN_SILENCE * meanDensity(spectrum, ...band);
  const silence = joined(
    [part(within[0] * sampleRate, start - clearance), part(end + clearance, within[1] * sampleRate)].flatMap(
      (samples) => {
        const length = 2 * pieceSeconds * sampleRate;
        const count = Math.floor(samples.length / length);
        const slices = Array.from({ length: count }, (_, i) =>
          samples.subarray(i * length, (i + 1) * length),
        );
        return slices
          .map((slice) => welch(slice, sampleRate, pieceSeconds))
          .filter((one) => meanDensity(one, ...band) < loudest);
      },
    ),
  );
  const isNoiseFromSilence = silence !== undefined && silence.pieces >= LEAST_NOISE_PIECES;
  const noise = isNoiseFromSilence ? silence : left;
  const occupied = occupation(spectrum, noise, parameters.centreHz, sampleRate);
  const phase = phaseContinuity(clean, sampleRate, fit, variance);
  const level = levelRun(clean, sampleRate, fit, variance);
  const rise = rampTime(audio, sampleRate, fit, variance, 0, true);
  const fall = rampTime(audio, sampleRate, fit, variance, bits - 1, false);
  const amplitude = meanAmplitude(parameters);
  const density = (2 * variance) / sampleRate;
  // Each hertz and second holds one independent value of a power.
  const powerError = PER_NEPER_DB / 2 / Math.sqrt((band[1] - band[0]) * (residue.length / sampleRate));
  const timeUncertainty = together(
    Math.sqrt(variance * covariance[2 * TONE_PARAMETERS + 2]),
    (bits / 2) * Math.sqrt(variance * covariance[3 * TONE_PARAMETERS + 3]),
  );
  return {
    start: start / sampleRate,
    end: end / sampleRate,
    timeUncertainty,
    baud: modulation.baud,
    inverted: call.inverted,
    amplitudes: amplitudesOf(scattered, variance, call.inverted),
    symbols: call.symbols,
    figures: {
      levelDb: levelFigure(scattered, variance),
      ...(!isUnsteady && {
        ...toneFigures(scattered, variance, modulation.baud, call.inverted),
        droopDb: level.droop,
        phaseStepDegrees: phase.largestStep,
        phaseStepRmsDegrees: phase.rmsStep,
        ...(rise && { riseMs: rise }),
        ...(fall && { fallMs: fall }),
        ...(areDotsWhole && { dots }),
      }),
      levelUnrestDb: unrest,
      occupiedHz: occupied.bandwidth,
      ...(modulation.baud === MODULATIONS['mf-hf'].baud && { beyond500Share: occupied.beyond500 }),
      snrDb: { value: decibels(amplitude ** 2 / 2 / (density * NOISE_HZ)), uncertainty: powerError },
      noiseFloorDb: { value: decibels(density * NOISE_HZ), uncertainty: powerError },
      ...countFigures(sequence),
    },
    lines,
    sequence,
    isNoiseFromSilence,
    isPhaseBroken: fit.isBroken,
    isUnsteady,
    detail: {
      phase: phase.steps,
      level: level.bits,
      spectrum,
      noise,
      eye: transitionEye(clean, sampleRate, fit),
    },
  };
}
