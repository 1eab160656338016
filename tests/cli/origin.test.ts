/** When and on which frequency recordings were made, by their names and chunks. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { originFinder, type OriginFlags } from '../../src/cli/origin.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const originOf = async (file: string, flags: OriginFlags) => (await originFinder(flags))(file);

let folder: string;
const inFolder = (name: string) => join(folder, name);

/** The bytes of a WAV with a broadcast-wave chunk before its samples (EBU Tech 3285 §2.3, from memory). */
function withChunk(wav: Uint8Array, date: string, time: string): Buffer {
  const chunk = Buffer.alloc(8 + 602);
  chunk.write('bext', 0);
  chunk.writeUInt32LE(602, 4);
  chunk.write(date, 8 + 320);
  chunk.write(time, 8 + 330);
  const whole = Buffer.concat([wav.subarray(0, 12), chunk, wav.subarray(12)]);
  whole.writeUInt32LE(whole.length - 8, 4);
  return whole;
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'origin-'));
  const call = inFolder('call.wav');
  await here(['encode', 'test-call', '--from', '299123456', '--to', '002991234', '--vhf', '--out', call]);
  copyFileSync(call, inFolder('20310517T093000Z_8414.5kHz.wav'));
  copyFileSync(call, inFolder('20310517T101500Z_2187.5kHz.wav'));
  writeFileSync(inFolder('chunk.wav'), withChunk(readFileSync(call), '2031-05-17', '23:59:30'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('a name', () => {
  // ISO 8601: basic and extended form, and with what stands in for the colon that file systems refuse.
  it.each([
    ['20310517T093000Z.wav', '2031-05-17T09:30:00.000Z'],
    ['dsc_2031-05-17T09:30:05Z.wav', '2031-05-17T09:30:05.000Z'],
    ['2031-05-17_09-30-05_mf.flac', '2031-05-17T09:30:05.000Z'],
    ['20310517_0930.wav', '2031-05-17T09:30:00.000Z'],
    ['20310517T113000+0200.wav', '2031-05-17T09:30:00.000Z'],
    ['20320229T000000Z.wav', '2032-02-29T00:00:00.000Z'],
  ])('%s tells %s', async (name, moment) => {
    const { recorded } = await originOf(`/somewhere/20200101T000000Z/${name}`, { recorded: 'name' });
    expect(new Date(recorded ?? NaN).toISOString()).toBe(moment);
  });

  it.each(['evening.wav', '20310229T093000Z.wav', '20311317_0930.wav', '20310517_0930_20310518_0930.wav'])(
    '%s tells no moment',
    async (name) => {
      await expect(originOf(name, { recorded: 'name' })).rejects.toThrow(
        /expected one date and time in its name, as in 20310517T093000Z/,
      );
    },
  );

  it.each([
    ['8414.5kHz.wav', 8_414_500],
    ['night 12577 khz 3.wav', 12_577_000],
    ['2187500Hz_20310517.wav', 2_187_500],
  ])('%s tells a frequency', async (name, hz) => {
    expect(await originOf(name, { frequency: 'name' })).toEqual({ frequencyHz: hz });
  });

  it('tells none where there is none, or two', async () => {
    for (const name of ['x.wav', '8414.5kHz_12kHz.wav']) {
      await expect(originOf(name, { frequency: 'name' })).rejects.toThrow(
        /expected one frequency in its name/,
      );
    }
  });

  it('of another form is read by a pattern', async () => {
    const flags = {
      recorded: 'name',
      frequency: 'name',
      namePattern: '*({day}.{month}.{year} {hour}h{minute}) {khz}*',
    } as const;
    expect(await originOf('sea (17.05.2031 09h30) 6312 a.wav', flags)).toEqual({
      recorded: Date.UTC(2031, 4, 17, 9, 30),
      frequencyHz: 6_312_000,
    });
    await expect(originOf('20310517T093000Z 6312kHz.wav', flags)).rejects.toThrow(/fits --name-pattern/);
    for (const namePattern of ['{year}{year}', '{week}', '{year']) {
      await expect(originOf('x.wav', { recorded: 'name', namePattern })).rejects.toThrow(/^--name-pattern: /);
    }
    await expect(originOf('x.wav', { namePattern: '*' })).rejects.toThrow(
      /--recorded name, --frequency name or --tuned name beside it/,
    );
  });
});

describe('decode', () => {
  const lines = (stdout: string) => jsonLines<{ file: string; startUtc: string }>(stdout);

  it('tells each call of several recordings by the time in their names', async () => {
    const files = ['20310517T093000Z_8414.5kHz.wav', '20310517T101500Z_2187.5kHz.wav'].map(inFolder);
    const { code, stdout } = await here(['decode', '--json', '--recorded', 'name', ...files]);
    expect(code).toBe(0);
    const starts = lines(stdout)
      .sort((a, b) => a.file.localeCompare(b.file))
      .map(({ startUtc }) => startUtc.slice(0, 19));
    expect(starts).toEqual(['2031-05-17T09:30:00', '2031-05-17T10:15:00']);
  });

  it('tells a call by the broadcast-wave chunk, also past midnight', async () => {
    const { stdout } = await here(['decode', '--json', '--recorded', 'chunk', inFolder('chunk.wav')]);
    expect(lines(stdout)[0].startUtc).toMatch(/^2031-05-17T23:59:30/);
  });

  it('reads nothing where a recording does not tell what was asked of it', async () => {
    const { code, stdout, stderr } = await here(['decode', '--recorded', 'chunk', inFolder('call.wav')]);
    expect([code, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(
      /call\.wav: got a file without it, expected a WAV file with a broadcast-wave chunk/,
    );
    const input = await here(['decode', '--recorded', 'name', '-']);
    expect(input.code).toBe(2);
    expect(input.stderr).toMatch(/--recorded: got "standard input"/);
  });
});
