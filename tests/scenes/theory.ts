/** Closed forms that measurements are held against: Proakis, Digital Communications, chapter 4. */
import { BITS_PER_SYMBOL } from '../../src/symbols/index.js';

/** Eb/N₀ in dB less the signal-to-noise ratio in 3 kHz, at a bit rate: 14.8 dB at 100 Bd. */
function ebN0OverSnrDb(baud: number): number {
  return 10 * Math.log10(3000 / baud);
}

/** Bit error rate of noncoherent binary FSK with orthogonal tones: ½·exp(−Eb/2N₀). */
export function orthogonalErrorRate(ebN0Db: number): number {
  return 0.5 * Math.exp(-(10 ** (ebN0Db / 10)) / 2);
}

/** The Eb/N₀ in dB at which {@link orthogonalErrorRate} gives a rate. */
export function ebN0OfErrorRate(rate: number): number {
  return 10 * Math.log10(-2 * Math.log(2 * rate));
}

/** exp(−x)·I₀(x), by the integral (1/π)∫exp(x(cos t − 1)) dt. */
function scaledBesselI0(x: number): number {
  const steps = 400;
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += Math.exp(x * (Math.cos((Math.PI * (i + 0.5)) / steps) - 1));
  return sum / steps;
}

/** Marcum's Q₁(a, b), by integrating its definition from 0 to b. */
function marcumQ(a: number, b: number): number {
  const steps = 600;
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const x = (b * (i + 0.5)) / steps;
    sum += x * Math.exp(-((x - a) ** 2) / 2) * scaledBesselI0(a * x);
  }
  return 1 - (sum * b) / steps;
}

/**
 * Bit error rate of noncoherent binary FSK whose tones lie any distance apart (Proakis 4.5-39).
 *
 * @param index - shift over bit rate
 */
export function fskErrorRate(ebN0Db: number, index: number): number {
  const correlation = Math.abs(Math.sin(Math.PI * index) / (Math.PI * index));
  const half = 10 ** (ebN0Db / 10) / 2;
  const a = Math.sqrt(half * (1 - Math.sqrt(1 - correlation ** 2)));
  const b = Math.sqrt(half * (1 + Math.sqrt(1 - correlation ** 2)));
  return marcumQ(a, b) - 0.5 * Math.exp(-((b - a) ** 2) / 2) * scaledBesselI0(a * b);
}

/**
 * Share of calls that a receiver by the textbook reads right in white noise, timing known: every one of its
 * characters must read in DX or in RX. Errors that the ten-unit check misses are left out.
 *
 * @param characters - that must read: both format specifiers through the error check
 */
export function textbookDecodeRate(snrDb: number, characters: number, baud = 100, shiftHz = 170): number {
  const bitError = fskErrorRate(snrDb + ebN0OverSnrDb(baud), shiftHz / baud);
  const character = (1 - bitError) ** BITS_PER_SYMBOL;
  return (1 - (1 - character) ** 2) ** characters;
}

/** The lowest ratio from which on at least such a share is decoded, interpolated between the points measured. */
export function crossing(points: readonly { snrDb: number; share: number }[], share: number): number {
  const sorted = [...points].sort((a, b) => b.snrDb - a.snrDb);
  if (sorted.length === 0 || sorted[0].share < share) return NaN;
  for (let i = 1; i < sorted.length; i++) {
    const [above, below] = [sorted[i - 1], sorted[i]];
    if (below.share >= share) continue;
    return below.snrDb + ((above.snrDb - below.snrDb) * (share - below.share)) / (above.share - below.share);
  }
  return sorted[sorted.length - 1].snrDb;
}
