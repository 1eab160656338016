/**
 * The frequencies that DSC is sent on: FCC80 (47 CFR Part 80) §80.359 and §80.1077; ITU-R M.541 Annex 5 (Annex 4 in
 * M.541-7 and before) and Radio Regulations Appendices 15 and 17 (from memory).
 */
import { type MaritimeBand } from '../calls/index.js';
import { requireNumber } from '../errors.js';
import { requireFrequency } from './bands.js';
import type { Provenance } from './provenance.js';

/** A distress and safety DSC frequency with the frequencies that traffic follows on. */
export interface DistressFrequency extends Provenance {
  /** The band all of them lie in. */
  readonly band: MaritimeBand;
  /** Assigned frequency, hertz. */
  readonly dscHz: number;
  /** Radiotelephony: carrier frequency on MF and HF, channel frequency on VHF; hertz. */
  readonly voiceHz: number;
  /**
   * Narrow-band direct printing, assigned frequency, hertz; none on VHF. No longer required in the GMDSS (IMO
   * MSC.496(105), in force 2024): WRC-23 gives these frequencies to the automatic connection system.
   */
  readonly nbdpHz?: number;
}

const distress = (
  band: MaritimeBand,
  dscKhz: number,
  voiceKhz: number,
  nbdpKhz: number,
): DistressFrequency => ({
  band,
  dscHz: dscKhz * 1000,
  voiceHz: voiceKhz * 1000,
  nbdpHz: nbdpKhz * 1000,
  source: 'FCC80 §80.1077; ITU-R M.541 Annex 5, Radio Regulations Appendix 15 (from memory)',
  certainty: 'established',
});

/** VHF channel 70, hertz (Radio Regulations Appendix 18, from memory). */
export const VHF_DSC_HZ = 156_525_000;

/** The distress and safety frequencies, VHF first, then upwards (FCC80 §80.1077). */
export const DISTRESS_FREQUENCIES: readonly DistressFrequency[] = [
  {
    band: 'VHF',
    dscHz: VHF_DSC_HZ,
    voiceHz: 156_800_000,
    source: 'FCC80 §80.1077; ITU-R M.541 Annex 5, Radio Regulations Appendices 15 and 18 (from memory)',
    certainty: 'established',
  },
  distress('2 MHz', 2187.5, 2182, 2174.5),
  distress('4 MHz', 4207.5, 4125, 4177.5),
  distress('6 MHz', 6312, 6215, 6268),
  distress('8 MHz', 8414.5, 8291, 8376.5),
  distress('12 MHz', 12577, 12290, 12520),
  distress('16 MHz', 16804.5, 16420, 16695),
];

/** What a DSC frequency is for. */
export type DscUse = 'distressAndSafety' | 'shipToShip' | 'shipToCoast' | 'coastToShip';

/** A frequency that DSC is sent on. */
export interface DscFrequency extends Provenance {
  /** Assigned frequency, hertz. */
  readonly hz: number;
  /** The band it lies in. */
  readonly band: MaritimeBand;
  /** Every use it is for. */
  readonly uses: readonly DscUse[];
  /** Whether a frequency is the same the world over, or one of a band's two regional pairs (FCC80 §80.359). */
  readonly scope: 'worldwide' | 'regional';
  /** The frequency the answer comes back on where it is another one; hertz. */
  readonly pairHz?: number;
}

const ROUTINE_SOURCE = 'FCC80 §80.359; Radio Regulations Appendix 17 (from memory)';

/** First pair of each HF band in kilohertz, worldwide: ships send on the first, coast stations on the second. */
const HF_PAIRS: readonly (readonly [MaritimeBand, ship: number, coast: number])[] = [
  ['4 MHz', 4208, 4219.5],
  ['6 MHz', 6312.5, 6331],
  ['8 MHz', 8415, 8436.5],
  ['12 MHz', 12577.5, 12657],
  ['16 MHz', 16805, 16903],
  ['18/19 MHz', 18898.5, 19703.5],
  ['22 MHz', 22374.5, 22444],
  ['25/26 MHz', 25208.5, 26121],
];

/** Two regional pairs follow each worldwide one, 0.5 kHz apart (FCC80 §80.359). */
const REGIONAL_STEP_KHZ = 0.5;
const REGIONAL_PAIRS = 2;

function hfPairs(): DscFrequency[] {
  return HF_PAIRS.flatMap(([band, ship, coast]) =>
    Array.from({ length: 1 + REGIONAL_PAIRS }, (_, step): DscFrequency[] => {
      const shipHz = (ship + step * REGIONAL_STEP_KHZ) * 1000;
      const coastHz = (coast + step * REGIONAL_STEP_KHZ) * 1000;
      const shared = {
        band,
        scope: step === 0 ? ('worldwide' as const) : ('regional' as const),
        source: ROUTINE_SOURCE,
        certainty: 'established' as const,
      };
      return [
        { hz: shipHz, uses: ['shipToCoast'], pairHz: coastHz, ...shared },
        { hz: coastHz, uses: ['coastToShip'], pairHz: shipHz, ...shared },
      ];
    }).flat(),
  );
}

/** Every DSC frequency known here: distress and safety, then routine upwards, worldwide before regional. */
export const DSC_FREQUENCIES: readonly DscFrequency[] = [
  ...DISTRESS_FREQUENCIES.map(({ band, dscHz, source, certainty }): DscFrequency => ({
    hz: dscHz,
    band,
    uses:
      band === 'VHF'
        ? ['distressAndSafety', 'shipToShip', 'shipToCoast', 'coastToShip']
        : ['distressAndSafety'],
    scope: 'worldwide',
    source,
    certainty,
  })),
  {
    hz: 2_177_000,
    band: '2 MHz',
    uses: ['shipToShip', 'coastToShip'],
    scope: 'worldwide',
    pairHz: 2_189_500,
    source: ROUTINE_SOURCE,
    certainty: 'established',
  },
  {
    hz: 2_189_500,
    band: '2 MHz',
    uses: ['shipToCoast'],
    scope: 'worldwide',
    pairHz: 2_177_000,
    source: ROUTINE_SOURCE,
    certainty: 'established',
  },
  {
    hz: 455_500,
    band: '0.5 MHz',
    uses: ['coastToShip'],
    scope: 'worldwide',
    pairHz: 458_500,
    source: ROUTINE_SOURCE,
    certainty: 'established',
  },
  {
    hz: 458_500,
    band: '0.5 MHz',
    uses: ['shipToCoast'],
    scope: 'worldwide',
    pairHz: 455_500,
    source: ROUTINE_SOURCE,
    certainty: 'established',
  },
  ...hfPairs().sort((a, b) => Number(a.scope === 'regional') - Number(b.scope === 'regional') || a.hz - b.hz),
];

/**
 * The DSC frequency at `hz`, or undefined where none is known here.
 *
 * @param hz - assigned frequency, whole hertz
 * @param withinHz - how far off it may be, 0–250 Hz (routine frequencies stand 500 Hz apart); default 0
 * @throws DotphaseError for a frequency outside 400 kHz to 200 MHz or a bad distance
 */
export function dscFrequencyAt(hz: number, withinHz = 0): DscFrequency | undefined {
  requireFrequency('frequency', hz);
  requireNumber('withinHz', withinHz, 0, 250, 'Hz');
  let best: DscFrequency | undefined;
  for (const candidate of DSC_FREQUENCIES) {
    const distance = Math.abs(candidate.hz - hz);
    if (distance <= withinHz && (!best || distance < Math.abs(best.hz - hz))) best = candidate;
  }
  return best;
}
