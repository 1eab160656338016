/**
 * Power over frequency of a call: what it occupies, what lies beyond, lines that do not belong, and the noise.
 */
import FFT from 'fft.js';
import type { Figure } from './figure.js';
import { fitTone, type Tone } from './tone.js';

/** Power over frequency. */
export interface Spectrum {
  /** Hertz from one value to the next, the first at 0 Hz. */
  readonly stepHz: number;
  /** Mean square of the audio for each hertz, one-sided. */
  readonly density: Float64Array;
  /** How many independent pieces were averaged, about. */
  readonly pieces: number;
}

const hann = (length: number) =>
  Float64Array.from({ length }, (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (n + 0.5)) / length));

/** Neighbouring values under a Hann window share noise: the variance of a sum of them is this much greater. */
const HANN_SHARING = 1.94;

/** Averages the spectra of half-overlapping pieces under a Hann window (Welch's method). */
export function welch(samples: ArrayLike<number>, sampleRate: number, pieceSeconds: number): Spectrum {
  const size = 2 ** Math.round(Math.log2(Math.max(64, pieceSeconds * sampleRate)));
  const window = hann(size);
  const energy = window.reduce((sum, value) => sum + value * value, 0);
  const fft = new FFT(size);
  const input = new Float64Array(size);
  const output = fft.createComplexArray() as number[];
  const density = new Float64Array(size / 2 + 1);
  let count = 0;
  for (let first = 0; first + size <= samples.length; first += size / 2, count++) {
    for (let n = 0; n < size; n++) input[n] = samples[first + n] * window[n];
    fft.realTransform(output, input);
    for (let bin = 0; bin < density.length; bin++)
      density[bin] += output[2 * bin] ** 2 + output[2 * bin + 1] ** 2;
  }
  const scale = 2 / (energy * sampleRate * Math.max(1, count));
  // Half-overlapping pieces are nearly independent: a correlation of 1/36 (Welch 1967, from memory).
  return { stepHz: sampleRate / size, density: density.map((value) => value * scale), pieces: count / 1.06 };
}

/** Several spectra of the same step as one. */
export function joined(spectra: readonly Spectrum[]): Spectrum | undefined {
  const heard = spectra.filter(({ pieces }) => pieces > 0);
  const pieces = heard.reduce((sum, spectrum) => sum + spectrum.pieces, 0);
  if (heard.length === 0) return undefined;
  const density = heard[0].density.map(
    (_, bin) => heard.reduce((sum, spectrum) => sum + spectrum.density[bin] * spectrum.pieces, 0) / pieces,
  );
  return { stepHz: heard[0].stepHz, density, pieces };
}

/** The mean density from one frequency to another. */
export function meanDensity({ stepHz, density }: Spectrum, fromHz: number, toHz: number): number {
  const [first, last] = [Math.ceil(fromHz / stepHz), Math.floor(toHz / stepHz)];
  let sum = 0;
  for (let bin = first; bin <= last; bin++) sum += density[bin];
  return sum / Math.max(1, last - first + 1);
}

/** What a call occupies. */
export interface Occupation {
  /** Hertz that hold 99 % of its power, half a per cent lying on each side (RR 1.153, from memory). */
  readonly bandwidth: Figure;
  /** Share of its power that lies further than 500 Hz from the centre. */
  readonly beyond500: Figure;
}

/** Hertz from the centre over which power is counted, where the audio reaches that far. */
const COUNTED_HZ = 1500;
const LOWEST_HZ = 100;
const OUTSIDE_SHARE = 0.005;
const BEYOND_HZ = 500;

/** @param noise - spectrum where nothing is sent, of the same step */
export function occupation(
  { stepHz, density, pieces }: Spectrum,
  noise: Spectrum,
  centreHz: number,
  sampleRate: number,
): Occupation {
  const first = Math.ceil(Math.max(LOWEST_HZ, centreHz - COUNTED_HZ) / stepHz);
  const last = Math.floor(Math.min(0.45 * sampleRate, centreHz + COUNTED_HZ) / stepHz);
  const power = (bin: number) => density[bin] - noise.density[bin];
  const variance = (bin: number) =>
    HANN_SHARING * (density[bin] ** 2 / pieces + noise.density[bin] ** 2 / noise.pieces);
  let total = 0;
  for (let bin = first; bin <= last; bin++) total += power(bin);

  /** Where the power from one end on reaches the share, in hertz, and how sure that is. */
  const edge = (from: number, step: number): { hz: number; variance: number } => {
    let sum = 0;
    let doubt = 0;
    for (let bin = from; bin >= first && bin <= last; bin += step) {
      const next = sum + power(bin);
      if (next >= OUTSIDE_SHARE * total && power(bin) > 0) {
        const part = (OUTSIDE_SHARE * total - sum) / power(bin);
        const slope = Math.max(power(bin), 1e-30) / stepHz;
        return {
          hz: (bin + step * (Math.max(0, Math.min(1, part)) - 0.5)) * stepHz,
          variance: doubt / slope ** 2 + stepHz ** 2 / 12,
        };
      }
      sum = next;
      doubt += variance(bin);
    }
    return { hz: centreHz, variance: Infinity };
  };
  const [low, high] = [edge(first, 1), edge(last, -1)];

  let beyond = 0;
  let doubt = 0;
  for (let bin = first; bin <= last; bin++) {
    if (Math.abs(bin * stepHz - centreHz) <= BEYOND_HZ) continue;
    beyond += power(bin);
    doubt += variance(bin);
  }
  return {
    bandwidth: { value: high.hz - low.hz, uncertainty: Math.sqrt(low.variance + high.variance) },
    beyond500: { value: beyond / total, uncertainty: Math.sqrt(doubt) / total },
  };
}

/** A steady tone that does not belong to the call: hum of the mains, a whistle. */
export interface SpectralLine {
  readonly frequencyHz: Figure;
  /** Below the mean amplitude of the call's tones, dB. */
  readonly levelDb: Figure;
  /** Whether it lies on a multiple of 50 or of 60 Hz up to the tenth, within its uncertainty. */
  readonly isHum: boolean;
}

/** How often noise alone may show a line anywhere. */
const FALSE_LINES = 1e-4;
const MOST_LINES = 12;
/** What lies further below the call's tones is no longer told from the limits of the arithmetic. */
const LEAST_LINE = 1e-4;
/** A line shows at least this share of its amplitude in the nearest bin: 0.85 under a Hann window (Harris 1978, from memory). */
const LEAST_SHOWN = 0.8;
const LOWEST_LINE_HZ = 20;
const MAINS_HZ = [50, 60];
/** The frequency of the mains wanders by so much, for each of its multiples; common practice, no source. */
const MAINS_REACH_HZ = 0.2;
const HIGHEST_MULTIPLE = 10;
/** Bins about a line that are not searched for another. */
const LINE_REACH = 4;
const MEDIAN_BINS = 100;

/** A line with the tone that was fitted to it. */
export interface FoundLine {
  readonly line: SpectralLine;
  readonly tone: Tone;
}

/** @param residue - what the call leaves of the audio */
export function findLines(residue: Float64Array, sampleRate: number, amplitude: number): FoundLine[] {
  const size = 2 ** Math.ceil(Math.log2(residue.length));
  const window = hann(residue.length);
  const fft = new FFT(size);
  const output = fft.createComplexArray() as number[];
  const input = new Float64Array(size);
  for (let n = 0; n < residue.length; n++) input[n] = residue[n] * window[n];
  fft.realTransform(output, input);
  const powers = Float64Array.from(
    { length: size / 2 },
    (_, bin) => output[2 * bin] ** 2 + output[2 * bin + 1] ** 2,
  );
  const threshold = Math.log(powers.length / FALSE_LINES) / Math.LN2;
  const lowest = Math.ceil((LOWEST_LINE_HZ * size) / sampleRate);
  const floor = medians(powers);
  // A sine of amplitude 1 stands in its bin as half the sum of the window, which is half its length.
  const least = ((LEAST_SHOWN * LEAST_LINE * amplitude * residue.length) / 4) ** 2;
  const candidates = [...powers.keys()]
    .filter((bin) => bin >= lowest && powers[bin] > Math.max(least, threshold * floor[bin]))
    .sort((a, b) => powers[b] - powers[a]);
  const energy = window.reduce((sum, value) => sum + value * value, 0);
  const reach = (LINE_REACH * size) / residue.length;
  const lines: FoundLine[] = [];
  const taken: number[] = [];
  for (const bin of candidates) {
    if (lines.length === MOST_LINES) break;
    if (taken.some((other) => Math.abs(other - bin) < reach)) continue;
    taken.push(bin);
    const tone = fitTone(residue, sampleRate, (bin * sampleRate) / size);
    if (!tone || tone.amplitude < LEAST_LINE * amplitude) continue;
    const deviation = Math.sqrt(floor[bin] / Math.LN2 / energy);
    const frequencyHz = { value: tone.frequencyHz, uncertainty: tone.frequencyError * deviation };
    const levelDb = {
      value: 20 * Math.log10(tone.amplitude / amplitude),
      uncertainty: (20 / Math.LN10) * ((tone.amplitudeError * deviation) / tone.amplitude),
    };
    lines.push({ line: { frequencyHz, levelDb, isHum: isHum(frequencyHz) }, tone });
  }
  return lines;
}

function isHum({ value, uncertainty }: Figure): boolean {
  return MAINS_HZ.some((mains) => {
    const multiple = Math.round(value / mains);
    return (
      multiple >= 1 &&
      multiple <= HIGHEST_MULTIPLE &&
      Math.abs(value - multiple * mains) < MAINS_REACH_HZ * multiple + 2 * uncertainty
    );
  });
}

/** The median about each value, in steps. */
function medians(powers: Float64Array): Float64Array {
  const floor = new Float64Array(powers.length);
  for (let first = 0; first < powers.length; first += MEDIAN_BINS) {
    const part = powers.slice(Math.max(0, first - MEDIAN_BINS), first + 2 * MEDIAN_BINS).sort();
    floor.fill(part[part.length >> 1], first, first + MEDIAN_BINS);
  }
  return floor;
}

/** Takes tones out of a stretch of audio, from its first sample to the one behind its last: a copy of the whole. */
export function withoutTones(
  audio: Float32Array,
  sampleRate: number,
  tones: readonly Tone[],
  [first, end]: readonly [number, number],
): Float32Array {
  const clean = audio.slice();
  for (const { amplitude, frequencyHz, phase } of tones) {
    const step = (2 * Math.PI * frequencyHz) / sampleRate;
    for (let n = first; n < end; n++) clean[n] -= amplitude * Math.sin(phase + step * (n - first));
  }
  return clean;
}
