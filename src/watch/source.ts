/**
 * Where the samples of an input come from: a command's standard output, a named pipe, a device or a file.
 */
import { spawn } from 'node:child_process';
import { constants, createReadStream, openSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { Socket } from 'node:net';
import type { Readable } from 'node:stream';
import { reasonOf } from '../errors.js';
import type { InputConfig } from './config.js';

/** An input that was opened. */
export interface Source {
  readonly bytes: AsyncIterable<Uint8Array>;
  /** Why it ended, once it has. */
  readonly ending: () => Promise<string>;
  /** Ends it. */
  readonly stop: () => void;
}

/** What a program says on standard error is kept up to so many characters. */
const KEPT_WORDS = 300;

/** A program that is asked to end has so long before it is made to, milliseconds. */
const GRACE_MS = 2000;

function fromCommand([program, ...args]: readonly string[]): Source {
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  let words = '';
  child.stderr.on('data', (bytes: Buffer) => {
    words = (words + bytes.toString()).slice(-KEPT_WORDS);
  });
  const ended = new Promise<string>((resolve) => {
    child.on('error', (error) => {
      resolve(`${program} cannot be started: ${reasonOf(error)}`);
    });
    child.on('close', (code, signal) => {
      const said = words
        .trim()
        .split(/\s*\n\s*/)
        .slice(-2)
        .join('; ');
      const how = signal === null ? `with status ${code}` : `by ${signal}`;
      resolve(`${program} ended ${how}${said === '' ? '' : `: ${said}`}`);
    });
  });
  return {
    bytes: child.stdout,
    ending: () => ended,
    stop: () => {
      child.kill();
      setTimeout(() => child.kill('SIGKILL'), GRACE_MS).unref();
    },
  };
}

function fromStream(path: string, stream: Readable): Source {
  const ended = new Promise<string>((resolve) => {
    stream.on('error', (error) => {
      resolve(`${path} cannot be read: ${reasonOf(error)}`);
    });
    stream.on('close', () => {
      resolve(`${path} ended`);
    });
  });
  return {
    bytes: stream,
    ending: () => ended,
    stop: () => {
      stream.destroy();
    },
  };
}

/**
 * Opens what an input names.
 *
 * @throws what the system throws where it cannot be opened
 */
export async function openSource({ command, pipe = '' }: InputConfig): Promise<Source> {
  if (command) return fromCommand(command);
  const isPipe = (await stat(pipe)).isFIFO();
  // A pipe that is open for writing too waits for no writer, and does not end when one leaves.
  const stream = isPipe
    ? new Socket({
        fd: openSync(pipe, constants.O_RDWR | constants.O_NONBLOCK),
        readable: true,
        writable: false,
      })
    : createReadStream(pipe);
  return fromStream(pipe, stream);
}
