/** Audio into the receiver: junk alone, a call with junk around it, a damaged call. */
import { encodeCall } from '../../../src/calls/index.js';
import { joinSamples } from '../../../src/dsp/index.js';
import { frameCall } from '../../../src/frames/index.js';
import type { Band } from '../../../src/symbols/index.js';
import { MODULATIONS, modulateBits } from '../../../src/modem/index.js';
import { createReceiver, describeReceived, type ReceivedCall } from '../../../src/receiver/index.js';
import { createRawReader } from '../../../src/wav/index.js';
import { createChoices, randomBits, type Choices } from '../../scenes/random.js';
import { inventedFigures, textWithOthers } from '../../calls/certain.js';
import { SENDABLE } from '../good.js';
import { Material } from '../material.js';
import { hold, same, type Target } from '../target.js';

const RATES = [8000, 11_025, 12_000, 44_100, 48_000];
const BANDS: readonly Band[] = ['vhf', 'vhf', 'mf-hf'];
const HOSTILE = [NaN, Infinity, -Infinity, 1e38, -1e38, 1e-45, 100, -1, 1];
const LONGEST_SECONDS = 10;

/** Audio of a kind that holds no call, out of a few bytes. */
function junk(material: Material, choices: Choices, sampleRate: number): Float32Array {
  const seconds = 0.05 + (material.byte() / 256) * 1.5;
  const samples = new Float32Array(Math.round(seconds * sampleRate));
  switch (material.byte() % 7) {
    case 0:
      return samples.map(() => choices.uniform(-1, 1));
    case 1: {
      const cycles = (material.word() % 4000) / sampleRate;
      return samples.map((_, n) => Math.sin(2 * Math.PI * cycles * n));
    }
    case 2: {
      // The right keying, and bits at random.
      const modulation = MODULATIONS[material.pick(BANDS)];
      const bits = randomBits(choices, Math.round(seconds * modulation.baud));
      return modulateBits(bits, {
        sampleRate,
        modulation,
        centreHz: 700 + (material.byte() / 256) * 1500,
        level: 0.5,
      });
    }
    case 3: {
      // The dots and phasing of a call, and bits at random in place of the rest.
      const band = material.pick(BANDS);
      const { bits } = frameCall(encodeCall(material.pick(SENDABLE)), { band, dots: 20 });
      const kept = 20 + 10 * (12 + (material.byte() % 8));
      const random = randomBits(choices, bits.length);
      return modulateBits(
        bits.map((bit, i) => (i < kept ? bit : random[i])),
        { sampleRate, modulation: MODULATIONS[band], level: 0.5 },
      );
    }
    case 4: {
      const value = material.pick(HOSTILE);
      const every = 1 + (material.word() % 3000);
      return samples.map((_, n) => (n % every === 0 ? value : 0.1 * choices.uniform(-1, 1)));
    }
    case 5: {
      // The input's own bytes as samples.
      const reader = createRawReader({ format: material.pick(['s16', 'f32', 'u8']), sampleRate, channel: 0 });
      const [block] = [...reader.push(material.take(2000)), ...reader.end().blocks];
      const own = (block as typeof block | undefined)?.channels[0] ?? Float32Array.of(0.5);
      return samples.map((_, n) => own[n % own.length]);
    }
    default:
      return samples.map((_, n) => (n % (1 + (material.byte() % 50)) === 0 ? 1 : 0));
  }
}

function received(audio: Float32Array, sampleRate: number, piece: number): ReceivedCall[] {
  const receiver = createReceiver({ sampleRate });
  const calls: ReceivedCall[] = [];
  for (let at = 0; at < audio.length; at += piece)
    calls.push(...receiver.push(audio.subarray(at, at + piece)));
  return [...calls, ...receiver.flush()];
}

const sure = (calls: readonly ReceivedCall[]) =>
  calls.filter(({ quality }) => quality !== 'doubtful').map(({ symbols }) => symbols.join(' '));

/** A call whose bits are turned here and there. */
function damaged(
  material: Material,
  choices: Choices,
  sampleRate: number,
): { audio: Float32Array; symbols: number[]; turned: number } {
  const symbols = encodeCall(material.pick(SENDABLE)).symbols;
  const band = material.pick(BANDS);
  const { bits } = frameCall(symbols, { band, dots: 20 });
  const turned = material.pick([0, 0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5]);
  const noise = material.pick([0, 0.05, 0.3, 1]);
  const whole = modulateBits(
    bits.map((bit) => (choices.uniform(0, 1) < turned ? 1 - bit : bit)),
    { sampleRate, modulation: MODULATIONS[band], level: 0.5, inverted: material.byte() % 4 === 0 },
  );
  // One in four breaks off: what comes behind is silence and junk.
  const isCut = material.byte() % 4 === 1;
  const audio = isCut ? whole.subarray(0, Math.round(whole.length * choices.uniform(0.3, 1))) : whole;
  return {
    audio: audio.map((sample) => sample + noise * choices.uniform(-1, 1)),
    symbols,
    turned: turned + noise + (isCut ? 1 : 0),
  };
}

export const receiver: Target = {
  name: 'receiver',
  seeds: () =>
    Array.from({ length: 8 }, (_, i) =>
      Uint8Array.from([i, i % 5, i >> 2, 40 + i, i % 7, 30, i % 7, 1, 2, 3, 200, 100, 50, 25, 12, 6, 3, i]),
    ),
  share: 5,
  maxBytes: 600,
  // Ten seconds at most, of up to 48 000 samples.
  limitMs: () => 6000,
  limitMiB: 192,
  run(input) {
    const material = new Material(input);
    const choices = createChoices(material.word());
    const sampleRate = material.pick(RATES);
    const piece = 1 + material.word();
    const mode = material.byte() % 4;
    const before = [junk(material, choices, sampleRate)];
    const after = [junk(material, choices, sampleRate)];
    const silence = new Float32Array(sampleRate / 2);
    const call = mode === 0 ? undefined : damaged(material, choices, sampleRate);
    const parts = call ? [...before, silence, call.audio, silence, ...after] : [...before, ...after];
    const audio = joinSamples(parts).subarray(0, LONGEST_SECONDS * sampleRate);
    const calls = received(audio, sampleRate, piece);
    const spelled = call ? [call.symbols.join(' ')] : [];
    for (const found of sure(calls))
      hold(spelled.includes(found), () => `a call for sure that was not sent: ${found}`);
    for (const call of calls) {
      const heard = { ...call, text: describeReceived(call) };
      const invented = inventedFigures(heard);
      hold(
        invented.length === 0,
        () => `figures not received, yet told: ${invented.join(', ')} in ${heard.text}`,
      );
      const other = textWithOthers(heard, (i) => (heard.symbols[i] + 1) % 128);
      hold(heard.text.startsWith(other), () => `what was not received changes ${heard.text} to ${other}`);
    }
    for (const call of calls) {
      const { start, end, snrDb, errorProbability } = call;
      hold(
        [start, end, snrDb, errorProbability].every(Number.isFinite),
        () => `a figure that is no number in ${describeReceived(call)}`,
      );
    }
    if (mode === 1)
      same(
        sure(received(audio, sampleRate, 1 + (piece % 997))),
        sure(calls),
        'the calls of audio cut elsewhere',
      );
    if (mode === 2 && call?.turned === 0 && audio.length < LONGEST_SECONDS * sampleRate) {
      // A call that ended before the junk began stays.
      const clear = [silence, call.audio, silence, silence, silence, ...after];
      same(sure(received(joinSamples(clear), sampleRate, piece)), spelled, 'the calls received before junk');
    }
  },
};
