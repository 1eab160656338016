/**
 * Channels that calls may propose: Radio Regulations Appendices 17 and 18 (from memory).
 */

/** Telephony channels of RR Appendix 17 begin with the megahertz of their band. */
const CHANNEL_BANDS = [4, 6, 8, 12, 16, 18, 22, 25];

/** Whether a number can be a telephony channel of RR Appendix 17. */
export function isTelephonyChannel(channel: number): boolean {
  return channel % 100 !== 0 && CHANNEL_BANDS.includes(Math.floor(channel / 100));
}

/** Whether a number is a VHF channel of RR Appendix 18. */
export function isVhfChannel(channel: number): boolean {
  return (channel >= 1 && channel <= 28) || (channel >= 60 && channel <= 88);
}

/** The VHF channel that is set apart for digital selective calling. */
export const DSC_CHANNEL = 70;
