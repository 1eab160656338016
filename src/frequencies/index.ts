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
export { bandOf, maritimeBand, type MaritimeBand } from '../calls/index.js';
export { formatFrequency } from './bands.js';
export { assignedFrequency, dialFrequency } from './dial.js';
export {
  DISTRESS_FREQUENCIES,
  DSC_FREQUENCIES,
  VHF_DSC_HZ,
  dscFrequencyAt,
  type DistressFrequency,
  type DscFrequency,
  type DscUse,
} from './dsc.js';
export { followUp, followUpOf, followUpRequest, type FollowUp, type FollowUpRequest } from './followup.js';
export { outlineCall, type CallOutline } from './outline.js';
export type { Provenance } from './provenance.js';
export {
  checkFrequency,
  suggestFrequencies,
  type FrequencySuggestion,
  type FrequencyWarning,
} from './suggest.js';
export { answerFrequency, isInPlace } from './uses.js';
export { isFollowed } from './followed.js';
export {
  SHIP_TO_SHIP_FREQUENCIES,
  TELEPHONY_CHANNELS,
  telephonyChannel,
  type ShipToShipFrequency,
  type TelephonyChannel,
} from './telephony.js';
export { parseFrequency, parseTimeOfDay, parseWorkingChannel } from './typed.js';
export { VHF_CHANNELS, vhfChannel, vhfChannelsAt, type VhfChannel } from './vhf.js';
