/**
 * Errors as people read them: which option or file, what was given, what is expected, what to do.
 */
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeWhole } from '../../src/cli/profile/book.js';
import { here } from './here.js';

const SHIP = '299123456';
const COAST = '002991000';

let folder: string;
const inFolder = (name: string) => join(folder, name);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-errors-'));
  const ascii = (text: string) => Buffer.concat([Buffer.from(text, 'latin1'), Buffer.alloc(64)]);
  writeFileSync(inFolder('a.flac'), ascii('fLaC'));
  writeFileSync(inFolder('tagged.mp3'), ascii('ID3\x03'));
  writeFileSync(inFolder('plain.mp3'), ascii('\xff\xfb\x90\x64'));
  writeFileSync(inFolder('it is.ogg'), ascii('OggS'));
  writeFileSync(inFolder('flac.wav'), ascii('fLaC'));
  writeFileSync(inFolder('a.m4a'), ascii('\0\0\0\x20ftypM4A '));
  writeFileSync(inFolder('empty.wav'), '');
  writeFileSync(inFolder('text.wav'), 'these are the notes of an evening at the set');
  writeFileSync(inFolder('bytes.wav'), Buffer.from([1, 2, 3, 4, 5, 6, 7, 8, 200, 201, 202, 203, 1, 2, 3, 4]));
  mkdirSync(inFolder('folder.wav'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('what is no recording', () => {
  it.each<[string, string]>([
    ['it is.ogg', "it is.ogg' '"],
    ['a.m4a', 'got an MP4 file'],
    ['empty.wav', 'got an empty file, expected an audio file: record or copy it again'],
    ['text.wav', 'got a text file, expected an audio file, or --raw and --rate-hz'],
    ['bytes.wav', 'got a file of an unknown kind, expected an audio file, or --raw'],
    ['missing.wav', 'expected a file that can be read: there is no such file or folder'],
  ])('%s is named in every command that reads one', async (name, said) => {
    const file = inFolder(name);
    const out = inFolder('out.wav');
    const runs = [
      await here(['decode', file]),
      await here(['degrade', file, out, '--snr', '3']),
      await here(['picture', file, '--out', inFolder('out.svg')]),
      await here(['answer', file, '--as', SHIP, '--out', out]),
    ];
    expect(runs.map(({ code }) => code)).toEqual([2, 2, 2, 2]);
    const text = runs.map(({ stderr }) => stderr).join('');
    expect(text.split(said).length - 1).toBe(4);
    expect(text).not.toMatch(/these bytes|EISDIR|ENOENT|RF64| {4}at /);
  });

  it.each([
    ['a.flac', 'a FLAC file'],
    ['flac.wav', 'a FLAC file'],
    ['tagged.mp3', 'an MP3 file'],
    ['plain.mp3', 'an MP3 file'],
  ])('%s, of another kind that can be read, says what is wrong with it', async (name, kind) => {
    const file = inFolder(name);
    const out = inFolder('out.wav');
    const runs = [
      await here(['decode', file]),
      await here(['explain', file]),
      await here(['picture', file, '--out', inFolder('out.svg')]),
      await here(['answer', file, '--as', SHIP, '--out', out]),
      await here(['degrade', file, out, '--snr', '3']),
    ];
    expect(runs.map(({ code }) => code)).toEqual([2, 2, 2, 2, 2]);
    for (const { stderr } of runs) expect(stderr).toContain(`got ${kind} with`);
  });

  it('may be a folder: decode wants audio files in it, the others one file', async () => {
    const folder = inFolder('folder.wav');
    const decoded = await here(['decode', folder]);
    expect(decoded).toMatchObject({ code: 2, stdout: '' });
    expect(decoded.stderr).toContain('expected a folder with recordings');
    for (const run of [
      await here(['degrade', folder, inFolder('out.wav'), '--snr', '3']),
      await here(['picture', folder, '--out', inFolder('out.svg')]),
    ]) {
      expect(run.code).toBe(2);
      expect(run.stderr).toContain('expected an audio file: name one of those in it');
    }
  });

  it('may be a folder with no recording beside others, which is said and ends with 2', async () => {
    const file = inFolder('good.wav');
    await here(['encode', 'test-call', '--from', SHIP, '--to', COAST, '--vhf', '--out', file]);
    const { code, stdout, stderr } = await here(['decode', '--vhf', inFolder('folder.wav'), file]);
    expect(code).toBe(2);
    expect(stdout).toContain('Test call');
    expect(stderr).toMatch(/got the folder .*folder\.wav, expected a folder with recordings/);
  });

  it('is named where a call in JSON is expected, too', async () => {
    const { code, stderr } = await here(['explain', inFolder('a.m4a')]);
    expect(code).toBe(2);
    expect(stderr).toContain('got an MP4 file');
  });
});

describe('words', () => {
  it.each<[string[], RegExp]>([
    [['encode', 'routine-call', '--from', SHIP, '--to', 'all-ships'], /--to: /],
    [['encode', 'distress-relay', '--from', SHIP, '--to', '029912345'], /--(to|casualty): /],
    [
      ['encode', 'routine-call', '--from', SHIP, '--to', '299654321', '--receive', '999999999 kHz'],
      /--receive: /,
    ],
    [['encode', 'routine-call', '--from', SHIP], /--to: got nothing, expected/],
    [['log'], /file: got nothing, expected the file of a log/],
    [['book'], /file: got nothing, expected the file of an address book/],
    [['answer', '-'], /--as: got nothing, expected an identity to play/],
  ])('%j', async (args, said) => {
    const out = args[0] === 'encode' ? ['--out', inFolder('x.wav')] : [];
    const { stderr } = await here([...args, ...out]);
    expect(stderr).toMatch(said);
    expect(stderr).not.toMatch(/[{}]|message\.|"nothing"|these bytes/);
  });

  it('a rule that is broken names the field as people do', async () => {
    const { stderr } = await here([
      ...['encode', 'safety-call', '--vhf', '--from', SHIP, '--to', 'all-ships', '--telecommand1', 'f3e'],
      ...['--out', inFolder('x.wav')],
    ]);
    expect(stderr).not.toMatch(/message\.receive|[{}]/);
  });

  it('one line of caution', async () => {
    const call = ['encode', 'distress-alert', '--vhf', '--from', SHIP, '--out', inFolder('x.wav')];
    const { stderr } = await here(call, { COLUMNS: '80' });
    expect(stderr.split('\n').filter((line) => /Caution|air|cable/.test(line))).toHaveLength(1);
  });
});

describe('an address book that cannot be written', () => {
  it('leaves nothing behind', async () => {
    const path = inFolder('taken');
    mkdirSync(path);
    writeFileSync(join(path, 'other'), '');
    await expect(writeWhole(path, '{}')).rejects.toThrow(/address book: got .*taken.* can be written/);
    expect(readdirSync(folder).filter((name) => name.endsWith('.new'))).toEqual([]);
  });
});
