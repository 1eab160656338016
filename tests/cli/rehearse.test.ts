import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SimulationEvent, Scenario } from '../../src/simulation/index.js';
import { readWavFile } from '../../src/wav/node.js';
import { build, dotphase as built, type Run, type RunOptions } from './dotphase.js';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

const SHIP = '299000111';
const COAST = '002990001';
const VHF = 156_525_000;

type Said = Pick<Run, 'code' | 'stdout' | 'stderr'>;

/** Runs here what reads no standard input, and the built command for the rest. */
const dotphase = (args: readonly string[], options?: RunOptions): Promise<Said> =>
  options?.input === undefined ? here(args) : built(args, options);

let folder: string;
const inFolder = (name: string) => join(folder, name);

/** A test call on VHF, short for quick tests. */
const scenario: Scenario = {
  title: 'A test call',
  start: '2031-05-17T12:00:00Z',
  durationSeconds: 12,
  own: SHIP,
  stations: [
    { identity: SHIP, name: 'Grey Petrel', watch: [VHF] },
    { identity: COAST, name: 'Halcyon Bank Radio', watch: [VHF], reactionSeconds: [2, 3] },
  ],
  events: [
    {
      at: 1,
      station: SHIP,
      do: 'call',
      call: { kind: 'testCall', to: { station: COAST }, self: SHIP },
      frequencyHz: VHF,
    },
  ],
};

beforeAll(() => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'dotphase-rehearse-'));
  writeFileSync(inFolder('short.json'), JSON.stringify(scenario));
  writeFileSync(inFolder('bad.json'), JSON.stringify({ ...scenario, own: '299999999' }));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('dotphase rehearse', () => {
  it('shows an exchange, writes its audio and its log', async () => {
    const { code, stdout, stderr } = await dotphase([
      'rehearse',
      '--auto',
      inFolder('short.json'),
      ...['--wav', inFolder('audio'), '--log', inFolder('calls.db')],
    ]);
    expect(code).toBe(0);
    expect(stdout).toContain(
      '12:00:01  156.525 MHz   Grey Petrel sends: Test call from Grey Petrel to Halcyon Bank Radio',
    );
    expect(stdout).toContain('Halcyon Bank Radio reads the test call of Grey Petrel: clean');
    expect(stdout).toContain('Grey Petrel: The exchange is complete; nothing follows by voice.');
    expect(stderr).toContain('Caution: a safety call: never put it on the air');
    expect(readdirSync(inFolder('audio'))).toEqual(['156525kHz.wav']);
    const { sampleRate, channels } = await readWavFile(inFolder('audio/156525kHz.wav'));
    expect([sampleRate, channels[0].length]).toEqual([8000, 12 * 8000]);

    const decoded = await dotphase(['decode', '--json', '--vhf', inFolder('audio/156525kHz.wav')]);
    const kinds = jsonLines<{ call: { kind: string } }>(decoded.stdout).map(({ call }) => call.kind);
    expect(kinds).toEqual(['testCall', 'testAcknowledgement']);
  });

  it('tells everything as lines of JSON, the same every time', async () => {
    const args = ['rehearse', '--json', inFolder('short.json')];
    const [first, second] = [await dotphase(args), await dotphase(args)];
    expect(first.code).toBe(0);
    expect(second.stdout).toBe(first.stdout);
    const happened = jsonLines<SimulationEvent>(first.stdout);
    expect(happened.filter(({ type }) => type === 'sending').map(({ station }) => station)).toEqual([
      SHIP,
      COAST,
    ]);
  });

  it('keeps to a pace', async () => {
    const began = Date.now();
    const { code } = await dotphase(['rehearse', '--auto', '--pace', '4', inFolder('short.json')]);
    expect(code).toBe(0);
    // The last thing happens after some 6 s of the scenario; it cannot be over sooner than a quarter of that.
    expect(Date.now() - began).toBeGreaterThan(1000);
  });

  it('prints a scenario of the package and the schema of all, and plays what it printed', async () => {
    const printed = await dotphase(['rehearse', '--print', 'false-alert']);
    expect((JSON.parse(printed.stdout) as Scenario).own).toBe(SHIP);
    const schema = await dotphase(['rehearse', '--schema']);
    expect(JSON.parse(schema.stdout)).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
    });
    const copy = await dotphase(['rehearse', '--auto', '-'], { input: JSON.stringify(scenario) });
    expect(copy.code).toBe(0);
    expect(copy.stdout).toContain('A test call');
  });

  it.each<[string, string[], string | undefined, string]>([
    ['no scenario', ['rehearse', '--auto'], undefined, 'scenario: got nothing'],
    ['an unknown name', ['rehearse', '--auto', 'storm'], undefined, 'false-alert'],
    ['no terminal', ['rehearse', 'false-alert'], undefined, '--auto'],
    ['no JSON', ['rehearse', '--auto', '-'], '{', 'a scenario in JSON'],
    ['a bad scenario', ['rehearse', '--auto', './bad.json'], undefined, 'scenario.own'],
    [
      'a file that is not there',
      ['rehearse', '--auto', './missing.json'],
      undefined,
      'a file that can be read',
    ],
    [
      'a folder that cannot be made',
      ['rehearse', '--auto', 'false-alert', '--wav', '/dev/null/x'],
      undefined,
      '--wav',
    ],
  ])('refuses %s in one line', async (_, args, input, text) => {
    const own = args.map((arg) => (arg === './bad.json' ? inFolder('bad.json') : arg));
    const { code, stdout, stderr } = await dotphase(own, input === undefined ? {} : { input });
    expect(code).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toContain(text);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });
});

describe('dotphase answer', () => {
  const testCall = [
    'test-call',
    '--from',
    SHIP,
    '--to',
    COAST,
    '--vhf',
    '--rate-hz',
    '12000',
    '--silence',
    '1',
  ];
  const alert = [
    'distress-alert',
    '--from',
    SHIP,
    '--nature',
    'fire',
    '--vhf',
    '--rate-hz',
    '12000',
    '--silence',
    '1',
  ];
  const decoded = async (run: Promise<Said>) =>
    jsonLines<{ start: number; call: object }>((await run).stdout);

  beforeAll(async () => {
    await dotphase(['encode', ...testCall, '--out', inFolder('test.wav')]);
    await dotphase(['encode', ...alert, '--out', inFolder('alert.wav')]);
  });

  it('answers a WAV with a WAV, and logs both calls', async () => {
    const args = ['--as', COAST, '--vhf', '--delay', '6', '--log', inFolder('answers.db')];
    const { code, stderr } = await dotphase([
      'answer',
      inFolder('test.wav'),
      ...args,
      '--out',
      inFolder('answer.wav'),
    ]);
    expect(code).toBe(0);
    expect(stderr).toContain('Caution: onto a cable or dummy load only.');
    expect(stderr).toContain('It does not acknowledge distress alerts.');
    const [answer] = await decoded(dotphase(['decode', '--json', '--vhf', inFolder('answer.wav')]));
    expect(answer.call).toEqual({ kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST });
    // A second of silence, 640 bits at 1200 Bd, the delay, and 20 bits of dots before the phasing.
    expect(answer.start).toBeCloseTo(1 + 640 / 1200 + 6 + 20 / 1200, 1);

    const listed = await dotphase(['log', inFolder('answers.db'), '--json']);
    const [call, acknowledgement] = jsonLines<Record<string, string>>(listed.stdout);
    expect(call).toMatchObject({ direction: 'received', kind: 'testCall', quality: 'clean' });
    expect(acknowledgement).toMatchObject({
      direction: 'made',
      file: inFolder('answer.wav'),
      kind: 'testAcknowledgement',
      frequencyHz: VHF,
    });
    expect(call.acknowledged).toBe(acknowledgement.time);
    // From the phasing of the call: 620 bits at 1200 Bd, and the delay.
    const apart = Date.parse(acknowledgement.time) - Date.parse(call.time);
    expect(Math.abs(apart - 6000 - 620_000 / 1200)).toBeLessThan(60);
  });

  it('answers raw samples with raw samples, in step', async () => {
    const input = readFileSync(inFolder('test.wav')).subarray(44);
    // A coast station acknowledges after at least 5 s (M.541 Annex 2, from memory).
    const silence = Buffer.alloc(2 * 12_000 * 8);
    const raw = ['--raw', 's16', '--rate-hz', '12000'];
    const { code, bytes } = await built(['answer', '--as', COAST, '--vhf', ...raw, '-'], {
      input: Buffer.concat([input, silence]),
    });
    expect(code).toBe(0);
    expect(bytes.length).toBe(input.length + silence.length);
    const [answer] = await decoded(dotphase(['decode', '--json', '--vhf', ...raw, '-'], { input: bytes }));
    expect(answer.call).toMatchObject({ kind: 'testAcknowledgement' });
  });

  it('never acknowledges an alert unless told to, and then cautions', async () => {
    const plain = await dotphase([
      'answer',
      inFolder('alert.wav'),
      '--as',
      COAST,
      '--vhf',
      '--out',
      inFolder('none.wav'),
    ]);
    expect(plain.code).toBe(1);
    expect(plain.stderr).toContain('Heard: Distress alert');
    expect(await decoded(dotphase(['decode', '--json', '--vhf', inFolder('none.wav')]))).toEqual([]);
    const args = ['--as', COAST, '--vhf', '--training-acknowledge', '--out', inFolder('training.wav')];
    const training = await dotphase(['answer', inFolder('alert.wav'), ...args]);
    expect(training.code).toBe(0);
    expect(training.stderr.replace(/\s+/g, ' ')).toContain('which silences real ones');
    const [answer] = await decoded(dotphase(['decode', '--json', '--vhf', inFolder('training.wav')]));
    expect(answer.call).toMatchObject({ kind: 'distressAcknowledgement', casualty: SHIP });
  });

  it.each([
    ['no identity', ['answer', '-'], '--as'],
    ['a bad identity', ['answer', '--as', '123', '-'], 'nine digits'],
    ['a rate without raw samples', ['answer', '--as', COAST, '--rate-hz', '8000', '-'], '--raw'],
    ['raw samples without a rate', ['answer', '--as', COAST, '--raw', 's16', '-'], '--rate-hz'],
    ['an unknown reason', ['answer', '--as', COAST, '--unable', 'sleepy', '-'], '--unable'],
  ])('refuses %s before anything is read', async (_, args, text) => {
    const { code, stderr } = await here(args);
    expect(code).toBe(2);
    expect(stderr).toContain(text);
  });

  it('refuses a VHF frequency for 100 Bd', async () => {
    const args = ['answer', '--as', COAST, '--frequency', '156.525 MHz', '-'];
    const { code, stderr } = await dotphase(args, { input: readFileSync(inFolder('test.wav')) });
    expect(code).toBe(2);
    expect(stderr).toContain('frequency');
  });
});

describe('dotphase log', () => {
  beforeAll(async () => {
    if (!existsSync(inFolder('calls.db'))) {
      await dotphase(['rehearse', '--auto', inFolder('short.json'), '--log', inFolder('calls.db')]);
    }
  });
  const log = (...args: string[]) => dotphase(['log', inFolder('calls.db'), ...args]);

  it('lists what was sent and received', async () => {
    const { code, stdout } = await log();
    expect(code).toBe(0);
    expect(stdout).toContain(
      '2031-05-17 12:00:01  Test call from ship 299 000 111 to coast station 00 299 0001',
    );
    expect(stdout).toMatch(/sent, on 156\.525 MHz, acknowledged 12:00:0\d/);
    expect(stdout).toContain('received, on 156.525 MHz, read clean');
  });

  it.each<[string[], string[]]>([
    [[], ['testCall', 'testAcknowledgement']],
    [['--kind', 'test-call'], ['testCall']],
    [['--kind', 'test acknowledgement'], ['testAcknowledgement']],
    [['--direction', 'received'], ['testAcknowledgement']],
    [
      ['--identity', '00 299 0001'],
      ['testCall', 'testAcknowledgement'],
    ],
    [['--identity', '299000999'], []],
    [['--since', '2031-05-17T12:00:03'], ['testAcknowledgement']],
    [['--since', '2031-05-17', '--until', '2031-05-17 12:00:03Z'], ['testCall']],
    [['--since', '2031-05-18'], []],
    [['--last', '1'], ['testAcknowledgement']],
  ])('filters: %j', async (args, kinds) => {
    const { code, stdout } = await log('--json', ...args);
    expect(code).toBe(0);
    expect(jsonLines(stdout).map(({ kind }) => kind)).toEqual(kinds);
  });

  it('exports CSV', async () => {
    const { stdout } = await log('--csv');
    const [header, ...rows] = stdout.trimEnd().split('\r\n');
    expect(header.split(',').slice(0, 6)).toEqual(['id', 'time', 'direction', 'stopped', 'category', 'kind']);
    expect(rows).toHaveLength(2);
    expect(rows[0]).toContain(
      '2031-05-17T12:00:01.000Z,sent,,safety,testCall,,299 000 111,00 299 0001,,,,,156525000',
    );
  });

  it('says when nothing fits', async () => {
    const { code, stdout } = await log('--since', '2031-05-18');
    expect([code, stdout]).toEqual([1, 'No call in the log fits.\n']);
  });

  it.each([
    [['log', './missing.db'], 'there is no such file'],
    [['log', 'x.db', '--since', 'yesterday'], '--since'],
    [['log', 'x.db', '--since', '2031-02-30'], '--since'],
    [['log', 'x.db', '--kind', 'party'], '--kind'],
    [['log', 'x.db', '--direction', 'sideways'], 'made, sent, received'],
    [['log', 'x.db', '--csv', '--json'], '--csv'],
    [['log', 'x.db', '--last', '0'], '--last'],
  ])('refuses %j', async (args, text) => {
    const { code, stderr } = await dotphase(args);
    expect(code).toBe(2);
    expect(stderr).toContain(text);
  });
});
