/** An archive: a queue of recordings, and what workers can't read; what they hear: archive.long.test.ts. */
import { appendFileSync, copyFileSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { belonging, placeOf } from '../../src/cli/archive/reading.js';
import { openRecordingQueue } from '../../src/archive/index.js';
import { build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { heardIn } from './logged.js';

let top: string;
let folder: string;
const inFolder = (...names: string[]) => join(folder, ...names);

beforeAll(async () => {
  build();
  top = mkdtempSync(join(tmpdir(), 'archive-'));
  await here(['encode', 'test-call', '--from', '299123456', '--to', '002991234', '--vhf', '--out', short()]);
  const alert = ['--from', '299123456', '--nature', 'sinking', '--vhf', '--repeat', '5'];
  await here(['encode', 'distress-alert', ...alert, '--out', attempt()]);
  await here(['decode', '--log', attemptLog(), attempt()]);
});
afterAll(() => {
  rmSync(top, { recursive: true, force: true });
});
beforeEach(() => {
  folder = mkdtempSync(join(top, 'folder-'));
});
const short = () => join(top, 'short.wav');
const attempt = () => join(top, 'attempt.wav');
/** What is heard in that attempt of five alerts. */
const attemptLog = () => join(top, 'attempt.db');

describe('an archive', () => {
  it('says what cannot be read, and gathers what several workers logged', async () => {
    const queue = ['--queue', inFolder('q')];
    const root = ['--root', folder];
    copyFileSync(short(), inFolder('good.wav'));
    copyFileSync(short(), inFolder('grown.wav'));
    const outside = await here(['archive', 'add', ...root, ...queue, short()]);
    expect(outside.code).toBe(2);
    expect(outside.stderr).toMatch(/expected one below the root .*: say which by --root/);
    await here(['archive', 'add', ...root, ...queue, inFolder('good.wav'), inFolder('grown.wav')]);
    appendFileSync(inFolder('grown.wav'), 'more');
    const work = ['archive', 'work', ...root, ...queue, '--threads', '1', '--log', inFolder('a.db')];
    const worked = await dotphase(work);
    expect(worked.code).toBe(2);
    expect(worked.stderr).toMatch(/grown\.wav: it had \d+ bytes when it was added and has \d+.*; given up\n/);
    const status = await here(['archive', 'status', ...queue]);
    expect(status.stdout).toMatch(/^given up +1$/m);
    expect(status.stdout).toMatch(/^ {2}grown\.wav: it had/m);
    const json = JSON.parse((await here(['archive', 'status', '--json', ...queue])).stdout) as object;
    expect(json).toMatchObject({
      waiting: 0,
      done: 1,
      dead: 1,
      deadPieces: [{ path: 'grown.wav', piece: 0 }],
    });
    expect((await here(['archive', 'retry', ...queue])).stdout).toBe('1 piece may be tried again.\n');

    const gather = ['archive', 'gather', '--log', inFolder('all.db'), inFolder('a.db'), attemptLog()];
    expect((await here(gather)).stdout).toBe('2 calls added, 0 known already.\n');
    expect((await here(gather)).stdout).toBe('0 calls added, 2 known already.\n');
    expect((await heardIn(inFolder('all.db'))).filter((entry) => entry.includes('× 5'))).toHaveLength(1);
  });

  it('reads nothing where there is no queue, no log, or the log cannot be written', async () => {
    const queue = ['--queue', inFolder('q')];
    expect((await here(['archive', 'status', ...queue])).stderr).toMatch(/a queue: there is no such file/);
    expect((await here(['archive', 'add', ...queue])).stderr).toMatch(
      /expected audio files, folders, or --list/,
    );
    const missing = await here(['archive', 'add', '--root', folder, ...queue, inFolder('none.wav')]);
    expect(missing.code).toBe(2);
    expect(missing.stderr).toMatch(/none\.wav", expected a file that is there/);
    const gathered = await here(['archive', 'gather', '--log', inFolder('all.db'), inFolder('none.db')]);
    expect(gathered.code).toBe(2);
    // Nothing is made where there was nothing to do.
    expect(readdirSync(folder)).toEqual([]);
    copyFileSync(short(), inFolder('a.wav'));
    await here(['archive', 'add', '--root', folder, ...queue, folder]);
    expect((await here(['archive', 'work', ...queue])).stderr).toMatch(/--log: got nothing/);
    const worked = await here(['archive', 'work', '--root', folder, ...queue, '--log', folder]);
    expect(worked.code).toBe(2);
    expect(worked.stderr).toMatch(/a file, not a folder/);
    const opened = await openRecordingQueue(inFolder('q'));
    expect(await opened.status()).toMatchObject({ waiting: 1, done: 0 });
    await opened.close();
  });
});

describe('a piece', () => {
  it('lies below the root, whatever the queue says', () => {
    expect(placeOf('/data', 'a/b.wav')).toBe('/data/a/b.wav');
    for (const path of ['../secret', 'a/../../secret', '/etc/passwd/../../x/..', '.', ''])
      expect(() => placeOf('/data', path), path).toThrow(/leads out of/);
  });

  it('has the attempts that begin in it, sure ones also a little beside it', () => {
    const call = (id: number, start: number, quality = 'clean') =>
      ({ attempt: { id, sending: 1 }, start, quality }) as Parameters<ReturnType<typeof belonging>>[0];
    const belongs = belonging({ piece: 1, pieceSeconds: 60 });
    expect(belongs(call(1, 61))).toBe(true);
    expect(belongs(call(2, 31))).toBe(true);
    expect(belongs(call(3, 29))).toBe(false);
    expect(belongs(call(4, 59, 'doubtful'))).toBe(false);
    expect(belongs(call(5, 149))).toBe(true);
    // A further sending goes where its attempt went.
    expect(belongs(call(5, 158))).toBe(true);
    expect(belongs(call(3, 62))).toBe(false);
  });
});
