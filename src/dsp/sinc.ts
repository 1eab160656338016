/** Band-limited interpolation between samples, by a windowed sinc in phases. */
import { kaiserWindow } from './kaiser.js';

/** Samples on each side of the place asked for that take part. */
export const SINC_REACH = 24;

const PHASES = 256;
const ATTENUATION_DB = 90;
const WIDTH = 2 * SINC_REACH;

/** Reads a signal between its samples: within 0.01 % (−80 dB) up to 0.42 times the sample rate. */
export class SincReader {
  /** Row p holds the weights of the samples around a place p/PHASES after a sample. */
  private readonly rows: Float64Array;

  constructor() {
    const window = kaiserWindow(ATTENUATION_DB);
    const steps = SINC_REACH * PHASES;
    const kernel = Float64Array.from({ length: steps + 1 }, (_, i) => {
      const t = (Math.PI * i) / PHASES;
      return i === 0 ? 1 : (Math.sin(t) / t) * window(i / steps);
    });
    this.rows = new Float64Array((PHASES + 1) * WIDTH);
    for (let phase = 0; phase <= PHASES; phase++) {
      for (let k = 0; k < WIDTH; k++) {
        this.rows[phase * WIDTH + k] = kernel[Math.abs((k - SINC_REACH + 1) * PHASES - phase)];
      }
    }
  }

  /** The value `fraction` (0 to 1) of a sample after `data[at]`; needs SINC_REACH − 1 samples before and SINC_REACH after. */
  read(data: Float64Array, at: number, fraction: number): number {
    const place = fraction * PHASES;
    const phase = Math.min(PHASES - 1, Math.floor(place));
    const toNext = place - phase;
    const { rows } = this;
    let row = phase * WIDTH;
    let here = 0;
    let next = 0;
    for (let k = 0, i = at - SINC_REACH + 1; k < WIDTH; k++, i++, row++) {
      const sample = data[i];
      here += sample * rows[row];
      next += sample * rows[row + WIDTH];
    }
    return here + toNext * (next - here);
  }
}
