/**
 * The frequencies of maritime DSC, what they are for and what follows on them.
 */
export { formatFrequency, maritimeBand, parseFrequency, type MaritimeBand } from './bands.js';
export * from './dial.js';
export * from './dsc.js';
export * from './followup.js';
export * from './outline.js';
export type * from './provenance.js';
export * from './suggest.js';
export * from './telephony.js';
export * from './vhf.js';
