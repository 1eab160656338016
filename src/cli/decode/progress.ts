/**
 * How far many or long recordings are: a bar on standard error, and a line at the end.
 */
import { Presets, SingleBar } from 'cli-progress';
import { shortClock } from '../report.js';
import { samplesStatus } from './sigmf.js';

/** From this many bytes on a progress bar is worth its line. */
const LONG_BYTES = 5_000_000;

function sizeOf(file: string): number {
  return samplesStatus(file)?.size ?? 0;
}

/** Counts what was read; nothing is shown where nobody would see it. */
export class Progress {
  readonly #begin = performance.now();
  readonly #open = new Map<number, { bytes: number; seconds: number }>();
  readonly #sizes = new Map<number, number>();
  #bar: SingleBar | undefined;
  #total = 0;
  #bytes = 0;
  #seconds = 0;
  #files = 0;
  #left = 0;

  /** @param files - those that are known before */
  constructor(files: readonly string[]) {
    this.#total = files.reduce((sum, file) => sum + sizeOf(file), 0);
    this.#left = files.length;
    if (!process.stderr.isTTY || this.#total < LONG_BYTES) return;
    this.#bar = new SingleBar(
      {
        stream: process.stderr,
        format: '{bar} {percentage}% | {recordings} | {rate} | {eta_formatted} left',
        clearOnComplete: true,
        hideCursor: true,
      },
      Presets.shades_classic,
    );
    this.#bar.start(this.#total, 0, this.#facts());
  }

  /** A recording begins; `isKnown` where it was among those known before. */
  begin(index: number, file: string, isKnown: boolean): void {
    const size = sizeOf(file);
    this.#sizes.set(index, size);
    if (isKnown) return;
    this.#total += size;
    this.#left++;
    this.#bar?.setTotal(this.#total);
  }

  /** A recording is left out. */
  skip(file: string): void {
    this.#bytes += sizeOf(file);
    this.#left--;
  }

  update(index: number, bytes: number, seconds: number): void {
    this.#open.set(index, { bytes, seconds });
    this.#show();
  }

  end(index: number, seconds: number): void {
    this.#open.delete(index);
    this.#bytes += this.#sizes.get(index) ?? 0;
    this.#sizes.delete(index);
    this.#seconds += seconds;
    this.#files++;
    this.#left--;
    this.#show();
  }

  /** Makes room for a line of text. */
  clear(): void {
    if (this.#bar) process.stderr.write('\r\x1b[K');
  }

  stop(): void {
    this.#bar?.stop();
  }

  /** What was read, how long that took, and how fast it was. */
  summary(): string {
    const recordings = `${this.#files} ${this.#files === 1 ? 'recording' : 'recordings'}`;
    const took = shortClock((performance.now() - this.#begin) / 1000);
    return `${recordings}, ${shortClock(this.#seconds)} of audio in ${took}, ${this.#rate(this.#seconds)}`;
  }

  #rate(seconds: number): string {
    const times = seconds / Math.max(0.001, (performance.now() - this.#begin) / 1000);
    return `${times.toFixed(times < 10 ? 1 : 0)} times real time`;
  }

  #facts(): Record<string, string> {
    const open = [...this.#open.values()].reduce((sum, { seconds }) => sum + seconds, this.#seconds);
    return { recordings: `${this.#files} read, ${this.#left} to go`, rate: this.#rate(open) };
  }

  #show(): void {
    if (!this.#bar) return;
    const bytes = [...this.#open.values()].reduce((sum, part) => sum + part.bytes, this.#bytes);
    this.#bar.update(bytes, this.#facts());
  }
}
