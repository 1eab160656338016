/**
 * Prints how many times faster than real time audio passes each stage: `npx tsx tests/bench/channel.bench.ts [sampleRate]`.
 */
import { type ChannelStage, applyChannel } from '../../src/channel/index.js';

const sampleRate = Number(process.argv[2] ?? 12_000);
const CALL_SECONDS = 8;
const RUN_MS = 700;

const call = Float32Array.from(
  { length: CALL_SECONDS * sampleRate },
  (_, n) => 0.5 * Math.sin((2 * Math.PI * 1700 * n) / sampleRate),
);

const chains: Record<string, ChannelStage[]> = {
  noise: [{ kind: 'noise', snrDb: 10 }],
  'fading, mid-latitude-moderate': [{ kind: 'fading', condition: 'mid-latitude-moderate' }],
  'fading, high-latitude-disturbed': [{ kind: 'fading', condition: 'high-latitude-disturbed' }],
  'noise and two-path fading': [
    { kind: 'fading', condition: 'mid-latitude-moderate' },
    { kind: 'noise', snrDb: 10 },
  ],
  offset: [{ kind: 'offset', offsetHz: 20, driftHzPerSecond: 1 }],
  clock: [{ kind: 'clock', ppm: 100 }],
  'delay by part of a sample': [{ kind: 'delay', delayMs: 10.01 }],
  'fading, offset, clock and noise': [
    { kind: 'fading', condition: 'mid-latitude-disturbed' },
    { kind: 'offset', offsetHz: 20 },
    { kind: 'clock', ppm: 100 },
    { kind: 'noise', snrDb: 10 },
  ],
};

console.log(`${CALL_SECONDS} s calls at ${sampleRate} Hz, one at a time, each with a seed of its own`);
for (const [name, stages] of Object.entries(chains)) {
  applyChannel(call, { sampleRate, stages });
  const start = performance.now();
  let calls = 0;
  while (performance.now() - start < RUN_MS) applyChannel(call, { sampleRate, seed: ++calls, stages });
  const seconds = (performance.now() - start) / 1000;
  console.log(`${((calls * CALL_SECONDS) / seconds).toFixed(0).padStart(7)} × real time  ${name}`);
}
