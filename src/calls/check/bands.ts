/**
 * The maritime mobile bands: Radio Regulations Article 5 and Appendices 17 and 18 (from memory, generous at the
 * edges), and the channels in them.
 */

/** Which radio carries a call. */
export type Band = 'mf-hf' | 'vhf';

/** Lowest and highest frequency of each maritime band, hertz. */
const EDGES: Readonly<Record<Band, readonly (readonly [number, number])[]>> = {
  'mf-hf': [
    [415_000, 526_500],
    [1_605_000, 4_438_000],
    [6_200_000, 6_525_000],
    [8_100_000, 8_815_000],
    [12_230_000, 13_200_000],
    [16_360_000, 17_410_000],
    [18_780_000, 18_900_000],
    [19_680_000, 19_800_000],
    [22_000_000, 22_855_000],
    [25_070_000, 25_210_000],
    [26_100_000, 26_175_000],
  ],
  vhf: [[156_000_000, 162_050_000]],
};

/** Whether a frequency lies in a maritime band of MF and HF, or of VHF. */
export function isBand(band: Band, hz: number): boolean {
  return EDGES[band].some(([lowest, highest]) => hz >= lowest && hz <= highest);
}

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
