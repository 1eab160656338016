/**
 * Power over time and frequency: short-time Fourier transforms with a Hann window.
 */
import FFT from 'fft.js';
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';

/** What part of a recording is looked at, and how closely. */
export interface SpectrogramOptions {
  /** Samples per second, 1000 to 192 000. */
  readonly sampleRate: number;
  /** Begin of the first column, seconds from the first sample; may lie before it. */
  readonly fromSeconds: number;
  /** End of the last column. */
  readonly toSeconds: number;
  /** Columns, 1 to 8192. */
  readonly columns: number;
  /** Rows, 1 to 1024. */
  readonly rows: number;
  /** Lower edge of the lowest row, hertz. */
  readonly lowHz: number;
  /** Upper edge of the highest row, hertz. */
  readonly highHz: number;
  /** Length of the window, seconds; it decides how finely frequencies are told apart (about 2 / length). */
  readonly windowSeconds: number;
}

/** Power over time and frequency. */
export interface Spectrogram {
  readonly columns: number;
  readonly rows: number;
  /**
   * Level of each cell in dB, column by column, in each from the lowest frequency upwards: 0 dB is a sine of
   * amplitude 1; −Infinity where nothing was.
   */
  readonly levelsDb: Float32Array;
}

const LONGEST_TRANSFORM = 65_536;

function requireOptions(options: SpectrogramOptions): void {
  const { sampleRate, fromSeconds, toSeconds, lowHz, highHz } = options;
  requireNumber('sampleRate', sampleRate, 1000, 192_000, 'Hz');
  requireNumber('fromSeconds', fromSeconds, -1e6, 1e6, 's');
  requireNumber('toSeconds', toSeconds, -1e6, 1e6, 's');
  if (toSeconds <= fromSeconds) throw new DotphaseError('toSeconds', toSeconds, `more than ${fromSeconds}`);
  requireInteger('columns', options.columns, 1, 8192);
  requireInteger('rows', options.rows, 1, 1024);
  requireNumber('lowHz', lowHz, 0, sampleRate / 2, 'Hz');
  requireNumber('highHz', highHz, lowHz + 1, sampleRate / 2, 'Hz');
  requireNumber('windowSeconds', options.windowSeconds, 8 / sampleRate, LONGEST_TRANSFORM / 2 / sampleRate);
}

/**
 * Measures a recording. A column that is wider than the window is the mean of as many windows as fit side by side.
 *
 * @param samples - full scale ±1; what lies outside counts as silence
 * @throws DotphaseError when an option is out of range
 */
export function spectrogram(samples: Float32Array, options: SpectrogramOptions): Spectrogram {
  requireOptions(options);
  const { sampleRate, fromSeconds, toSeconds, columns, rows, lowHz, highHz } = options;
  const length = Math.max(8, Math.round(options.windowSeconds * sampleRate));
  const size = 2 ** Math.ceil(Math.log2(2 * length));
  const fft = new FFT(size);
  const input = new Float32Array(size);
  const output = fft.createComplexArray() as number[];
  const window = Float32Array.from(
    { length },
    (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (n + 0.5)) / length),
  );
  // A sine of amplitude 1 has the power (length / 4)² in its bin, a Hann window's mean being one half.
  const scale = (4 / length) ** 2;
  const columnSamples = ((toSeconds - fromSeconds) * sampleRate) / columns;
  const windows = Math.max(1, Math.floor(columnSamples / length));
  const hzPerBin = sampleRate / size;
  const hzPerRow = (highHz - lowHz) / rows;
  const powers = new Float64Array(size / 2 + 1);
  const levelsDb = new Float32Array(columns * rows);

  for (let column = 0; column < columns; column++) {
    powers.fill(0);
    for (let part = 0; part < windows; part++) {
      const middle = fromSeconds * sampleRate + (column + (part + 0.5) / windows) * columnSamples;
      const first = Math.round(middle - length / 2);
      for (let n = 0; n < length; n++) input[n] = (samples[first + n] || 0) * window[n];
      fft.realTransform(output, input);
      for (let bin = 0; bin < powers.length; bin++) {
        powers[bin] += (output[2 * bin] ** 2 + output[2 * bin + 1] ** 2) * (scale / windows);
      }
    }
    for (let row = 0; row < rows; row++) {
      const power = meanPower(powers, (lowHz + row * hzPerRow) / hzPerBin, hzPerRow / hzPerBin);
      levelsDb[column * rows + row] = 10 * Math.log10(power);
    }
  }
  return { columns, rows, levelsDb };
}

/** The mean of the bins in a row, or what lies between its neighbours where it holds none. */
function meanPower(powers: Float64Array, from: number, width: number): number {
  const first = Math.ceil(from);
  const end = Math.min(powers.length, Math.ceil(from + width));
  if (end - first < 2) {
    const middle = Math.min(powers.length - 1, from + width / 2);
    const below = Math.min(powers.length - 2, Math.floor(middle));
    return powers[below] + (middle - below) * (powers[below + 1] - powers[below]);
  }
  let sum = 0;
  for (let bin = first; bin < end; bin++) sum += powers[bin];
  return sum / (end - first);
}
