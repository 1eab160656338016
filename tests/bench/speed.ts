/** How fast the receiver is on one core, and what memory it takes over a long stream. */
import { encodeCall } from '../../src/calls/index.js';
import { createReceiver, type ReceiverOptions } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, mix, transmit } from '../scenes/transmission.js';

const SAMPLE_RATE = 12_000;
const MINUTE = 60;
const SNR_DB = 3;
const MEGABYTE = 2 ** 20;

/** Minutes of white noise, with or without a call in each. */
function scene(minutes: number, withCalls: boolean): Float32Array {
  const choices = createChoices(minutes);
  const calls = withCalls
    ? Array.from({ length: minutes }, (_, minute) => ({
        audio: transmit(encodeCall(randomCall(choices, choices.pick(KINDS))).symbols, {
          sampleRate: SAMPLE_RATE,
        }),
        at: MINUTE * minute + choices.uniform(1, 40),
      }))
    : [];
  const whole = { audio: new Float32Array(minutes * MINUTE * SAMPLE_RATE) };
  return impair(mix(SAMPLE_RATE, [whole, ...calls]), SAMPLE_RATE, minutes, [
    { kind: 'noise', snrDb: SNR_DB },
  ]);
}

/** What is listened for. */
export const SEARCHES: Readonly<Record<string, Omit<ReceiverOptions, 'sampleRate'>>> = {
  'whole passband, 100 and 1200 Bd': {},
  'whole passband, 100 Bd': { bands: ['mf-hf'] },
  'centre 1700 ± 50 Hz, 100 and 1200 Bd': { centreHz: 1700, searchHz: 50 },
  'centre 1700 ± 50 Hz, 100 Bd': { bands: ['mf-hf'], centreHz: 1700, searchHz: 50 },
};

/** Speeds to measure. */
export interface SpeedJob {
  search: string;
  withCalls: boolean;
  minutes: number;
  runs: number;
}

/** Speeds measured: seconds of audio in a second of processor time. */
export interface Speed {
  search: string;
  withCalls: boolean;
  minutes: number;
  calls: number;
  timesRealTime: number[];
}

function cpuSeconds(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

/** Runs that are not counted: in less than a second of work the code is not yet compiled for good. */
export const COMPILING_RUNS = 3;

/** Receives a scene several times, in blocks of a tenth of a second. */
export function runSpeedJob({ search, withCalls, minutes, runs }: SpeedJob): Speed {
  const audio = scene(minutes, withCalls);
  const block = SAMPLE_RATE / 10;
  let calls = 0;
  const timesRealTime: number[] = [];
  for (let run = 1 - COMPILING_RUNS; run <= runs; run++) {
    const receiver = createReceiver({ sampleRate: SAMPLE_RATE, ...SEARCHES[search] });
    const start = cpuSeconds();
    calls = 0;
    for (let at = 0; at < audio.length; at += block) {
      calls += receiver.push(audio.subarray(at, at + block)).length;
    }
    calls += receiver.flush().length;
    if (run > 0) timesRealTime.push((minutes * MINUTE) / (cpuSeconds() - start));
  }
  return { search, withCalls, minutes, calls, timesRealTime };
}

/** Memory to measure. */
export interface MemoryJob {
  hours: number;
}

/** Resident memory, megabytes, at the beginning of the stream and after each part of it. */
export interface Memory {
  hours: number;
  calls: number;
  residentMegabytes: number[];
}

const MEMORY_POINTS = 12;

/** Feeds ten minutes with calls over and over. */
export function runMemoryJob({ hours }: MemoryJob): Memory {
  const audio = scene(10, true);
  const receiver = createReceiver({ sampleRate: SAMPLE_RATE });
  const rounds = hours * 6;
  const resident = () => Math.round(process.memoryUsage.rss() / MEGABYTE);
  const residentMegabytes = [resident()];
  let calls = 0;
  for (let round = 1; round <= rounds; round++) {
    for (let at = 0; at < audio.length; at += SAMPLE_RATE) {
      calls += receiver.push(audio.subarray(at, at + SAMPLE_RATE)).length;
    }
    if (round % Math.ceil(rounds / MEMORY_POINTS) === 0) residentMegabytes.push(resident());
  }
  return { hours, calls, residentMegabytes };
}
