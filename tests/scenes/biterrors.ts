/** Bit errors of the noncoherent demodulator with the receiver's own filters, timing and tones known. */
import { applyChannel } from '../../src/channel/index.js';
import { createBasebandFilter } from '../../src/dsp/index.js';
import { modulateBits, type Modulation } from '../../src/modem/index.js';
import { bitEnergy, integrateTone } from '../../src/modem/internal.js';
import { BAND_PARAMETERS, WORKING_RATE } from '../../src/receiver/bandparameters.js';
import { createChoices, randomBits, type Choices } from './random.js';
import { SIGNAL_LEVEL_DB } from './transmission.js';
import { ebN0OfErrorRate } from './theory.js';

const BAUD = 100;
/** Twice the receiver's working rate, and twice its decimation. */
const SAMPLE_RATE = 2 * WORKING_RATE;
/** Bits at each end that the filters' edges touch. */
const EDGE = 4;

/** What is measured. */
export interface BitErrorJob {
  shiftHz: number;
  ebN0Db: number;
  bits: number;
  seed: number;
  /** Whether the phase runs on from bit to bit, as on the air, or each bit begins anywhere, as the formula has it. */
  phase: 'continuous' | 'random';
}

/** What was seen. */
export interface BitErrors {
  bits: number;
  errors: number;
  /** How much more Eb/N₀ was needed than ½·exp(−Eb/2N₀) needs for as many errors, dB. */
  lossDb: number;
}

/** Bits whose phases have nothing to do with each other. */
function keyAtRandom(sent: Uint8Array, modulation: Modulation, choices: Choices): Float32Array {
  const samplesPerBit = SAMPLE_RATE / modulation.baud;
  const audio = new Float32Array(sent.length * samplesPerBit);
  sent.forEach((bit, i) => {
    const frequency = modulation.centreHz + ((bit ? -1 : 1) * modulation.shiftHz) / 2;
    const phase = choices.uniform(0, 2 * Math.PI);
    for (let n = 0; n < samplesPerBit; n++) {
      audio[i * samplesPerBit + n] = 0.5 * Math.cos((2 * Math.PI * frequency * n) / SAMPLE_RATE + phase);
    }
  });
  return audio;
}

/** Sends random bits through white noise and compares the energies of the two tones bit by bit. */
export function measureBitErrors({ shiftHz, ebN0Db, bits, seed, phase }: BitErrorJob): BitErrors {
  const plan = BAND_PARAMETERS['mf-hf'];
  const choices = createChoices(seed);
  const sent = randomBits(choices, bits + 2 * EDGE);
  const modulation = { baud: BAUD, shiftHz, centreHz: 1700 };
  const keyed =
    phase === 'continuous'
      ? modulateBits(sent, { sampleRate: SAMPLE_RATE, modulation, rampBits: 0 })
      : keyAtRandom(sent, modulation, choices);
  const audio = applyChannel(keyed, {
    sampleRate: SAMPLE_RATE,
    signalLevelDb: SIGNAL_LEVEL_DB,
    seed,
    stages: [{ kind: 'noise', ebN0Db, bitRate: BAUD }],
  });
  const baseband = createBasebandFilter({
    ...plan,
    sampleRate: SAMPLE_RATE,
    decimation: 2 * plan.decimation,
  }).apply(audio, modulation.centreHz);
  const upper = integrateTone(baseband, modulation.centreHz + shiftHz / 2);
  const lower = integrateTone(baseband, modulation.centreHz - shiftHz / 2);
  const timing = { start: 0, samplesPerBit: baseband.rate / BAUD };
  let errors = 0;
  for (let bit = EDGE; bit < bits + EDGE; bit++) {
    const isLower = bitEnergy(lower, timing, bit) > bitEnergy(upper, timing, bit);
    if (isLower !== (sent[bit] === 1)) errors++;
  }
  return { bits, errors, lossDb: ebN0Db - ebN0OfErrorRate(errors / bits) };
}
