/**
 * What the receiver needs of the modem beyond its public face: energies, soft bits and the phase trellis.
 */
export {
  bitEnergy,
  bitOutputs,
  integrateTone,
  timingMetric,
  type BitTiming,
  type ToneIntegral,
  type ToneOutputs,
} from './energies.js';
export { bitLikelihoods, estimateLevels, robustLlr, upperProbability } from './likelihood.js';
export { requireSampleRate } from './modulation.js';
export { trackPhase } from './phasetrellis.js';
