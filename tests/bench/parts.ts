/** The parts of the benchmark: which jobs each has, and what is made of their results. */
import { ATTEMPT_CHANNELS, CHANNELS, SINGLE_CHANNELS, type ChannelName } from '../scenes/channels.js';
import { judge, type DecodeJob, type Outcome } from '../scenes/decode.js';
import { HARDER_AIR, type FmPoint, type HarderAir } from '../scenes/harderair.js';
import { LOOK_ALIKES, type FalseCalls } from '../scenes/lookalikes.js';
import type { Pool } from './pool.js';
import type { Calibration, CalibrationBin, DecodePoint, Results } from './results.js';
import { SEARCHES } from './speed.js';
import type { StepPoint } from './steps.js';

/** How much is measured. */
export interface Size {
  /** Bits at each Eb/N₀. */
  bits: number;
  /** Alerts at each signal-to-noise ratio. */
  callsPerPoint: number;
  /** Attempts of five alerts at each. */
  attemptsPerPoint: number;
  calibrationCalls: number;
  calibrationAttempts: number;
  noiseHours: number;
  lookAlikeMinutes: number;
  /** Calls in all kinds of harder air together, and at each carrier-to-noise ratio. */
  harderCalls: number;
  fmCalls: number;
  speedMinutes: number;
  speedRuns: number;
  memoryHours: number;
  /** Calls of each kind. */
  latencyCalls: number;
}

/** Sizes by name. */
export const SIZES = {
  full: {
    bits: 400_000,
    callsPerPoint: 200,
    attemptsPerPoint: 40,
    calibrationCalls: 10_000,
    calibrationAttempts: 10_000,
    noiseHours: 24,
    lookAlikeMinutes: 60,
    harderCalls: 20_000,
    fmCalls: 200,
    speedMinutes: 10,
    speedRuns: 5,
    memoryHours: 24,
    latencyCalls: 2,
  },
  short: {
    bits: 20_000,
    callsPerPoint: 4,
    attemptsPerPoint: 1,
    calibrationCalls: 60,
    calibrationAttempts: 8,
    noiseHours: 0.1,
    lookAlikeMinutes: 0.5,
    harderCalls: 12,
    fmCalls: 2,
    speedMinutes: 1,
    speedRuns: 1,
    memoryHours: 0.5,
    latencyCalls: 1,
  },
} as const satisfies Record<string, Size>;

const CALLS_PER_JOB = 10;
const JOB_SECONDS = 600;

function split(total: number, most: number): number[] {
  return Array.from({ length: Math.ceil(total / most) }, (_, i) => Math.min(most, total - i * most));
}

async function measureBits(pool: Pool, size: Size, seed: number) {
  return pool.run(
    'bits',
    (['random', 'continuous'] as const).flatMap((phase) =>
      [200, 170].flatMap((shiftHz) =>
        [4, 6, 8, 9, 10, 11].map((ebN0Db) => ({ shiftHz, phase, ebN0Db, bits: size.bits, seed })),
      ),
    ),
  );
}

function decodePoint(outcomes: readonly Outcome[]): DecodePoint {
  const count = (matches: (outcome: Outcome) => boolean | undefined) => outcomes.filter(matches).length;
  const doubts = (right: boolean) => (outcome: Outcome) =>
    outcome.reported.some((call) => call.quality === 'doubtful' && call.right === right);
  const [{ channel, snrDb }] = outcomes;
  return {
    channel,
    snrDb,
    sent: outcomes.length,
    right: count((outcome) => judge(outcome).right),
    wrong: count((outcome) => judge(outcome).wrong),
    doubtfulRight: count((outcome) => !judge(outcome).right && doubts(true)(outcome)),
    doubtfulWrong: count(doubts(false)),
    textbookRight: count((outcome) => outcome.textbook?.right),
    textbookWrong: count((outcome) => outcome.textbook?.wrong),
  };
}

async function measurePoints(
  pool: Pool,
  channels: readonly ChannelName[],
  calls: number,
  seed: number,
): Promise<DecodePoint[]> {
  const points = channels.flatMap((channel) => CHANNELS[channel].snrDb.map((snrDb) => ({ channel, snrDb })));
  const jobs = points.flatMap(({ channel, snrDb }, i) =>
    split(calls, CALLS_PER_JOB).map((count, part): DecodeJob => ({
      channel,
      snrDb,
      calls: 'alerts',
      count,
      seed: seed + 10_000 * i + CALLS_PER_JOB * part,
      textbook: true,
    })),
  );
  const outcomes = (await pool.run('decode', jobs)).flat();
  return points.map(({ channel, snrDb }) =>
    decodePoint(outcomes.filter((outcome) => outcome.channel === channel && outcome.snrDb === snrDb)),
  );
}

const measureDecode = (pool: Pool, size: Size, seed: number) =>
  measurePoints(pool, SINGLE_CHANNELS, size.callsPerPoint, seed);

const measureAttempts = (pool: Pool, size: Size, seed: number) =>
  measurePoints(pool, ATTEMPT_CHANNELS, size.attemptsPerPoint, seed + 3_000_000);

/** Where the place of an alert is known, weaker ones can be read: ratios below those of {@link measureDecode}, dB. */
const BELOW = [3, 2, 1];

async function measureSteps(pool: Pool, size: Size, seed: number): Promise<StepPoint[]> {
  const points = SINGLE_CHANNELS.flatMap((channel) => {
    const { snrDb: ratios } = CHANNELS[channel];
    return [...BELOW.map((below) => Math.min(...ratios) - below), ...ratios].map((snrDb) => ({
      channel,
      snrDb,
    }));
  });
  return pool.run(
    'steps',
    points.map((point, i) => ({ ...point, count: size.callsPerPoint, seed: seed + 10_000 * i })),
  );
}

/** Edges of the bins of error probability, in decades. */
const EDGES = [-Infinity, -8, -6, -5, -4, -3, -2, -1, -0.3, 0];

/** What was estimated, and what was seen. */
interface Estimate {
  readonly errorProbability: number;
  readonly right: boolean;
}

function binned(estimates: readonly Estimate[]): CalibrationBin[] {
  return EDGES.slice(1).map((to, i): CalibrationBin => {
    const from = EDGES[i];
    const inside = estimates.filter(({ errorProbability }) => {
      const decade = Math.log10(errorProbability);
      return (decade >= from && decade < to) || (to === 0 && decade === 0);
    });
    return {
      from,
      to,
      count: inside.length,
      wrong: inside.filter(({ right }) => !right).length,
      expected: inside.reduce((sum, { errorProbability }) => sum + errorProbability, 0),
    };
  });
}

function calibrate(outcomes: readonly Outcome[]): Calibration {
  const calls = outcomes.flatMap(({ reported }) => reported);
  const characters = calls.flatMap((call) => call.characters);
  const received = characters.filter(({ certainty }) => certainty > 0);
  const sure = calls.filter(({ quality }) => quality !== 'doubtful');
  const rates = new Map<string, Calibration['rates'][number]>();
  for (const outcome of outcomes.filter(({ cut }) => !cut)) {
    const snrDb = Math.round(outcome.snrDb);
    const key = `${outcome.channel} ${snrDb}`;
    const rate = rates.get(key) ?? { channel: outcome.channel, snrDb, sent: 0, right: 0 };
    rate.sent++;
    if (judge(outcome).right) rate.right++;
    rates.set(key, rate);
  }
  return {
    sent: outcomes.length,
    cut: outcomes.filter(({ cut }) => cut).length,
    bins: binned(calls),
    characterBins: binned(
      received.map(({ certainty, right }) => ({ errorProbability: 1 - certainty, right })),
    ),
    notReceived: characters.length - received.length,
    sure: sure.length,
    sureWrong: sure.filter(({ right }) => !right).length,
    rates: [...rates.values()].sort((a, b) => a.snrDb - b.snrDb),
    wrongs: outcomes
      .filter((outcome) => judge(outcome).wrong)
      .map(({ channel, kind, seed, snrDb }) => `seed ${seed}: ${kind}, ${channel}, ${snrDb.toFixed(1)} dB`),
  };
}

/** Share of the calls of the calibration that break off. */
const CUT_SHARE = 1 / 3;

async function sendForCalibration(
  pool: Pool,
  channels: readonly ChannelName[],
  total: number,
  job: Pick<DecodeJob, 'snrDb' | 'calls' | 'seed'>,
): Promise<Calibration> {
  const jobs = split(total, CALLS_PER_JOB).map((count, part): DecodeJob => ({
    ...job,
    channel: channels[part % channels.length],
    cutShare: CUT_SHARE,
    count,
    seed: job.seed + CALLS_PER_JOB * part,
    textbook: false,
  }));
  return calibrate((await pool.run('decode', jobs)).flat());
}

const measureCalibration = (pool: Pool, size: Size, seed: number) =>
  sendForCalibration(pool, SINGLE_CHANNELS, size.calibrationCalls, {
    snrDb: [-14, 0],
    calls: 'all',
    seed: seed + 1_000_000,
  });

const measureAttemptCalibration = (pool: Pool, size: Size, seed: number) =>
  sendForCalibration(pool, ATTEMPT_CHANNELS, size.calibrationAttempts, {
    snrDb: [-20, -10],
    calls: 'alerts',
    seed: seed + 7_000_000,
  });

async function measureFalse(pool: Pool, size: Size, seed: number): Promise<FalseCalls[]> {
  const names = Object.keys(LOOK_ALIKES);
  const jobs = names.flatMap((name) => {
    const total = name === 'noise' ? size.noiseHours * 3600 : size.lookAlikeMinutes * 60;
    return split(Math.round(total), JOB_SECONDS).map((seconds, part) => ({
      name,
      seconds,
      seed: seed + part,
    }));
  });
  const results = await pool.run('lookAlike', jobs);
  return names.map((name) => {
    const own = results.filter((result) => result.name === name);
    const sum = (key: 'seconds' | 'sure' | 'doubtful' | 'doubtfulAlerts' | 'signals') =>
      own.reduce((total, result) => total + result[key], 0);
    return {
      name,
      seconds: sum('seconds'),
      sure: sum('sure'),
      doubtful: sum('doubtful'),
      doubtfulAlerts: sum('doubtfulAlerts'),
      signals: sum('signals'),
      reports: own.flatMap(({ reports }) => reports),
    };
  });
}

async function measureHarder(pool: Pool, size: Size, seed: number): Promise<HarderAir[]> {
  const names = Object.keys(HARDER_AIR);
  const jobs = names.flatMap((name) =>
    split(Math.round(size.harderCalls / names.length), CALLS_PER_JOB).map((count, part) => ({
      name,
      count,
      seed: seed + 5_000_000 + CALLS_PER_JOB * part,
    })),
  );
  const results = await pool.run('harder', jobs);
  return names.map((name) => {
    const own = results.filter((result) => result.name === name);
    const sum = (key: 'sent' | 'right' | 'wrong') => own.reduce((total, result) => total + result[key], 0);
    return {
      name,
      sent: sum('sent'),
      right: sum('right'),
      wrong: sum('wrong'),
      seeds: own.flatMap(({ seeds }) => seeds),
    };
  });
}

const CARRIER_TO_NOISE = [0, 1, 2, 3, 4, 5, 6];

async function measureFm(pool: Pool, size: Size, seed: number): Promise<FmPoint[]> {
  const jobs = CARRIER_TO_NOISE.flatMap((carrierToNoiseDb) =>
    split(size.fmCalls, CALLS_PER_JOB).map((count, part) => ({
      carrierToNoiseDb,
      count,
      seed: seed + 6_000_000 + CALLS_PER_JOB * part,
    })),
  );
  const points = await pool.run('fm', jobs);
  return CARRIER_TO_NOISE.map((ratio) => {
    const own = points.filter(({ carrierToNoiseDb }) => carrierToNoiseDb === ratio);
    const sum = (key: 'count' | 'right' | 'wrong') => own.reduce((total, point) => total + point[key], 0);
    return { carrierToNoiseDb: ratio, seed, count: sum('count'), right: sum('right'), wrong: sum('wrong') };
  });
}

/** One after the other, so that nothing of ours shares the core. */
async function measureSpeed(pool: Pool, size: Size) {
  const speeds = [];
  for (const withCalls of [false, true]) {
    for (const search of Object.keys(SEARCHES)) {
      const job = { search, withCalls, minutes: size.speedMinutes, runs: size.speedRuns };
      speeds.push(...(await pool.run('speed', [job])));
    }
  }
  return speeds;
}

async function measureMemory(pool: Pool, size: Size) {
  const [memory] = await pool.run('memory', [{ hours: size.memoryHours }]);
  return memory;
}

async function measureLatency(pool: Pool, size: Size, seed: number) {
  return pool.run(
    'latency',
    (
      [
        ['mf-hf', 10],
        ['mf-hf', -7],
        ['vhf', 20],
      ] as const
    ).map(([band, snrDb]) => ({ band, snrDb, count: size.latencyCalls, seed })),
  );
}

/** Each part's measurement. */
export const PARTS = {
  bits: measureBits,
  decode: measureDecode,
  attempts: measureAttempts,
  steps: measureSteps,
  calibration: measureCalibration,
  'attempt-calibration': measureAttemptCalibration,
  false: measureFalse,
  harder: measureHarder,
  fm: measureFm,
  speed: measureSpeed,
  memory: measureMemory,
  latency: measureLatency,
} satisfies { [Part in keyof Required<Results>]: (pool: Pool, size: Size, seed: number) => Promise<unknown> };
