/**
 * What the tones of one slot say, where they say it surely enough to be shown while the call still comes in.
 *
 * In noise, and in fading, the energy of a tone has an exponential density: of mean N where it was not sent, of mean
 * N + S where it was (Proakis, Digital Communications, square-law detection in Rayleigh fading). S and N are measured
 * on the phasing, whose characters are known.
 */
import { bitsToSymbol, symbolToBits } from 'dotphase';
import { phasingSymbol } from 'dotphase/frames';
import type { ToneEnergies } from 'dotphase/pictures';

/** Mean energies of a bit's tone. */
export interface SlotLevels {
  /** Of the tone that was sent, less the noise. */
  readonly signal: number;
  /** Of either tone, from noise alone. */
  readonly noise: number;
}

/** Noise is never taken to be less than this share of the signal. */
const LEAST_NOISE = 0.01;

/** A character is shown from this certainty on: no later one makes up for it yet, as repetition and error check will. */
const LEAST_CERTAINTY = 0.99;

const WORDS = Array.from({ length: 128 }, (_, symbol) => symbolToBits(symbol));

/** Which share of one tone's energy comes into the other's matched filter over one bit. */
export function overlapOf(shiftHz: number, baud: number): number {
  const turn = (Math.PI * shiftHz) / baud;
  return (Math.sin(turn) / turn) ** 2;
}

/**
 * The levels by the slots of the phasing; undefined where no signal stands out.
 *
 * @param slots - the first of them is slot 0
 * @param overlap - from {@link overlapOf}
 */
export function levelsByPhasing(slots: readonly ToneEnergies[], overlap: number): SlotLevels | undefined {
  let [sent, other, count] = [0, 0, 0];
  slots.forEach(({ b, y }, slot) => {
    const symbol = phasingSymbol(slot);
    if (symbol === undefined) return;
    WORDS[symbol].forEach((bit, i) => {
      sent += bit === 1 ? y[i] : b[i];
      other += bit === 1 ? b[i] : y[i];
      count++;
    });
  });
  if (!(sent > other)) return undefined;
  const noise = Math.max((other - overlap * sent) / (1 - overlap), LEAST_NOISE * sent) / count;
  return { signal: sent / count - noise, noise };
}

/** The symbol of a slot; undefined where its check bits disagree or the tones do not say it for certain. */
export function readSlot({ b, y, bits }: ToneEnergies, { signal, noise }: SlotLevels): number | undefined {
  const symbol = bitsToSymbol(bits, 0);
  if (symbol === undefined) return undefined;
  const slope = signal / (noise * (noise + signal));
  const cost = Math.log(1 + signal / noise);
  /** ln of how much likelier a word makes the energies than noise alone. */
  const evidence = WORDS.map((word) =>
    word.reduce((sum, bit, i) => sum + slope * (bit === 1 ? y[i] : b[i]) - cost, 0),
  );
  const nothing = Math.log(WORDS.length);
  const highest = Math.max(nothing, ...evidence);
  const total = [nothing, ...evidence].reduce((sum, each) => sum + Math.exp(each - highest), 0);
  return Math.exp(evidence[symbol] - highest) / total >= LEAST_CERTAINTY ? symbol : undefined;
}
