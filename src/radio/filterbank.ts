/**
 * Channels of a slice of spectrum, each at a low rate: one Fourier transform of the slice for all of them, a small one
 * back for each (fast convolution by overlap-save with decimation, as in M. Borgerding, "Turning overlap-save into a
 * multiband mixing, downsampling filter bank", IEEE Signal Processing Magazine, March 2006; from memory).
 */
import FFT from 'fft.js';
import { Rotor, designLowPass, type LowPass } from '../dsp/index.js';
import { createBalanceFinder } from './balance.js';

/** A channel to take out. */
export interface Band {
  /** Hertz from the middle of the slice to the middle of the channel. */
  readonly offsetHz: number;
  /** Hertz from the channel's middle that pass, and from which on nothing does. */
  readonly passHz: number;
  readonly stopHz: number;
  /** Complex samples a second, at least: the rate is the slice's divided by a power of two. */
  readonly leastRate: number;
  /** Where the channel's middle comes to, hertz. */
  readonly toHz: number;
  /** Whether the constant in the slice's middle and the images of other signals are taken out of it. */
  readonly isBalanced: boolean;
}

/** Complex samples of a channel; valid until the next push. */
export interface BandBlock {
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly count: number;
}

/** Takes a slice of spectrum apart. */
export interface FilterBank {
  /** Complex samples a second of each channel. */
  readonly rates: readonly number[];
  /** Samples of the slice after which all before them have come out. */
  readonly delay: number;
  /** Takes samples, any number, and hands each channel's to `take`, channel by channel. */
  push(i: Float32Array, q: Float32Array, take: (band: number, block: BandBlock) => void): void;
}

const ATTENUATION_DB = 80;

/** Transform lengths are at least this many times the filter's half length, so that little is computed twice. */
const LENGTHS = 8;

/** So many samples of a block are enough to find what a receiver adds. */
const LOOKED_AT = 32_768;

const powerOfTwoFrom = (least: number) => 2 ** Math.ceil(Math.log2(least));

/**
 * @param sampleRate - of the slice, complex samples a second
 * @param bands - each wholly within the slice
 */
export function createFilterBank(sampleRate: number, bands: readonly Band[]): FilterBank {
  const designs = bands.map(({ passHz, stopHz }) =>
    designLowPass((passHz + stopHz) / 2 / sampleRate, (stopHz - passHz) / sampleRate, ATTENUATION_DB),
  );
  const decimations = bands.map(({ leastRate }) => 2 ** Math.floor(Math.log2(sampleRate / leastRate)));
  const most = Math.max(1, ...decimations);
  // Whole output samples of every channel.
  const reach = most * Math.ceil(Math.max(1, ...designs.map((design) => design.reach)) / most);
  const size = powerOfTwoFrom(Math.max(LENGTHS * reach, 2 * most));
  const hop = size - 2 * reach;
  const fft = new FFT(size);
  const spectrum = fft.createComplexArray() as number[];
  /** The latest samples, I and Q in turn; before the first there is silence. */
  const window = fft.createComplexArray() as number[];
  window.fill(0);
  const balance = createBalanceFinder(sampleRate / hop);
  let held = 2 * reach;
  /** Sample of the stream at which the window begins. */
  let begin = -2 * reach;

  /** The responses of the filters, which have no delay and so are real; channels alike share theirs. */
  const responses = new Map<string, Float64Array>();
  function responseOf({ passHz, stopHz }: Band, design: LowPass): Float64Array {
    const key = `${passHz} ${stopHz}`;
    const known = responses.get(key);
    if (known) return known;
    const taps = fft.createComplexArray() as number[];
    taps.fill(0);
    for (let n = -Math.floor(design.reach); n <= design.reach; n++)
      taps[2 * ((n + size) % size)] = design.at(n);
    fft.transform(spectrum, taps);
    const response = Float64Array.from({ length: size }, (_, n) => spectrum[2 * n]);
    responses.set(key, response);
    return response;
  }

  const channels = bands.map((band, number) => {
    const { offsetHz, stopHz, toHz, isBalanced } = band;
    const decimation = decimations[number];
    const short = size / decimation;
    const small = new FFT(short);
    const input = small.createComplexArray() as number[];
    input.fill(0);
    const response = responseOf(band, designs[number]);
    const bin = Math.round((offsetHz / sampleRate) * size);
    // From the channel's middle; behind its stop frequency nothing passes.
    const most = Math.min(short / 2 - 1, Math.ceil((stopHz / sampleRate) * size));
    const bins = Array.from({ length: 2 * most + 1 }, (_, n) => n - most);
    const place = (n: number) => 2 * ((((bin + n) % size) + size) % size);
    return {
      decimation,
      small,
      bin,
      /** Where the channel's part of the slice's spectrum lies, and where it goes in its own. */
      from: Int32Array.from(bins, place),
      /** And where what would be its image. */
      mirrored: Int32Array.from(bins, (n) => (2 * size - place(n)) % (2 * size)),
      isBalanced,
      to: Int32Array.from(bins, (n) => 2 * ((n + short) % short)),
      /** From the bin, which lies at 0 Hz, to where the channel's middle belongs. */
      rotor: new Rotor(sampleRate / decimation, toHz + (bin * sampleRate) / size - offsetHz),
      gains: Float64Array.from(bins, (n) => response[(n + size) % size] / decimation),
      input,
      output: small.createComplexArray() as number[],
      re: new Float64Array(hop / decimation),
      im: new Float64Array(hop / decimation),
      cos: new Float64Array(hop / decimation),
      sin: new Float64Array(hop / decimation),
    };
  });

  function take(band: number): BandBlock {
    const channel = channels[band];
    const {
      decimation,
      small,
      bin,
      from,
      to,
      mirrored,
      isBalanced,
      rotor,
      gains,
      input,
      output,
      re,
      im,
      cos,
      sin,
    } = channel;
    const { re: constantRe, im: constantIm, imageRe, imageIm } = balance.found;
    for (let n = 0; n < gains.length; n++) {
      const gain = gains[n];
      let x = spectrum[from[n]];
      let y = spectrum[from[n] + 1];
      if (isBalanced) {
        const mirrorRe = spectrum[mirrored[n]];
        const mirrorIm = -spectrum[mirrored[n] + 1];
        x -= imageRe * mirrorRe - imageIm * mirrorIm;
        y -= imageRe * mirrorIm + imageIm * mirrorRe;
        if (from[n] === 0) {
          x -= constantRe * size;
          y -= constantIm * size;
        }
      }
      input[to[n]] = x * gain;
      input[to[n] + 1] = y * gain;
    }
    small.inverseTransform(output, input);
    // The bin's own phase at the window's beginning; bin and begin are whole, so that nothing is lost however long it runs.
    const turns = -(((bin % size) * (begin % size)) % size) / size;
    const [binRe, binIm] = [Math.cos(2 * Math.PI * turns), Math.sin(2 * Math.PI * turns)];
    rotor.fill(cos, sin, re.length);
    for (let n = 0, at = (2 * reach) / decimation; n < re.length; n++, at += 2) {
      const [x, y] = [output[at], output[at + 1]];
      const turnRe = cos[n] * binRe - sin[n] * binIm;
      const turnIm = cos[n] * binIm + sin[n] * binRe;
      re[n] = x * turnRe - y * turnIm;
      im[n] = x * turnIm + y * turnRe;
    }
    return { re, im, count: re.length };
  }

  return {
    rates: decimations.map((decimation) => sampleRate / decimation),
    delay: size,
    push(i, q, give) {
      for (let at = 0; at < i.length;) {
        const count = Math.min(i.length - at, size - held);
        for (let n = 0, to = 2 * held; n < count; n++, to += 2) {
          window[to] = i[at + n];
          window[to + 1] = q[at + n];
        }
        at += count;
        held += count;
        if (held < size) break;
        balance.look(window, 2 * reach, Math.min(hop, LOOKED_AT));
        fft.transform(spectrum, window);
        for (let band = 0; band < bands.length; band++) give(band, take(band));
        for (let n = 0; n < 4 * reach; n++) window[n] = window[2 * hop + n];
        held = 2 * reach;
        begin += hop;
      }
    },
  };
}
