/**
 * Frequencies: those of maritime DSC, what they are for, and what follows on voice (ITU-R M.541, Radio Regulations
 * Appendices 15, 17, 18).
 *
 * @example
 * ```ts
 * import { followUp, followUpRequest } from 'dotphase/frequencies';
 *
 * const alert = {
 *   kind: 'distressAlert',
 *   self: '299123456',
 *   nature: 'sinking',
 *   position: 'none',
 *   time: 'none',
 *   followOn: 'j3e',
 * } as const;
 * console.log(followUp(followUpRequest(alert, 8_414_500)).text); // voice (J3E) on 8291.0 kHz
 * ```
 *
 * @packageDocumentation
 */
export { maritimeBand, type MaritimeBand } from '../calls/index.js';
export { formatFrequency } from './bands.js';
export * from './dial.js';
export * from './dsc.js';
export * from './followup.js';
export * from './outline.js';
export type * from './provenance.js';
export * from './suggest.js';
export * from './uses.js';
export { isFollowed } from './followed.js';
export * from './telephony.js';
export * from './typed.js';
export * from './vhf.js';
