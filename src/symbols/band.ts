/**
 * The two radios that carry DSC: ITU-R M.493 Annex 1 §1.3.
 */

/** Which radio carries a call: it decides bit rate, tones and dot pattern. */
export type Band = 'mf-hf' | 'vhf';

/** Bits per second of each band's DSC (M.493 §1.3; VEPIRB for VHF). */
export const BIT_RATE: Readonly<Record<Band, number>> = { 'mf-hf': 100, vhf: 1200 };
