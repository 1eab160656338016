import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { here } from './here.js';

const ALERT = [
  ...['distress-alert', '--from', '299123456', '--nature', 'flooding'],
  ...['--position', `48°12.0'N 012°45.0'W`, '--time', '09:30'],
];

/** The test call from 299123456 to 00 299 1234; commands.test.ts works it out by hand. */
const TEST_CALL_SYMBOLS = [
  120, 0, 29, 91, 23, 40, 108, 29, 91, 23, 45, 60, 118, 126, 126, 126, 126, 126, 126, 126, 117, 80,
];

describe('explain', () => {
  it('shows the fields, the slots and the error check of an alert', async () => {
    const { code, stdout } = await here(['explain', ...ALERT]);
    expect(code).toBe(0);
    // Quadrant NW is 1, then 48 12 and 012 45: 14 81 20 12 45 (M.493 §8.1.2, from memory).
    expect(stdout).toMatch(/^position +14 81 20 12 45 +48°12′N 012°45′W {2}\(1 48 12 012 45\)$/m);
    expect(stdout).toContain('200 dots + 52 slots × 10 bits = 720 bits, 7.20 s');
    // The first slots by M.493 §2 and Table A1-1 (from memory): 125 and 111 at 2 s, behind 200 dots.
    expect(stdout).toMatch(/^ 1 +2\.00 │ 125 YBYYYYY BBY phasing +│ 111 YYYYBYY BBY phasing$/m);
    expect(stdout).toMatch(
      /^ 9 +3\.60 │ {2}29 YBYYYBB BYY self-ID 1\/5 +│ 112 BBBBYYY YBB format specifier$/m,
    );
    expect(stdout).toMatch(/^26 +7\.00 │ 127 YYYYYYY BBB end of sequence +│ {2}58 BYBYYYB BYY error check$/m);
    // The exclusive-or by hand, from 112 (1110000) to the end of sequence 127.
    const steps = [
      ['29', '0011101', '1101101', 109],
      ['91', '1011011', '0110110', 54],
      ['23', '0010111', '0100001', 33],
      ['45', '0101101', '0001100', 12],
      ['60', '0111100', '0110000', 48],
      ['101', '1100101', '1010101', 85],
      ['14', '0001110', '1011011', 91],
      ['81', '1010001', '0001010', 10],
      ['20', '0010100', '0011110', 30],
      ['12', '0001100', '0010010', 18],
      ['45', '0101101', '0111111', 63],
      ['09', '0001001', '0110110', 54],
      ['30', '0011110', '0101000', 40],
      ['109', '1101101', '1000101', 69],
      ['127', '1111111', '0111010', 58],
    ] as const;
    const spaced = (bits: string) => Array.from(bits).join(' +');
    for (const [symbol, bits, sum, value] of steps) {
      expect(stdout).toMatch(new RegExp(`^.* ${symbol} +${spaced(bits)} +→ +${spaced(sum)} +${value}$`, 'm'));
    }
    expect(stdout).toMatch(new RegExp(`^error check +58 +${spaced('0111010')} +agrees ✓$`, 'm'));
  });

  it('says which slots of a list were read, and takes the character from the other sending', async () => {
    // The test call, slot by slot; DX of the self-ID's 45 and RX of the first telecommand are lost.
    const dx = [125, 125, 125, 125, 125, 125, 120, ...TEST_CALL_SYMBOLS, 117, 117];
    const rx = [111, 110, 109, 108, 107, 106, 105, 104, 120, ...TEST_CALL_SYMBOLS];
    const slots = dx.flatMap((symbol, i) => [symbol, rx[i]]).map(String);
    slots[2 * (6 + 1 + 10)] = 'x';
    slots[2 * (8 + 1 + 12) + 1] = 'x';
    const { code, stdout } = await here(['explain', slots.join(' ')]);
    expect(code).toBe(0);
    expect(stdout).toContain('Test call from ship 299 123 456 to coast station 00 299 1234');
    expect(stdout).toMatch(/^18 .*│ +······· ··· ✗ self-ID 4\/5 +│/m);
    expect(stdout).toMatch(/^22 .*│ .* │ +······· ··· ✗ telecommand 1$/m);
    expect(stdout).toContain('46 of 48 slots after the phasing were read.');
    expect(stdout).toMatch(/Characters read in one\s+of two sendings: 2, in none: 0\./);
  });

  it('takes the list that DX carries as well', async () => {
    const [once, dx] = [TEST_CALL_SYMBOLS, [120, ...TEST_CALL_SYMBOLS, 117, 117]];
    const [first, second] = [
      await here(['explain', once.join(',')]),
      await here(['explain', ...dx.map(String)]),
    ];
    expect(first.code).toBe(0);
    expect(second).toEqual(first);
  });

  it('shows what follows a call', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
    const file = join(folder, 'call.json');
    const call = {
      ...{ kind: 'distressAlert', self: '299123456', nature: 'fire', position: 'none', time: 'none' },
      ...{ followOn: 'j3e', expansions: [{ kind: 'personsOnBoard', value: 12 }] },
    };
    writeFileSync(file, JSON.stringify(call));
    const { code, stdout } = await here(['explain', file]);
    rmSync(folder, { recursive: true });
    expect(code).toBe(0);
    expect(stdout).toContain('Expansions: 12 persons on board.');
    // Specifier 106, 0012, its own end and error check: 106 ^ 0 ^ 12 ^ 127 = 25 (M.821-1, from memory).
    expect(stdout).toMatch(/^expansion 1 +106 00 12 127 25 +persons on board$/m);
    expect(stdout).toMatch(
      /^27 +7\.20 │ 106 BYBYBYY BYY expansion 1: 1\/3 +│ 127 YYYYYYY BBB end of sequence$/m,
    );
  });

  it('shows an error check that disagrees', async () => {
    const symbols = [...TEST_CALL_SYMBOLS.slice(0, -1), 81].join(' ');
    const { stdout } = await here(['explain', symbols]);
    expect(stdout).toMatch(/^disagrees ✗: 80 was expected$/m);
  });

  it('keeps to the width and to NO_COLOR', async () => {
    const list = ['explain', TEST_CALL_SYMBOLS.join(' ')];
    for (const width of [40, 50, 60, 80, 120]) {
      const { stdout } = await here([...list, '--width', String(width)]);
      const longest = Math.max(...stdout.split('\n').map((line) => Array.from(line).length));
      expect(longest).toBeLessThanOrEqual(width);
      expect(stdout).not.toContain('\x1b');
    }
    const coloured = await here(list, { FORCE_COLOR: '1' });
    expect(coloured.stdout).toContain('\x1b[');
    const forbidden = await here(list, { FORCE_COLOR: '1', NO_COLOR: '1' });
    expect(forbidden.stdout).not.toContain('\x1b');
    const inCi = await here(list, { CI: 'true' });
    expect(inCi.stdout).not.toContain('\x1b');
  });
});
