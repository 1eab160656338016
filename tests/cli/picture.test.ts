import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { mix, transmit } from '../scenes/transmission.js';
import { writeWav } from '../../src/wav/index.js';
import { here } from './here.js';

const sampleRate = 8000;
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

it('an overview of a minute shows every call: five sendings of an alert and two calls behind them', async () => {
  const alert = encodeCall({
    kind: 'distressAlert',
    self: '299123456',
    nature: 'flooding',
    position: 'none',
    time: 'none',
    followOn: 'j3e',
  });
  const test = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
  const parts = [
    { audio: transmit(alert, { sampleRate, repeat: 5, dotsBefore: 'each', before: 1 }) },
    { audio: transmit(test, { sampleRate }), at: 40 },
    { audio: transmit(test, { sampleRate }), at: 50 },
  ];
  const [file, out] = [join(folder, 'minute.wav'), join(folder, 'minute.svg')];
  writeFileSync(file, writeWav({ sampleRate, channels: [mix(sampleRate, parts)] }));
  const { code, stdout } = await here(['picture', '--overview', '--seconds', '60', '--out', out, file]);
  expect(code).toBe(0);
  expect(stdout.match(/Distress alert/g)).toHaveLength(5);
  expect(stdout.match(/Test call/g)).toHaveLength(2);
  const named = new Set(readFileSync(out, 'utf8').match(/call \d+(?=<)/g));
  expect([...named].sort()).toEqual([1, 2, 3, 4, 5, 6, 7].map((number) => `call ${number}`));
}, 60_000);

it('a whole recording beyond ten minutes is drawn an hour a line, its calls marked where they are', async () => {
  const test = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
  const minutes = 11;
  const parts = [
    { audio: new Float32Array(minutes * 60 * sampleRate) },
    { audio: transmit(test, { sampleRate }), at: 300 },
    { audio: transmit(test, { sampleRate }), at: 630 },
  ];
  const [file, out] = [join(folder, 'long.wav'), join(folder, 'long.svg')];
  writeFileSync(file, writeWav({ sampleRate, channels: [mix(sampleRate, parts)] }));
  const { code, stdout } = await here([
    ...['picture', '--whole', '--recorded', '2031-05-17T23:50', '--out', out, file],
  ]);
  expect(code).toBe(0);
  expect(stdout).toMatch(/660\.00 s drawn/);
  const svg = readFileSync(out, 'utf8');
  expect(svg.match(/<image /g)).toHaveLength(1);
  expect(svg).toContain('>23:50<');
  // 900 units an hour, from 76 on: what begins at 300 s, behind 200 dots, stands at 76 + 302 / 4.
  const marks = [...svg.matchAll(/<rect x="([\d.]+)"[^>]*><title>(\d): Test call/g)];
  expect(marks.map(([, , number]) => number)).toEqual(['1', '2']);
  expect(Math.abs(Number(marks[0][1]) - (76 + 302 / 4))).toBeLessThan(0.5);
  expect(Math.abs(Number(marks[1][1]) - (76 + 632 / 4))).toBeLessThan(0.5);
  const refused = await here(['picture', '--whole', '--from', '5', '--out', out, file]);
  expect(refused.code).toBe(2);
}, 120_000);
