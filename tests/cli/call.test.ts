/** `dotphase call`: exchanges in real time, and what may come between; longer ones: call.long.test.ts. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { build, dotphase } from './dotphase.js';
import { here } from './here.js';
import { loggedIn } from './logged.js';
import { PROGRAM_RATE, player, program, recorder } from './programs.js';
import { WIRE_RATE, callOnWires, scripted } from './wired.js';

const SHIP = '299123456';
const OTHER = '299654321';
const COAST = '002991234';
const ANOTHER_COAST = '002995678';
/** All coast stations of the administration (NAVCEN). */
const EVERY_COAST = '002999999';

const folder = mkdtempSync(join(tmpdir(), 'dotphase-call-'));
const inFolder = (name: string) => join(folder, name);
const logged = (name: string) => loggedIn(inFolder(name));

beforeAll(build);
afterAll(() => {
  rmSync(folder, { recursive: true });
});

const audio = (call: Call) => callToAudio(call, { band: 'vhf', sampleRate: WIRE_RATE });

const vhfTest = ['test-call', '--vhf', '--from', SHIP, '--to', COAST, '--off-air'];
const acknowledgement: Call = { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST };

describe.concurrent('dotphase call against dotphase answer', () => {
  it('sends a test call, gets it acknowledged and logs both', async () => {
    const log = ['--log', inFolder('clean.db')];
    const { code, text } = await callOnWires([...vhfTest, ...log], { answer: ['--as', COAST, '--vhf'] });
    expect(text).toContain('Sends on 156.525 MHz: Test call from ship 299 123 456');
    // 20 dots and 62 characters of ten bits at 1200 Bd.
    expect(text).toContain('0.53 s on the air');
    expect(text).toContain('DX 125 125 125 125 125 125 120 120 00 29 91 23 40 108 29 91 RX 111 110 109');
    expect(text).toContain('Listens for the acknowledgement, 60 s.');
    expect(text).toContain('Heard on 156.525 MHz: Test acknowledgement from coast station 00 299 1234');
    expect(text).toContain('telecommand 1 118 test');
    expect(text).toContain('nothing follows by voice');
    expect(code).toBe(0);
    const [sent, received] = await logged('clean.db');
    expect(sent).toMatchObject({ direction: 'sent', kind: 'testCall', frequencyHz: 156_525_000 });
    expect(received).toMatchObject({ direction: 'received', kind: 'testAcknowledgement', quality: 'clean' });
    expect(sent.acknowledged).toBe(received.time);
    expect(sent.stopped ?? false).toBe(false);
    // A coast station acknowledges after at least 5 s (M.541 Annex 2, from memory), by its clock of samples, which
    // runs a little fast while it makes up for its start.
    const apart = (Date.parse(String(received.time)) - Date.parse(String(sent.time))) / 1000;
    expect(apart).toBeGreaterThan(3);
    expect(apart).toBeLessThan(60);
  });

  it('sends a distress alert five times in a row until it is acknowledged', async () => {
    const { code, text } = await callOnWires(
      [
        'distress-alert',
        '--vhf',
        '--from',
        SHIP,
        '--nature',
        'fire',
        '--off-air',
        '--log',
        inFolder('alert.db'),
      ],
      { answer: ['--as', COAST, '--vhf', '--training-acknowledge', '--delay', '1'] },
    );
    // Five times 540 bits at 1200 Bd (JP567).
    expect(text).toContain('2.3 s on the air, 5 times in a row');
    expect(text).toContain('sending 5 of 5');
    expect(text).toContain('acknowledges the alert on 156.525 MHz');
    expect(code).toBe(0);
    const [sent] = await logged('alert.db');
    expect(sent).toMatchObject({ kind: 'distressAlert' });
    expect(sent.acknowledged).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d/);
  });
});

describe.concurrent('dotphase call with others on the wire', () => {
  it('knows its own sound again', async () => {
    const { code, text } = await callOnWires([...vhfTest, '--wait', '5', '--log', inFolder('own.db')]);
    expect(text).toContain('The own sound is heard in the input (clean');
    expect(text).not.toContain('Heard on');
    expect(code).toBe(1);
    expect((await logged('own.db')).map(({ direction }) => direction)).toEqual(['sent']);
  });

  it('logs what others send, and does not take it for the answer', async () => {
    const { wire, send } = scripted();
    const others: Call[] = [
      { kind: 'testAcknowledgement', to: { station: OTHER }, self: COAST },
      { kind: 'testCall', to: { station: COAST }, self: OTHER },
      { kind: 'testAcknowledgement', to: { station: SHIP }, self: ANOTHER_COAST },
    ];
    let isSent = false;
    const { code, text } = await callOnWires([...vhfTest, '--wait', '12', '--log', inFolder('others.db')], {
      there: wire,
      onText: (said) => {
        if (isSent || !said.includes('Listens')) return;
        isSent = true;
        for (const call of others) {
          send(audio(call));
          send(new Float32Array(WIRE_RATE));
        }
      },
    });
    expect(text.match(/Heard on/g)).toHaveLength(3);
    expect(text.match(/It is addressed to another station and is not the answer/g)).toHaveLength(2);
    expect(text).toContain('00 299 5678 acknowledges a call that this station did not send');
    expect(text).toContain('Not acknowledged.');
    expect(code).toBe(1);
    const rows = await logged('others.db');
    expect(rows.map(({ kind }) => kind)).toEqual(['testCall', ...others.map(({ kind }) => kind)]);
    expect(rows[0].acknowledged ?? null).toBeNull();
  });

  it('takes the answer of one coast station for a call to all of them', async () => {
    const { wire, send } = scripted();
    let isSent = false;
    const { code, text } = await callOnWires(
      ['test-call', '--vhf', '--from', SHIP, '--to', EVERY_COAST, '--off-air', '--wait', '20'],
      {
        there: wire,
        onText: (said) => {
          if (!isSent && said.includes('Listens')) send(audio(acknowledgement));
          isSent ||= said.includes('Listens');
        },
      },
    );
    expect(text).toContain('stands for all coast stations of its administration');
    expect(text).toContain('Acknowledged.');
    expect(code).toBe(0);
  });
});

describe.concurrent('dotphase call that ends early', () => {
  it('breaks off at Ctrl-C, and the log says so', async () => {
    let isStopped = false;
    const { code, text } = await callOnWires(
      [
        ...['distress-alert', '--from', SHIP, '--off-air', '--frequency', '2187.5'],
        ...['--log', inFolder('stopped.db')],
      ],
      {
        onText: (said, child) => {
          if (!isStopped && said.includes('200 dots')) child.kill('SIGINT');
          isStopped ||= said.includes('200 dots');
        },
      },
    );
    expect(code).toBe(130);
    expect(text).toContain('Stopped: the sending is broken off.');
    expect(text).toContain('The alert went out on 2187.5 kHz.');
    expect(await logged('stopped.db')).toMatchObject([
      { kind: 'distressAlert', direction: 'sent', stopped: true },
    ]);
  });

  it('tells of a wire that ends', async () => {
    const { code, text } = await callOnWires([...vhfTest, '--log', inFolder('ended.db')], {
      onText: (said, child) => {
        if (said.includes('Listens')) child.stdin?.end();
      },
    });
    expect(code).toBe(2);
    expect(text).toContain('--in: got the end of standard input, expected sound until the exchange is over');
    expect(await logged('ended.db')).toMatchObject([{ kind: 'testCall' }]);
  });

  it('tells of a reader that closes its pipe', async () => {
    const { code } = await callOnWires(vhfTest, {
      onText: (said, child) => {
        if (said.includes('Sends on')) child.stdout?.destroy();
      },
    });
    expect(code).toBe(2);
  });
});

describe('dotphase call with a recorder and a player', () => {
  const answer = callToAudio(acknowledgement, { band: 'vhf', sampleRate: PROGRAM_RATE });
  const rate = ['--rate-hz', String(PROGRAM_RATE)];
  const records = () => recorder(folder, answer);
  const plays = () => player(folder, 'played.raw');
  const script = (name: string, text: string) => program(folder, name, text);

  it('plays the call, and reads the acknowledgement', async () => {
    const { code, stdout } = await dotphase([
      ...['call', ...vhfTest, ...rate],
      ...['--recorder', records(), '--player', plays()],
    ]);
    expect(stdout).toContain('Acknowledged.');
    expect(code).toBe(0);
    const raw = ['--raw', 's16', '--rate-hz', '8000', '--json'];
    const played = await here(['decode', ...raw, inFolder('played.raw')]);
    expect(JSON.parse(played.stdout)).toMatchObject({
      quality: 'clean',
      call: { kind: 'testCall', self: SHIP },
    });
  });

  it.each([
    [
      'a recorder that is not there',
      () => ['--recorder', 'no-such-recorder', '--player', plays()],
      /--recorder: got "no-such-recorder", expected a program that can be started \(it was not found\)/,
    ],
    [
      'a recorder that ends',
      () => [
        '--recorder',
        script('ends.mjs', `console.error('no device'); process.exit(3)`),
        '--player',
        plays(),
      ],
      /ended with status 3: no device/,
    ],
    [
      'a player that is not there',
      () => ['--recorder', records(), '--player', 'no-such-player'],
      /--player: got "no-such-player"/,
    ],
    [
      'a player that fails',
      () => [
        '--recorder',
        records(),
        '--player',
        script('broken.mjs', `console.error('no speaker'); process.exit(4)`),
      ],
      /ended with status 4: no speaker/,
    ],
    ['an open quote', () => ['--recorder', 'arecord "x'], /--recorder: got .* each quote closed/],
  ])('tells of %s in one line', async (what, programs, text) => {
    const name = `${what.replaceAll(' ', '-')}.db`;
    const log = ['--log', inFolder(name)];
    const { code, stderr } = await here(['call', ...vhfTest, ...rate, ...programs(), ...log]);
    expect(code).toBe(2);
    expect(stderr).toMatch(text);
    expect(stderr.trim().split('\n')).toHaveLength(1);
    for (const row of await logged(name)) expect(row).toMatchObject({ stopped: true });
  });
});

describe('dotphase call with files', () => {
  it('sends into a file, and reads the answer from another', async () => {
    await here([
      ...['encode', 'test-acknowledgement', '--vhf', '--from', COAST, '--to', SHIP, '--rate-hz', '12000'],
      ...['--silence', '4', '--out', inFolder('heard.wav')],
    ]);
    const files = ['--in', inFolder('heard.wav'), '--out', inFolder('sent.wav')];
    const { code, stdout } = await here([
      ...['call', 'test-call', '--vhf', '--from', SHIP, '--to', COAST, ...files],
      ...['--log', inFolder('files.db')],
    ]);
    expect(stdout).toContain('Acknowledged.');
    expect(code).toBe(0);
    const sent = await here(['decode', '--json', inFolder('sent.wav')]);
    expect(JSON.parse(sent.stdout)).toMatchObject({
      quality: 'clean',
      call: { kind: 'testCall', self: SHIP },
    });
    const rows = await logged('files.db');
    expect(rows[0]).toMatchObject({ direction: 'made', file: inFolder('sent.wav') });
    // Four seconds of silence before the dots.
    expect(Date.parse(String(rows[1].time)) - Date.parse(String(rows[0].time))).toBeGreaterThan(3900);
  });

  it('waits behind the end of the input, 60 s by default, without taking them', async () => {
    await here([
      ...['encode', 'test-call', '--vhf', '--from', OTHER, '--to', COAST, '--rate-hz', '8000'],
      ...['--out', inFolder('other.wav')],
    ]);
    const begun = Date.now();
    const files = ['--in', inFolder('other.wav'), '--out', inFolder('waited.wav')];
    const { code, stdout } = await here([
      ...['call', 'test-call', '--vhf', '--from', SHIP, '--to', COAST],
      ...files,
    ]);
    expect(stdout).toContain('No acknowledgement after one attempt.');
    expect(code).toBe(1);
    expect(Date.now() - begun).toBeLessThan(30_000);
    // 0.53 s of the call and 60 s.
    const seconds = (readFileSync(inFolder('waited.wav')).length - 44) / 2 / 8000;
    expect(seconds).toBeCloseTo(60.6, 0);
  });
});

describe('dotphase call refuses', () => {
  const args = ['test-call', '--from', SHIP, '--to', COAST];
  it.each([
    ['a call that is not routine, without a terminal and --off-air', args, /--off-air: got nothing/],
    [
      'an acknowledgement by itself',
      ['test-acknowledgement', '--from', SHIP, '--to', COAST, '--off-air'],
      /do not allow/,
    ],
    ['one of two files', [...args, '--in', 'x.wav'], /--out: got nothing/],
    [
      'an input that is not there',
      [...args, '--in', 'nothing.wav', '--out', 'out.wav'],
      /--in: got "nothing.wav"/,
    ],
    ['pipes of no known samples', [...args, '--in', '-', '--out', '-'], /--raw: got nothing/],
    [
      'several frequencies',
      [...args, '--frequency', '2187.5', '--frequency', '4207.5'],
      /--frequency.*only a distress alert/,
    ],
    ['another end of sequence', [...args, '--eos', 'none', '--off-air'], /--eos/],
    ['no time to wait', [...args, '--wait', '0'], /--wait/],
  ])('%s', async (_, given, text) => {
    const { code, stderr } = await here(['call', ...given]);
    expect(code).toBe(2);
    expect(stderr).toMatch(text);
  });
});
