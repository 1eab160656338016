/**
 * What the arithmetic of the search works by that hangs on what is searched for: where its rows lie in memory and how
 * long they are. Flat numbers, for the vectorised arithmetic has each as a global of the same name. The others stand in
 * `rowconstants.ts`.
 */

/** Bits of `looks`: what in a row asks for a closer look. */
export const Look = {
  /** A run of DX characters that ended `DX_LEAD` rows before, by itself or with the dots before it. */
  run: 1,
  /** Contrasts so clear that single bits can be trusted. */
  characters: 2,
  /** Sendings that repeat without dots between, the run of DX characters of the latest `BEHIND_DX` rows before. */
  repeated: 4,
  /** The same with dots between. */
  repeatedDotted: 8,
} as const;

/** Places are indexes among the 32-bit numbers of the memory; masks are one less than a power of two of rows. */
export interface RowSettings {
  /** Samples a row takes, a third of a bit: an even number. */
  readonly hop: number;
  /** Numbers in a row of tones, a multiple of eight, and in a row of centres, a multiple of four. */
  readonly toneStride: number;
  readonly stride: number;
  /** Centres; the lower tone of centre n is tone n, the upper one tone n + `upperAt`. */
  readonly width: number;
  readonly upperAt: number;
  /** Of the rows over which attempts are searched for. */
  readonly keptMask: number;

  /** Samples of the rows that a step takes. */
  readonly samples: number;
  /** Sums and differences of the samples of one row or two about its middle, in turn. */
  readonly folded: number;
  /** For each of those, cosines and sines of all tones. */
  readonly waves: number;
  /** Cosines and sines of what each tone turns in a row. */
  readonly turns: number;
  /** Sums over each row of a step and the two before it, real and imaginary parts of all tones. */
  readonly thirds: number;
  /** Power of each tone in the bit that ends with a row. */
  readonly powers: number;
  /** Contrast of each centre. */
  readonly contrasts: number;
  /** Agreement with one DX phasing character, and with six of them. */
  readonly characters: number;
  readonly runs: number;
  /** Running means of the contrasts' magnitudes, for each third of a bit. */
  readonly activity: number;
  /** Agreement with the dots before a phasing. */
  readonly dots: number;
  /** The runs, and the runs with the dots before them; neither above what one sending may count for. */
  readonly limited: number;
  readonly limitedDotted: number;
  /** The contrasts of all those rows again, centre by centre, so that what is known of one lies close together. */
  readonly keptContrasts: number;
  /** For each row of a step the bits of {@link Look}. */
  readonly looks: number;

  /** 1 where attempts are searched for as a whole, else 0 and nothing below is used. */
  readonly withAttempts: number;
  /** Rows from one sending to the next, without dots between and with them. */
  readonly lag: number;
  readonly lagDotted: number;
}

/** Takes rows from the samples in memory: as many as given, from row `from` on. */
export type TakeRows = (from: number, count: number) => void;
