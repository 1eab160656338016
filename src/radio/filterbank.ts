/**
 * Channels of a slice of spectrum, each at a low rate: one Fourier transform of the slice for all of them, a small one
 * back for each (fast convolution by overlap-save with decimation, as in M. Borgerding, "Turning overlap-save into a
 * multiband mixing, downsampling filter bank", IEEE Signal Processing Magazine, March 2006; from memory).
 */
import FFT from 'fft.js';
import { designLowPass } from '../dsp/index.js';

/** A channel to take out. */
export interface Band {
  /** Hertz from the middle of the slice to the middle of the channel. */
  readonly offsetHz: number;
  /** Hertz from the channel's middle that pass, and from which on nothing does. */
  readonly passHz: number;
  readonly stopHz: number;
  /** Complex samples a second, at least: the rate is the slice's divided by a power of two. */
  readonly leastRate: number;
}

/** Complex samples of a channel, its middle at 0 Hz; valid until the next push. */
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
  let held = 2 * reach;
  /** Sample of the stream at which the window begins. */
  let begin = -2 * reach;

  const channels = bands.map(({ offsetHz }, band) => {
    const decimation = decimations[band];
    const short = size / decimation;
    const small = new FFT(short);
    const response = fft.createComplexArray() as number[];
    const taps = fft.createComplexArray() as number[];
    taps.fill(0);
    const design = designs[band];
    for (let n = -Math.floor(design.reach); n <= design.reach; n++)
      taps[2 * ((n + size) % size)] = design.at(n);
    fft.transform(response, taps);
    const bin = Math.round((offsetHz / sampleRate) * size);
    return {
      decimation,
      short,
      small,
      bin,
      /** Cycles a sample of the channel that its middle lies above the bin. */
      rest: ((offsetHz - (bin * sampleRate) / size) / sampleRate) * decimation,
      // The filter has no delay: its response is real.
      gains: Float64Array.from(
        { length: short },
        (_, n) => response[2 * ((n - short / 2 + size) % size)] / decimation,
      ),
      input: small.createComplexArray() as number[],
      output: small.createComplexArray() as number[],
      re: new Float64Array(hop / decimation),
      im: new Float64Array(hop / decimation),
      samples: 0,
    };
  });

  function take(band: number): BandBlock {
    const channel = channels[band];
    const { decimation, short, small, bin, rest, gains, input, output, re, im } = channel;
    for (let n = 0; n < short; n++) {
      const from = 2 * ((((bin + n - short / 2) % size) + size) % size);
      const to = 2 * ((n + short / 2) % short);
      input[to] = spectrum[from] * gains[n];
      input[to + 1] = spectrum[from + 1] * gains[n];
    }
    small.inverseTransform(output, input);
    // The bin's own phase at the window's beginning; bin and begin are whole, so that nothing is lost however long it runs.
    const turns = -(((bin % size) * (begin % size)) % size) / size;
    const first = reach / decimation;
    for (let n = 0; n < re.length; n++) {
      const angle = 2 * Math.PI * (turns - ((rest * (channel.samples + n)) % 1));
      const cos = Math.cos(angle);
      const sin = Math.sin(angle);
      const x = output[2 * (first + n)];
      const y = output[2 * (first + n) + 1];
      re[n] = x * cos - y * sin;
      im[n] = x * sin + y * cos;
    }
    channel.samples += re.length;
    return { re, im, count: re.length };
  }

  return {
    rates: decimations.map((decimation) => sampleRate / decimation),
    delay: size,
    push(i, q, give) {
      for (let at = 0; at < i.length;) {
        const count = Math.min(i.length - at, size - held);
        for (let n = 0; n < count; n++) {
          window[2 * (held + n)] = i[at + n];
          window[2 * (held + n) + 1] = q[at + n];
        }
        at += count;
        held += count;
        if (held < size) break;
        fft.transform(spectrum, window);
        for (let band = 0; band < bands.length; band++) give(band, take(band));
        for (let n = 0; n < 4 * reach; n++) window[n] = window[2 * hop + n];
        held = 2 * reach;
        begin += hop;
      }
    },
  };
}
