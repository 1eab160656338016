import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { frameCall } from '../../src/frames/index.js';
import { modulateBits } from '../../src/modem/index.js';
import { writeWav } from '../../src/wav/index.js';
import { inventedFigures, textWithOthers, type Told } from '../calls/certain.js';
import { createChoices } from '../scenes/random.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const RATE = 12_000;
const ALERT = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
} as const;

const folder = mkdtempSync(join(tmpdir(), 'dotphase-partial-'));
const dotphase = (...args: string[]) => here(args);
const at = (seconds: number) => Math.round(seconds * RATE);

/** An alert of 7.2 s with half a second of silence around it. */
function alert(): Float32Array {
  const { bits } = frameCall(encodeCall(ALERT), { band: 'mf-hf' });
  const audio = modulateBits(bits, { sampleRate: RATE, level: 0.5 });
  const whole = new Float32Array(audio.length + RATE);
  whole.set(audio, RATE / 2);
  return whole;
}

function noisy(audio: Float32Array): Float32Array {
  const choices = createChoices(5);
  return audio.map((sample) => sample * 0.1 + 0.5 * choices.uniform(-1, 1));
}

const FILES: Readonly<Record<string, (audio: Float32Array) => Float32Array>> = {
  'cut in its middle': (audio) => audio.slice(0, at(5.7)),
  'cut in its identity': (audio) => audio.slice(0, at(4.4)),
  'with a gap': (audio) => audio.map((sample, i) => (i > at(4.7) && i < at(5.9) ? 0 : sample)),
  'begun in its middle': (audio) => audio.slice(at(3.6)),
  noisy,
};

const fileOf = (name: string) => join(folder, `${name.replaceAll(' ', '-')}.wav`);

beforeAll(() => {
  for (const [name, change] of Object.entries(FILES))
    writeFileSync(fileOf(name), writeWav({ sampleRate: RATE, channels: [change(alert())] }));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const callsIn = async (name: string) =>
  jsonLines<Told & { call: object }>((await dotphase('decode', '--json', fileOf(name))).stdout);

describe('a recording of a call that was not received whole', () => {
  it.each(Object.keys(FILES))('says nothing that was not received: %s', async (name) => {
    for (const heard of await callsIn(name)) {
      expect(inventedFigures(heard)).toEqual([]);
      expect(textWithOthers(heard, (i) => (heard.symbols[i] + 1) % 128)).toBe(heard.text);
    }
  });

  it('is shown, explained and logged with what was received of it', async () => {
    const [file, log] = [fileOf('cut in its middle'), join(folder, 'calls.db')];
    const [heard] = await callsIn('cut in its middle');
    expect(heard.call).toMatchObject({
      kind: 'distressAlert',
      self: '299123456',
      followOn: { notReceived: [null] },
    });
    const shown = (await dotphase('decode', '--log', log, '--frequency', '2187.5', file)).stdout.replace(
      /\s+/g,
      ' ',
    );
    expect(shown).toContain('Distress alert from ship 299 123 456: flooding');
    expect(shown).toContain('longitude not received, time not received; follow-on not received');
    expect(shown).toContain('what follows, and where, was not received');
    // Nobody sent these: they were the likeliest of what did not come.
    expect(shown).not.toMatch(/acknowledgement given|F3E|J3E|UTC|\d°\d\d′[EW]/);
    const explained = (await dotphase('explain', file)).stdout.replace(/\s+/g, ' ');
    expect(explained).toMatch(/It can't be checked: \d+ of the 17 characters were not received/);
    expect(explained).not.toContain('agrees ✓');
    const logged = (await dotphase('log', log, '--csv')).stdout;
    expect(logged).toContain('longitude not received');
    expect(logged).toMatch(/112 29 91 23 45 60 101 [\d ?]*\? \? \?/);
    expect((await dotphase('decode', '--sentences', file)).stdout).toBe('');
  });

  it('is drawn with ? for each character that was not received', async () => {
    const out = join(folder, 'cut.svg');
    expect((await dotphase('picture', fileOf('cut in its middle'), '--out', out)).code).toBe(0);
    expect(readFileSync(out, 'utf8')).toContain('>?<');
  });
});
