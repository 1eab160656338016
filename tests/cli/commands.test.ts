import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeWav } from '../../src/wav/index.js';
import { build, dotphase, runProgram } from './dotphase.js';
import { jsonLines } from './jsonlines.js';

const SHIP = '299123456';
const COAST_STATION = '002991234';
const ALERT = ['distress-alert', '--from', SHIP, '--nature', 'flooding', '--time', '0930'];
const ALERT_POSITION = ['--position', `48°12.0'N 012°45.0'W`];
const TEST_CALL = ['test-call', '--from', SHIP, '--to', COAST_STATION];

/**
 * The test call by hand (M.493 Table A1-4.7, from memory): format 120, address 00 29 91 23 40, category 108,
 * self-ID 29 91 23 45 60, telecommands 118 and 126, six times 126, EOS 117.
 *
 * Exclusive-or: 120 ^ 0 ^ 29 ^ 91 ^ 23 ^ 40 = 1111000 ^ 0011101 ^ 1011011 ^ 0010111 ^ 0101000 = 0000001;
 * ^ 108 = 1101101; ^ 29 ^ 91 ^ 23 ^ 45 ^ 60 (= 1000000) = 0101101; ^ 118 = 1011011; seven times 126 is 126:
 * 0100101; ^ 117 (1110101) = 1010000 = 80.
 */
const TEST_CALL_SYMBOLS = [
  120, 0, 29, 91, 23, 40, 108, 29, 91, 23, 45, 60, 118, 126, 126, 126, 126, 126, 126, 126, 117, 80,
];

let folder: string;
const inFolder = (name: string) => join(folder, name);

beforeAll(async () => {
  build();
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
  const short = ['--rate-hz', '8000', '--silence', '0.5'];
  const runs = await Promise.all([
    dotphase(['encode', ...TEST_CALL, ...short, '--out', inFolder('test.wav')]),
    dotphase(['encode', ...ALERT, ...ALERT_POSITION, '--vhf', ...short, '--out', inFolder('alert.wav')]),
    dotphase(['encode', ...TEST_CALL, '--vhf', '--rate-hz', '16000', '--out', inFolder('vhf.wav')]),
  ]);
  expect(runs.map(({ code }) => code)).toEqual([0, 0, 0]);
  writeFileSync(inFolder('silence.wav'), writeWav({ sampleRate: 8000, channels: [new Float32Array(8000)] }));
  writeFileSync(inFolder('broken.wav'), 'this is no WAV file');
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('the built command', () => {
  it('gives a call back from the air, with the keys in their order', async () => {
    const { code, stdout, stderr } = await dotphase(['decode', '--json', inFolder('test.wav')]);
    expect(stderr).toBe('');
    expect(code).toBe(0);
    const [heard, ...others] = jsonLines(stdout);
    expect(others).toEqual([]);
    expect(Object.keys(heard)).toEqual([
      ...['file', 'channel', 'start', 'end', 'baud', 'centreHz', 'inverted', 'symbols', 'certainty'],
      ...['expansions', 'quality', 'errorProbability', 'call', 'text', 'snrDb'],
      ...['sendings', 'attempt', 'moreFollowed', 'problems'],
    ]);
    // 20 bits of dots to a coast station, then 62 slots of ten bits at 100 Bd, after half a second of silence.
    expect(heard).toMatchObject({
      file: inFolder('test.wav'),
      channel: 0,
      start: expect.closeTo(0.7, 2) as number,
      end: expect.closeTo(6.9, 2) as number,
      baud: 100,
      centreHz: expect.closeTo(1700, -0.5) as number,
      inverted: false,
      symbols: TEST_CALL_SYMBOLS,
      expansions: [],
      quality: 'clean',
      call: { kind: 'testCall', to: { station: COAST_STATION }, self: SHIP },
      text: 'Test call from ship 299 123 456 to coast station 00 299 1234; an acknowledgement is requested.',
      sendings: 1,
    });
    expect(heard.errorProbability).toBeLessThan(1e-4);
    expect(heard.certainty).toHaveLength(TEST_CALL_SYMBOLS.length);
    // Rounded down: nothing is quite certain.
    for (const certainty of heard.certainty as number[]) expect(certainty).toBe(0.999999);
  });

  it('decodes standard input, as a WAV and as raw samples, and encodes what came out to the same samples', async () => {
    const wav = readFileSync(inFolder('vhf.wav'));
    const raw = ['--raw', 's16', '--rate-hz', '16000'];
    const [asWav, asRaw] = await Promise.all([
      dotphase(['decode', '--json', '-'], { input: wav }),
      dotphase(['decode', '--json', ...raw, '-'], { input: wav.subarray(44) }),
    ]);
    expect(asWav.code).toBe(0);
    expect(JSON.parse(asWav.stdout)).toMatchObject({ file: '-', symbols: TEST_CALL_SYMBOLS, baud: 1200 });
    expect(asRaw.stdout).toBe(asWav.stdout);
    const again = await dotphase(['encode', '-', '--vhf', '--rate-hz', '16000', '--out', '-'], {
      input: asWav.stdout,
    });
    expect(again.code).toBe(0);
    expect(again.bytes.equals(wav)).toBe(true);
    expect(again.stderr).toContain('0.53 s on the air (640 bits at 1200 Bd)');
    expect(again.stderr).toContain('Caution: a safety call: never put it on the air');
  });

  it('prints calls for people, and one caution where distress was among them', async () => {
    const { code, stdout } = await dotphase(['decode', inFolder('alert.wav'), inFolder('alert.wav')]);
    expect(code).toBe(0);
    expect(stdout).toContain(
      `${inFolder('alert.wav')}\n  00:00.52  Distress alert from ship 299 123 456: flooding`,
    );
    expect(stdout).toContain('clean: every character was read and the error check agrees');
    expect(stdout.match(/Caution: a decoded distress alert is not a watch/g)).toHaveLength(1);
    const harmless = await dotphase(['decode', inFolder('vhf.wav')]);
    expect(harmless.stdout).toContain('Test call from ship 299 123 456');
    expect(harmless.stdout).not.toContain('Caution');
  });

  it('ends with 1 where nothing was decoded', async () => {
    const run = await dotphase(['decode', inFolder('silence.wav')]);
    expect(run).toMatchObject({ code: 1, stdout: 'No call was decoded.\n', stderr: '' });
  });

  it('ends with 2 for a bad file, decodes the others, and keeps their order', async () => {
    const files = ['alert.wav', 'missing.wav', 'broken.wav', 'vhf.wav'].map(inFolder);
    const { code, stdout, stderr } = await dotphase(['decode', '--json', ...files]);
    expect(code).toBe(2);
    expect(jsonLines(stdout).map(({ file }) => file)).toEqual([files[0], files[3]]);
    const errors = stderr.trimEnd().split('\n');
    expect(errors).toHaveLength(2);
    expect(errors[0]).toContain(files[1]);
    expect(errors[1]).toContain(files[2]);
    expect(errors[1]).toContain('got a text file, expected an audio file');
  });

  it('ends with 2 for bad use, with one line that names the flag', async () => {
    const run = await dotphase(['encode', 'test-call', '--from', '12', '--out', inFolder('x.wav')]);
    expect(run).toMatchObject({
      code: 2,
      stdout: '',
      stderr: 'dotphase: --from: got "12", expected nine digits, spaces allowed\n',
    });
    expect(existsSync(inFolder('x.wav'))).toBe(false);
  });

  it('explains the calls of a recording', async () => {
    const { code, stdout } = await dotphase(['explain', inFolder('alert.wav')]);
    expect(code).toBe(0);
    expect(stdout).toContain('Call 1 of 1, at 00:00.52');
    expect(stdout).toMatch(/Received at 1200 Bd around 1[67]\d\d Hz/);
    expect(stdout).toContain('38 of 38 slots after the phasing were read.');
  });

  it('plays the demo and leaves its recordings', async () => {
    const { code, stdout } = await runProgram('demo', [], { cwd: folder });
    expect(code).toBe(0);
    expect(stdout.match(/✓ what was sent, nothing else/g)).toHaveLength(2);
    for (const name of ['alert', 'alert-noisy', 'test', 'test-noisy']) {
      expect(existsSync(inFolder(join('demo-output', `${name}.wav`)))).toBe(true);
    }
  });
});
