/** The ladder through sound; what it finds with a whole one: sensitivity.long.test.ts. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keepLadder, ladderOf } from '../../src/cli/sensitivity/state.js';
import { walkLadder } from '../../src/cli/sensitivity/walk.js';
import { createLadder, type Ladder } from '../../src/measure/index.js';
import { here } from './here.js';
import { AIR, RANGE, SHIP, plan, virtualSet } from './virtualset.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('the ladder through sound', () => {
  it('goes on from its file after an interruption', async () => {
    const file = join(folder, 'set.json');
    const place = { station: SHIP, air: AIR } as const;
    const first = await ladderOf(place, file, 6);
    expect(first.before).toBe(0);
    const keep = (ladder: Ladder) => () => keepLadder(file, place, ladder.trials);
    let told = 0;
    await walkLadder(
      virtualSet(),
      plan(first.ladder, { onTrial: keep(first.ladder), isStopped: () => ++told > 3 }),
    );
    expect(existsSync(`${file}.new`)).toBe(false);
    const second = await ladderOf(place, file, 6);
    expect(second.before).toBe(3);
    await walkLadder(virtualSet(), plan(second.ladder, { onTrial: keep(second.ladder) }));
    const { trials } = JSON.parse(readFileSync(file, 'utf8')) as { trials: unknown[] };
    expect(trials).toHaveLength(6);
    await expect(ladderOf({ ...place, station: '299654321' }, file, 6)).rejects.toThrow('the same station');
  });

  it('takes the word of a person, and waits for no acknowledgement then', async () => {
    const ladder = createLadder({ ...RANGE, calls: 4 });
    const set = virtualSet();
    await walkLadder(set, plan(ladder, { ask: (value) => Promise.resolve(value > 3) }));
    expect(ladder.trials.map(({ value, isAcknowledged }) => isAcknowledged === value > 3)).toEqual([
      true,
      true,
      true,
      true,
    ]);
    // Four calls of 8.4 s with their noise and pauses, no 12 s of waiting.
    expect(set.now()).toBeLessThan(60_000);
  });
});

describe('dotphase sensitivity', () => {
  const flags = ['sensitivity', '--from', '002991234', '--to', SHIP];
  it.each([
    [[], '--off-air'],
    [['--off-air', '--ask', '--in', '-'], '--ask: got true, expected another input'],
    [['--off-air', '--snr', '3'], '--snr: got 3, expected nothing with --step ratio'],
    [['--off-air', '--step', 'offset', '--lowest', '-5', '--highest', '50'], 'on one side of 0'],
    [['--off-air', '--vhf', '--channel', 'mid-latitude-quiet'], 'none on VHF'],
    [['--off-air', '--step', 'level', '--highest', '5'], 'from -96 to 0 dB'],
    [['--off-air', '--lowest', '5', '--highest', '5.5'], 'from 1 to 200 more than lowest'],
    [['--off-air', '--in', '-'], '--out: got nothing'],
  ])('refuses %j', async (more, message) => {
    const { code, stderr } = await here([...flags, ...more]);
    expect(code).toBe(2);
    expect(stderr).toContain(message);
  });

  it('refuses to go on from another file', async () => {
    const file = join(folder, 'other.json');
    writeFileSync(file, '{"trials": []}');
    const { code, stderr } = await here([...flags, '--off-air', '--keep', file]);
    expect(code).toBe(2);
    expect(stderr).toContain('a file that sensitivity wrote');
  });
});
