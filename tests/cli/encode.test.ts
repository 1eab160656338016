import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { frameCall, readSequences } from '../../src/frames/index.js';
import { MODULATIONS, demodulate, modulateBits } from '../../src/modem/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { readWav } from '../../src/wav/index.js';
import { here } from './here.js';

const SHIP = '299123456';
const OTHER_SHIP = '299654321';
const COAST_STATION = '002991234';
const GROUP = '029912345';
const TEST_CALL = ['test-call', '--from', SHIP, '--to', COAST_STATION];

let folder: string;
const inFolder = (name: string) => join(folder, name);

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** The samples that a call makes on channel 70 at 8 kHz, by the library itself. */
function samplesOf(call: Call): Float32Array {
  const { bits } = frameCall(encodeCall(call), { band: 'vhf' });
  return modulateBits(bits, { sampleRate: 8000, modulation: MODULATIONS.vhf, level: 10 ** (-6 / 20) });
}

const distress = { nature: 'undesignated', position: 'none', time: 'none', followOn: 'f3e' } as const;
const telephony = { telecommand1: 'f3e', telecommand2: 'none' } as const;

describe('flags of fields', () => {
  const calls: readonly (readonly [string, Call])[] = [
    [`distress-alert --from ${SHIP}`, { kind: 'distressAlert', self: SHIP, ...distress }],
    [
      `distress-acknowledgement --from ${COAST_STATION} --casualty ${SHIP} --nature man-overboard`,
      {
        kind: 'distressAcknowledgement',
        self: COAST_STATION,
        casualty: SHIP,
        ...distress,
        nature: 'manOverboard',
      },
    ],
    [
      `distressRelay --from ${OTHER_SHIP} --to ${COAST_STATION} --casualty unknown --follow-on none`,
      {
        kind: 'distressRelay',
        to: { station: COAST_STATION },
        self: OTHER_SHIP,
        casualty: 'unknown',
        ...distress,
        followOn: 'none',
      },
    ],
    [
      `safety-call --from ${COAST_STATION} --area 58N,012W,6,10 --receive vhf10`,
      {
        kind: 'safetyCall',
        to: { area: { latitude: 58, longitude: -12, south: 6, east: 10 } },
        self: COAST_STATION,
        ...telephony,
        message: { receive: { vhfChannel: 10 }, transmit: 'none' },
      },
    ],
    [
      `routine-call --from ${SHIP} --to ${GROUP} --receive 4146kHz --transmit 4149kHz --telecommand1 j3e`,
      {
        kind: 'routineCall',
        to: { group: GROUP },
        self: SHIP,
        telecommand1: 'j3e',
        telecommand2: 'none',
        message: { receive: { hz: 4_146_000 }, transmit: { hz: 4_149_000 } },
      },
    ],
    [
      `urgency-call --from ${SHIP} --to all-ships --position 48.2,-12.75 --time 0930`,
      {
        kind: 'urgencyCall',
        to: 'allShips',
        self: SHIP,
        ...telephony,
        message: { position: { latitude: 48.2, longitude: -12.75 }, time: '09:30' },
      },
    ],
    [
      `position-report --from ${SHIP} --to ${COAST_STATION} --position 4812N01245W --time 09:30Z`,
      {
        kind: 'positionReport',
        to: { station: COAST_STATION },
        self: SHIP,
        position: { latitude: 48.2, longitude: -12.75 },
        time: '09:30',
      },
    ],
    [
      `automatic-call --from ${SHIP} --to ${COAST_STATION} --telephone 0123456 --telecommand2 noReason`,
      {
        kind: 'automaticCall',
        to: { station: COAST_STATION },
        self: SHIP,
        telecommand1: 'f3e',
        telecommand2: 'noReason',
        message: { receive: 'none', transmit: 'none' },
        telephone: '0123456',
      },
    ],
    [
      `test-call --from ${SHIP} --to ${COAST_STATION} --eos end`,
      { kind: 'testCall', to: { station: COAST_STATION }, self: SHIP, eos: 'end' },
    ],
  ];

  it.each(calls)('%s', async (line, call) => {
    const file = inFolder('flags.wav');
    const run = await here([
      'encode',
      ...line.split(' '),
      '--vhf',
      '--rate-hz',
      '8000',
      '--bits',
      'float',
      '--out',
      file,
    ]);
    expect(run.code).toBe(0);
    expect(readWav(readFileSync(file)).channels[0]).toEqual(samplesOf(call));
  });
});

describe('audio', () => {
  it('has the silence, the repetition, the dots and the format asked for', async () => {
    const file = inFolder('audio.wav');
    const shape = [
      '--repeat',
      '5',
      '--dots',
      '40',
      '--dots-before',
      'each',
      '--silence',
      '0.25',
      '--bits',
      '24',
    ];
    const { code, stdout } = await here([
      ...['encode', 'distress-alert', '--from', SHIP, '--vhf', '--rate-hz', '9600', ...shape],
      ...['--out', file],
    ]);
    expect(code).toBe(0);
    // Five times 40 dots and 520 bits of slots at 1200 Bd, eight samples each, between 2400 samples of silence.
    const audio = readWav(readFileSync(file));
    expect(audio).toMatchObject({ sampleRate: 9600, bitDepth: 24, channelCount: 1 });
    expect(audio.channels[0]).toHaveLength(5 * (40 + 520) * 8 + 2 * 2400);
    expect(audio.channels[0].subarray(0, 2400).every((sample) => sample === 0)).toBe(true);
    expect(audio.channels[0].subarray(-2400).every((sample) => sample === 0)).toBe(true);
    expect(stdout.replaceAll('\n', ' ')).toContain(
      '2.33 s on the air (2800 bits at 1200 Bd); 2.83 s with silence',
    );
  });

  it('says what goes on the air, to the minute', async () => {
    const finer = ['--position', '48 12.4N 012 44.6W'];
    const run = await here([
      'encode',
      'distress-alert',
      '--from',
      SHIP,
      ...finer,
      '--vhf',
      '--out',
      inFolder('a.wav'),
    ]);
    expect(run.stdout).toContain('48°12′N 012°44′W');
  });
});

describe('cautions', () => {
  it.each([
    [['distress-alert', '--from', SHIP], 'distress'],
    [['urgency-call', '--from', SHIP, '--to', 'all ships'], 'urgency'],
    [['safety-call', '--from', SHIP, '--area', '58N 012W 6 10'], 'safety'],
    [TEST_CALL, 'safety'],
  ])('stands beside the audio of %j', async (call, priority) => {
    const { code, stderr } = await here(['encode', ...call, '--vhf', '--out', inFolder('caution.wav')]);
    expect(code).toBe(0);
    expect(stderr.replaceAll('\n', ' ')).toContain(
      `Caution: a ${priority} call: never put it on the air, use a dummy load or cable. `,
    );
  });

  it('does not stand beside a routine call', async () => {
    const routine = ['routine-call', '--from', SHIP, '--to', OTHER_SHIP, '--receive', 'vhf 8'];
    const run = await here(['encode', ...routine, '--vhf', '--out', inFolder('routine.wav')]);
    expect(run).toMatchObject({ code: 0, stderr: '' });
    expect(run.stdout.replaceAll('\n', ' ')).toContain('on VHF channel 8');
  });
});

describe('refusals', () => {
  it.each([
    [['encode', 'distress-alert', '--from', '29912345', '--out', 'x.wav'], '--from'],
    [['encode', 'test-call', '--from', SHIP, '--out', 'x.wav'], '--to'],
    [['encode', ...TEST_CALL, '--nature', 'fire', '--out', 'x.wav'], '--nature'],
    [['encode', ...TEST_CALL, '--area', '58N 012W 6 10', '--out', 'x.wav'], '--area'],
    [['encode', 'distress-alert', '--from', SHIP, '--nature', 'boredom', '--out', 'x.wav'], '--nature'],
    [['encode', 'distress-alert', '--from', SHIP, '--position', '91N 0E', '--out', 'x.wav'], '--position'],
    [['encode', 'distress-alert', '--from', SHIP, '--time', '24:00', '--out', 'x.wav'], '--time'],
    [
      ['encode', 'routine-call', '--from', SHIP, '--to', SHIP, '--receive', '1801', '--out', 'x.wav'],
      '--receive',
    ],
    [
      ['encode', 'routine-call', '--from', SHIP, '--to', SHIP, '--transmit', '5 Hz', '--out', 'x.wav'],
      '--transmit',
    ],
    [['encode', ...TEST_CALL, '--rate-hz', '7999', '--out', 'x.wav'], '--rate-hz'],
    [['encode', ...TEST_CALL, '--rate-hz', 'high', '--out', 'x.wav'], '--rate-hz'],
    [['encode', ...TEST_CALL, '--centre', '20', '--out', 'x.wav'], 'centre'],
    [['encode', ...TEST_CALL, '--dots', '21', '--out', 'x.wav'], 'dots'],
    [['encode', ...TEST_CALL, '--repeat', '1.5', '--out', 'x.wav'], '--repeat'],
    [['encode', ...TEST_CALL], '--out'],
    [['encode', ...TEST_CALL, '--out', join('no', 'such', 'folder', 'x.wav')], 'no such file'],
    [['encode', 'tea-call', '--out', 'x.wav'], 'tea-call'],
    [['encode', 'missing.json', '--out', 'x.wav'], 'missing.json'],
    [['encode', 'missing.json', '--from', SHIP, '--out', 'x.wav'], '--from'],
    [['decode', '--search', '10', 'x.wav'], '--search'],
    [['decode', '--raw', 's16', 'x.raw'], '--rate-hz'],
    [['decode', '--rate-hz', '8000', 'x.wav'], '--rate-hz'],
    [['decode', '--channel', 'left', 'x.wav'], '--channel'],
    [['decode'], 'files'],
    [['explain', '112', '29', '200'], 'character 3'],
    [['explain', '112', '29', 'x'], 'character 3'],
    [['explain', '99', '29', '2'], 'format specifier'],
    [['explain', '125', '111', '125'], 'slots'],
    [['explain', 'two', 'words'], 'two words'],
    [['sing'], 'sing'],
  ])('%j: names %s', async (args, named) => {
    const { code, stdout, stderr } = await here(args);
    expect(stdout).toBe('');
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
    expect(stderr).toMatch(/^dotphase: /);
    expect(stderr).toContain(named);
    expect(code).toBe(2);
    expect(existsSync('x.wav')).toBe(false);
  });

  it('names the field of a call in JSON', async () => {
    const file = inFolder('call.json');
    const out = ['--out', inFolder('x.wav')];
    writeFileSync(file, JSON.stringify({ kind: 'testCall', to: { station: '12' }, self: SHIP }));
    const wrong = await here(['encode', file, ...out]);
    expect(wrong).toMatchObject({ code: 2, stdout: '' });
    expect(wrong.stderr).toContain('to.station: got "12", expected an identity of nine digits');
    writeFileSync(file, '{"kind":');
    const broken = await here(['encode', file, ...out]);
    expect(broken).toMatchObject({ code: 2, stdout: '' });
    expect(broken.stderr).toContain('one call in JSON');
  });
});

describe('help', () => {
  it.each([[[]], [['encode']], [['decode']], [['explain']]])('of %j', async (command: string[]) => {
    const { code, stdout, stderr } = await here([...command, '--help']);
    expect(code).toBe(0);
    expect(stderr).toBe('');
    expect(stdout).toContain('Usage: dotphase');
    if (command.length > 0) expect(stdout).toContain('Examples:');
  });
});

describe('signals and faults for the bench', () => {
  const rate = ['--rate-hz', '8000', '--bits', 'float'];
  const made = async (...args: string[]) => {
    const path = inFolder('bench.wav');
    const { code, stdout } = await here(['encode', ...args, ...rate, '--out', path]);
    expect(code).toBe(0);
    return { audio: readWav(readFileSync(path)).channels[0], stdout };
  };
  /** Amplitude of a tone in a stretch of audio, by the sum of its products with sine and cosine. */
  const amplitude = (audio: Float32Array, hz: number) => {
    const angle = (n: number) => (2 * Math.PI * hz * n) / 8000;
    const re = audio.reduce((sum, value, n) => sum + value * Math.cos(angle(n)), 0);
    const im = audio.reduce((sum, value, n) => sum + value * Math.sin(angle(n)), 0);
    return (2 * Math.hypot(re, im)) / audio.length;
  };

  it.each([
    [['--signal', 'b'], 1785],
    [['--signal', 'y'], 1615],
    [['--signal', 'b', '--inverted'], 1615],
    [['--signal', 'b', '--vhf'], 2100],
    [['--signal', 'y', '--centre', '1000'], 915],
  ])('%j is a tone of %s Hz at −20 dB', async (args, hz) => {
    const { audio } = await made(...args, '--level', '-20', '--seconds', '2');
    expect(audio).toHaveLength(16_000);
    expect(amplitude(audio, hz)).toBeCloseTo(0.1, 4);
  });

  it('dots are B and Y in turn, the weaker by as much as is asked for', async () => {
    const { audio } = await made('--signal', 'dots', '--b-over-y', '3', '--level', '0', '--seconds', '1');
    // A bit of 10 ms has 80 samples; the first is B.
    const peak = (bit: number) =>
      audio.slice(80 * bit, 80 * (bit + 1)).reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    expect(peak(10)).toBeCloseTo(1, 2);
    expect(20 * Math.log10(peak(11))).toBeCloseTo(-3, 1);
  });

  it('phasing alone reads as phasing', async () => {
    const { audio } = await made('--signal', 'phasing', '--seconds', '1.6');
    const { bits } = demodulate(audio, { sampleRate: 8000 });
    const letters = [...bits].map((bit) => (bit ? 'Y' : 'B')).join('');
    // 125 and 111 as Table A1-1 has them.
    expect(letters.slice(0, 20)).toBe('YBYYYYYBBYYYYYBYYBBY');
  });

  it('calls begin at an exact interval, however the samples fall', async () => {
    const { audio } = await made(...TEST_CALL, '--every', '7.00003', '--times', '3', '--level', '0');
    const one = await made(...TEST_CALL, '--level', '0');
    // 14.00006 s at 8000 Hz are 112000.48 samples.
    expect(audio).toHaveLength(112_000 + one.audio.length);
    expect(audio.slice(112_000)).toEqual(one.audio);
    expect(audio.slice(56_000, 56_000 + one.audio.length)).toEqual(one.audio);
  });

  it.each([
    ['5:rx', [1, undefined]],
    ['5:dx', [undefined, 1]],
    ['5', [undefined, undefined]],
  ])('a wrong character %s reads as none there', async (fault, read) => {
    const { audio } = await made(...TEST_CALL, '--wrong-character', fault);
    const [{ characters }] = receiveCalls(audio, { sampleRate: 8000 });
    expect(
      [characters[4].dx, characters[4].rx].map((symbol) => (symbol === undefined ? undefined : 1)),
    ).toEqual(read);
  });

  it('a wrong error check is one bit off the right one', async () => {
    const { audio } = await made(...TEST_CALL, '--wrong-check');
    const { bits } = demodulate(audio, { sampleRate: 8000 });
    const [{ checked }] = readSequences(bits);
    expect(checked).toBe(false);
  });

  it.each([
    [['--signal', 'b', 'test-call'], '--signal: got "b", expected no test-call beside it'],
    [['--signal', 'b', '--wrong-check'], 'no --wrong-check beside it'],
    [['--seconds', '3'], '--seconds: got 3, expected --signal beside it'],
    [[...TEST_CALL, '--every', '10'], '--times: got nothing'],
    [[...TEST_CALL, '--every', '2', '--times', '2'], 'at least the length of the call, 6.40 seconds'],
    [[...TEST_CALL, '--wrong-character', '0'], 'the number of a character from 1'],
    [[...TEST_CALL, '--wrong-character', '40:rx'], 'character: got 40, expected a character from 1 to'],
  ])('refuses %j', async (args, message) => {
    const { code, stderr } = await here(['encode', ...args, '--out', inFolder('refused.wav')]);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });
});
