import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { decodeFile, type DecodeMessage, type DecodeSettings } from '../../src/cli/decoding.js';
import { clock, trustOf } from '../../src/cli/report.js';
import { frameCall } from '../../src/frames/index.js';
import { MODULATIONS, modulateBits, type ModulateOptions } from '../../src/modem/index.js';
import { writeWav } from '../../src/wav/index.js';

const SAMPLE_RATE = 8000;
const SYMBOLS = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' }).symbols;

let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function audio(options: Partial<ModulateOptions> = {}): Float32Array {
  const { bits } = frameCall(SYMBOLS, { band: 'vhf' });
  return modulateBits(bits, { sampleRate: SAMPLE_RATE, modulation: MODULATIONS.vhf, ...options });
}

async function decode(
  channels: Float32Array[],
  settings: Partial<DecodeSettings> = {},
): Promise<DecodeMessage[]> {
  const file = join(folder, 'audio.wav');
  writeFileSync(file, writeWav({ sampleRate: SAMPLE_RATE, channels }));
  const messages: DecodeMessage[] = [];
  await decodeFile(file, { channel: 'best', bands: ['vhf'], ...settings }, (message) => {
    if (message.type !== 'progress') messages.push(message);
  });
  expect(messages.pop()).toMatchObject({ type: 'end' });
  return messages;
}

const calls = (messages: DecodeMessage[]) =>
  messages.flatMap((message) => (message.type === 'call' ? [message.call] : []));

describe('channels', () => {
  const call = audio();
  const quieter = audio({ level: 0.25 });
  const silence = new Float32Array(call.length);

  it.each([
    ['the same audio twice', [call, call], 'best', [0]],
    ['two receivers', [silence, call], 'best', [1]],
    ['two receivers, one asked for', [silence, call], 0, []],
    ['two receivers, each asked for', [quieter, call], 'each', [0, 1]],
    ['two receivers mixed', [silence, call], 'mix', ['mix']],
  ] as const)('%s', async (_, channels, channel, heardOn) => {
    const heard = calls(await decode([...channels], { channel }));
    expect(heard.map((one) => one.channel)).toEqual(heardOn);
    for (const one of heard) expect(one.symbols).toEqual(SYMBOLS);
  });

  it('lets the surest of several through once', async () => {
    expect(calls(await decode([quieter, call]))).toHaveLength(1);
  });

  it('keeps the time where a channel differs only after a while', async () => {
    const later = new Float32Array(2 * call.length);
    later.set(call, call.length);
    const [heard] = calls(await decode([new Float32Array(later.length), later]));
    // 640 bits at 1200 Bd of silence, then 20 dots.
    expect(heard.start).toBeCloseTo(660 / 1200, 2);
    expect(heard.channel).toBe(1);
  });
});

describe('where the tones are looked for', () => {
  const low = audio({ centreHz: 1100, inverted: true });

  it('finds swapped tones around another centre', async () => {
    const [heard] = calls(await decode([low], { centreHz: 1120, searchHz: 60 }));
    expect(heard).toMatchObject({ inverted: true, symbols: SYMBOLS });
    expect(Math.abs(heard.centreHz - 1100)).toBeLessThan(10);
  });

  it('finds nothing where it is told not to look', async () => {
    expect(calls(await decode([low], { centreHz: 1700, searchHz: 60 }))).toEqual([]);
  });

  it('tells the events of the receiver where they are wanted', async () => {
    const kinds = (messages: DecodeMessage[]) => new Set(messages.map(({ type }) => type));
    expect(kinds(await decode([audio()], { events: true }))).toEqual(new Set(['event', 'call', 'over']));
    expect(kinds(await decode([audio()]))).toEqual(new Set(['call', 'over']));
  });
});

describe('bad input', () => {
  it('tells a sample rate that cannot be worked with', async () => {
    const file = join(folder, 'slow.wav');
    writeFileSync(file, writeWav({ sampleRate: 4000, channels: [new Float32Array(100)] }));
    const messages: DecodeMessage[] = [];
    await decodeFile(file, { channel: 'best', bands: ['vhf'] }, (message) => messages.push(message));
    const error = messages.find(({ type }) => type === 'error');
    expect(error).toMatchObject({ text: expect.stringContaining('sampleRate: got 4000') as string });
    expect(messages.at(-1)).toMatchObject({ type: 'end' });
  });
});

describe('words for people', () => {
  it.each([
    [0, '00:00.00'],
    [7.2, '00:07.20'],
    [59.999, '01:00.00'],
    [3723.456, '1:02:03.46'],
  ])('%d s is %s', (seconds, text) => {
    expect(clock(seconds)).toBe(text);
  });

  it('says how often a doubtful call is wrong', () => {
    expect(trustOf({ quality: 'doubtful', errorProbability: 0.012 })).toContain('one in 80');
    expect(trustOf({ quality: 'doubtful', errorProbability: 0.5 })).toContain('one in two');
    expect(trustOf({ quality: 'clean', errorProbability: 0 })).not.toContain('wrong');
  });
});
