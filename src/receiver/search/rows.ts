/**
 * What the search looks at: for every centre and every third of a bit how much more power the upper tone has than
 * the lower one, and how well that agrees with the DX phasing characters, alone and repeated.
 *
 * The contrast (upper − lower) / (upper + lower) of two tone powers is uniform on −1…1 in white noise, whatever
 * the level, so that the sum over n known bits has the variance n / 3 and thresholds are set in its deviations.
 */
import { LONG_DOTS, PHASING_DX_COUNT } from '../../frames/index.js';
import { BITS_PER_SYMBOL } from '../../symbols/index.js';
import { WORKING_RATE, type BandParameters, type Repetition } from '../bandparameters.js';
import { PAIR_BITS, PHASING_BITS, PHASING_SLOTS } from '../phasingsequence.js';
import { createPlainRows } from './plainrows.js';
import type { RowSettings } from './rowsettings.js';
import { createVectorRows } from './vectorrows.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** Rows whose contrasts can be looked back upon: an attempt of five sendings and its dots, or a phasing. Powers of two. */
const ATTEMPT_ROWS = 1 << 14;
const RECENT_ROWS = 1 << 10;

/** Numbers that a vector instruction takes at once. */
const LANES = 4;

/** Place of the first number: what lies before it is the compiler's. */
const FIRST_PLACE = 1024;

/** Rows that one step may take. */
const MOST_ROWS = 64;

/**
 * Weights of the three B and the seven Y of 125, which cancel where all contrasts lean to one side, as they do beside a
 * strong signal.
 */
const B_WEIGHT = 1.4;
const Y_WEIGHT = 0.6;

/** Sum of the squares of a run's weights: as many bits it counts for in noise. */
const DX_WEIGHT = PHASING_DX_COUNT * (3 * B_WEIGHT ** 2 + 7 * Y_WEIGHT ** 2);

/** How far random bits have the sum of so many contrasts stray. */
const deviation = (bits: number) => Math.sqrt(bits / 3);

/** Where the six DX characters are this likely, by themselves or with the dots before them, the whole pattern is looked at. */
const LEAST_RUN = 3.5 * deviation(DX_WEIGHT);
const LEAST_DOTTED = 5 * deviation(DX_WEIGHT + LONG_DOTS);

/** Mean magnitude of contrasts above which single bits can be trusted; 0.5 in noise, 1 without. */
const LEAST_ACTIVITY = 0.72;
const ACTIVITY_SHARE = 1 / 32;
const NOISE_ACTIVITY = 0.5;

/** Rows of one slot. */
export const SLOT_ROWS = WINDOWS_PER_BIT * BITS_PER_SYMBOL;

/** Rows between the end of the last DX phasing character and the end of the phasing. */
export const DX_LEAD = (PHASING_SLOTS - 1 - 2 * (PHASING_DX_COUNT - 1)) * SLOT_ROWS;

/** Bits from the first of the phasing to the end of its last DX character, and rows from there to its end. */
export const DX_BITS = PAIR_BITS * (PHASING_DX_COUNT - 1) + BITS_PER_SYMBOL;
export const BEHIND_DX = WINDOWS_PER_BIT * (PHASING_BITS - DX_BITS);

/** No sending counts for more deviations than this in the search for attempts, so that a strong one alone is not looked at. */
const MOST_OF_ONE = 3.5;

/** Deviations from which an attempt is weighed: about 60 times in a second of noise over the whole passband. */
const LEAST_ATTEMPT = 3.5;

/** The squares of what the sum of three and of five sendings must exceed, with dots before the first or before each. */
const square = (bits: number) => (LEAST_ATTEMPT * deviation(bits)) ** 2;
const LEAST_SUMS = [
  { three: square(3 * DX_WEIGHT), five: square(5 * DX_WEIGHT + LONG_DOTS) },
  { three: square(3 * (DX_WEIGHT + LONG_DOTS)), five: square(5 * (DX_WEIGHT + LONG_DOTS)) },
];

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
  /** The contrast of each row and centre, positive for B; where a row begins. */
  readonly contrasts: Float32Array;
  contrastsOf(row: number): number;
  /** The correlation with the six DX phasing characters, were the last of them to end with the row; where a row begins. */
  readonly runs: Float32Array;
  runsOf(row: number): number;
  /** The correlation with the dots before those; 0 where no attempts are searched for. */
  dotsBefore(row: number, centre: number): number;
  /** Whether that run, by itself or with its dots, is likely enough to be looked at. */
  isRun(row: number, centre: number): boolean;
  /** Whether single bits can be trusted at the centre, by the rows of the same third of a bit up to this one. */
  isTrusted(row: number, centre: number): boolean;
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
  const keptRows = withAttempts ? ATTEMPT_ROWS : RECENT_ROWS;
  const limitedRows = withAttempts ? ATTEMPT_ROWS : 0;
  const stride = padded(width);
  const toneStride = padded(Math.max(tones, upperAt + stride));
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
    keptMask: keptRows - 1,
    recentMask: RECENT_ROWS - 1,

    samples: room(MOST_ROWS * hop),
    folded: room(hop),
    waves: room(hop * toneStride),
    turns: room(2 * toneStride),
    thirds: room(2 * WINDOWS_PER_BIT * toneStride),
    powers: room(RECENT_ROWS * toneStride),
    contrasts: room(keptRows * stride),
    characters: room(RECENT_ROWS * stride),
    runs: room(RECENT_ROWS * stride),
    activity: room(RECENT_ROWS * stride),
    dots: room(RECENT_ROWS * stride),
    limited: room(limitedRows * stride),
    limitedDotted: room(limitedRows * stride),
    looks: room(MOST_ROWS),

    bWeight: B_WEIGHT,
    yWeight: Y_WEIGHT,
    pairRows: 2 * SLOT_ROWS,
    dxCount: PHASING_DX_COUNT,
    dxLead: DX_LEAD,
    leastRun: LEAST_RUN,
    leastDotted: LEAST_DOTTED,
    activityShare: ACTIVITY_SHARE,
    leastActivity: LEAST_ACTIVITY,

    withAttempts: Number(withAttempts),
    dotRows: WINDOWS_PER_BIT * LONG_DOTS,
    dxRows: WINDOWS_PER_BIT * DX_BITS,
    behindDx: BEHIND_DX,
    mostRun: MOST_OF_ONE * deviation(DX_WEIGHT),
    mostDotted: MOST_OF_ONE * deviation(DX_WEIGHT + LONG_DOTS),
    lag: WINDOWS_PER_BIT * (plain?.bits ?? 0),
    lagDotted: WINDOWS_PER_BIT * (dotted?.bits ?? 0),
    leastThree: LEAST_SUMS[0].three,
    leastFive: LEAST_SUMS[0].five,
    leastThreeDotted: LEAST_SUMS[1].three,
    leastFiveDotted: LEAST_SUMS[1].five,
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
  const { hop, toneStride, stride, keptMask, recentMask, samples: input } = settings;
  const contrastsOf = (row: number) => (row & keptMask) * stride;
  const recentOf = (row: number) => (row & recentMask) * stride;
  const limited = part(settings.limited, settings.withAttempts * ATTEMPT_ROWS);
  const limitedDotted = part(settings.limitedDotted, settings.withAttempts * ATTEMPT_ROWS);
  const dotsBefore = (row: number, centre: number) =>
    numbers[settings.dots + recentOf(row - settings.dxRows) + centre];
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
    contrasts: part(settings.contrasts, keptMask + 1),
    contrastsOf,
    runs: part(settings.runs, RECENT_ROWS),
    runsOf: recentOf,
    dotsBefore,
    isRun(row, centre) {
      const run = numbers[settings.runs + recentOf(row) + centre];
      return Math.abs(run) >= LEAST_RUN || Math.abs(run + dotsBefore(row, centre)) >= LEAST_DOTTED;
    },
    isTrusted: (row, centre) => numbers[settings.activity + recentOf(row) + centre] >= LEAST_ACTIVITY,
    repeated(row, way) {
      const { bits } = parameters.repetitions[way];
      const latest = way > 0 ? limitedDotted : limited;
      const { three, five } = LEAST_SUMS[way];
      const sendings = Array.from({ length: 5 }, (_, n) => contrastsOf(row - n * WINDOWS_PER_BIT * bits));
      const [a, b, c, d, e] = sendings;
      const likely: number[] = [];
      for (let centre = 0; centre < width; centre++) {
        const sum = latest[a + centre] + latest[b + centre] + latest[c + centre];
        const all = sum + latest[d + centre] + limitedDotted[e + centre];
        if (sum * sum > three || all * all > five) likely.push(centre);
      }
      return likely;
    },
    difference(row, centre) {
      const at = settings.powers + (row & recentMask) * toneStride + centre;
      return Math.sqrt(numbers[at + upperAt]) - Math.sqrt(numbers[at]);
    },
    centreHz: (centre) => (lowest + centre + tonesPerShift / 2) * spacing,
  };
}
