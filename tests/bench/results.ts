/** What the parts of the benchmark measured, kept in docs/performance.json between runs. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { format, resolveConfig } from 'prettier';
import type { BitErrorJob, BitErrors } from '../scenes/biterrors.js';
import type { ChannelName } from '../scenes/channels.js';
import type { Latencies } from './latency.js';
import type { FmPoint, HarderAir } from '../scenes/harderair.js';
import type { FalseCalls } from '../scenes/lookalikes.js';
import type { Memory, Speed } from './speed.js';
import type { StepPoint } from './steps.js';

/** Share of alerts decoded at one signal-to-noise ratio. */
export interface DecodePoint {
  channel: ChannelName;
  snrDb: number;
  sent: number;
  /** Read right, and read wrong, as `clean` or `recovered`. */
  right: number;
  wrong: number;
  doubtfulRight: number;
  doubtfulWrong: number;
  /** The textbook receiver. */
  textbookRight: number;
  textbookWrong: number;
}

/** Calls, or characters, with an estimated error probability in one range. */
export interface CalibrationBin {
  /** Decades: 10^from to 10^to. */
  from: number;
  to: number;
  count: number;
  wrong: number;
  /** Sum of the estimates: the errors to be expected. */
  expected: number;
}

/** Calls of every kind over a range of signal-to-noise ratios. */
export interface Calibration {
  sent: number;
  /** How many of them broke off. */
  cut: number;
  bins: CalibrationBin[];
  /** The same of every character but those of certainty 0. */
  characterBins: CalibrationBin[];
  /** Characters of certainty 0. */
  notReceived: number;
  sure: number;
  sureWrong: number;
  /** Share read, by channel and rounded signal-to-noise ratio. */
  rates: { channel: ChannelName; snrDb: number; sent: number; right: number }[];
  /** What was wrong although sure. */
  wrongs: string[];
}

/** One part's results and how they came about. */
export interface Measured<Data> {
  command: string;
  seed: number;
  data: Data;
}

/** Everything measured so far. */
export interface Results {
  bits?: Measured<(BitErrorJob & BitErrors)[]>;
  decode?: Measured<DecodePoint[]>;
  attempts?: Measured<DecodePoint[]>;
  steps?: Measured<StepPoint[]>;
  calibration?: Measured<Calibration>;
  'attempt-calibration'?: Measured<Calibration>;
  false?: Measured<FalseCalls[]>;
  harder?: Measured<HarderAir[]>;
  fm?: Measured<FmPoint[]>;
  speed?: Measured<Speed[]>;
  memory?: Measured<Memory>;
  latency?: Measured<Latencies[]>;
}

const FILE = new URL('../../docs/performance.json', import.meta.url);

/** The results of earlier runs. */
export function loadResults(): Results {
  return existsSync(FILE) ? (JSON.parse(readFileSync(FILE, 'utf8')) as Results) : {};
}

/** Keeps the results. */
export async function saveResults(results: Results): Promise<void> {
  const config = await resolveConfig(import.meta.filename);
  writeFileSync(FILE, await format(JSON.stringify(results), { ...config, parser: 'json' }));
}
