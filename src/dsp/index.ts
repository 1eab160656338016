/**
 * Signal processing on plain numbers: resampling, windows and filters, rotation, keyed tones, seeded random streams.
 * Knows nothing of DSC.
 */
export { AnalyticSignal } from './analytic.js';
export { BandPass } from './bandpass.js';
export { createBasebandFilter, type Baseband, type BasebandFilter, type KnownBaseband } from './baseband.js';
export { logBesselI0, scaledBesselI0 } from './bessel.js';
export { designLowPass, type LowPass } from './filterdesign.js';
export { FskPhase } from './fsk.js';
export { dbToAmplitude } from './level.js';
export { LINE_SLACK, Line } from './line.js';
export { joinSamples, median } from './lists.js';
export { Random, seedFor, unitInterval } from './random.js';
export { createResampler, type Resampler } from './resample.js';
export { Rotor } from './rotor.js';
export { SINC_REACH, SincReader } from './sinc.js';
export { createVectorModule } from './vectormodule.js';
export { isFloat32Array, isUint8Array } from './typedarrays.js';
