/** A rotating phasor: carriers, frequency shifts and drift. */

/** exp(j·2π(φ + f·t + r·t²/2)), sample by sample. */
export class Rotor {
  /** Samples between two places where the phase is worked out afresh, so that rounding never adds up. */
  static readonly STRIDE = 64;

  private readonly step: number;
  private readonly chirp: number;
  private re = 1;
  private im = 0;
  private stepRe = 1;
  private stepIm = 0;
  private readonly chirpRe: number;
  private readonly chirpIm: number;

  /**
   * @param sampleRate - hertz
   * @param frequencyHz - at the first sample
   * @param driftHzPerSecond - how fast the frequency rises
   * @param turns - phase of the first sample in turns
   * @param index - sample to begin with, a multiple of {@link Rotor.STRIDE}
   */
  constructor(
    sampleRate: number,
    frequencyHz: number,
    driftHzPerSecond = 0,
    private readonly turns = 0,
    private index = 0,
  ) {
    this.step = frequencyHz / sampleRate;
    this.chirp = driftHzPerSecond / sampleRate / sampleRate;
    this.chirpRe = Math.cos(2 * Math.PI * this.chirp);
    this.chirpIm = Math.sin(2 * Math.PI * this.chirp);
  }

  /** Writes the next `count` values. */
  fill(cos: Float64Array, sin: Float64Array, count: number): void {
    const { chirpRe, chirpIm } = this;
    const isSteady = this.chirp === 0;
    for (let from = 0; from < count;) {
      const behind = this.index % Rotor.STRIDE;
      if (behind === 0) this.restart();
      const to = Math.min(count, from + Rotor.STRIDE - behind);
      let { re, im, stepRe, stepIm } = this;
      for (let i = from; i < to; i++) {
        cos[i] = re;
        sin[i] = im;
        const turned = re * stepRe - im * stepIm;
        im = re * stepIm + im * stepRe;
        re = turned;
        if (isSteady) continue;
        const faster = stepRe * chirpRe - stepIm * chirpIm;
        stepIm = stepRe * chirpIm + stepIm * chirpRe;
        stepRe = faster;
      }
      this.re = re;
      this.im = im;
      this.stepRe = stepRe;
      this.stepIm = stepIm;
      this.index += to - from;
      from = to;
    }
  }

  private restart(): void {
    const { index, step, chirp } = this;
    const phase =
      2 * Math.PI * ((this.turns + ((step * index) % 1) + ((0.5 * chirp * index * index) % 1)) % 1);
    const slope = 2 * Math.PI * ((step + chirp * (index + 0.5)) % 1);
    this.re = Math.cos(phase);
    this.im = Math.sin(phase);
    this.stepRe = Math.cos(slope);
    this.stepIm = Math.sin(slope);
  }
}
