/**
 * Who and where the person at the command line is, whom they know, and what is said about a call: its rules, its
 * frequency, its sentences and its log.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { here, type Outcome } from './here.js';
import { jsonLines } from './jsonlines.js';

const SHIP = '299000111';
const COAST = '002990001';
const HOUR_MS = 3_600_000;

let folder: string;
const inFolder = (name: string) => join(folder, name);
/** Text without its line breaks, and the spaces that indent it. */
const flat = (text: string) => text.replace(/\s+/g, ' ');

/** A sentence with its checksum: the exclusive-or between $ and * (IEC 61162-1, from memory). */
function sentence(body: string): string {
  const sum = Array.from(body).reduce((before, letter) => before ^ letter.charCodeAt(0), 0);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`;
}

/** RMC of a moment at 48°12.3456′N 012°45.0000′W. */
function rmc(time: number): string {
  const iso = new Date(time).toISOString();
  const clock = iso.slice(11, 19).replaceAll(':', '');
  const [year, month, day] = iso.slice(2, 10).split('-');
  return sentence(`GPRMC,${clock}.00,A,4812.3456,N,01245.0000,W,0.0,0.0,${day}${month}${year},,,A`);
}

function write(name: string, content: unknown): string {
  writeFileSync(inFolder(name), typeof content === 'string' ? content : JSON.stringify(content));
  return inFolder(name);
}

const encode = (...args: string[]) =>
  here(['encode', ...args, '--vhf', '--rate-hz', '8000', '--silence', '0.5']);
const alert = (...args: string[]) =>
  encode('distress-alert', '--from', SHIP, '--out', inFolder('a.wav'), ...args);

let book: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-own-'));
  book = write('book.csv', 'name,identity\nGrey Petrel,299 000 111\nHalcyon Bank Radio,00 299 0001\n');
  await encode('test-call', '--from', SHIP, '--to', COAST, '--out', inFolder('test.wav'));
  await encode('test-call', '--from', COAST, '--to', SHIP, '--out', inFolder('back.wav'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('the address book', () => {
  it('takes names where identities are typed, and shows them', async () => {
    const out = ['--out', inFolder('named.wav'), '--book', book];
    const { code, stdout } = await encode(
      'test-call',
      '--from',
      'grey  petrel',
      '--to',
      'Halcyon Bank Radio',
      ...out,
    );
    expect(code).toBe(0);
    const text =
      'Test call from Grey Petrel (ship 299 000 111) to Halcyon Bank Radio (coast station 00 299 0001)';
    expect(flat(stdout)).toContain(text);
    const decoded = await here(['decode', '--vhf', '--book', book, inFolder('named.wav')]);
    expect(flat(decoded.stdout)).toContain(text);
    const plain = await here(['decode', '--vhf', '--json', inFolder('named.wav')]);
    expect(JSON.parse(plain.stdout)).toMatchObject({ call: { self: SHIP, to: { station: COAST } } });
  });

  it('names the flag of a name that is not in it', async () => {
    const { code, stderr } = await encode(
      'test-call',
      '--from',
      SHIP,
      '--to',
      'Nobody',
      '--book',
      book,
      '--out',
      'x.wav',
    );
    expect(code).toBe(2);
    expect(stderr).toContain('--to: got "Nobody", expected a name in the address book or nine digits');
  });

  it('may be named by the environment', async () => {
    const args = [
      'encode',
      'test-call',
      '--vhf',
      '--from',
      SHIP,
      '--to',
      'Halcyon Bank Radio',
      '--out',
      inFolder('e.wav'),
    ];
    expect((await here(args, { DOTPHASE_BOOK: book })).code).toBe(0);
  });

  it('is made, changed, listed and exported', async () => {
    const file = inFolder('mine.json');
    const add = [
      '--add',
      'Petrel Bank Radio=00 299 1234',
      '--frequency',
      '2187.5',
      '--frequency',
      '156.525 MHz',
    ];
    const made = await here(['book', file, ...add]);
    expect(made).toMatchObject({ code: 0, stderr: '' });
    expect(made.stdout).toBe('Petrel Bank Radio  coast station 00 299 1234, 2187.5 kHz, 156.525 MHz\n');
    await here(['book', file, '--add', `Grey Petrel=${SHIP}`, '--note', 'own ship']);
    const csv = await here(['book', file, '--csv']);
    expect(csv.stdout).toContain('Petrel Bank Radio,00 299 1234,coastStation,2187.5 kHz; 156.525 MHz,');
    const json = await here(['book', write('copy.csv', csv.stdout), '--json']);
    expect(JSON.parse(json.stdout)).toEqual(JSON.parse(readFileSync(file, 'utf8')));
    const less = await here(['book', file, '--remove', 'petrel bank radio']);
    expect(less.stdout).toBe('Grey Petrel  ship 299 000 111, own ship\n');
    expect((await here(['book', file, '--remove', 'Grey Petrel'])).stdout).toBe(
      'The address book is empty.\n',
    );
  });

  it('says of a list in JSON what a book is', async () => {
    const list = write('list.json', [{ identity: '002991234', name: 'Petrel Bank Radio' }]);
    expect((await here(['book', list])).stderr).toContain('expected an address book: an object with a list');
  });

  it.each<[string[], string]>([
    [['book'], 'file'],
    [['book', './missing.json'], 'a file that can be read'],
    [['book', './missing.json', '--note', 'x'], '--add beside it'],
    [['book', 'x.json', '--add', 'no identity'], 'name=identity'],
    [['book', 'x.json', '--add', 'A=12'], 'nine digits'],
    [['decode', '--book', './missing.json', 'x.wav'], 'address book'],
  ])('refuses %j', async (args, text) => {
    const { code, stdout, stderr } = await here(args);
    expect([code, stdout]).toEqual([2, '']);
    expect(stderr).toContain(text);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });
});

describe('the own side', () => {
  it('comes from the settings: identity, position, book and log', async () => {
    const settings = write('me.json', {
      identity: 'Grey Petrel',
      position: '48 12.0N 012 45.0W',
      positionTime: new Date(Date.now() - 2 * HOUR_MS).toISOString(),
      book: 'book.csv',
      log: 'mine.db',
    });
    const out = ['--out', inFolder('own.wav'), '--settings', settings];
    const { code, stdout } = await encode('distress-alert', ...out);
    expect(code).toBe(0);
    expect(flat(stdout)).toContain(
      'Distress alert from Grey Petrel (ship 299 000 111): undesignated distress at 48°12′N 012°45′W, position valid ',
    );
    expect(flat(stdout)).toContain('Profile position: 48°12′N 012°45′W from the settings, 2.0 h old.');
    const log = await here(['log', '--settings', settings, '--identity', 'grey petrel']);
    expect(flat(log.stdout)).toContain('Distress alert from Grey Petrel (ship 299 000 111)');
  });

  // M.493 §8.1.2 (from memory): a position older than 23½ hours is not sent; nines and 8888 take its place.
  it.each([
    [23.4, true],
    [23.6, false],
  ])('sends a position %s hours old: %s', async (hours, isSent) => {
    const positionTime = new Date(Date.now() - hours * HOUR_MS).toISOString();
    const settings = write('age.json', { position: '48 12.0N 012 45.0W', positionTime });
    const { stdout } = await alert('--settings', settings);
    if (isSent) expect(flat(stdout)).toContain('distress at 48°12′N 012°45′W');
    else expect(flat(stdout)).toContain('distress, position not given, time not given');
    expect(stdout.includes('not sent')).toBe(!isSent);
  });

  it('comes from sentences, to 1/10000 minute where asked for, past those that are damaged', async () => {
    const now = Date.now();
    const navigation = write('nav.txt', `$GPGGA,broken*00\r\n${rmc(now - 5000)}${rmc(now)}`);
    const { stdout } = await alert('--navigation', navigation, '--expansion', 'fine-position');
    const clock = new Date(now).toISOString().slice(11, 16);
    expect(flat(stdout)).toContain(`at 48°12.3456′N 012°45.0000′W, position valid ${clock} UTC`);
    expect(flat(stdout)).toContain('from RMC sentences, 0 min old. Damaged sentences passed over: 1.');
  });

  it('gives way to what is typed, and is told apart from it', async () => {
    const settings = write('there.json', { position: '10N 020W' });
    expect((await alert('--settings', settings, '--position', '1N 2W')).stdout).toContain('01°00′N 002°00′W');
    expect((await alert('--settings', settings, '--position', 'none')).stdout).toContain(
      'position not given',
    );
    const typedTime = await alert('--settings', settings, '--time', '04:05');
    expect(flat(typedTime.stdout)).toContain('at 10°00′N 020°00′W, position valid 04:05 UTC');
    // Another's distress is not where the own ship is.
    const relay = ['distress-relay', '--from', SHIP, '--to', 'all-ships', '--casualty', 'unknown'];
    const relayed = await encode(...relay, '--settings', settings, '--out', inFolder('r.wav'));
    expect(relayed.stdout).toContain('position not given');
    const asked = await encode(
      ...relay,
      '--settings',
      settings,
      '--position',
      'own',
      '--out',
      inFolder('r.wav'),
    );
    expect(flat(asked.stdout)).toContain('10°00′N 020°00′W');
  });

  it('answers position requests, and its own identity', async () => {
    const settings = write('answer.json', { identity: SHIP, position: '48 12.0N 012 45.0W' });
    await encode('position-request', '--from', COAST, '--to', SHIP, '--out', inFolder('request.wav'));
    const out = ['--out', inFolder('report.wav')];
    const { code, stderr } = await here([
      'answer',
      '--vhf',
      '--settings',
      settings,
      inFolder('request.wav'),
      ...out,
    ]);
    expect(code).toBe(0);
    expect(flat(stderr)).toContain('Answers: Position report from ship 299 000 111');
    expect(flat(stderr)).toContain('48°12′N 012°45′W');
  });

  it.each<[object | string, string]>([
    ['{', 'a JSON file that can be read'],
    [{ identity: 5 }, 'identity: got 5'],
    [{ name: 'x' }, 'name: got "x", expected one of identity'],
    [{ identity: '12' }, 'nine digits'],
    [{ position: 'here' }, 'position: got "here"'],
    [{ position: '1N 1W', positionTime: '09:30' }, 'positionTime: got "09:30"'],
    [{ position: '1N 1W', positionTime: '2099-01-01T00:00:00Z' }, 'time: got'],
    [{ navigation: 'missing.txt' }, '--navigation'],
    [{ book: 'missing.csv' }, 'address book'],
  ])('refuses the settings %j', async (settings, text) => {
    const { code, stderr } = await alert('--settings', write('bad.json', settings));
    expect(code).toBe(2);
    expect(stderr).toContain(text);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });

  it('refuses the own position where none is known', async () => {
    const { code, stderr } = await alert('--position', 'own');
    expect(code).toBe(2);
    expect(stderr).toContain('--position: got "own", expected --navigation or --settings');
  });
});

describe('what is said about a call', () => {
  it('names the rules it breaks and makes it all the same', async () => {
    const { code, stderr } = await encode('distress-alert', '--from', COAST, '--out', inFolder('coast.wav'));
    expect(code).toBe(0);
    const text = `must not be sent: sender: 00 299 0001, expected the identity of a ship or its craft`;
    expect(stderr).toContain(`warning: ${text}`);
    const shown = await here(['decode', '--vhf', inFolder('coast.wav')]);
    expect(flat(shown.stdout)).toContain('Distress alert from coast station 00 299 0001');
    expect(flat(shown.stdout)).toContain(text);
    const explained = await here(['explain', 'distress-alert', '--from', COAST, '--vhf']);
    expect(flat(explained.stdout)).toContain(text);
    const json = await here(['decode', '--vhf', '--json', inFolder('coast.wav')]);
    expect(JSON.parse(json.stdout)).toMatchObject({
      problems: [{ level: 'error', field: 'self', value: COAST }],
    });
  });

  it('names the frequencies it may go on, by the call', async () => {
    const routine = [
      'encode',
      'routine-call',
      '--from',
      SHIP,
      '--to',
      '299000222',
      '--out',
      inFolder('f.wav'),
    ];
    expect((await here(routine)).stdout).toContain('DSC on 2177.0 kHz');
    const there = await here([...routine, '--receive', '8294 kHz', '--frequency', '2177']);
    expect(there.stdout).toContain(
      'DSC on 2177.0 kHz (dial 2175.3 kHz USB); then voice (J3E) on 8294.0 kHz.',
    );
    expect(there.stderr).toBe('');
    const wrong = await here([...routine, '--frequency', '2187.5 kHz']);
    expect(wrong.code).toBe(0);
    expect(wrong.stderr).toMatch(/2187\.5 kHz is for distress.*it belongs on 2177\.0 kHz/);
    const band = await here([...routine, '--vhf', '--frequency', '2177']);
    expect([band.code, band.stdout]).toEqual([2, '']);
    expect(band.stderr).toContain('--frequency');
  });

  it('says what follows on voice, also of what was received', async () => {
    // M.541 Annex 4 (from memory): traffic after an alert on 8414.5 kHz goes on 8291 kHz.
    const made = [
      'encode',
      'distress-alert',
      '--from',
      SHIP,
      '--rate-hz',
      '8000',
      '--out',
      inFolder('hf.wav'),
    ];
    expect((await here([...made, '--frequency', '8414.5'])).stdout).toContain(
      'then voice (J3E) on 8291.0 kHz',
    );
    const heard = await here(['decode', '--mf-hf', '--frequency', '8414.5', inFolder('hf.wav')]);
    expect(heard.stdout).toContain('then voice (J3E) on 8291.0 kHz');
    expect(heard.stdout).not.toContain('it belongs on');
    const misplaced = await here(['decode', '--mf-hf', '--frequency', '2177', inFolder('hf.wav')]);
    expect(flat(misplaced.stdout)).toContain('2177.0 kHz is for routine calls');
  });

  it('carries expansions', async () => {
    const what = [
      'speed=12.3',
      'course=none',
      'persons on board=requested',
      'further-identification=Petrel 7',
    ];
    const { code, stdout } = await alert(...what.flatMap((each) => ['--expansion', each]));
    expect(code).toBe(0);
    expect(flat(stdout)).toContain('Expansions: speed 12.3 knots; ');
    const decoded = await here(['decode', '--vhf', '--json', inFolder('a.wav')]);
    expect(JSON.parse(decoded.stdout)).toMatchObject({
      call: {
        expansions: [
          { kind: 'speed', value: 12.3 },
          { kind: 'course', value: 'none' },
          { kind: 'personsOnBoard', value: 'requested' },
          { kind: 'furtherIdentification', value: 'PETREL 7' },
        ],
      },
    });
    for (const [bad, text] of [
      ['warp=9', '--expansion'],
      ['speed', 'speed=value'],
      ['speed=fast', 'a number'],
      ['speed=1000', 'a number from 0 to 999.9'],
    ]) {
      const refused = await alert('--expansion', bad);
      expect(refused.code, bad).toBe(2);
      expect(refused.stderr, bad).toContain(text);
    }
  });
});

describe('sentences', () => {
  // IEC 61162-1 (from memory): format 20, sender, category 08, test 18, no second telecommand 26, R asks for an answer.
  it('are printed alone, for another program', async () => {
    const { code, stdout, stderr } = await here(['decode', '--vhf', '--sentences', inFolder('test.wav')]);
    expect([code, stderr]).toEqual([0, '']);
    expect(stdout).toBe(sentence(`CDDSC,20,${SHIP}0,08,18,26,,,,,R,`));
  });

  it('go with those of the expansions', async () => {
    await alert(
      '--nature',
      'fire',
      '--position',
      '48 12.3456N 012 45W',
      '--time',
      '10:50',
      '--expansion',
      'fine-position',
    );
    const { stdout } = await here(['decode', '--vhf', '--sentences', inFolder('a.wav')]);
    expect(stdout).toBe(
      sentence(`CDDSC,12,${SHIP}0,12,00,00,1481201245,1050,,,S,E`) +
        sentence(`CDDSE,1,1,A,${SHIP}0,00,34560000`),
    );
  });

  it('do not go with JSON', async () => {
    const { code, stderr } = await here(['decode', '--sentences', '--json', 'x.wav']);
    expect(code).toBe(2);
    expect(stderr).toContain('--sentences');
  });
});

describe('the log', () => {
  it('keeps what was made and what was heard, with the time of the recording', async () => {
    const log = inFolder('calls.db');
    await encode('test-call', '--from', SHIP, '--to', COAST, '--out', inFolder('t.wav'), '--log', log);
    const heard = await here([
      'decode',
      '--vhf',
      '--log',
      log,
      '--recorded',
      '2031-05-17T09:30',
      inFolder('back.wav'),
    ]);
    expect(heard.code).toBe(0);
    const entries = jsonLines((await here(['log', log, '--json'])).stdout);
    expect(
      entries.map(({ direction, kind, from, frequencyHz }) => [direction, kind, from, frequencyHz]),
    ).toEqual([
      ['made', 'testCall', SHIP, 156_525_000],
      ['received', 'testCall', COAST, 156_525_000],
    ]);
    expect(entries[0].file).toBe(inFolder('t.wav'));
    // Half a second of silence, then 20 bits of dots at 1200 Bd before the phasing.
    const begun = Date.parse(entries[1].time as string) - Date.parse('2031-05-17T09:30:00Z');
    expect(Math.abs(begun - 500 - 20_000 / 1200)).toBeLessThan(20);
    expect(entries[1]).toMatchObject({
      quality: 'clean',
      file: inFolder('back.wav'),
      snrDb: expect.any(Number) as number,
      errorProbability: expect.any(Number) as number,
    });
  });
});

describe('a call in JSON', () => {
  const call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
  const said = (run: Outcome) => flat(run.stdout);

  it('stands in the command itself or in a file', async () => {
    const inline = await encode('--json', JSON.stringify(call), '--out', inFolder('j.wav'));
    expect(said(inline)).toContain('Test call from ship 299 000 111');
    const file = await encode(
      '--json',
      write('call.json', { text: 'whatever', call }),
      '--out',
      inFolder('j.wav'),
    );
    expect(said(file)).toBe(said(inline));
    const kind = await encode('--json', 'test-call', '--out', 'x.wav');
    expect(kind.code).toBe(2);
    expect(kind.stderr).toContain('--json');
    expect((await encode('--out', 'x.wav')).stderr).toContain('call: got nothing');
  });
});

describe('how and where a call is to go out', () => {
  const made = ['--rate-hz', '8000', '--from', SHIP, '--out'];
  const out = () => [...made, inFolder('out.wav')];

  it('says that a set sends an alert five times, and how', async () => {
    const once = await here(['encode', 'distress-alert', ...out()]);
    expect(flat(once.stdout)).toContain(
      'A set sends an alert 5 times in a row: --repeat 5 makes such an attempt.',
    );
    const five = await here(['encode', 'distress-alert', ...out(), '--repeat', '5']);
    expect(five.stdout).not.toContain('times in a row');
  });

  // M.541 Annex 5 (from memory): voice on 2182 and 8291 kHz belongs to 2187.5 and 8414.5 kHz.
  it('takes several frequencies, or all that suit', async () => {
    const two = await here([
      'encode',
      'distress-alert',
      ...out(),
      '--frequency',
      '2187.5',
      '--frequency',
      '8414.5 kHz',
    ]);
    expect(flat(two.stdout)).toContain(
      'DSC on 2187.5 kHz (dial 2185.8 kHz USB); then voice (J3E) on 2182.0 kHz.',
    );
    expect(flat(two.stdout)).toContain(
      'DSC on 8414.5 kHz (dial 8412.8 kHz USB); then voice (J3E) on 8291.0 kHz.',
    );
    const all = await here(['encode', 'distress-alert', ...out(), '--frequency', 'all']);
    expect(all.stdout.match(/then voice/g)).toHaveLength(6);
  });

  it('takes one frequency for a recording, never silently the last', async () => {
    const run = await here([
      'decode',
      '--frequency',
      '2187.5',
      '--frequency',
      '8414.5',
      inFolder('test.wav'),
    ]);
    expect(run).toMatchObject({ code: 2, stdout: '' });
    expect(run.stderr).toContain('--frequency: got "2187.5 and 8414.5", expected only one of them');
  });

  it('takes the frequencies of a station from the address book', async () => {
    const stations = [{ name: 'Petrel Bank Radio', identity: COAST, frequencies: [8_414_500, 8_415_000] }];
    const known = ['--book', write('frequencies.json', { stations }), '--to', 'Petrel Bank Radio'];
    const test = await here(['encode', 'test-call', ...out(), ...known]);
    expect(flat(test.stdout)).toContain('DSC on 8414.5 kHz (dial');
    const routine = await here(['encode', 'routine-call', ...out(), ...known]);
    expect(flat(routine.stdout)).toContain('DSC on 8415.0 kHz (dial');
  });

  it('warns of channels that cannot serve and of tests in a row', async () => {
    for (const [channel, use] of [
      ['75', 'navigation only'],
      ['76', 'navigation only'],
      ['70', 'no voice'],
    ]) {
      const call = ['encode', 'routine-call', '--vhf', '--to', '299000222', '--receive', channel];
      expect(flat((await here([...call, ...out()])).stderr)).toMatch(
        new RegExp(`VHF channel ${channel}: .*${use}`),
      );
    }
    const tests = await here(['encode', 'test-call', '--to', COAST, '--repeat', '3', ...out()]);
    expect(flat(tests.stderr)).toContain('a test call is sent once');
  });

  it('takes times and natures as people type them', async () => {
    const run = await here([
      ...['encode', 'distress-alert', '--nature', 'explosion', '--position', '48 12.59N 012 45W'],
      ...['--time', '0930Z', '--vhf', ...out()],
    ]);
    expect(flat(run.stdout)).toContain('fire or explosion at 48°12′N 012°45′W, position valid 09:30 UTC');
  });
});
