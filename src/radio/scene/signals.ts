/**
 * What is sent in a made-up slice, as complex samples.
 */
import { createFadingPaths, type FadingGains } from '../../channel/index.js';
import { FskPhase, Rotor, seedFor } from '../../dsp/index.js';
import { frameCall } from '../../frames/index.js';
import { MODULATIONS } from '../../modem/index.js';
import {
  amplitudeOf,
  bandAt,
  charactersOf,
  middleOf,
  type SceneCall,
  type SceneCarrier,
  type SliceScene,
} from './scene.js';

/** A piece of the slice: sample `first` and what follows. */
export interface Piece {
  readonly first: number;
  readonly i: Float64Array;
  readonly q: Float64Array;
}

/** Something that is sent from one sample to before another. */
export interface Signal {
  readonly begin: number;
  readonly end: number;
  /** Adds it to a piece; pieces come in order, without a gap. */
  addTo(piece: Piece): void;
}

/** Bits over which a transmitter's power rises and falls. */
const RAMP_BITS = 0.2;

/** Radians that the tones turn a carrier on VHF by (M.493 Annex 1 §1.3: modulation index 2.0, from memory). */
const PHASE_DEVIATION = 2;

/** What part of a piece lies within a signal: the first and the last but one index. */
function overlap(
  { begin, end }: Pick<Signal, 'begin' | 'end'>,
  { first, i }: Piece,
): readonly [number, number] {
  return [Math.max(0, begin - first), Math.min(i.length, end - first)];
}

/** A call by one path, from its first sample on. */
class Sending {
  readonly #phase: FskPhase;
  readonly #turn: Rotor;
  readonly #isFm: boolean;
  readonly #samplesPerBit: number;
  #cos = new Float64Array(0);
  #sin = new Float64Array(0);
  #at = 0;

  constructor(
    private readonly bits: Uint8Array,
    hz: number,
    sampleRate: number,
    offsetHz: number,
  ) {
    const band = bandAt(hz);
    const { baud, shiftHz, centreHz } = MODULATIONS[band];
    this.#isFm = band === 'vhf';
    this.#samplesPerBit = sampleRate / baud;
    let bit = 0;
    const tones = { sampleRate, baud, shiftHz, centreHz: this.#isFm ? centreHz : 0 };
    this.#phase = new FskPhase(tones, () => bits[bit++] === 0);
    this.#turn = new Rotor(sampleRate, offsetHz);
  }

  /** Writes the next samples, of amplitude 1; nothing behind the end. */
  fill(re: Float64Array, im: Float64Array, count: number): void {
    if (this.#cos.length < count) [this.#cos, this.#sin] = [new Float64Array(count), new Float64Array(count)];
    const [cos, sin] = [this.#cos, this.#sin];
    this.#turn.fill(cos, sin, count);
    for (let n = 0; n < count; n++) {
      const bit = this.#at++ / this.#samplesPerBit;
      const edge = Math.min(bit, this.bits.length - bit);
      const gain = edge >= RAMP_BITS ? 1 : edge <= 0 ? 0 : Math.sin(((Math.PI / 2) * edge) / RAMP_BITS) ** 2;
      const tone = 2 * Math.PI * this.#phase.turns();
      const phase = this.#isFm ? PHASE_DEVIATION * Math.sin(tone) : tone;
      const [a, b] = [gain * Math.cos(phase), gain * Math.sin(phase)];
      re[n] = a * cos[n] - b * sin[n];
      im[n] = a * sin[n] + b * cos[n];
    }
  }
}

/** A path with the sending that comes by it. */
interface PathOfSending {
  readonly delay: number;
  readonly sending: Sending;
  readonly gains: FadingGains | undefined;
}

/** A call. */
export function callSignal(call: SceneCall, scene: SliceScene, number: number): Signal {
  const { frequencyHz, atSeconds, fading, repeat = 1 } = call;
  const { sampleRate, seed = 0 } = scene;
  const band = bandAt(frequencyHz);
  const { bits } = frameCall(charactersOf(call), { band, repeat });
  const amplitude = amplitudeOf(call, scene);
  const begin = Math.round(atSeconds * sampleRate);
  const length = Math.ceil((bits.length * sampleRate) / MODULATIONS[band].baud);
  const gains =
    fading === undefined
      ? [undefined]
      : createFadingPaths(fading, sampleRate, seedFor(seed, `call ${number}`));
  const paths = gains.map((one): PathOfSending => ({
    delay: Math.round((one?.delaySeconds ?? 0) * sampleRate),
    sending: new Sending(bits, frequencyHz, sampleRate, frequencyHz - middleOf(scene)),
    gains: one,
  }));
  const longest = Math.max(...paths.map(({ delay }) => delay));
  const signal = { begin, end: begin + length + longest };
  let scratch = Array.from({ length: 4 }, () => new Float64Array(0));
  return {
    ...signal,
    addTo(piece) {
      const [from, until] = overlap(signal, piece);
      if (until <= from) return;
      if (scratch[0].length < until) scratch = scratch.map(() => new Float64Array(piece.i.length));
      const [re, im, gainRe, gainIm] = scratch;
      for (const { delay, sending, gains: path } of paths) {
        // By this path it begins later, perhaps within the piece.
        const start = Math.max(from, begin + delay - piece.first);
        const count = until - start;
        if (count <= 0) continue;
        sending.fill(re, im, count);
        if (path) path.fill(gainRe, gainIm, count);
        else {
          gainRe.fill(1, 0, count);
          gainIm.fill(0, 0, count);
        }
        for (let n = 0; n < count; n++) {
          piece.i[start + n] += amplitude * (re[n] * gainRe[n] - im[n] * gainIm[n]);
          piece.q[start + n] += amplitude * (re[n] * gainIm[n] + im[n] * gainRe[n]);
        }
      }
    },
  };
}

/** A steady carrier. */
export function carrierSignal(carrier: SceneCarrier, scene: SliceScene): Signal {
  const { frequencyHz, fromSeconds = 0, untilSeconds = scene.seconds } = carrier;
  const { sampleRate } = scene;
  const amplitude = amplitudeOf(carrier, scene);
  const turn = new Rotor(sampleRate, frequencyHz - middleOf(scene));
  const signal = { begin: Math.round(fromSeconds * sampleRate), end: Math.round(untilSeconds * sampleRate) };
  let cos = new Float64Array(0);
  let sin = new Float64Array(0);
  return {
    ...signal,
    addTo(piece) {
      const [from, until] = overlap(signal, piece);
      if (until <= from) return;
      const { length } = piece.i;
      if (cos.length < length) [cos, sin] = [new Float64Array(length), new Float64Array(length)];
      turn.fill(cos, sin, until - from);
      for (let n = from; n < until; n++) {
        piece.i[n] += amplitude * cos[n - from];
        piece.q[n] += amplitude * sin[n - from];
      }
    },
  };
}
