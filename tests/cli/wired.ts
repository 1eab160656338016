/**
 * `dotphase call` on two wires, in real time: at their other end `dotphase answer`, or a partner of the test's own.
 */
import { spawn } from 'node:child_process';
import { createChannel } from '../../src/channel/index.js';
import { MAIN } from './dotphase.js';

/** Samples per second on the wires. */
export const WIRE_RATE = 8000;

const WIRES = ['--raw', 's16', '--rate-hz', String(WIRE_RATE)];

/** What becomes of sound on its way through a wire. */
export type Wire = (samples: Float32Array) => Float32Array;

const UNCHANGED: Wire = (samples) => samples;

/** Sound on a wire as numbers. */
function fromBytes(bytes: Buffer): Float32Array {
  const samples = new Float32Array(bytes.length >> 1);
  for (let n = 0; n < samples.length; n++) samples[n] = bytes.readInt16LE(2 * n) / 32_768;
  return samples;
}

/** And back. */
function toBytes(samples: Float32Array): Buffer {
  const bytes = Buffer.alloc(samples.length * 2);
  samples.forEach((sample, n) =>
    bytes.writeInt16LE(Math.round(Math.max(-1, Math.min(1, sample)) * 32_767), 2 * n),
  );
  return bytes;
}

/** Noise all the time, under a call whose peak is −6 dB of full scale, in 3 kHz. */
export function noisy(snrDb: number, seed: number): Wire {
  const signalLevelDb = 20 * Math.log10(0.5) - 10 * Math.log10(2);
  const channel = createChannel({
    sampleRate: WIRE_RATE,
    seed,
    signalLevelDb,
    stages: [{ kind: 'noise', snrDb }],
  });
  // So loud a noise does not go into 16 bits beside the call: all of it comes in 20 dB lower.
  return (samples) => channel.push(samples).map((sample) => 0.1 * sample);
}

/** How an exchange ended. */
export interface Exchanged {
  readonly code: number | null;
  readonly text: string;
  /** What the partner said. */
  readonly partner: string;
}

/** What stands at the other end. */
export interface Partner {
  /** The arguments of `dotphase answer`; without them the other end is silent unless `there` and `back` make sound. */
  readonly answer?: readonly string[];
  readonly there?: Wire;
  readonly back?: Wire;
  /** Told of what the command says as it says it. */
  readonly onText?: (text: string, child: ReturnType<typeof spawn>) => void;
}

/** Splits a stream of bytes into whole samples. */
function wholeSamples(take: (samples: Float32Array) => void): (bytes: Buffer) => void {
  let rest = Buffer.alloc(0);
  return (bytes) => {
    const all = Buffer.concat([rest, bytes]);
    rest = all.subarray(all.length & ~1);
    take(fromBytes(all.subarray(0, all.length & ~1)));
  };
}

/** Runs `dotphase call` on two wires. */
export function callOnWires(args: readonly string[], partner: Partner = {}): Promise<Exchanged> {
  const { there = UNCHANGED, back = UNCHANGED, answer, onText } = partner;
  const env = { PATH: process.env.PATH, COLUMNS: '200' };
  const call = spawn(process.execPath, [MAIN, 'call', ...args, ...WIRES, '--in', '-', '--out', '-'], { env });
  const other = answer && spawn(process.execPath, [MAIN, 'answer', ...answer, ...WIRES, '-'], { env });
  let text = '';
  let said = '';
  call.stdin.on('error', () => undefined);
  const sendBack = (samples: Float32Array) => {
    if (call.stdin.writable) call.stdin.write(toBytes(back(samples)));
  };
  if (other) {
    other.stdin.on('error', () => undefined);
    other.stderr.on('data', (bytes: Buffer) => (said += bytes.toString()));
    other.stdout.on('data', wholeSamples(sendBack));
  }
  call.stdout.on(
    'data',
    wholeSamples((samples) => {
      const arrived = there(samples);
      if (other) other.stdin.write(toBytes(arrived));
      else sendBack(arrived);
    }),
  );
  call.stderr.on('data', (bytes: Buffer) => {
    text += bytes.toString();
    onText?.(text, call);
  });
  return new Promise((resolve) => {
    call.on('close', (code) => {
      const done = () => {
        resolve({ code, text: text.replace(/\s+/g, ' '), partner: said.replace(/\s+/g, ' ') });
      };
      if (!other) {
        done();
        return;
      }
      other.on('close', done);
      other.stdin.end();
    });
  });
}

/** A partner that puts sound on the wire back when it is told to, and silence otherwise. */
export function scripted(): { wire: Wire; send: (audio: Float32Array) => void } {
  let waiting: Float32Array[] = [];
  return {
    send: (audio) => {
      waiting.push(audio);
    },
    wire: (samples) => {
      const out = new Float32Array(samples.length);
      for (let at = 0; at < out.length && waiting.length > 0;) {
        const [first, ...rest] = waiting;
        const part = first.subarray(0, out.length - at);
        out.set(part, at);
        at += part.length;
        waiting = part.length < first.length ? [first.subarray(part.length), ...rest] : rest;
      }
      return out;
    },
  };
}
