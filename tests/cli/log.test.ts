/**
 * The log that commands write: what cannot be logged is said in one line and stops nothing else.
 */
import { spawn } from 'node:child_process';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from '@photostructure/sqlite';
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { LogFile } from '../../src/cli/log/file.js';
import { callEntry } from '../../src/records/index.js';
import { readWav, writeWav } from '../../src/wav/index.js';
import { MAIN, build, dotphase, type Run } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const SHIP = '299123456';
const COAST = '002991234';

let folder: string;
const inFolder = (name: string) => join(folder, name);
const vhf = ['--vhf', '--rate-hz', '8000', '--silence', '0.3'];
const testCall = ['encode', 'test-call', '--from', SHIP, '--to', COAST, ...vhf];

/** What comes of decoding into a log that another program holds: it waits for ten seconds at its end, beside the other tests. */
let whileHeld: Promise<Run & { seconds: number }>;

async function decodeWhileHeld(path: string): Promise<Run & { seconds: number }> {
  const holder = new DatabaseSync(path);
  holder.exec('BEGIN IMMEDIATE');
  const begun = performance.now();
  try {
    const input = readFileSync(inFolder('both.wav'));
    const run = await dotphase(['decode', '--vhf', '--log', path, '-'], { input });
    return { ...run, seconds: (performance.now() - begun) / 1000 };
  } finally {
    holder.exec('ROLLBACK');
    holder.close();
  }
}

beforeAll(async () => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'dotphase-logs-'));
  await here([...testCall, '--out', inFolder('test.wav'), '--log', inFolder('held.db')]);
  await here(['encode', 'distress-alert', '--from', SHIP, ...vhf, '--out', inFolder('alert.wav')]);
  // One recording of both calls.
  const sounds = ['alert.wav', 'test.wav'].map((name) => readWav(readFileSync(inFolder(name))).channels[0]);
  const samples = Float32Array.from(sounds.flatMap((sound) => [...sound]));
  writeFileSync(inFolder('both.wav'), writeWav({ sampleRate: 8000, channels: [samples] }));
  whileHeld = decodeWhileHeld(inFolder('held.db'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

const read = async (log: string) => jsonLines((await here(['log', log, '--json'])).stdout);

describe('a log that cannot be written', () => {
  beforeEach(() => {
    writeFileSync(inFolder('text.db'), 'no log at all, but text. '.repeat(100));
    mkdirSync(inFolder('folder.db'), { recursive: true });
  });

  it.each<[string, string]>([
    ['no/such/folder.db', 'a file in a folder that exists'],
    ['folder.db', 'a file, not a folder'],
    ['text.db', 'a log of calls: this is a file of another kind'],
    ['test.wav', 'a log of calls: this is a file of another kind'],
    ['/dev/full', 'an ordinary file, not a device or a pipe'],
  ])('%s: decode prints the calls, says it in one line, and ends with 2', async (name, expected) => {
    const path = name.startsWith('/') ? name : inFolder(name);
    const { code, stdout, stderr } = await here(['decode', '--vhf', '--log', path, inFolder('both.wav')]);
    expect(stdout).toContain('Distress alert from ship 299 123 456');
    expect(stdout).toContain('Test call from ship 299 123 456');
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(stderr).toContain(`dotphase: log: got ${JSON.stringify(path)}, expected ${expected}`);
    expect(code).toBe(2);
  });

  it('is told once for several recordings', async () => {
    const files = [inFolder('alert.wav'), inFolder('test.wav')];
    const { code, stdout, stderr } = await here(['decode', '--log', inFolder('folder.db'), ...files]);
    expect(stdout).toContain('Distress alert from ship 299 123 456');
    expect(stdout).toContain('Test call from ship 299 123 456');
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(stderr).toContain('a file, not a folder');
    expect(code).toBe(2);
  });

  it('encode, answer and rehearse do their work all the same', async () => {
    const log = ['--log', inFolder('folder.db')];
    const runs = [
      await here([...testCall, '--out', inFolder('made.wav'), ...log]),
      await here(['answer', inFolder('test.wav'), '--as', COAST, '--out', inFolder('answer.wav'), ...log]),
      await here(['rehearse', '--auto', 'false-alert', ...log]),
    ];
    expect(runs.map(({ code }) => code)).toEqual([2, 2, 2]);
    for (const { stderr } of runs) expect(stderr.match(/a file, not a folder/g)).toHaveLength(1);
    expect(existsSync(inFolder('made.wav'))).toBe(true);
    expect(readFileSync(inFolder('answer.wav')).length).toBeGreaterThan(44);
    expect(runs[2].stdout).toContain('Distress alert');
  }, 60_000);

  it('keeps what is heard live until it can be written, without waiting for it', async () => {
    const path = inFolder('live.db');
    await here([...testCall, '--out', inFolder('live.wav'), '--log', path]);
    const holder = new DatabaseSync(path);
    holder.exec('BEGIN IMMEDIATE');
    const child = spawn(process.execPath, [MAIN, 'decode', '--vhf', '--log', path, '-']);
    const text = { stdout: '', stderr: '' };
    child.stdout.on('data', (bytes: Buffer) => (text.stdout += bytes.toString()));
    child.stderr.on('data', (bytes: Buffer) => (text.stderr += bytes.toString()));
    const closed = new Promise((resolve) => child.once('close', resolve));
    const sound = readFileSync(inFolder('both.wav'));
    const half = sound.length - 8000;
    child.stdin.write(sound.subarray(0, half));
    await vi.waitFor(() => {
      expect(text.stderr).toContain('calls are kept to be logged later');
      expect(text.stdout).toContain('Distress alert');
    }, 60_000);
    expect(await read(path)).toHaveLength(1);
    holder.exec('ROLLBACK');
    holder.close();
    child.stdin.end(sound.subarray(half));
    expect(await closed).toBe(0);
    expect((await read(path)).map(({ direction }) => direction)).toEqual(['made', 'received', 'received']);
  });

  it('loses alone what is refused by itself, and says so', async () => {
    const said = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    const log = await LogFile.open(inFolder('refused.db'));
    const sent = callEntry({ kind: 'testCall', to: { station: COAST }, self: SHIP }, { direction: 'sent' });
    log.owe(({ calls }) => {
      calls.stop(17);
    });
    log.owe(({ calls }) => {
      calls.add(sent);
    });
    expect(log.write((calls) => calls.list())).toHaveLength(1);
    log.close();
    expect(log.failed).toBe(true);
    expect(said.mock.calls.map(([text]) => text)).toEqual([
      expect.stringContaining('not every call is logged'),
    ]);
    said.mockRestore();
  });

  it('that runs full is said, and the calls go on', async () => {
    const path = inFolder('small.db');
    // A limit of eight blocks of 512 bytes on every file that is written stands for a disk that is full.
    const script = `trap '' XFSZ; ulimit -f 8; exec "$0" "$@"`;
    const child = spawn('sh', [
      '-c',
      script,
      process.execPath,
      MAIN,
      'decode',
      '--log',
      path,
      inFolder('test.wav'),
    ]);
    const text = { stdout: '', stderr: '' };
    child.stdout.on('data', (bytes: Buffer) => (text.stdout += bytes.toString()));
    child.stderr.on('data', (bytes: Buffer) => (text.stderr += bytes.toString()));
    const code = await new Promise((resolve) => child.once('close', resolve));
    expect(text.stdout).toContain('Test call');
    expect(text.stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(text.stderr).toMatch(/dotphase: log: got .*small\.db.*(full|no room)/);
    expect(code).toBe(2);
  });
});

describe('what is written to a full disk', () => {
  it('does not end with 0', async () => {
    const toFull = (args: readonly string[]) =>
      new Promise<{ code: number; stderr: string }>((resolve) => {
        const child = spawn('sh', ['-c', '"$0" "$@" > /dev/full', process.execPath, MAIN, ...args]);
        let stderr = '';
        child.stderr.on('data', (bytes: Buffer) => (stderr += bytes.toString()));
        child.once('close', (code) => {
          resolve({ code: code ?? -1, stderr });
        });
      });
    const runs = await Promise.all([
      toFull(['decode', '--vhf', inFolder('test.wav')]),
      toFull([...testCall, '--out', '-']),
      toFull(['answer', '--vhf', inFolder('test.wav'), '--as', COAST]),
    ]);
    for (const { code, stderr } of runs) {
      expect(code).toBe(2);
      expect(stderr).toContain('standard output cannot be written: the disk is full');
      expect(stderr).not.toContain('    at ');
    }
    const file = await here([...testCall, '--out', '/dev/full']);
    expect(file.code).toBe(2);
    expect(file.stderr).toContain('expected a file that can be written (the disk is full)');
  });

  it('ends with 2 and no words where the reader closes the pipe', async () => {
    const script = '{ "$0" "$@"; echo "$?" >&2; } | true';
    const child = spawn('sh', [
      '-c',
      script,
      process.execPath,
      MAIN,
      ...testCall,
      '--rate-hz',
      '48000',
      '--out',
      '-',
    ]);
    let stderr = '';
    child.stderr.on('data', (bytes: Buffer) => (stderr += bytes.toString()));
    await new Promise((resolve) => child.once('close', resolve));
    expect(stderr).toBe('2\n');
  });
});

describe('the log that was written', () => {
  it('tells made from received, by when the call began, and shows distress apart', async () => {
    const log = inFolder('calls.db');
    await dotphase([...testCall, '--out', inFolder('made.wav'), '--log', log]);
    const recorded = ['--recorded', '2031-05-17T09:30'];
    await dotphase(['decode', '--vhf', '--log', log, ...recorded, inFolder('alert.wav')]);
    const { code, stdout } = await dotphase(['log', log, '--apart']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Distress calls\n2031-05-17 09:30:00 {2}Distress alert[^]*\nOther calls\n[^]*Test call/,
    );
    expect(stdout).toContain(`made as`);
    const none = await dotphase(['log', log, '--apart', '--kind', 'test-call']);
    expect(none.stdout).toContain('Distress calls\nnone\nOther calls\n');
    expect(readdirSync(folder).filter((name) => name.startsWith('calls.db-'))).toEqual([]);
    const entries = await read(log);
    expect(entries.map(({ direction, category }) => [direction, category])).toEqual([
      ['made', 'safety'],
      ['received', 'distress'],
    ]);
  });

  it('notes an answer that was cut off in the middle', async () => {
    const log = inFolder('answers.db');
    // Six seconds after a call at 100 Bd its answer has begun, and cannot be at its end.
    const call = [
      'encode',
      'test-call',
      '--from',
      SHIP,
      '--to',
      COAST,
      '--rate-hz',
      '8000',
      '--silence',
      '6',
    ];
    await here([...call, '--out', inFolder('slow.wav')]);
    const raw = ['--raw', 's16', '--rate-hz', '8000', '-'];
    const child = spawn(process.execPath, [
      MAIN,
      'answer',
      '--delay',
      '0',
      '--mf-hf',
      '--as',
      COAST,
      '--log',
      log,
      ...raw,
    ]);
    const ended = new Promise((resolve) => child.once('close', resolve));
    child.stdout.resume();
    let stderr = '';
    const begun = new Promise<void>((resolve) => {
      child.stderr.on('data', (bytes: Buffer) => {
        stderr += bytes.toString();
        if (stderr.includes('Answers:')) resolve();
      });
    });
    child.stdin.write(readFileSync(inFolder('slow.wav')).subarray(44));
    await begun;
    child.kill('SIGINT');
    await ended;
    const sent = (await read(log)).find(({ direction }) => direction === 'sent');
    expect(sent).toMatchObject({ kind: 'testAcknowledgement', stopped: true });
  }, 60_000);

  it('refuses one beginning for several recordings', async () => {
    const files = [inFolder('test.wav'), inFolder('alert.wav')];
    const run = await here(['decode', '--recorded', '2031-05-17T09:30', ...files]);
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toContain('--recorded');
    expect(run.stderr).toContain('say name or chunk');
  });
});

/** The last of all, as it waits for what was begun before the first. */
describe('a log that another program holds to the end', () => {
  it('is said at the end, and not waited for at every call', async () => {
    const { code, stdout, stderr, seconds } = await whileHeld;
    expect(code).toBe(2);
    expect(stdout).toContain('Distress alert');
    expect(stdout).toContain('Test call');
    // Waited for at both calls too, it would be thirty.
    expect(seconds).toBeLessThan(20);
    expect(stderr).toContain('another program is writing into it');
    expect(stderr).not.toContain('damaged');
  }, 30_000);
});
