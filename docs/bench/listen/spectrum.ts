/**
 * Columns of a spectrogram from a stream of samples.
 */
import FFT from 'fft.js';

/** The spectrogram shows so much of the audio band, from 0. */
export const SHOWN_HZ = 4000;
/** Values in a column, from low to high. */
export const ROWS = 320;

/** Bins are about so wide: fine enough to part the tones of 100 Bd. */
const BIN_HZ = 14;
/** The median of a column, smoothed, is drawn as palest this much above it, and the darkest so much higher. */
const ABOVE_MEDIAN_DB = 6;
const RANGE_DB = 36;
/** How much of a new column's median goes into the smoothed one. */
const SMOOTHING = 0.05;
/** The quietest median drawn as such, in dB of a full-scale sine: silence stays white. */
const QUIETEST_DB = -100;

export interface Spectrum {
  /** Takes samples and gives a column each time one is due. */
  push(samples: Float32Array, onColumn: (column: Uint8Array) => void): void;
}

export function createSpectrum(sampleRate: number, columnSeconds: number): Spectrum {
  const size = 2 ** Math.round(Math.log2(sampleRate / BIN_HZ));
  const hop = Math.max(1, Math.round(columnSeconds * sampleRate));
  const fft = new FFT(size);
  const window = Float64Array.from({ length: size }, (_, i) => Math.sin((Math.PI * (i + 0.5)) / size) ** 2);
  const recent = new Float64Array(size);
  const windowed = new Array<number>(size).fill(0);
  const spectrum: number[] = fft.createComplexArray() as number[];
  let at = 0;
  // A column shows the middle of its window, so that the first one waits half a window longer.
  let due = hop + size / 2;
  let median: number | undefined;

  function column(): Uint8Array {
    for (let i = 0; i < size; i++) windowed[i] = recent[(at + i) % size] * window[i];
    fft.realTransform(spectrum, windowed);
    const perRow = ((SHOWN_HZ / sampleRate) * size) / ROWS;
    const levels = Float64Array.from({ length: ROWS }, (_, row) => {
      let power = 1e-20;
      const last = Math.min(size / 2, Math.max(Math.floor((row + 1) * perRow), Math.floor(row * perRow) + 1));
      for (let bin = Math.floor(row * perRow); bin < last; bin++) {
        power = Math.max(power, spectrum[2 * bin] ** 2 + spectrum[2 * bin + 1] ** 2);
      }
      return 10 * Math.log10(power / (size / 4) ** 2);
    });
    const middle = Math.max(QUIETEST_DB, [...levels].sort((a, b) => a - b)[ROWS >> 1]);
    median = median === undefined ? middle : median + SMOOTHING * (middle - median);
    const palest = median + ABOVE_MEDIAN_DB;
    return Uint8Array.from(levels, (db) =>
      Math.max(0, Math.min(255, Math.round((255 * (db - palest)) / RANGE_DB))),
    );
  }

  return {
    push(samples, onColumn) {
      for (const sample of samples) {
        recent[at] = sample;
        at = (at + 1) % size;
        if (--due === 0) {
          due = hop;
          onColumn(column());
        }
      }
    },
  };
}
