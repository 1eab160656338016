/**
 * When and where a call was heard, and what follows it, in what decode prints.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { here } from './here.js';

const SHIP = '299000111';
const COAST = '002990001';

let folder: string;
let alert: string;
let vhf: string;
const flat = (text: string) => text.replace(/\s+/g, ' ');
const line = (stdout: string) => JSON.parse(stdout) as Record<string, unknown>;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-heard-'));
  alert = join(folder, 'alert.wav');
  vhf = join(folder, 'vhf.wav');
  // Half a second of silence, then 720 bits at 100 Bd: 7.2 s (M.493 §3.4, from memory), less the 200 dots, which belong
  // to no call: it begins at 2.5 s and ends at 7.7 s.
  const out = ['--rate-hz', '8000', '--silence', '0.5', '--out'];
  await here(['encode', 'distress-alert', '--from', SHIP, ...out, alert]);
  await here(['encode', 'test-call', '--from', SHIP, '--to', COAST, '--vhf', ...out, vhf]);
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('decode', () => {
  it('has the key of everything in a line of JSON in the guide', async () => {
    // On a frequency that is not for it, so that this is said too.
    const flags = ['--recorded', '2031-05-17', '--frequency', '2189.5'];
    const said = line((await here(['decode', '--json', ...flags, alert])).stdout);
    const guide = readFileSync(new URL('../../docs/pages/recordings.md', import.meta.url), 'utf8');
    const keys = [...Object.keys(said), ...Object.keys(said.followUp as object)];
    expect(keys.filter((key) => !guide.includes(`\`${key}\``))).toEqual([]);
    expect(keys).toEqual(
      expect.arrayContaining(['attempt', 'startUtc', 'frequencyWarning', 'receiveDialHz']),
    );
  });

  it('says in JSON when a call was sent, on which frequency, and what follows', async () => {
    const flags = ['--mf-hf', '--recorded', '2031-05-17T09:30:10', '--frequency', '8414.5'];
    const said = line((await here(['decode', '--json', ...flags, alert])).stdout);
    const seconds = (name: string) =>
      Date.parse(String(said[name])) / 1000 - Date.UTC(2031, 4, 17, 9, 30, 10) / 1000;
    expect(said.startUtc).toMatch(/^2031-05-17T09:30:12\.\d{3}Z$/);
    expect(seconds('startUtc')).toBeCloseTo(Number(said.start), 2);
    expect(seconds('endUtc')).toBeCloseTo(Number(said.end), 2);
    // M.541 Annex 5 (from memory): voice on 8291 kHz belongs to 8414.5 kHz.
    expect(said).toMatchObject({
      frequencyHz: 8_414_500,
      followUp: { means: 'voice', emission: 'J3E', receiveHz: 8_291_000, transmitHz: 8_291_000 },
    });
    expect(said).not.toHaveProperty('frequencyWarning');
  });

  it('says in words when and where, and what follows', async () => {
    const flags = ['--mf-hf', '--recorded', '2031-05-17T23:59:58', '--frequency', '2187.5'];
    const { stdout } = await here(['decode', ...flags, alert]);
    expect(flat(stdout)).toContain('then voice (J3E) on 2182.0 kHz');
    expect(flat(stdout)).toContain('2031-05-18 00:00:00 UTC, DSC on 2187.5 kHz, 100 Bd');
  });

  it('says neither time nor frequency where nobody told them', async () => {
    const said = line((await here(['decode', '--json', '--mf-hf', alert])).stdout);
    for (const key of ['startUtc', 'endUtc', 'frequencyHz', 'followUp']) expect(said).not.toHaveProperty(key);
    expect((await here(['decode', '--mf-hf', alert])).stdout).not.toMatch(/UTC,|DSC on/);
  });

  it('knows channel 70 without being told, and a call that belongs elsewhere', async () => {
    const said = line((await here(['decode', '--json', '--vhf', vhf])).stdout);
    expect(said).toMatchObject({ frequencyHz: 156_525_000, followUp: { means: 'none' } });
    const misplaced = line(
      (await here(['decode', '--json', '--mf-hf', '--frequency', '2177', alert])).stdout,
    );
    expect(misplaced.frequencyWarning).toContain('2187.5 kHz');
  });
});
