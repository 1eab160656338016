/** A made-up set, sound or with a fault, as its audio: by formulas of its own, so that it shares nothing with what is tested. */
import { informationCharacters } from '../../src/frames/index.js';
import { Random } from '../../src/dsp/index.js';
import { symbolToBits } from '../../src/symbols/index.js';

/** What a set does; without anything, what the standard asks of it at 100 Bd. */
export interface MadeUpSet {
  baud?: number;
  centreHz?: number;
  shiftHz?: number;
  /** Peak amplitudes of B and Y. */
  b?: number;
  y?: number;
  dots?: number;
  /** Radians by which the phase jumps at a bit. */
  jump?: number;
  jumpBit?: number;
  /** Whether the phase begins anew wherever the tone changes, as where two oscillators are switched. */
  isSwitched?: boolean;
  /** Pairs from DX to RX: 2 by the standard. */
  delayPairs?: number;
  /** An RX slot, counted in pairs, that carries another character. */
  odd?: { pair: number; symbol: number };
  sendings?: number;
  gapSeconds?: number;
}

const PHASING_RX = [111, 110, 109, 108, 107, 106, 105, 104];

/** The bits of one sending without its dots: 1 for Y. */
function sendingBits(symbols: readonly number[], { delayPairs = 2, odd }: MadeUpSet): number[] {
  const information = informationCharacters(symbols);
  const dx = [125, 125, 125, 125, 125, 125, ...information];
  const phasing = PHASING_RX.slice(0, 6 + delayPairs);
  while (phasing.length < 6 + delayPairs) phasing.push(104);
  const rx = [...phasing, ...information].slice(0, dx.length);
  if (odd) rx[odd.pair] = odd.symbol;
  return dx.flatMap((symbol, i) => [...symbolToBits(symbol), ...symbolToBits(rx[i])]);
}

/**
 * The audio of a set: silence, its sendings, silence.
 *
 * @param ratioDb - signal-to-noise ratio in 3 kHz of a set with both amplitudes 0.5
 */
export function madeUpAudio(
  symbols: readonly number[],
  set: MadeUpSet,
  { sampleRate = 12_000, before = 0.6, after = 1.2, ratioDb = Infinity, seed = 0, phase = 0 } = {},
): Float32Array {
  const { baud = 100, centreHz = 1700, shiftHz = 170, b = 0.5, y = 0.5, dots = 200, gapSeconds = 0 } = set;
  const bits = [...Array.from({ length: dots }, (_, i) => i % 2), ...sendingBits(symbols, set)];
  const one = bits.length / baud;
  const sendings = set.sendings ?? 1;
  const seconds = before + sendings * one + (sendings - 1) * gapSeconds + after;
  const samples = new Float32Array(Math.ceil(seconds * sampleRate));
  const turns = new Float64Array(bits.length + 1);
  bits.forEach((bit, i) => (turns[i + 1] = turns[i] + (bit === 0 ? 1 : -1)));
  const changes = new Int32Array(bits.length);
  for (let i = 1; i < bits.length; i++) changes[i] = changes[i - 1] + (bits[i] === bits[i - 1] ? 0 : 1);
  const deviation = Math.sqrt((0.125 / 10 ** (ratioDb / 10)) * (sampleRate / 2 / 3000));
  const noise = new Random(seed, 'noise');
  for (let n = 0; n < samples.length; n++) {
    const time = n / sampleRate;
    const since = time - before;
    const sending = Math.min(sendings - 1, Math.floor(since / (one + gapSeconds)));
    const within = (since - sending * (one + gapSeconds)) * baud;
    let value = 0;
    if (since >= 0 && within >= 0 && within < bits.length) {
      const bit = Math.floor(within);
      const sign = bits[bit] === 0 ? 1 : -1;
      const keyed = (Math.PI * shiftHz * (turns[bit] + sign * (within - bit))) / baud;
      const jumped = set.jump !== undefined && bit >= (set.jumpBit ?? 0) ? set.jump : 0;
      const switched = set.isSwitched ? 2 * Math.sin(97 * changes[bit]) : 0;
      value =
        (sign > 0 ? b : y) * Math.sin(phase + 2 * Math.PI * centreHz * time + keyed + jumped + switched);
    }
    samples[n] = value + (ratioDb === Infinity ? 0 : deviation * noise.gaussian());
  }
  return samples;
}
