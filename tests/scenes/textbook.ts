/**
 * The textbook receiver, the baseline: tone energies with timing, clock and centre known, hard bits, the ten-unit
 * check, DX else RX, the error check.
 */
import { readSequences } from '../../src/frames/index.js';
import { createBasebandFilter, createResampler } from '../../src/dsp/index.js';
import { bitEnergy, integrateTone } from '../../src/modem/internal.js';
import { BAND_PARAMETERS, WORKING_PASS, WORKING_RATE } from '../../src/receiver/bandparameters.js';

const PLAN = BAND_PARAMETERS['mf-hf'];

/** What the textbook receiver is told. */
export interface Known {
  sampleRate: number;
  /** Seconds to the first bit. */
  start: number;
  /** Bits per second as received. */
  baud: number;
  /** Hertz midway between the tones as received. */
  centreHz: number;
  /** Bits to read. */
  bits: number;
}

/** The characters of every call whose error check agrees. */
export function readByTextbook(audio: Float32Array, known: Known): number[][] {
  const resampler = createResampler({
    from: known.sampleRate,
    to: WORKING_RATE,
    pass: WORKING_PASS,
    stop: 3900,
  });
  const baseband = createBasebandFilter({ ...PLAN, sampleRate: WORKING_RATE }).apply(
    resampler.push(audio),
    known.centreHz,
  );
  const half = PLAN.modulation.shiftHz / 2;
  const b = integrateTone(baseband, known.centreHz + half);
  const y = integrateTone(baseband, known.centreHz - half);
  const timing = { start: known.start * baseband.rate, samplesPerBit: baseband.rate / known.baud };
  const bits = Uint8Array.from({ length: known.bits }, (_, bit) =>
    bitEnergy(y, timing, bit) > bitEnergy(b, timing, bit) ? 1 : 0,
  );
  return readSequences(bits).flatMap((reading) =>
    reading.checked && reading.symbols ? [[...reading.symbols]] : [],
  );
}
