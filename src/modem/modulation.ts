/**
 * The two modulations of DSC: ITU-R M.493 Annex 1 §1.3 (from memory).
 */
import { DotphaseError, requireNumber } from '../errors.js';
import { BIT_RATE, type Band } from '../symbols/index.js';

/** A binary FSK with continuous phase. */
export interface Modulation {
  /** Bits per second. */
  readonly baud: number;
  /** Hertz between the two tones; B is the higher, Y the lower. */
  readonly shiftHz: number;
  /** Hertz midway between the tones where the standard puts them. */
  readonly centreHz: number;
}

/** F1B/J2B at 100 Bd (1615 and 1785 Hz) and the VHF subcarrier at 1200 Bd (1300 and 2100 Hz). */
export const MODULATIONS: Readonly<Record<Band, Modulation>> = {
  'mf-hf': { baud: BIT_RATE['mf-hf'], shiftHz: 170, centreHz: 1700 },
  vhf: { baud: BIT_RATE.vhf, shiftHz: 800, centreHz: 1700 },
};

/** The lowest and the highest sample rate the modem works at, in hertz. */
export const SAMPLE_RATES = { lowest: 8000, highest: 192_000 } as const;

/** Returns the sample rate or throws a DotphaseError unless it lies within {@link SAMPLE_RATES}. */
export function requireSampleRate(sampleRate: unknown): number {
  return requireNumber('sampleRate', sampleRate, SAMPLE_RATES.lowest, SAMPLE_RATES.highest, 'Hz');
}

/** Returns the centre or throws a DotphaseError unless both tones lie between 0 and half the sample rate. */
export function requireCentre(centreHz: unknown, modulation: Modulation, sampleRate: number): number {
  const half = modulation.shiftHz / 2;
  const highest = sampleRate / 2 - half;
  if (typeof centreHz !== 'number' || !(centreHz > half && centreHz < highest)) {
    throw new DotphaseError(
      'centreHz',
      centreHz,
      `a centre between ${half} and ${highest} Hz, so that both tones fit`,
    );
  }
  return centreHz;
}
