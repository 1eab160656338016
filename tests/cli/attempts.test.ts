import { createHash } from 'node:crypto';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { mix, transmit } from '../scenes/transmission.js';
import { writeWav } from '../../src/wav/index.js';
import { build, runProgram } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const sampleRate = 8000;
const ALERT = encodeCall({
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
}).symbols;
const near = ['--mf-hf', '--centre', '1700', '--search', '20'];

let folder: string;
let file: string;

beforeAll(() => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
  file = join(folder, 'five.wav');
  // Five alerts of 7.2 s from 1 s on; the dots of the first take 2 s.
  const five = transmit(ALERT, { sampleRate, repeat: 5, dotsBefore: 'each', before: 1 });
  writeFileSync(file, writeWav({ sampleRate, channels: [mix(sampleRate, [{ audio: five }])] }));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

it('five sendings of one alert are one call for people', async () => {
  const { stdout, code } = await here(['decode', ...near, file]);
  expect(code).toBe(0);
  expect(stdout.match(/Distress alert/g)).toHaveLength(1);
  expect(stdout).toContain('Call of 00:03.00: 5 sendings, 0:03 to 0:37; the surest is clean.');
  const explained = await here(['explain', '--width', '100', file]);
  expect(explained.stdout).toContain('Call 1 of 1');
  expect(explained.stdout).toContain('5 sendings, 0:03 to 0:37');
});

it('each sending is a line of JSON, with the attempt it belongs to', async () => {
  const { stdout } = await here(['decode', '--json', ...near, file]);
  const told = jsonLines<{ attempt: unknown }>(stdout);
  expect(told.map(({ attempt }) => attempt)).toEqual([1, 2, 3, 4, 5].map((sending) => ({ id: 1, sending })));
});

describe('in a log', () => {
  const entries = async (log: string) => {
    const { stdout } = await here(['log', log, '--json']);
    return jsonLines(stdout);
  };

  it('five sendings are one entry, and a recording that is decoded again adds nothing, whatever its name', async () => {
    const log = join(folder, 'calls.db');
    const decode = ['decode', ...near, '--log', log];
    const first = await here([...decode, '--recorded', '2031-05-17T12:00', file]);
    expect(first).toMatchObject({ code: 0, stderr: '' });
    const logged = await entries(log);
    expect(logged).toMatchObject([
      {
        id: 1,
        time: expect.stringMatching(/^2031-05-17T12:00:03\.0/) as string,
        kind: 'distressAlert',
        file,
        recording: createHash('sha256').update(readFileSync(file)).digest('hex'),
        sendings: 5,
      },
    ]);
    // A call of 620 bits and 20 dots follows the last at 6.8 s to 7 s.
    const times = (logged[0].sendingTimes as string[]).map(Date.parse);
    for (let i = 1; i < 5; i++)
      expect((times[i] - times[i - 1]) / 1000).toBeCloseTo((times[4] - times[0]) / 4000, 1);
    const shown = await here(['log', log]);
    expect(shown.stdout).toMatch(/received, 5 sendings, begun 0:03 to 0:3\d of the recording/);

    const renamed = join(folder, 'renamed.wav');
    copyFileSync(file, renamed);
    const again = await here([...decode, renamed]);
    expect(again.code).toBe(0);
    expect((await here([...decode, file])).code).toBe(0);
    expect(again.stderr).toContain(`${renamed}: calls of this recording are in the log already`);
    expect(await entries(log)).toEqual(logged);
  }, 60_000);

  it('standard input has no name and no end to know it by: its calls are logged each time', async () => {
    const log = join(folder, 'live.db');
    const decode = ['decode', ...near, '--log', log, '-'];
    for (let i = 0; i < 2; i++) await runProgram('main', decode, { input: readFileSync(file) });
    const logged = await entries(log);
    expect(logged.map(({ sendings }) => sendings)).toEqual([5, 5]);
    expect(logged[0]).not.toHaveProperty('recording');
  }, 60_000);
});
