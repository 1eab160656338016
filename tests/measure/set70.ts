/** Sets as a receiver of I and Q samples hears them, and what the meter makes of that. */
import { encodeCall } from '../../src/calls/index.js';
import { Random } from '../../src/dsp/index.js';
import { frameCall } from '../../src/frames/index.js';
import { createMeter, type MeteredCall } from '../../src/measure/index.js';
import { createTuner, type RadioChannel } from '../../src/radio/index.js';

export const VHF_HZ = 156_525_000;
export const call = { kind: 'testCall', self: '299123456', to: { station: '002991234' } } as const;

/** What a set on channel 70 does; by the standard without anything. */
interface Set70 {
  /** Radians by which each tone turns the carrier. */
  b?: number;
  y?: number;
  carrierHz?: number;
}

/** The slice of a set, by formulas of its own. */
export function slice70(
  { b = 2, y = 2, carrierHz = 0 }: Set70,
  sampleRate: number,
  tunedHz: number,
  noise: number,
  seed = 1,
) {
  const { bits } = frameCall(encodeCall(call), { band: 'vhf' });
  const random = new Random(seed, 'slice');
  const length = Math.round(1.6 * sampleRate);
  const i = new Float32Array(length);
  const q = new Float32Array(length);
  const first = 0.5 * sampleRate;
  // Elements of B less those of Y before each bit.
  const sums = [0];
  for (const bit of bits) sums.push(sums[sums.length - 1] + (bit === 1 ? -1 : 1));
  let [last, phase] = [0, 0];
  for (let n = 0; n < length; n++) {
    const place = ((n - first) * 1200) / sampleRate;
    const bit = Math.floor(place);
    const isOn = bit >= -60 && bit < bits.length + 60;
    if (bit >= 0 && bit < bits.length) {
      const turned = sums[bit] + (bits[bit] === 1 ? -1 : 1) * (place - bit);
      const tone = Math.sin(2 * Math.PI * ((1700 / 1200) * place + (400 / 1200) * turned));
      phase += (bits[bit] === 1 ? y : b) * (tone - last);
      last = tone;
    }
    const turns = (((VHF_HZ + carrierHz - tunedHz) / sampleRate) * n) % 1;
    const angle = 2 * Math.PI * turns + phase;
    i[n] = (isOn ? 0.5 * Math.cos(angle) : 0) + noise * random.gaussian();
    q[n] = (isOn ? 0.5 * Math.sin(angle) : 0) + noise * random.gaussian();
  }
  return { i, q };
}

export function metered(
  { i, q }: { i: Float32Array; q: Float32Array },
  options: { sampleRate: number; tunedHz: number },
  channel: RadioChannel,
): MeteredCall[] {
  const tuner = createTuner({ ...options, channels: [channel] });
  const meter = createMeter({
    sampleRate: tuner.sampleRates[0],
    radio: channel,
    bands: [channel.mode === 'fm' ? 'vhf' : 'mf-hf'],
  });
  const calls: MeteredCall[] = [];
  const take = (_: number, audio: Float32Array) => calls.push(...meter.push(audio));
  tuner.push(i, q, take);
  tuner.flush(take);
  return [...calls, ...meter.flush()];
}

export const WIDE: RadioChannel = { hz: VHF_HZ, mode: 'fm', isWide: true };
