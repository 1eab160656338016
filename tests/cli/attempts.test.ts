import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { mix, transmit } from '../scenes/transmission.js';
import { writeWav } from '../../src/wav/index.js';
import { build, runProgram } from './dotphase.js';

const sampleRate = 8000;
const ALERT = encodeCall({
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
});
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
  const { stdout, code } = await runProgram('main', ['decode', file]);
  expect(code).toBe(0);
  expect(stdout.match(/Distress alert/g)).toHaveLength(1);
  expect(stdout).toContain('Call of 00:03.00: 5 sendings, 0:03 to 0:37; the surest is clean.');
  const explained = await runProgram('main', ['explain', '--width', '100', file]);
  expect(explained.stdout).toContain('Call 1 of 1');
  expect(explained.stdout).toContain('5 sendings, 0:03 to 0:37');
});

it('each sending is a line of JSON, with the attempt it belongs to', async () => {
  const { stdout } = await runProgram('main', ['decode', '--json', file]);
  const lines = stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as { attempt: unknown });
  expect(lines.map(({ attempt }) => attempt)).toEqual([1, 2, 3, 4, 5].map((sending) => ({ id: 1, sending })));
});
