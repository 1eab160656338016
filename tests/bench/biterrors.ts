/** Bit errors of the noncoherent demodulator with the receiver's own filters, timing and tones known. */
import { applyChannel } from '../../src/channel/index.js';
import { bitEnergy, createBaseband, integrateTone, modulate } from '../../src/modem/index.js';
import { BAND_PLANS, WORKING_RATE } from '../../src/receiver/plan.js';
import { createChoices, randomBits } from '../scenes/random.js';
import { SIGNAL_LEVEL_DB } from '../scenes/transmission.js';
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
}

/** What was seen. */
export interface BitErrors {
  bits: number;
  errors: number;
  /** How much more Eb/N₀ was needed than ½·exp(−Eb/2N₀) needs for as many errors, dB. */
  lossDb: number;
}

/** Sends random bits through white noise and compares the energies of the two tones bit by bit. */
export function measureBitErrors({ shiftHz, ebN0Db, bits, seed }: BitErrorJob): BitErrors {
  const plan = BAND_PLANS['mf-hf'];
  const sent = randomBits(createChoices(seed), bits + 2 * EDGE);
  const modulation = { baud: BAUD, shiftHz, centreHz: 1700 };
  const audio = applyChannel(modulate(sent, { sampleRate: SAMPLE_RATE, modulation, rampBits: 0 }), {
    sampleRate: SAMPLE_RATE,
    signalLevelDb: SIGNAL_LEVEL_DB,
    seed,
    stages: [{ kind: 'noise', ebN0Db, bitRate: BAUD }],
  });
  const baseband = createBaseband({ ...plan, sampleRate: SAMPLE_RATE, decimation: 2 * plan.decimation })(
    audio,
    modulation.centreHz,
  );
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
