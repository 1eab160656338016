/** `dotphase answer` with a recorder and a player. */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { callToAudio } from '../../src/transmitter/index.js';
import { ROOT, build } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';
import { PROGRAM_RATE, player, recorder } from './programs.js';

const SHIP = '299123456';
const OTHER = '299654321';

const folder = mkdtempSync(join(tmpdir(), 'dotphase-answer-'));
const inFolder = (name: string) => join(folder, name);

beforeAll(build);
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const asked = callToAudio(
  { kind: 'testCall', to: { station: OTHER }, self: SHIP },
  { band: 'vhf', sampleRate: PROGRAM_RATE },
);

describe('dotphase answer through a sound card', () => {
  it('plays the acknowledgement whole, logs both calls, and ends with Ctrl-C', async () => {
    const child = spawn(process.execPath, [
      ...[join(ROOT, 'dist', 'cli', 'main.js'), 'answer', '--as', OTHER, '--vhf', '--delay', '0.2'],
      ...['--recorder', recorder(folder, asked), '--player', player(folder, 'played.raw')],
      ...['--rate-hz', String(PROGRAM_RATE), '--log', inFolder('live.db')],
    ]);
    const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
    let stderr = '';
    child.stderr.on('data', (bytes: Buffer) => (stderr += bytes.toString()));
    child.stdout.resume();
    while (!existsSync(inFolder('played.raw')) && child.exitCode === null) await wait(100);
    // Time for the sound to end.
    await wait(1500);
    child.kill('SIGINT');
    expect(await ended).toBe(130);
    expect(stderr).toContain('Heard: Test call from ship 299 123 456');
    expect(stderr).toContain('Answers: Test acknowledgement');
    const raw = ['--raw', 's16', '--rate-hz', String(PROGRAM_RATE), '--json'];
    const played = await here(['decode', ...raw, inFolder('played.raw')]);
    expect(JSON.parse(played.stdout)).toMatchObject({
      quality: 'clean',
      call: { kind: 'testAcknowledgement', self: OTHER },
    });
    const listed = await here(['log', inFolder('live.db'), '--json']);
    const rows = jsonLines(listed.stdout);
    expect(rows).toMatchObject([
      { direction: 'received', kind: 'testCall' },
      { direction: 'sent', kind: 'testAcknowledgement' },
    ]);
    expect(rows[0].acknowledged).toBe(rows[1].time);
    expect(rows[1].stopped ?? false).toBe(false);
  });

  it.each([
    ['a recording beside a sound card', ['evening.wav', '--sound', 'sox'], /file: got "evening.wav"/],
    ['an output beside a sound card', ['--sound', 'sox', '--out', 'x.wav'], /--out: got "x.wav"/],
    ['raw samples beside a sound card', ['--sound', 'sox', '--raw', 's16', '--rate-hz', '8000'], /--raw/],
    ['a recorder that is not there', ['--recorder', 'no-such-recorder', '--player', 'none'], /--recorder/],
  ])('refuses %s', async (_, args, text) => {
    const { code, stderr } = await here(['answer', '--as', OTHER, ...args]);
    expect(code).toBe(2);
    expect(stderr).toMatch(text);
  });
});

describe('dotphase answer that stays silent', () => {
  const heard = async (call: readonly string[]) => {
    const wav = inFolder('heard.wav');
    await here(['encode', ...call, '--vhf', '--rate-hz', '8000', '--silence', '0.3', '--out', wav]);
    const { code, stderr } = await here(['answer', wav, '--as', OTHER, '--out', inFolder('silent.wav')]);
    expect(code).toBe(1);
    return stderr.replace(/\s+/g, ' ');
  };

  // M541-8 Annex 1 §3.3 and §4; ITU-R M.541 Annex 3 §2 and §3 (from memory).
  it.each([
    [
      'to another station',
      ['test-call', '--from', SHIP, '--to', '299777888'],
      'addressed to another station is not answered',
    ],
    ['of distress', ['distress-alert', '--from', SHIP], 'acknowledged by hand only'],
    [
      'to many',
      ['urgency-call', '--from', SHIP, '--to', 'all-ships'],
      'to more than one station is not acknowledged',
    ],
    [
      'that is an acknowledgement',
      ['test-acknowledgement', '--from', SHIP, '--to', OTHER],
      'An acknowledgement is not acknowledged',
    ],
  ])('says why, at a call %s', async (_, call, why) => {
    expect(await heard(call)).toContain(why);
  });
});
