/** Many recordings as the built command reads them: on threads, from a pipe, as they come. */
import { copyFileSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { spawn } from 'node:child_process';
import { beforeAll, describe, expect, it } from 'vitest';
import { MAIN, build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';
import { call, folder, inFolder, useRecordings } from './recordings.js';

beforeAll(build);
useRecordings();

describe('recordings that are worth threads', () => {
  it('are told in their order, each as by itself', async () => {
    const [long, short] = ['long.wav', 'short.wav'].map((name) => inFolder(name));
    copyFileSync(call(), short);
    const flags = ['--from', '299123456', '--to', '002991234', '--rate-hz', '48000', '--silence', '48'];
    await here(['encode', 'test-call', ...flags, '--out', long]);
    // More than the 4 MiB that are read before threads would have started.
    expect(statSync(long).size).toBeGreaterThan(2 ** 22);
    const alone = [await here(['decode', '--json', long]), await here(['decode', '--json', short])];
    const { code, stdout } = await dotphase(['decode', '--json', long, short]);
    expect(code).toBe(0);
    expect(jsonLines(stdout).map(({ file }) => file)).toEqual([long, short]);
    expect(stdout).toBe(alone.map((run) => run.stdout).join(''));
  });
});

describe('a list', () => {
  it('comes from a file or from standard input', async () => {
    copyFileSync(call(), inFolder('a b.wav'));
    writeFileSync(inFolder('list.txt'), `\n${inFolder('a b.wav')}\r\n`);
    const fromFile = await dotphase(['decode', '--json', '--list', inFolder('list.txt')]);
    expect(fromFile.code).toBe(0);
    expect(jsonLines(fromFile.stdout).map(({ file }) => file)).toEqual([inFolder('a b.wav')]);
    const input = `${inFolder('a b.wav')}\n\n${call()}\r\n`;
    const fromInput = await dotphase(['decode', '--json', '--list', '-'], { input });
    expect(fromInput.code).toBe(0);
    expect(jsonLines(fromInput.stdout).map(({ file }) => file)).toEqual([inFolder('a b.wav'), call()]);
  });
});

describe('new files', () => {
  it('are read once they are whole, until the program is told to stop', async () => {
    copyFileSync(call(), inFolder('first.wav'));
    utimesSync(inFolder('first.wav'), 1e9, 1e9);
    const child = spawn(process.execPath, [MAIN, 'decode', '--json', '--new-files', folder]);
    let text = '';
    const shows = async (count: number) => {
      while (jsonLines(text).length < count) await new Promise((resolve) => setTimeout(resolve, 50));
    };
    child.stdout.on('data', (bytes: Buffer) => (text += bytes.toString()));
    await shows(1);
    copyFileSync(call(), inFolder('second.wav'));
    await shows(2);
    child.kill('SIGTERM');
    const code = await new Promise((resolve) => child.on('close', resolve));
    expect(code).toBe(0);
    expect(jsonLines(text).map(({ file }) => file)).toEqual(
      ['first.wav', 'second.wav'].map((name) => inFolder(name)),
    );
  });
});
