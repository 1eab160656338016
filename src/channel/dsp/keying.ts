/** Frequency-shift keying with continuous phase. */

/** Turns elements into a tone that changes between two frequencies, with each change exact to fractions of a sample. */
export class Keying {
  private phase: number;
  private readonly elementSamples: number;
  private readonly low: number;
  private readonly high: number;
  private samples = 0;
  private elements = 0;
  private boundary = 0;
  private step = 0;

  /**
   * @param baud - elements per second, at most the sample rate
   * @param next - gives each element: true for the higher tone
   * @param turns - phase of the first sample in turns
   */
  constructor(
    sampleRate: number,
    baud: number,
    centreHz: number,
    shiftHz: number,
    private readonly next: () => boolean,
    turns: number,
  ) {
    this.elementSamples = sampleRate / baud;
    this.low = (centreHz - shiftHz / 2) / sampleRate;
    this.high = (centreHz + shiftHz / 2) / sampleRate;
    this.phase = turns;
    this.begin();
  }

  /** Adds the next samples of a tone of the given amplitude to a block. */
  add(block: Float32Array, amplitude: number): void {
    for (let i = 0; i < block.length; i++) {
      block[i] += amplitude * Math.cos(2 * Math.PI * this.phase);
      this.samples++;
      if (this.samples < this.boundary) {
        this.phase += this.step;
      } else {
        const late = this.samples - this.boundary;
        this.phase += (1 - late) * this.step;
        this.begin();
        this.phase += late * this.step;
      }
      if (this.phase >= 1) this.phase -= 1;
    }
  }

  private begin(): void {
    this.step = this.next() ? this.high : this.low;
    this.boundary = ++this.elements * this.elementSamples;
  }
}
