/**
 * Sound through the recorder and the player of the system, as child processes: one that records all the time, and one
 * for each sound that is played.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { Described, DotphaseError, reasonOf } from '../../errors.js';
import { createRawReader } from '../../wav/index.js';
import type { CommandLine } from './command.js';
import { toS16, type SoundInput, type SoundPort } from './port.js';
import { BlockQueue } from './queue.js';

/** The two programs and what they were asked for by. */
export interface SoundPrograms {
  readonly sampleRate: number;
  readonly recorder: CommandLine;
  readonly player: CommandLine;
}

/** A player that does not end so long after its sound never will, milliseconds. */
const PLAYER_PATIENCE_MS = 10_000;

/** A player that was asked to end is killed after this long, milliseconds. */
const KILL_MS = 500;

/** What is kept of what a program says about itself, characters. */
const MOST_SAID = 2000;

/** A program in a group of its own: Ctrl-C at the terminal reaches this process alone, which ends the others in order. */
function start([program, ...args]: CommandLine, input: 'pipe' | 'ignore'): ChildProcess {
  return spawn(program, args, {
    stdio: [input, input === 'pipe' ? 'ignore' : 'pipe', 'pipe'],
    detached: process.platform !== 'win32',
    windowsHide: true,
  });
}

/** The last line that a program said on standard error. */
function lastWords(child: ChildProcess): () => string {
  let said = '';
  child.stderr?.on('data', (bytes: Buffer) => {
    said = (said + bytes.toString()).slice(-MOST_SAID);
  });
  return () => said.trim().split(/\r?\n/).at(-1)?.trim() ?? '';
}

function notStarted(flag: string, [program]: CommandLine, error: unknown): DotphaseError {
  const isMissing = error instanceof Error && 'code' in error && error.code === 'ENOENT';
  const why = isMissing ? 'it was not found' : reasonOf(error);
  return new DotphaseError(
    flag,
    program,
    `a program that can be started (${why}); install it, or choose another with --sound or ${flag}`,
  );
}

function ended(
  flag: string,
  [program]: CommandLine,
  code: number | null,
  words: string,
  expected: string,
): DotphaseError {
  const how = code === null ? 'it was ended from outside' : `it ended with status ${code}`;
  const said = words === '' ? '' : `: ${words}`;
  return new DotphaseError(flag, new Described(`${program}, and ${how}${said}`), expected);
}

/** Starts a recorder; what it gives, and its end, go into a queue. */
function startRecorder(command: CommandLine, sampleRate: number, queue: BlockQueue): ChildProcess {
  const reader = createRawReader({ format: 's16', sampleRate, channel: 0 });
  const child = start(command, 'ignore');
  const words = lastWords(child);
  child.stdout?.on('data', (bytes: Buffer) => {
    for (const { channels } of reader.push(bytes)) queue.push(channels[0]);
  });
  child.on('error', (error) => {
    queue.fail(notStarted('--recorder', command, error));
  });
  child.on('close', (code) => {
    queue.dry(ended('--recorder', command, code, words(), 'a recorder that goes on until it is stopped'));
  });
  return child;
}

/** Sound from a recorder alone. */
export class ProgramInput implements SoundInput {
  readonly inputName: string;
  private readonly queue = new BlockQueue();
  private recorder: ChildProcess | undefined;

  constructor(
    readonly sampleRate: number,
    private readonly command: CommandLine,
  ) {
    this.inputName = `recorder ${command[0]}`;
  }

  blocks(): AsyncIterable<Float32Array> {
    this.recorder = startRecorder(this.command, this.sampleRate, this.queue);
    return this.queue.blocks();
  }

  close(): void {
    this.queue.end();
    if (this.recorder) stop(this.recorder);
  }
}

/** Sound through a recorder and a player. */
export class ProgramPort implements SoundPort {
  readonly kind = 'live';
  readonly sampleRate: number;
  readonly isSoundCard = true;
  readonly inputName: string;
  private readonly queue = new BlockQueue();
  private recorder: ChildProcess | undefined;
  private playing: { readonly end: (isWhole: boolean) => void } | undefined;
  private isClosed = false;

  constructor(private readonly programs: SoundPrograms) {
    this.sampleRate = programs.sampleRate;
    this.inputName = `recorder ${programs.recorder[0]}`;
  }

  now(): number {
    return Date.now();
  }

  blocks(): AsyncIterable<Float32Array> {
    const { recorder, sampleRate } = this.programs;
    this.recorder = startRecorder(recorder, sampleRate, this.queue);
    return this.queue.blocks();
  }

  play(audio: Float32Array, onEnd: (isWhole: boolean) => void): void {
    const { player: command, sampleRate } = this.programs;
    const began = Date.now();
    const lengthMs = (audio.length * 1000) / sampleRate;
    const child = start(command, 'pipe');
    const words = lastWords(child);
    let isTaken = false;
    let error: DotphaseError | undefined;
    const late = setTimeout(() => {
      error ??= ended(
        '--player',
        command,
        null,
        'the sound was long over',
        'a player that ends with its sound',
      );
      stop(child);
    }, lengthMs + PLAYER_PATIENCE_MS);
    const end = (isWhole: boolean) => {
      if (this.playing !== playing) return;
      this.playing = undefined;
      clearTimeout(late);
      if (!isWhole) stop(child);
      onEnd(isWhole);
    };
    const playing = { end };
    this.playing = playing;
    child.stdin?.on('error', () => undefined);
    child.stdin?.end(toS16(audio), () => {
      isTaken = true;
    });
    child.on('error', (reason) => {
      this.fail(notStarted('--player', command, reason));
      end(false);
    });
    child.on('close', (code) => {
      if (this.playing !== playing) return;
      if (code !== 0 || !isTaken) {
        this.fail(error ?? ended('--player', command, code, words(), 'a player that takes all of its sound'));
        end(false);
        return;
      }
      // What takes sound faster than it sounds keeps it for itself: the sound is over when its time is.
      setTimeout(
        () => {
          end(true);
        },
        Math.max(0, began + lengthMs - Date.now()),
      );
    });
  }

  cut(): void {
    this.playing?.end(false);
  }

  close(): void {
    if (this.isClosed) return;
    this.isClosed = true;
    this.queue.end();
    this.cut();
    if (this.recorder) stop(this.recorder);
  }

  private fail(error: DotphaseError): void {
    if (!this.isClosed) this.queue.fail(error);
  }
}

/** Ends a program, with force where it does not. */
function stop(child: ChildProcess): void {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGTERM');
  const force = setTimeout(() => child.kill('SIGKILL'), KILL_MS);
  child.once('close', () => {
    clearTimeout(force);
  });
}
