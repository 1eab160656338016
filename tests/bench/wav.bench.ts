/**
 * Speed and memory of reading and writing WAV: a 2 GB stream made as it is read, then each kind of sample.
 * Run with `npx tsx tests/bench/wav.bench.ts [gigabytes]`.
 */
import { memoryUsage, resourceUsage } from 'node:process';
import { createRawReader, createWavReader, createWavWriter } from '../../src/wav/index.js';
import type { BlockReader, RawFormat } from '../../src/wav/index.js';

const PIECE_BYTES = 65_536;
const gigabytes = Number(process.argv[2] ?? 2);

function report(name: string, bytes: number, samples: number, seconds: number): void {
  const rate = `${(bytes / 1e6 / seconds).toFixed(0)} MB/s, ${(samples / 1e6 / seconds).toFixed(1)} Msamples/s`;
  const peak = (resourceUsage().maxRSS / 1024).toFixed(0);
  console.log(
    `${name.padEnd(34)} ${rate.padEnd(34)} RSS ${(memoryUsage.rss() / 2 ** 20).toFixed(0)} MiB, peak ${peak} MiB`,
  );
}

/** Pseudo-random bytes that are numbers of modest size in every format. */
function piece(): Uint8Array {
  const samples = new Float32Array(PIECE_BYTES / 4);
  for (let i = 0; i < samples.length; i++) samples[i] = 0.5 * Math.sin(0.001 * i * i);
  return new Uint8Array(samples.buffer);
}

function drain(reader: BlockReader, pieces: number): { samples: number; seconds: number } {
  const bytes = piece();
  let samples = 0;
  const start = performance.now();
  const count = (blocks: ReturnType<BlockReader['push']>): void => {
    for (const block of blocks) samples += block.channels.length * block.channels[0].length;
  };
  for (let i = 0; i < pieces; i++) count(reader.push(bytes));
  count(reader.end().blocks);
  return { samples, seconds: (performance.now() - start) / 1000 };
}

console.log(`before ${(memoryUsage.rss() / 2 ** 20).toFixed(0)} MiB`);
{
  const reader = createWavReader();
  reader.push(createWavWriter({ sampleRate: 12_000 }).header);
  const pieces = Math.ceil((gigabytes * 1e9) / PIECE_BYTES);
  const { samples, seconds } = drain(reader, pieces);
  report(`WAV, mono 16 bit, ${gigabytes} GB`, pieces * PIECE_BYTES, samples, seconds);
}

const PIECES = 2000;
const raw: readonly RawFormat[] = ['u8', 's16', 's24', 's32', 'f32'];
for (const format of raw) {
  for (const [channels, channel] of [
    [1, 'each'],
    [2, 'each'],
    [2, 'mix'],
    [2, 1],
  ] as const) {
    const reader = createRawReader({ format, sampleRate: 48_000, channels, channel });
    const { samples, seconds } = drain(reader, PIECES);
    report(`raw ${format}, ${channels} channels, ${channel}`, PIECES * PIECE_BYTES, samples, seconds);
  }
}

const audio = new Float32Array(piece().buffer);
for (const bitDepth of [8, 16, 24, 32] as const) {
  for (const float of bitDepth === 32 ? [false, true] : [false]) {
    const writer = createWavWriter({ sampleRate: 12_000, bitDepth, float });
    let bytes = 0;
    const start = performance.now();
    for (let i = 0; i < 1000; i++) bytes += writer.push([audio]).length;
    const seconds = (performance.now() - start) / 1000;
    report(`write ${bitDepth} bit${float ? ' float' : ''}`, bytes, 1000 * audio.length, seconds);
  }
}
