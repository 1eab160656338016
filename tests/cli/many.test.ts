/** Many recordings: folders, tables, and runs that go on where they were; with threads and pipes: many.long.test.ts. */
import { copyFileSync, existsSync, mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';
import { call, folder, inFolder, useRecordings } from './recordings.js';

useRecordings();

describe('a folder', () => {
  it('stands for the audio files in it and below it, in the order of their names', async () => {
    mkdirSync(inFolder('b', 'c'), { recursive: true });
    for (const name of ['z.wav', 'a.wav', 'b/m.dat', 'b/c/k.wav']) copyFileSync(call(), inFolder(name));
    writeFileSync(inFolder('notes.txt'), 'an evening at the set');
    const { code, stdout, stderr } = await here(['decode', '--json', folder]);
    expect(code).toBe(0);
    expect(jsonLines(stdout).map(({ file }) => file)).toEqual(
      ['a.wav', 'b/c/k.wav', 'b/m.dat', 'z.wav'].map((name) => inFolder(name)),
    );
    expect(stderr).toMatch(/^4 recordings, .* of audio in .* times real time; 1 other file left alone$/m);
  });

  it('is read on where one file is damaged or does not tell its time', async () => {
    copyFileSync(call(), inFolder('20310517T093000Z.wav'));
    copyFileSync(call(), inFolder('undated.wav'));
    writeFileSync(inFolder('20310517T103000Z.flac'), Buffer.from(`fLaC${'\0'.repeat(64)}`));
    const { code, stdout, stderr } = await here(['decode', '--json', '--recorded', 'name', folder]);
    expect(code).toBe(2);
    expect(jsonLines(stdout)).toHaveLength(1);
    expect(stderr).toMatch(/undated\.wav: got a name without it/);
    expect(stderr).toMatch(/20310517T103000Z\.flac: .*a FLAC file/);
  });
});

describe('a list', () => {
  it('is refused where it cannot be read, or shares standard input with audio', async () => {
    const missing = await here(['decode', '--list', inFolder('none.txt')]);
    expect(missing.code).toBe(2);
    expect(missing.stderr).toMatch(/--list: got .* there is no such file/);
    const both = await here(['decode', '--list', '-', '-']);
    expect(both.stderr).toMatch(/a list or for audio, not both/);
    expect((await here(['decode'])).stderr).toMatch(/files: got nothing, expected audio files, folders/);
  });
});

describe('a run that was interrupted', () => {
  it('goes on with what was not read, and reads again what has changed', async () => {
    const log = join(folder, 'calls.db');
    mkdirSync(inFolder('in'));
    copyFileSync(call(), inFolder('in', 'a.wav'));
    const args = ['decode', '--json', '--log', log, '--resume', inFolder('in')];
    const run = () => here(args);
    expect(jsonLines((await run()).stdout)).toHaveLength(1);
    copyFileSync(call(), inFolder('in', 'b.wav'));
    const second = await run();
    expect(jsonLines(second.stdout).map(({ file }) => file)).toEqual([inFolder('in', 'b.wav')]);
    expect(second.stderr).toMatch(/1 recording, .*; 1 left out, read before/);
    const third = await run();
    expect(third).toMatchObject({ code: 0, stdout: '' });
    utimesSync(inFolder('in', 'a.wav'), 1e9, 1e9);
    expect(jsonLines((await run()).stdout)).toHaveLength(1);
    // However often it was read, the same audio is logged once.
    const { stdout } = await here(['log', '--json', log]);
    expect(jsonLines(stdout)).toHaveLength(1);
  });

  it('needs a log that says what was read', async () => {
    const { code, stderr } = await here(['decode', '--resume', call()]);
    expect(code).toBe(2);
    expect(stderr).toMatch(/--resume: got nothing, expected --log beside it/);
  });
});

describe('new files', () => {
  it('need a folder', async () => {
    const { code, stderr } = await here(['decode', '--new-files', call()]);
    expect(code).toBe(2);
    expect(stderr).toMatch(/--new-files: got no folder/);
  });
});

describe('a table', () => {
  const table = (text: string) => {
    writeFileSync(inFolder('table.csv'), text);
    return ['--table', inFolder('table.csv')];
  };
  const decode = (...flags: string[]) => here(['decode', '--json', ...flags, call()]);

  it('tells when each recording began, its frequency and the drift of its clock', async () => {
    const { code, stdout } = await decode(
      ...table('file,recorded,frequency,drift\r\ncall.wav,2031-05-17T09:30:00Z,156.525 MHz,0\r\n'),
    );
    expect(code).toBe(0);
    expect(jsonLines(stdout)[0]).toMatchObject({ frequencyHz: 156_525_000 });
    expect(jsonLines(stdout)[0].startUtc).toMatch(/^2031-05-17T09:30:00/);
  });

  it.each([
    [
      'file,recorded\r\nother.wav,2031-05-17\r\n',
      /call\.wav: got a file without a row, expected a row for it in /,
    ],
    ['file,recorded\r\ncall.wav,soon\r\n', /row 2\.recorded: got "soon"/],
    ['file,drift\r\ncall.wav,1e9\r\n', /row 2\.--drift: got 1000000000/],
    ['file\r\na\r\na\r\n', /row 3, file: got "a", expected the name of a file, each once/],
    ['name\r\na\r\n', /column 1: got "name"/],
  ])('that is wrong is refused with its row: %j', async (text, said) => {
    const { code, stderr } = await decode(...table(text));
    expect(code).toBe(2);
    expect(stderr).toMatch(said);
  });
});

describe('the time of a call', () => {
  const startOf = async (...flags: string[]) =>
    Date.parse(
      jsonLines<{ startUtc: string }>((await here(['decode', '--json', ...flags])).stdout)[0].startUtc,
    );

  it('allows for a recorder whose clock is fast', async () => {
    const late = inFolder('late.wav');
    const flags = ['--from', '299123456', '--to', '002991234', '--vhf', '--silence', '20', '--out', late];
    await here(['encode', 'test-call', ...flags]);
    const plain = await startOf('--recorded', '2031-05-17T09:30', late);
    const fast = await startOf('--recorded', '2031-05-17T09:30', '--drift', '10000', late);
    // 20 s that are 1 % too long.
    expect(plain - fast).toBeGreaterThan(190);
    expect(plain - fast).toBeLessThan(210);
  });

  it('comes from the time of the last change only when asked: the recording ended then', async () => {
    const file = inFolder('a.wav');
    copyFileSync(call(), file);
    const ended = Date.UTC(2031, 4, 17, 9, 30) / 1000;
    utimesSync(file, ended, ended);
    expect(await startOf(file)).toBeNaN();
    const before = ended * 1000 - (await startOf('--recorded', 'modified', file));
    expect(before).toBeGreaterThan(0);
    expect(before).toBeLessThan(3000);
  });
});

describe('degrade', () => {
  const hasSox = spawnSync('sox', ['--version']).status === 0;
  it.skipIf(!hasSox).each(['flac', 'mp3', 'ogg', 'aiff'])('takes %s as well', async (kind) => {
    const file = inFolder(`call.${kind}`);
    if (spawnSync('sox', [call(), file]).status !== 0) return;
    const { code, stderr } = await here(['degrade', file, inFolder('worse.wav'), '--snr', '20']);
    expect([code, stderr]).toEqual([0, '']);
    expect(existsSync(inFolder('worse.wav'))).toBe(true);
    const decoded = await here(['decode', '--json', inFolder('worse.wav')]);
    expect(jsonLines(decoded.stdout)).toHaveLength(1);
  });
});
