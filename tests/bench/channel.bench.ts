/**
 * Prints how many seconds of audio pass each stage per second of processor time: `npx tsx tests/bench/channel.bench.ts [sampleRate]`.
 */
import { type ChannelStage, applyChannel, channelPreset } from '../../src/channel/index.js';

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
  passband: [{ kind: 'passband' }],
  'automatic gain control': [{ kind: 'agc' }],
  'crashes of static': [{ kind: 'impulses', levelDb: 0 }],
  'a carrier': [{ kind: 'carrier', frequencyHz: 1000, levelDb: 0 }],
  'direct printing': [{ kind: 'nbdp', levelDb: 0 }],
  'a voice': [{ kind: 'voice', levelDb: 0 }],
  '8 bits with dither': [{ kind: 'quantise', bits: 8, dither: true }],
  'crowded-band preset': [...channelPreset('crowded-band').stages],
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
  const before = process.cpuUsage();
  let calls = 0;
  while (performance.now() - start < RUN_MS) applyChannel(call, { sampleRate, seed: ++calls, stages });
  const { user, system } = process.cpuUsage(before);
  const times = (calls * CALL_SECONDS) / ((user + system) / 1e6);
  console.log(`${times.toFixed(0).padStart(7)} × real time  ${name}`);
}
