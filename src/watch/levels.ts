/**
 * How loud an input is: the level of each minute, and silence.
 */

/** Levels are told for so much audio, seconds. */
const SPAN_SECONDS = 60;

/** Silence is looked for in pieces of so much, seconds. */
const PIECE_SECONDS = 1;

/** The level of a while. */
export interface SpanLevel {
  /** Seconds of the stream at which it began. */
  readonly start: number;
  readonly seconds: number;
  /** dB, 0 dB being the mean square 1; absent for digital silence. */
  readonly rmsDb?: number;
  /** The highest sample, dB of full scale. */
  readonly peakDb?: number;
}

const decibels = (power: number) => 10 * Math.log10(power);

/** Measures a stream. */
export class Levels {
  #frames = 0;
  #spanStart = 0;
  #spanPower = 0;
  #spanPeak = 0;
  #pieceStart = 0;
  #piecePower = 0;
  #silentFrom: number | undefined;

  constructor(
    private readonly sampleRate: number,
    private readonly silenceDb: number,
    /** Takes the level of each minute. */
    private readonly onSpan: (level: SpanLevel) => void,
  ) {}

  /** Seconds of the stream at which a silence that lasts began. */
  get silentFrom(): number | undefined {
    return this.#silentFrom;
  }

  push(samples: Float32Array): void {
    const piece = PIECE_SECONDS * this.sampleRate;
    for (let at = 0; at < samples.length;) {
      const end = Math.min(
        samples.length,
        at + Math.max(1, Math.ceil(piece - (this.#frames - this.#pieceStart))),
      );
      let power = 0;
      let peak = this.#spanPeak;
      for (let i = at; i < end; i++) {
        const sample = samples[i];
        power += sample * sample;
        if (sample > peak) peak = sample;
        else if (-sample > peak) peak = -sample;
      }
      this.#spanPeak = peak;
      this.#piecePower += power;
      this.#frames += end - at;
      at = end;
      if (this.#frames - this.#pieceStart >= piece) this.#endPiece();
    }
  }

  /** Tells the level of what is left. */
  end(): void {
    this.#spanPower += this.#piecePower;
    this.#piecePower = 0;
    if (this.#frames > this.#spanStart) this.#endSpan();
  }

  #endPiece(): void {
    const isSilent = decibels(this.#piecePower / (this.#frames - this.#pieceStart)) < this.silenceDb;
    if (!isSilent) this.#silentFrom = undefined;
    else this.#silentFrom ??= this.#pieceStart / this.sampleRate;
    this.#spanPower += this.#piecePower;
    this.#piecePower = 0;
    this.#pieceStart = this.#frames;
    if (this.#frames - this.#spanStart >= SPAN_SECONDS * this.sampleRate) this.#endSpan();
  }

  #endSpan(): void {
    const frames = this.#frames - this.#spanStart;
    const isSound = this.#spanPower > 0 && this.#spanPeak > 0;
    this.onSpan({
      start: this.#spanStart / this.sampleRate,
      seconds: frames / this.sampleRate,
      ...(isSound && {
        rmsDb: decibels(this.#spanPower / frames),
        peakDb: 2 * decibels(this.#spanPeak),
      }),
    });
    this.#spanStart = this.#frames;
    this.#spanPower = 0;
    this.#spanPeak = 0;
  }
}
