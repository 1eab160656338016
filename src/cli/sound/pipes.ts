/**
 * Sound through two pipes of raw samples, in real time: what comes in as it comes, and out a stream without a gap,
 * silence where nothing is played.
 */
import { createReadStream, createWriteStream } from 'node:fs';
import type { Readable, Writable } from 'node:stream';
import { Described, DotphaseError, reasonOf } from '../../errors.js';
import { createRawReader, type RawFormat } from '../../wav/index.js';
import { STANDARD_STREAM } from '../input.js';
import { Playback } from './playback.js';
import { toS16, type SoundPort } from './port.js';
import { BlockQueue } from './queue.js';

/** The two pipes, each a name or `-`. */
export interface SoundPipes {
  readonly sampleRate: number;
  readonly format: RawFormat;
  readonly in: string;
  readonly out: string;
}

/** The output is filled up so often, milliseconds. */
const FILL_MS = 20;

/** More than this the other side never takes late, seconds. */
const MOST_WAITING_SECONDS = 10;

/** Sound through two pipes. */
export class PipePort implements SoundPort {
  readonly kind = 'live';
  readonly sampleRate: number;
  readonly isSoundCard = false;
  readonly inputName: string;
  private readonly queue = new BlockQueue();
  private readonly input: Readable;
  private readonly output: Writable;
  private readonly begun = performance.now();
  private filler: NodeJS.Timeout | undefined;
  /** Samples written so far. */
  private written = 0;
  private readonly playback = new Playback();

  constructor(private readonly pipes: SoundPipes) {
    this.sampleRate = pipes.sampleRate;
    this.inputName = pipes.in === STANDARD_STREAM ? 'standard input' : pipes.in;
    this.input = pipes.in === STANDARD_STREAM ? process.stdin : createReadStream(pipes.in);
    this.output = pipes.out === STANDARD_STREAM ? process.stdout : createWriteStream(pipes.out);
  }

  now(): number {
    return Date.now();
  }

  blocks(): AsyncIterable<Float32Array> {
    const { format, sampleRate } = this.pipes;
    const reader = createRawReader({ format, sampleRate, channel: 0 });
    this.input.on('data', (bytes: Buffer) => {
      for (const { channels } of reader.push(bytes)) this.queue.push(channels[0]);
    });
    this.input.on('error', (error) => {
      this.queue.fail(
        new DotphaseError('--in', this.pipes.in, `a pipe that can be read (${reasonOf(error)})`),
      );
    });
    this.input.on('end', () => {
      this.queue.dry(
        new DotphaseError(
          '--in',
          new Described(`the end of ${this.inputName}`),
          'sound until the exchange is over',
        ),
      );
    });
    this.output.on('error', (error) => {
      const isClosed = 'code' in error && error.code === 'EPIPE';
      const why = isClosed ? 'its reader closed it' : reasonOf(error);
      this.queue.fail(new DotphaseError('--out', this.pipes.out, `a pipe that takes sound (${why})`));
    });
    this.filler = setInterval(() => {
      this.fill();
    }, FILL_MS);
    return this.queue.blocks();
  }

  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void {
    this.playback.play(audio, onEnd);
  }

  cut(): void {
    this.playback.cut();
  }

  close(): void {
    clearInterval(this.filler);
    this.queue.end();
    this.cut();
    this.input.destroy();
    if (this.pipes.out !== STANDARD_STREAM) this.output.end();
  }

  /** Writes what is due by now. */
  private fill(): void {
    const due = Math.floor(((performance.now() - this.begun) * this.sampleRate) / 1000);
    const block = this.playback.next(due - this.written);
    this.written = due;
    if (this.output.writable && block.length > 0) this.output.write(toS16(block));
    if (this.output.writableLength > 2 * this.sampleRate * MOST_WAITING_SECONDS) {
      this.queue.fail(
        new DotphaseError(
          '--out',
          this.pipes.out,
          `a reader that takes the sound in time: it is ${MOST_WAITING_SECONDS} s behind`,
        ),
      );
    }
    this.playback.settle();
  }
}
