/**
 * A distress alert sent once on each of several frequencies, as people and programs are told of it: one attempt
 * (M541-8 Annex 1 §3.1.3.2).
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall, type DistressAlert } from '../../src/calls/index.js';
import { createAnswers } from '../../src/cli/page/answers.js';
import { profileOf } from '../../src/cli/profile/profile.js';
import type { LogEntry } from '../../src/records/index.js';
import { openHeardStore, openSqliteLog } from '../../src/records/sqlite/index.js';
import { writeWav } from '../../src/wav/index.js';
import { createSlice } from '../scenes/slice.js';
import { mix, transmit } from '../scenes/transmission.js';
import { build, runProgram } from './dotphase.js';
import { here, type Outcome } from './here.js';
import { jsonLines } from './jsonlines.js';

const RATE = 8000;
const SIX = [2187.5, 4207.5, 6312, 8414.5, 12577, 16804.5];
const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'sinking',
  position: { latitude: 48.5, longitude: -30.25 },
  time: '09:28',
  followOn: 'j3e',
};
const OTHER: DistressAlert = { ...ALERT, self: '299654321', time: '09:29' };

let folder: string;
const inFolder = (name: string) => join(folder, name);

/** A recording of a call, begun at 09:30 and so many seconds; the phasing comes after 0.5 s and 2 s of dots. */
function record(call: DistressAlert, kilohertz: number, second: number, more = ''): string {
  const { symbols } = encodeCall(call);
  const audio = mix(RATE, [{ audio: transmit(symbols, { sampleRate: RATE, after: 2 }) }]);
  // No two recordings are the same to the last sample.
  audio[0] = (second + more.length) / 1000;
  const clock = `2031-05-17T09-3${Math.floor(second / 60)}-${String(second % 60).padStart(2, '0')}Z`;
  const name = inFolder(`${clock}_${kilohertz}kHz${more}.wav`);
  writeFileSync(name, writeWav({ sampleRate: RATE, channels: [audio] }));
  return name;
}

const NAMED = ['--mf-hf', '--recorded', 'name', '--frequency', 'name'];
const flat = (text: string) => text.replace(/\s+/g, ' ');

interface Line {
  attempt: { id: number; sending: number };
  multiFrequencyAttempt?: { id: number; sending: number };
  frequencyHz: number;
}
async function lines(...args: string[]): Promise<Line[]> {
  const { stdout } = await here(['decode', '--json', ...NAMED, ...args]);
  return jsonLines<Line>(stdout);
}

let six: string[];
let twice: string;
let other: string;
let later: string;
beforeAll(() => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'frequencies-'));
  six = SIX.map((kilohertz, n) => record(ALERT, kilohertz, 10 * n));
  // The second input's clock is three seconds slow.
  twice = record(ALERT, SIX[1], 7, '-south');
  other = record(OTHER, SIX[3], 31);
  later = record(ALERT, SIX[0], 270);
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('an alert on six frequencies in six recordings', () => {
  const log = () => inFolder('calls.db');
  const logged = async () => {
    const store = await openSqliteLog(log(), { clock: Date.now, readonly: true });
    const entries = store.list();
    store.close();
    return entries;
  };
  let found: Line[];
  let forPeople: Outcome;
  let entries: LogEntry[];
  beforeAll(async () => {
    // Nine recordings into a log, and six of them again, turned round, for people.
    found = await lines('--log', log(), ...six, twice, other, later);
    entries = await logged();
    forPeople = await here(['decode', ...NAMED, '--log', log(), ...[...six].reverse()]);
  });

  it('is one attempt for people, also read from the last to the first', () => {
    const { stdout, code } = forPeople;
    expect(code).toBe(0);
    expect(stdout.match(/Distress alert/g)).toHaveLength(1);
    expect(flat(stdout)).toMatch(
      /: 6 sendings on 6 frequencies \([\d., and]+ kHz\), begun 09:30:02 to 09:30:52; the surest is clean\./,
    );
    for (const kilohertz of SIX) expect(stdout).toContain(String(kilohertz));
    expect(flat(stdout)).toMatch(/On 6312\.0 kHz, sending \d of the call of 2031-05-17 09:30:\d\d UTC/);
  });

  it('has one number in the lines of JSON, each sending a line', () => {
    expect(found).toHaveLength(9);
    const numbers = found.map(({ multiFrequencyAttempt: number }) => number);
    expect(numbers).toEqual([
      ...[1, 2, 3, 4, 5, 6].map((sending) => ({ id: 1, sending })),
      // The same sending heard elsewhere, another ship, the repetition after 3.5 to 4.5 minutes.
      { id: 1, sending: 2 },
      { id: 2, sending: 1 },
      { id: 3, sending: 1 },
    ]);
    expect(found.every(({ attempt }) => attempt.sending === 1)).toBe(true);
  });

  it('is one with a recording missing and one cut in the middle of its call', async () => {
    const cut = writeWav({
      sampleRate: RATE,
      channels: [transmit(encodeCall(ALERT).symbols, { sampleRate: RATE }).subarray(0, 5 * RATE)],
    });
    const cutFile = inFolder('2031-05-17T09-30-30Z_8414.5kHz-cut.wav');
    writeFileSync(cutFile, cut);
    const { stdout } = await here(['decode', ...NAMED, six[0], six[2], cutFile, six[5]]);
    expect(flat(stdout)).toContain(
      'Call of 2031-05-17 09:30:02 UTC: 3 sendings on 3 frequencies (2187.5, 6312 and 16804.5 kHz), begun 09:30:02 to 09:30:52',
    );
  });

  it('is none where nothing tells when the recordings were made', async () => {
    const args = ['decode', '--mf-hf', '--frequency', 'name', ...six.slice(0, 2)];
    const { stdout } = await here(args);
    expect(stdout.match(/Distress alert/g)).toHaveLength(2);
    expect(stdout).not.toContain('sendings');
  });

  it('is one in a log, which reading them again leaves as it is', async () => {
    expect(entries).toHaveLength(9);
    for (const file of [twice, other, later]) await here(['decode', ...NAMED, '--log', log(), file]);
    expect(await logged()).toEqual(entries);
    for (const command of ['log', 'heard']) {
      const { stdout } = await here([command, log()]);
      expect(stdout.match(/Distress alert/g), command).toHaveLength(3);
      expect(flat(stdout), command).toContain(
        '6 sendings on 6 frequencies (2187.5, 4207.5, 6312, 8414.5, 12577 and 16804.5 kHz), begun 09:30:02 to 09:30:52',
      );
    }
    const each = await here(['heard', log(), '--each']);
    expect(each.stdout.match(/Distress alert/g)).toHaveLength(9);
    expect(flat(each.stdout)).toContain('part of attempt 1 on several frequencies');
    const one = await here(['heard', log(), '--frequency', '6312']);
    expect(flat(one.stdout)).toContain('6 sendings on 6 frequencies');
    const geojson = await here(['heard', log(), '--geojson']);
    expect((JSON.parse(geojson.stdout) as { features: unknown[] }).features).toHaveLength(3);
    const json = await here(['heard', log(), '--json']);
    const attempts = jsonLines(json.stdout).map((entry) => entry.multiFrequencyAttempt);
    expect(attempts.filter((id) => id === 1)).toHaveLength(6);
    const store = await openHeardStore(log(), { clock: Date.now, readonly: true });
    const page = createAnswers(store, await profileOf({}));
    const { calls } = page.calls({});
    // The latest first: the repetition, the other ship, the attempt.
    expect(calls.map(({ sendings }) => sendings.length)).toEqual([1, 1, 6]);
    expect(calls[2].sendings.map(({ frequencyHz = 0 }) => frequencyHz / 1000)).toEqual(SIX);
    expect(page.calls({ frequency: '6312000' }).calls).toHaveLength(1);
    expect(page.summary().places).toHaveLength(3);
    store.close();
    const counts = await here(['heard', log(), '--count', 'kind', '--csv']);
    expect(counts.stdout.split('\r\n')[1]).toBe('distress alert,3');
  });
});

describe('a watch of inputs on several frequencies', () => {
  const configure = () => {
    const inputs = SIX.slice(0, 3).map((kilohertz, n) => {
      const audio = mix(RATE, [
        { audio: transmit(encodeCall(ALERT).symbols, { sampleRate: RATE, after: 2 }) },
      ]);
      const name = `input-${n}.raw`;
      writeFileSync(
        inFolder(name),
        Int16Array.from(audio, (sample) => Math.round(20_000 * sample)),
      );
      const recorded = `2031-05-17T09:30:${n}0Z`;
      const sound = { format: 's16', sampleRate: RATE, bands: ['mf-hf'] };
      return { name: `hf ${n}`, pipe: name, ...sound, frequencyHz: 1000 * kilohertz, recorded };
    });
    writeFileSync(inFolder('watch.json'), JSON.stringify({ log: 'watch.db', inputs }));
    rmSync(inFolder('watch.db'), { force: true });
    return inFolder('watch.json');
  };

  it('tells people of one call, and then how many sendings there are', async () => {
    const { stdout } = await runProgram('main', ['watch', configure()]);
    expect(stdout.match(/Distress alert/g)).toHaveLength(1);
    expect(flat(stdout)).toContain(
      'clean: 3 sendings on 3 frequencies (2187.5, 4207.5 and 6312 kHz), begun 09:30:02 to 09:30:22',
    );
  });

  it('gives programs one number for its sendings', async () => {
    const { stdout } = await runProgram('main', ['watch', '--json', configure()]);
    const numbers = jsonLines<Partial<Line>>(stdout)
      .map((line) => line.multiFrequencyAttempt)
      .filter((number) => number !== undefined);
    expect(numbers.map(({ id }) => id)).toEqual([1, 1, 1]);
  });
});

it('an alert in a slice that is tuned from band to band is one attempt', async () => {
  const sampleRate = 32_000;
  const { symbols } = encodeCall(ALERT);
  const tuned = [8_420_000, 12_580_000];
  const samples = tuned.map((tunedHz, n) =>
    createSlice(
      { sampleRate, tunedHz, seconds: 10 },
      [{ symbols, hz: 1000 * SIX[3 + n], at: 1, amplitude: 0.02 }],
      -50,
      n,
    ),
  );
  const data = samples.flatMap(({ i, q }) => {
    const both = new Float32Array(2 * i.length);
    i.forEach((sample, n) => {
      both.set([sample, q[n]], 2 * n);
    });
    return [Buffer.from(both.buffer)];
  });
  writeFileSync(inFolder('bands.sigmf-data'), Buffer.concat(data));
  const captures = tuned.map((hz, n) => ({ 'core:sample_start': n * 10 * sampleRate, 'core:frequency': hz }));
  const global = { 'core:datatype': 'cf32_le', 'core:sample_rate': sampleRate };
  writeFileSync(inFolder('bands.sigmf-meta'), JSON.stringify({ global, captures }));
  const { stdout } = await here(['decode', inFolder('bands.sigmf-meta')]);
  expect(stdout.match(/Distress alert/g)).toHaveLength(1);
  expect(flat(stdout)).toContain(
    'Call of 0:03: 2 sendings on 2 frequencies (8414.5 and 12577 kHz), begun 0:03 to 0:13; the surest is clean.',
  );
});
