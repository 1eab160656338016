/**
 * Sound through two WAV files, in step with each other and as fast as it computes: the time is that of the samples.
 */
import { createReadStream } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { DotphaseError } from '../../errors.js';
import { readRawBlocks, type AudioBlock, type RawFormat } from '../../wav/index.js';
import { audioFileBlocks } from '../../containers/node.js';
import { writeWavFile } from '../../wav/node.js';
import { Playback } from './playback.js';
import type { SoundPort } from './port.js';

/** The two files. */
export interface SoundFiles {
  readonly in: string;
  readonly out: string;
  /** How the input is to be read where it is no WAV file. */
  readonly raw: { readonly format: RawFormat; readonly sampleRate: number } | undefined;
}

/** Samples handled in one go, seconds: how exactly what is sent keeps its time. */
const PIECE_SECONDS = 0.05;

/** So many pieces may wait to be written. */
const MOST_UNWRITTEN = 100;

/** Sound through two files. */
export class FilePort implements SoundPort {
  readonly kind = 'file';
  readonly isSoundCard = false;
  readonly inputName: string;
  readonly outputFile: string;
  private readonly start = Date.now();
  private handled = 0;
  private readonly playback = new Playback();
  /** What was put out and is not written yet. */
  private out: Float32Array[] = [];
  private isClosed = false;
  private closing: Promise<void> | undefined;
  private written: Promise<unknown> | undefined;
  private failure: Error | undefined;
  private wake: (() => void) | undefined;

  private constructor(
    private readonly source: AsyncIterator<AudioBlock>,
    private first: Float32Array | undefined,
    readonly sampleRate: number,
    { in: input, out }: SoundFiles,
  ) {
    this.inputName = input;
    this.outputFile = out;
  }

  /**
   * Opens both files.
   *
   * @throws DotphaseError when the input cannot be read
   */
  static async open(files: SoundFiles): Promise<FilePort> {
    const { raw, in: input } = files;
    const blocks = raw
      ? readRawBlocks(createReadStream(input), { ...raw, channel: 0 })
      : audioFileBlocks(input, { channel: 0 });
    const source = blocks[Symbol.asyncIterator]();
    const first = await source.next();
    if (first.done) throw new DotphaseError('--in', input, 'a file with at least one sample');
    return new FilePort(source, first.value.channels[0], first.value.sampleRate, files);
  }

  now(): number {
    return this.start + (this.handled * 1000) / this.sampleRate;
  }

  async *blocks(): AsyncGenerator<Float32Array> {
    const { outputFile, sampleRate } = this;
    this.written = writeWavFile(outputFile, { sampleRate }, this.output()).catch((error: unknown) => {
      this.failure = error as Error;
    });
    const piece = Math.max(1, Math.round(PIECE_SECONDS * this.sampleRate));
    for (;;) {
      const block = this.first ?? (await this.next(piece));
      this.first = undefined;
      for (let at = 0; at < block.length && !this.isClosed; at += piece) {
        const part = block.subarray(at, at + piece);
        yield part;
        this.pass(part.length);
        await this.room();
      }
      if (this.isClosed) return;
    }
  }

  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void {
    this.playback.play(audio, onEnd);
  }

  cut(): void {
    this.playback.cut();
  }

  close(): Promise<void> {
    this.closing ??= this.finish();
    return this.closing;
  }

  private async finish(): Promise<void> {
    this.isClosed = true;
    this.cut();
    this.wake?.();
    await this.source.return?.();
    await this.written;
    if (this.failure) throw this.failure;
  }

  /** The next samples of the file, and behind its end silence. */
  private async next(length: number): Promise<Float32Array> {
    const next = await this.source.next();
    return next.done ? new Float32Array(length) : next.value.channels[0];
  }

  /** Waits until the output file has taken most of what was put out. */
  private async room(): Promise<void> {
    while (this.out.length > MOST_UNWRITTEN && !this.failure) await setImmediate();
    if (this.failure) throw this.failure;
  }

  /** Puts out as much as came in. */
  private pass(length: number): void {
    this.out.push(this.playback.next(length));
    this.handled += length;
    this.wake?.();
    this.playback.settle();
  }

  private async *output(): AsyncGenerator<readonly Float32Array[]> {
    for (;;) {
      const blocks = this.out;
      this.out = [];
      for (const block of blocks) yield [block];
      if (this.out.length > 0) continue;
      if (this.isClosed) return;
      await new Promise<void>((resolve) => (this.wake = resolve));
    }
  }
}
