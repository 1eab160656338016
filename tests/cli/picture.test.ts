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
