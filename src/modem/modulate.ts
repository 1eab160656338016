/**
 * Frames and bits to audio: two tones with continuous phase.
 */
import { FskPhase, dbToAmplitude } from '../dsp/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import type { Frame } from '../frames/index.js';
import { MODULATIONS, requireCentre, requireSampleRate, type Modulation } from './modulation.js';

/** How a frame becomes audio. */
export interface ModulateOptions {
  /** Samples per second, 8000–192000. */
  sampleRate: number;
  /** Hertz midway between the tones; default: the modulation's own, 1700. */
  centreHz?: number;
  /** Swaps the tones, as lower sideband does; default false. */
  inverted?: boolean;
  /** Peak amplitude, 0–1; default 0.5. */
  level?: number;
  /** Level of B over Y, dB, −40 to 40: the weaker tone is turned down; default 0. */
  bOverYDb?: number;
  /** Bits over which the amplitude rises at the start and falls at the end, 0–1; default 0.2. */
  rampBits?: number;
}

/** How bits become audio. */
export interface ModulateBitsOptions extends ModulateOptions {
  /** Default: 100 Bd, 170 Hz shift. */
  modulation?: Modulation;
}

/**
 * Modulates a frame with the modulation of its band (see {@link modulateBits}).
 *
 * @returns samples, the last one within the last bit
 * @throws DotphaseError when an option is out of range
 */
export function modulate(frame: Pick<Frame, 'band' | 'bits'>, options: ModulateOptions): Float32Array {
  const band: unknown = frame.band;
  if (band !== 'mf-hf' && band !== 'vhf') {
    throw new DotphaseError('frame', frame, 'a frame with its band and bits, as frameCall gives it');
  }
  return modulateBits(frame.bits, { ...options, modulation: MODULATIONS[band] });
}

/**
 * Modulates bits with continuous phase and the exact bit rate: sample n lies at n / sampleRate seconds, however
 * many samples a bit takes.
 *
 * @param bits - 1 for Y (lower tone), 0 for B (higher tone)
 * @returns samples, the last one within the last bit
 * @throws DotphaseError when an option is out of range
 */
export function modulateBits(bits: ArrayLike<number>, options: ModulateBitsOptions): Float32Array {
  const sampleRate = requireSampleRate(options.sampleRate);
  const modulation = options.modulation ?? MODULATIONS['mf-hf'];
  const centreHz = requireCentre(options.centreHz ?? modulation.centreHz, modulation, sampleRate);
  const level = requireNumber('level', options.level ?? 0.5, 0, 1);
  const ramp = requireNumber('rampBits', options.rampBits ?? 0.2, 0, 1);
  const bOverY = requireNumber('bOverYDb', options.bOverYDb ?? 0, -40, 40, 'dB');
  const [levelB, levelY] = [Math.min(0, bOverY), Math.min(0, -bOverY)].map((db) => level * dbToAmplitude(db));
  const { baud, shiftHz } = modulation;
  let bit = 0;
  const isHigher = () => (bits[bit++] === 0) !== (options.inverted ?? false);
  const phase = new FskPhase({ sampleRate, baud, centreHz, shiftHz }, isHigher);
  const samples = new Float32Array(Math.ceil((bits.length * sampleRate) / baud));
  for (let n = 0; n < samples.length; n++) {
    const time = (n * baud) / sampleRate;
    const edge = Math.min(time, bits.length - time);
    const gain = edge < ramp ? Math.sin((Math.PI / 2) * (edge / ramp)) ** 2 : 1;
    const tone = bits[Math.min(bits.length - 1, Math.floor(time))] === 0 ? levelB : levelY;
    samples[n] = tone * gain * Math.sin(2 * Math.PI * phase.turns());
  }
  return samples;
}
