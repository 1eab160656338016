/** `dotphase call` against `dotphase answer` in real time: each exchange takes two programs and up to half a minute. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { build } from './dotphase.js';
import { loggedIn } from './logged.js';
import { callOnWires, noisy } from './wired.js';

const SHIP = '299123456';
const OTHER = '299654321';
const COAST = '002991234';

const folder = mkdtempSync(join(tmpdir(), 'dotphase-call-'));
const inFolder = (name: string) => join(folder, name);

beforeAll(build);
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const vhfToShip = ['test-call', '--vhf', '--from', SHIP, '--to', OTHER, '--off-air'];

describe.concurrent('dotphase call against dotphase answer', () => {
  it('sends a test call on MF through noise of −5 dB in 3 kHz both ways', async () => {
    const { code, text, partner } = await callOnWires(
      ['test-call', '--from', SHIP, '--to', OTHER, '--off-air', '--frequency', '2187.5'],
      { answer: ['--as', OTHER, '--delay', '1'], there: noisy(-5, 1), back: noisy(-5, 2) },
    );
    // 200 dots before a test call to a ship, and 62 characters of ten bits at 100 Bd (JP567).
    expect(text).toContain('8.2 s on the air');
    expect(text).toContain('DSC on 2187.5 kHz (dial 2185.8 kHz USB)');
    expect(partner).toContain('Heard: Test call from ship 299 123 456');
    expect(text).toContain('Heard on 2187.5 kHz: Test acknowledgement from ship 299 654 321');
    expect(code).toBe(0);
  });

  it('sends again after a silence, and is acknowledged', async () => {
    let isOpen = false;
    const { code, text } = await callOnWires(
      [...vhfToShip, '--wait', '8', '--attempts', '2', '--log', inFolder('silent.db')],
      {
        answer: ['--as', OTHER, '--vhf', '--delay', '0.5'],
        there: (samples) => (isOpen ? samples : new Float32Array(samples.length)),
        onText: (said) => (isOpen ||= said.includes('No acknowledgement after one attempt.')),
      },
    );
    expect(text.match(/Sends on/g)).toHaveLength(2);
    expect(text).toContain('No acknowledgement after one attempt. ');
    expect(text).toContain('Acknowledged.');
    expect(code).toBe(0);
    const rows = await loggedIn(inFolder('silent.db'));
    expect(rows.map(({ direction }) => direction)).toEqual(['sent', 'sent', 'received']);
    expect(rows[0].acknowledged ?? null).toBeNull();
    expect(rows[1].acknowledged).toBe(rows[2].time);
  });

  it('explains a refusal and ends with status 1', async () => {
    const { code, text } = await callOnWires(
      ['routine-call', '--vhf', '--from', SHIP, '--to', OTHER, '--receive', 'vhf 8'],
      { answer: ['--as', OTHER, '--vhf', '--unable', 'busy', '--delay', '0.5'] },
    );
    expect(text).not.toContain('Caution');
    expect(text).toContain('Voice follows: VHF channel 8 (156.400 MHz), F3E/G3E. Once it is acknowledged.');
    expect(text).toContain('telecommand 1 104 unable to comply');
    expect(text).toContain('telecommand 2 102 busy');
    expect(text).toContain('A station that cannot comply says so with telecommand 104');
    expect(text).toContain('the called station is unable to comply');
    expect(code).toBe(1);
  });

  it('relays a distress to a coast station, and tells where voice follows', async () => {
    const { code, text } = await callOnWires(
      [
        ...['distress-relay', '--vhf', '--from', SHIP, '--to', COAST, '--casualty', OTHER],
        ...['--nature', 'sinking', '--off-air'],
      ],
      { answer: ['--as', COAST, '--vhf', '--training-acknowledge', '--delay', '0.5'] },
    );
    expect(text).toContain('Caution: a distress call: never put it on the air');
    expect(text).toContain('Heard on 156.525 MHz: Acknowledgement of a distress relay');
    expect(text).toContain('Voice follows: VHF channel 16 (156.800 MHz), F3E/G3E.');
    expect(code).toBe(0);
  });
});
