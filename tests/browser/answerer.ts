/**
 * `dotphase answer` at the other end of a page's wire: what the page plays goes into its standard input in real time,
 * and what it plays comes in at the page's microphone.
 */
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { ROOT } from '../cli/dotphase.js';

/** Samples per second of the program; a sixth of the page's. */
const RATE = 8000;
const PAGE_RATE = 48_000;
/** Milliseconds of sound that go there and back at a time. */
const PIECE_MS = 100;
const PIECE = (RATE * PIECE_MS) / 1000;

/** Runs in the page: tells the test of all that goes onto the wire, and puts what the test says onto it. */
function bridge(rate: number): void {
  const channel = new BroadcastChannel('wire');
  channel.onmessage = ({ data }: MessageEvent<{ type: string; samples?: Float32Array; rate?: number }>) => {
    if (data.type !== 'start' || !data.samples || data.rate === undefined) return;
    const step = data.rate / rate;
    const length = Math.floor(data.samples.length / step);
    // Nothing of a call lies above 4 kHz, so that samples can be left out.
    const less = Array.from({ length }, (_, n) =>
      Math.round(32_767 * (data.samples?.[Math.round(n * step)] ?? 0)),
    );
    void (window as unknown as { wirePlayed: (samples: number[]) => Promise<void> }).wirePlayed(less);
  };
}

export interface Answerer {
  /** What it has said so far. */
  text(): string;
  /** Ends it as Ctrl-C does, and gives its exit status. */
  stop(): Promise<number | null>;
}

/**
 * Starts `dotphase answer` on the wire.
 *
 * @param page - another page of the context that the wire is in
 * @param args - for `dotphase answer`
 */
export async function answerer(page: Page, args: readonly string[]): Promise<Answerer> {
  const main = join(ROOT, 'dist', 'cli', 'main.js');
  const wires = ['--raw', 's16', '--rate-hz', String(RATE)];
  const child = spawn(process.execPath, [main, 'answer', ...args, ...wires, '-'], {
    env: { PATH: process.env.PATH, COLUMNS: '200' },
  });
  let text = '';
  child.stderr.on('data', (bytes: Buffer) => (text += bytes.toString()));
  child.stdin.on('error', () => undefined);
  let played: number[] = [];
  await page.exposeFunction('wirePlayed', (samples: number[]) => {
    played = [...played, ...samples];
  });
  await page.evaluate(bridge, RATE);
  const begun = Date.now();
  let pieces = 0;
  const timer = setInterval(() => {
    for (; begun + pieces * PIECE_MS < Date.now(); pieces++) {
      const bytes = Buffer.alloc(2 * PIECE);
      played.slice(0, PIECE).forEach((sample, n) => bytes.writeInt16LE(sample, 2 * n));
      played = played.slice(PIECE);
      if (child.stdin.writable) child.stdin.write(bytes);
    }
  }, PIECE_MS / 2);
  /** One answer: from its first sound to the silence behind it. */
  let answer: number[] = [];
  let rest = Buffer.alloc(0);
  let quiet = 0;
  child.stdout.on('data', (bytes: Buffer) => {
    const all = Buffer.concat([rest, bytes]);
    rest = all.subarray(all.length & ~1);
    for (let at = 0; at + 1 < all.length; at += 2) {
      const sample = all.readInt16LE(at) / 32_768;
      quiet = sample === 0 ? quiet + 1 : 0;
      if (answer.length > 0 || sample !== 0) answer.push(sample);
      if (answer.length === 0 || quiet < PIECE) continue;
      const samples = answer;
      answer = [];
      void page.evaluate(
        ([sound, rate, pageRate]) => {
          const step = rate / pageRate;
          const length = Math.floor(sound.length / step);
          const at = (n: number) => sound[Math.min(sound.length - 1, n)];
          const between = Float32Array.from({ length }, (_, n) => {
            const place = n * step;
            const from = Math.floor(place);
            return at(from) + (place - from) * (at(from + 1) - at(from));
          });
          new BroadcastChannel('wire').postMessage({
            type: 'start',
            id: String(Math.random()),
            rate: pageRate,
            samples: between,
          });
        },
        [samples, RATE, PAGE_RATE] as const,
      );
    }
  });
  return {
    text: () => text.replace(/\s+/g, ' '),
    stop: () =>
      new Promise((resolve) => {
        clearInterval(timer);
        child.once('close', resolve);
        child.kill('SIGINT');
      }),
  };
}
