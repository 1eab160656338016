/**
 * The gain of one fading path: a complex Gaussian process with Gaussian Doppler spectrum, ITU-R F.1487 Annex 3
 * (from memory).
 *
 * With the standard deviation σ = spread/2, its power spectrum is exp(−f²/2σ²) and its autocorrelation
 * exp(−2(πστ)²); its amplitude is Rayleigh distributed. White Gaussian numbers at a low rate pass a filter with
 * Gaussian impulse response, and a cubic leads from one result to the next.
 */
import type { Random } from '../../dsp/index.js';

/** Rate of the process before interpolation, in multiples of σ. */
const OVERSAMPLING = 32;

/** The impulse response exp(−(2πσt)²) is cut at this value of its exponent. */
const CUT = 12;

/** A Rayleigh fading gain of mean square 1, stationary from its first sample. */
export class FadingTap {
  private readonly interval: number;
  private readonly weights: Float64Array;
  /** The newest white numbers, real and imaginary, oldest first. */
  private readonly white: Float64Array;
  /** Four neighbouring results per component; the cubic runs between the middle two. */
  private readonly knots = new Float64Array(8);
  private readonly cubic = new Float64Array(8);
  private position = 0;

  /**
   * @param spreadHz - Doppler spread 2σ, above 0
   * @param sampleRate - hertz
   */
  constructor(
    spreadHz: number,
    sampleRate: number,
    private readonly random: Random,
  ) {
    const sigma = spreadHz / 2;
    this.interval = Math.max(1, Math.floor(sampleRate / (OVERSAMPLING * sigma)));
    const exponent = (2 * Math.PI * sigma * this.interval) / sampleRate;
    const half = Math.ceil(Math.sqrt(CUT) / exponent);
    this.weights = Float64Array.from({ length: 2 * half + 1 }, (_, k) =>
      Math.exp(-((exponent * (k - half)) ** 2)),
    );
    const energy = this.weights.reduce((sum, w) => sum + w * w, 0);
    const scale = Math.sqrt(0.5 / energy);
    for (let k = 0; k < this.weights.length; k++) this.weights[k] *= scale;
    this.white = Float64Array.from({ length: 2 * this.weights.length }, () => random.gaussian());
    for (let i = 0; i < 4; i++) this.advance();
    this.bend();
  }

  /** Writes the next `count` values of the gain. */
  fill(re: Float64Array, im: Float64Array, count: number): void {
    const { interval, cubic } = this;
    const step = 1 / interval;
    let done = 0;
    while (done < count) {
      if (this.position === interval) {
        this.advance();
        this.bend();
        this.position = 0;
      }
      const end = Math.min(count, done + interval - this.position);
      const a0 = cubic[0];
      const a1 = cubic[1];
      const a2 = cubic[2];
      const a3 = cubic[3];
      const b0 = cubic[4];
      const b1 = cubic[5];
      const b2 = cubic[6];
      const b3 = cubic[7];
      let at = this.position;
      for (let i = done; i < end; i++, at++) {
        const t = at * step;
        re[i] = a0 + t * (a1 + t * (a2 + t * a3));
        im[i] = b0 + t * (b1 + t * (b2 + t * b3));
      }
      this.position = at;
      done = end;
    }
  }

  /** Draws one more pair of white numbers and filters it into the newest knots. */
  private advance(): void {
    const { white, weights, knots, random } = this;
    white.copyWithin(0, 2);
    white[white.length - 2] = random.gaussian();
    white[white.length - 1] = random.gaussian();
    let re = 0;
    let im = 0;
    for (let k = 0; k < weights.length; k++) {
      re += weights[k] * white[2 * k];
      im += weights[k] * white[2 * k + 1];
    }
    knots.copyWithin(0, 1);
    knots[3] = re;
    knots[7] = im;
  }

  /** Lays the third-order Lagrange polynomial through the four knots of each component. */
  private bend(): void {
    const { knots, cubic } = this;
    for (let c = 0; c < 8; c += 4) {
      const p = knots[c];
      const q = knots[c + 1];
      const r = knots[c + 2];
      const s = knots[c + 3];
      cubic[c] = q;
      cubic[c + 1] = r - p / 3 - q / 2 - s / 6;
      cubic[c + 2] = (p + r) / 2 - q;
      cubic[c + 3] = (s - p) / 6 + (q - r) / 2;
    }
  }
}
