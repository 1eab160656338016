/** Two tones keyed with continuous phase (CPFSK), each change exact to fractions of a sample. */

/** How two tones are keyed. */
export interface FskTones {
  /** Samples per second. */
  readonly sampleRate: number;
  /** Elements per second. */
  readonly baud: number;
  /** Hertz midway between the tones. */
  readonly centreHz: number;
  /** Hertz from the lower tone to the higher one. */
  readonly shiftHz: number;
}

/** The phase of keyed tones, sample by sample. Sample n lies at n / `sampleRate` seconds. */
export class FskPhase {
  private sample = 0;
  private element = 0;
  private keyed: number;
  private step: number;
  private readonly elementsPerSample: number;
  private readonly carrier: number;
  private readonly swing: number;

  /**
   * @param next - gives each element: true for the higher tone
   * @param turns - phase of the first sample in turns; default 0
   */
  constructor(
    tones: FskTones,
    private readonly next: () => boolean,
    turns = 0,
  ) {
    this.elementsPerSample = tones.baud / tones.sampleRate;
    this.carrier = tones.centreHz / tones.sampleRate;
    this.swing = tones.shiftHz / 2 / tones.baud;
    this.keyed = turns;
    this.step = this.nextStep();
  }

  /** The phase of the next sample in turns, 0 up to 1. */
  turns(): number {
    const time = this.sample * this.elementsPerSample;
    for (; this.element < Math.floor(time); this.element++) {
      this.keyed += this.step;
      this.step = this.nextStep();
    }
    const phase = this.carrier * this.sample + this.keyed + (time - this.element) * this.step;
    this.sample++;
    return phase - Math.floor(phase);
  }

  private nextStep(): number {
    return this.next() ? this.swing : -this.swing;
  }
}
