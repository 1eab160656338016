/**
 * What the search looks at: for every centre and every third of a bit how much more power the upper tone has than
 * the lower one, and how well that agrees with the DX phasing characters, alone and repeated.
 *
 * The contrast (upper − lower) / (upper + lower) of two tone powers is uniform on −1…1 in white noise, whatever
 * the level, so that the sum over n known bits has the variance n / 3 and thresholds are set in its deviations.
 */
import { WORKING_RATE, type BandParameters, type Repetition } from '../bandparameters.js';
import { createPlainRows } from './plainrows.js';
import {
  DX_ROWS,
  KEPT_BITS,
  KEPT_ROWS_STRIDE,
  LEAST_ACTIVITY,
  LEAST_DOTTED,
  LEAST_FIVE,
  LEAST_FIVE_DOTTED,
  LEAST_RUN,
  LEAST_THREE,
  LEAST_THREE_DOTTED,
  RECENT_ROWS,
} from './rowconstants.js';
import type { RowSettings } from './rowsettings.js';
import { createVectorRows } from './vectorrows.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** Rows whose limited runs can be looked back upon where attempts are searched for: five sendings. A power of two. */
const ATTEMPT_ROWS = 1 << 14;

/** Numbers that a vector instruction takes at once. */
const LANES = 4;

/** Place of the first number: what lies before it is the compiler's. */
const FIRST_PLACE = 1024;

/** Rows that one step may take: an even number. */
const MOST_ROWS = 64;

/** The mean magnitude of contrasts in noise. */
const NOISE_ACTIVITY = 0.5;

/** What is kept of the latest rows; a row is a third of a bit. */
export interface Rows {
  /** Whether vector instructions compute them. */
  readonly isVectorised: boolean;
  /** Samples a row takes. */
  readonly hop: number;
  /** How many centres there are; the lower tones of neighbours lie one tone apart. */
  readonly width: number;
  /** Rows so far. */
  readonly count: number;
  /** Takes as many whole rows of the samples as one step may. Returns how many. */
  take(samples: Float32Array): number;
  /** For each row of the latest step what is to be looked at in it: bits of `Look`. */
  readonly looks: Int32Array;
  /** The contrast of each of the latest rows and centre, positive for B. */
  readonly contrasts: Float32Array;
  /** The correlation with the six DX phasing characters, were the last of them to end with the row. */
  readonly runs: Float32Array;
  /** Where a row begins in both. */
  readonly rowOf: (row: number) => number;
  /**
   * The contrasts of as many rows as five sendings take, where attempts are searched for: those of a centre and a third
   * of a bit are a ring of `KEPT_BITS`, and `keptBitsOf` tells where it begins.
   */
  readonly keptContrasts: Float32Array;
  readonly keptBitsOf: (centre: number, row: number) => number;
  /** The correlation with the dots before those; 0 where no attempts are searched for. */
  dotsBefore(row: number, centre: number): number;
  /** The centres at which that run, by itself or with its dots, is likely enough to be looked at. */
  likelyRuns(row: number): number[];
  /** The centres at which single bits can be trusted, by the rows of the same third of a bit up to this one. */
  trusted(row: number): number[];
  /** The centres at which an attempt is likely whose latest run of DX characters ends with the row; `way` counts the band's repetitions. */
  repeated(row: number, way: number): number[];
  /** The amplitude of the upper tone less that of the lower one, for rows of the last ten characters of phasing. */
  difference(row: number, centre: number): number;
  /** Hertz midway between the tones. */
  centreHz(centre: number): number;
}

const padded = (length: number) => LANES * Math.ceil(length / LANES);

/** Lays out what is kept. Returns the settings and how many 32-bit numbers it takes. */
function layOut(
  parameters: BandParameters,
  tones: number,
  width: number,
  upperAt: number,
): [RowSettings, number] {
  const hop = parameters.bitSamples / WINDOWS_PER_BIT;
  const [plain, dotted] = parameters.repetitions as readonly (Repetition | undefined)[];
  const withAttempts = plain !== undefined && dotted !== undefined;
  const keptRows = withAttempts ? ATTEMPT_ROWS : 0;
  const stride = padded(width);
  const toneStride = 2 * padded(Math.max(tones, upperAt + stride) / 2);
  let end = FIRST_PLACE;
  const room = (length: number) => {
    const at = end;
    end += padded(length);
    return at;
  };
  const settings = {
    hop,
    toneStride,
    stride,
    width,
    upperAt,
    keptMask: ATTEMPT_ROWS - 1,

    samples: room(MOST_ROWS * hop),
    folded: room(2 * hop),
    waves: room(hop * toneStride),
    turns: room(2 * toneStride),
    thirds: room(2 * (WINDOWS_PER_BIT - 1 + MOST_ROWS) * toneStride),
    powers: room(RECENT_ROWS * toneStride),
    contrasts: room(RECENT_ROWS * stride),
    characters: room(RECENT_ROWS * stride),
    runs: room(RECENT_ROWS * stride),
    activity: room(RECENT_ROWS * stride),
    dots: room(RECENT_ROWS * stride),
    limited: room(keptRows * stride),
    limitedDotted: room(keptRows * stride),
    keptContrasts: room(withAttempts ? stride * KEPT_ROWS_STRIDE : 0),
    looks: room(MOST_ROWS),

    withAttempts: Number(withAttempts),
    lag: WINDOWS_PER_BIT * (plain?.bits ?? 0),
    lagDotted: WINDOWS_PER_BIT * (dotted?.bits ?? 0),
  };
  return [settings, end];
}

/** Fills in the waves that tones are measured with, and the mean of contrasts before the first. */
function fillIn(numbers: Float32Array, settings: RowSettings, cyclesPerSample: readonly number[]): void {
  const { hop, toneStride, stride, waves, turns, activity } = settings;
  cyclesPerSample.forEach((cycles, tone) => {
    const turn = 2 * Math.PI * cycles;
    for (let n = 0; n < hop / 2; n++) {
      const at = waves + 2 * n * toneStride + tone;
      numbers[at] = Math.cos(turn * (n + 0.5));
      numbers[at + toneStride] = -Math.sin(turn * (n + 0.5));
    }
    numbers[turns + tone] = Math.cos(turn * hop);
    numbers[turns + toneStride + tone] = Math.sin(turn * hop);
  });
  numbers.fill(NOISE_ACTIVITY, activity, activity + RECENT_ROWS * stride);
}

/**
 * @param parameters - the modulation looked for
 * @param centres - the lowest and the highest centre, hertz
 * @param isPlain - whether to do without vector instructions where the machine has them
 */
export function createRows(
  parameters: BandParameters,
  centres: readonly [number, number],
  isPlain = false,
): Rows {
  const { tonesPerShift } = parameters;
  const spacing = WORKING_RATE / parameters.period;
  const toneAt = (centreHz: number) => (centreHz - parameters.modulation.shiftHz / 2) / spacing;
  // Every centre lies within half a tone of one that is watched.
  const lowest = Math.max(1, Math.floor(toneAt(centres[0]) + 0.5));
  const width = Math.max(1, Math.ceil(toneAt(centres[1]) - 0.5) - lowest + 1);
  const range = (from: number, count: number) => Array.from({ length: count }, (_, i) => from + i);
  // Few centres leave a gap between their lower tones and their upper ones.
  const upperAt = Math.min(tonesPerShift, width);
  const tones = [...range(lowest, upperAt), ...range(lowest + tonesPerShift, width)];
  const [settings, length] = layOut(parameters, tones.length, width, upperAt);
  const vector = isPlain ? undefined : createVectorRows(settings, 4 * length);
  const buffer = vector?.buffer ?? new ArrayBuffer(4 * length);
  const takeRows = vector?.take ?? createPlainRows(buffer, settings);
  const numbers = new Float32Array(buffer);
  fillIn(
    numbers,
    settings,
    tones.map((tone) => tone / parameters.period),
  );

  const part = (at: number, rows: number) => numbers.subarray(at, at + rows * settings.stride);
  const { hop, toneStride, stride, keptMask, samples: input } = settings;
  const keptOf = (row: number) => (row & keptMask) * stride;
  const recentOf = (row: number) => (row & (RECENT_ROWS - 1)) * stride;
  const limited = part(settings.limited, settings.withAttempts * ATTEMPT_ROWS);
  const limitedDotted = part(settings.limitedDotted, settings.withAttempts * ATTEMPT_ROWS);
  const dotsBefore = (row: number, centre: number) =>
    numbers[settings.dots + recentOf(row - DX_ROWS) + centre];
  let count = 0;

  return {
    isVectorised: vector !== undefined,
    hop,
    width,
    get count() {
      return count;
    },
    take(samples) {
      const rows = Math.min(MOST_ROWS, Math.floor(samples.length / hop));
      numbers.set(samples.subarray(0, rows * hop), input);
      takeRows(count, rows);
      count += rows;
      return rows;
    },
    looks: new Int32Array(buffer, 4 * settings.looks, MOST_ROWS),
    contrasts: part(settings.contrasts, RECENT_ROWS),
    runs: part(settings.runs, RECENT_ROWS),
    rowOf: recentOf,
    keptContrasts: part(settings.keptContrasts, settings.withAttempts * KEPT_ROWS_STRIDE),
    keptBitsOf(centre, row) {
      // Also before the first row, where all is 0.
      const third = (row + WINDOWS_PER_BIT * KEPT_BITS) % WINDOWS_PER_BIT;
      return centre * KEPT_ROWS_STRIDE + third * KEPT_BITS;
    },
    dotsBefore,
    likelyRuns(row) {
      const runs = settings.runs + recentOf(row);
      const dots = settings.dots + recentOf(row - DX_ROWS);
      const likely: number[] = [];
      for (let centre = 0; centre < width; centre++) {
        const run = numbers[runs + centre];
        if (Math.abs(run) >= LEAST_RUN || Math.abs(run + numbers[dots + centre]) >= LEAST_DOTTED)
          likely.push(centre);
      }
      return likely;
    },
    trusted(row) {
      const activity = settings.activity + recentOf(row);
      const trusted: number[] = [];
      for (let centre = 0; centre < width; centre++)
        if (numbers[activity + centre] >= LEAST_ACTIVITY) trusted.push(centre);
      return trusted;
    },
    repeated(row, way) {
      const { bits } = parameters.repetitions[way];
      const latest = way > 0 ? limitedDotted : limited;
      const [three, five] = way > 0 ? [LEAST_THREE_DOTTED, LEAST_FIVE_DOTTED] : [LEAST_THREE, LEAST_FIVE];
      const lag = WINDOWS_PER_BIT * bits;
      const a = keptOf(row);
      const b = keptOf(row - lag);
      const c = keptOf(row - 2 * lag);
      const d = keptOf(row - 3 * lag);
      const e = keptOf(row - 4 * lag);
      const likely: number[] = [];
      for (let centre = 0; centre < width; centre++) {
        const sum = latest[a + centre] + latest[b + centre] + latest[c + centre];
        const all = sum + latest[d + centre] + limitedDotted[e + centre];
        if (sum * sum > three || all * all > five) likely.push(centre);
      }
      return likely;
    },
    difference(row, centre) {
      const at = settings.powers + (row & (RECENT_ROWS - 1)) * toneStride + centre;
      return Math.sqrt(numbers[at + upperAt]) - Math.sqrt(numbers[at]);
    },
    centreHz: (centre) => (lowest + centre + tonesPerShift / 2) * spacing,
  };
}
