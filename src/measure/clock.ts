/**
 * The clock of the audio: all frequencies and times are counted by it, so what it is off is part of the uncertainty.
 */
import { DotphaseError, requireNumber } from '../errors.js';
import { CARRIER_FIGURES } from './carrier.js';
import { together, type Figure } from './figure.js';
import { clockFromPulses } from './pulses.js';
import { fitTone } from './tone.js';
import type { FigureName, Figures } from './measurecall.js';

/** What a sound card's clock may be off unless it is told, parts per million: common practice, no source. */
export const USUAL_CLOCK_PPM = 100;

/** Half the width of a uniform distribution over its standard deviation (JCGM 100:2008, 4.3.7, from memory). */
const UNIFORM = Math.sqrt(3);

/** Figures in hertz, which a clock that runs fast makes too small. */
const FREQUENCIES: readonly FigureName[] = [
  'centreHz',
  'shiftHz',
  'toneBHz',
  'toneYHz',
  'occupiedHz',
  'peakDeviationHz',
];
/** Figures in parts per million of a rate. */
const RATES: readonly FigureName[] = ['rateErrorPpm'];

/**
 * The clock's error from the limits that its maker gives: it may be anywhere between.
 *
 * @param ppm - largest error either way, parts per million, 0–1000
 */
export function clockWithin(ppm: number): Figure {
  return { value: 0, uncertainty: requireNumber('clockPpm', ppm, 0, 1000, 'ppm') / UNIFORM };
}

/** Below this a reference is pulses, from it on a tone, hertz. */
const LOWEST_TONE_HZ = 20;
/** How far off a reference may be found. */
const SEARCH_PPM = 1000;
const LEAST_SECONDS = 0.5;
/** A reference must stand out of the median of its surroundings by this ratio of power; noise alone does once in 10⁷ times. */
const LEAST_RATIO = 30;
/** Half steps of resolution looked at on either side. */
const AROUND = 20;
const LONGEST_SECONDS = 30;

/**
 * The clock's error from a steady tone whose frequency is known.
 *
 * @param samples - audio with the tone in it, at least half a second
 * @param referenceHz - its true frequency, with its own standard uncertainty in parts per million
 * @returns parts per million by which the clock runs fast: true frequencies are that much higher than counted
 * @throws DotphaseError where no such tone stands out within 1000 ppm
 */
export function clockFromTone(
  samples: Float32Array,
  sampleRate: number,
  referenceHz: number,
  referencePpm = 0,
): Figure {
  requireNumber('referenceHz', referenceHz, LOWEST_TONE_HZ, 0.45 * sampleRate, 'Hz');
  const missing = `a steady tone within ${SEARCH_PPM} ppm of it in the recording, at least ${LEAST_SECONDS} s long`;
  if (samples.length < LEAST_SECONDS * sampleRate)
    throw new DotphaseError('referenceHz', referenceHz, missing);
  const part = steadyPart(samples, sampleRate, referenceHz);
  if (part.length < LEAST_SECONDS * sampleRate) throw new DotphaseError('referenceHz', referenceHz, missing);
  const spacing = sampleRate / part.length / 2;
  const reach = Math.ceil((referenceHz * SEARCH_PPM * 1e-6) / spacing) + 1;
  const around = Array.from({ length: 2 * (reach + AROUND) + 1 }, (_, i) => {
    const hz = referenceHz + (i - reach - AROUND) * spacing;
    return { hz, power: tonePower(part, sampleRate, hz) };
  });
  const near = around.slice(AROUND, -AROUND);
  const best = near.reduce((most, one) => (one.power > most.power ? one : most));
  const median = around.map(({ power }) => power).sort((a, z) => a - z)[around.length >> 1];
  const tone = best.power > LEAST_RATIO * median ? fitTone(part, sampleRate, best.hz) : undefined;
  if (!tone) throw new DotphaseError('referenceHz', referenceHz, missing);
  const deviation = Math.sqrt(tone.residue);
  return {
    value: 1e6 * (referenceHz / tone.frequencyHz - 1),
    uncertainty: together(referencePpm, (1e6 * tone.frequencyError * deviation) / tone.frequencyHz),
  };
}

/**
 * The clock's error from a reference in the audio: a steady tone, or below 20 Hz pulses, so many a second.
 *
 * @throws DotphaseError where it is not there
 */
export function clockFromReference(samples: Float32Array, sampleRate: number, referenceHz: number): Figure {
  return referenceHz < LOWEST_TONE_HZ
    ? clockFromPulses(samples, sampleRate, referenceHz)
    : clockFromTone(samples, sampleRate, referenceHz);
}

/** Seconds of the pieces in which the tone is looked for. */
const PIECE_SECONDS = 0.25;
/** The tone stands where its power is at least this share of the greatest. */
const STEADY_SHARE = 0.25;

/** The longest stretch in which the tone stands, 30 s at most. */
function steadyPart(samples: Float32Array, sampleRate: number, referenceHz: number): Float32Array {
  const length = Math.round(PIECE_SECONDS * sampleRate);
  const powers = Array.from({ length: Math.floor(samples.length / length) }, (_, i) =>
    tonePower(samples.subarray(i * length, (i + 1) * length), sampleRate, referenceHz),
  );
  const least = STEADY_SHARE * Math.max(...powers);
  let longest: [number, number] = [0, 0];
  let from = 0;
  powers.forEach((power, i) => {
    if (power < least) from = i + 1;
    else if (i + 1 - from > longest[1] - longest[0]) longest = [from, i + 1];
  });
  const [first, end] = longest.map((piece) => piece * length);
  return samples.subarray(first, Math.min(end, first + Math.round(LONGEST_SECONDS * sampleRate)));
}

function tonePower(samples: Float32Array, sampleRate: number, hz: number): number {
  const step = (2 * Math.PI * hz) / sampleRate;
  let [re, im] = [0, 0];
  for (let n = 0; n < samples.length; n++) {
    re += samples[n] * Math.cos(step * n);
    im += samples[n] * Math.sin(step * n);
  }
  return (re * re + im * im) / samples.length;
}

/**
 * Takes a clock's error out of figures, and adds what is not known of it to their uncertainty.
 *
 * @param clock - parts per million by which the clock runs fast, with its standard uncertainty
 * @param frequencyHz - of the channel, where the figures are those of a slice of spectrum, whose receiver has one clock
 */
export function withClock(figures: Figures, clock: Figure, frequencyHz = 0): Figures {
  const factor = 1 + clock.value * 1e-6;
  const corrected: Partial<Record<FigureName, Figure>> = { ...figures };
  for (const name of FREQUENCIES) {
    const figure = figures[name];
    if (!figure) continue;
    const value = figure.value * factor;
    corrected[name] = { value, uncertainty: together(figure.uncertainty, value * clock.uncertainty * 1e-6) };
  }
  for (const name of RATES) {
    const figure = figures[name];
    if (!figure) continue;
    corrected[name] = {
      value: ((1 + figure.value * 1e-6) * factor - 1) * 1e6,
      uncertainty: together(figure.uncertainty, clock.uncertainty),
    };
  }
  for (const name of CARRIER_FIGURES) {
    const figure = figures[name];
    if (!figure) continue;
    corrected[name] = {
      value: figure.value + frequencyHz * clock.value * 1e-6,
      uncertainty: together(figure.uncertainty, frequencyHz * clock.uncertainty * 1e-6),
    };
  }
  return corrected;
}
