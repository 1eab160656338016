/** The ladder through a sound port whose other end is a virtual set: the hard-bit textbook receiver, 2 s to acknowledge. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { keepLadder, ladderOf } from '../../src/cli/sensitivity/state.js';
import { walkLadder, type WalkPlan } from '../../src/cli/sensitivity/walk.js';
import type { SoundPort } from '../../src/cli/sound/port.js';
import { dotPatternLength } from '../../src/frames/index.js';
import { createLadder, type Ladder } from '../../src/measure/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { readByTextbook } from '../scenes/textbook.js';
import { here } from './here.js';

const sampleRate = 8000;
const SHIP = '299123456';
const call = { kind: 'testCall', to: { station: SHIP }, self: '002991234' } as const;
const { symbols } = encodeCall(call);
const DOTS = dotPatternLength(symbols, 'mf-hf');

/** A set at the other end, on the clock of the samples. */
function virtualSet(): SoundPort & { heard: number } {
  let time = 0;
  let playing: { until: number; onEnd: (isWhole: boolean) => void } | undefined;
  let answer: { audio: Float32Array; at: number } | undefined;
  const acknowledgement = callToAudio(
    { kind: 'testAcknowledgement', to: { station: call.self }, self: SHIP },
    { band: 'mf-hf', sampleRate },
  );
  return {
    sampleRate,
    kind: 'file',
    isSoundCard: false,
    inputName: 'a virtual set',
    heard: 0,
    now: () => (1000 * time) / sampleRate,
    async *blocks() {
      const length = sampleRate / 2;
      for (;;) {
        const block = new Float32Array(length);
        if (answer) for (let n = 0; n < length; n++) block[n] = answer.audio[time + n - answer.at] ?? 0;
        time += length;
        if (playing && time >= playing.until) {
          playing.onEnd(true);
          playing = undefined;
        }
        yield await Promise.resolve(block);
      }
    },
    play(audio, onEnd) {
      this.heard++;
      playing = { until: time + audio.length, onEnd };
      // A second of noise lies before the call.
      const start = 1 + DOTS / 100;
      const bits = 20 * (symbols.length + 9);
      const read = readByTextbook(audio, { sampleRate, start, baud: 100, centreHz: 1700, bits });
      const isRead = read.some((one) => one.join() === symbols.join());
      answer = isRead ? { audio: acknowledgement, at: time + audio.length + 2 * sampleRate } : undefined;
    },
    cut: () => undefined,
    close: () => undefined,
  };
}

const RANGE = { lowest: -15, highest: 25 };
const AIR = { band: 'mf-hf', step: 'ratio', ...RANGE } as const;

function plan(ladder: Ladder, more: Partial<WalkPlan> = {}): WalkPlan {
  return {
    ladder,
    call,
    air: AIR,
    levelDb: -6,
    waitSeconds: 12,
    pauseSeconds: 1,
    seed: 5,
    onTrial: () => undefined,
    isStopped: () => false,
    ...more,
  };
}

/** The ratio at which the textbook receiver reads half of such calls: see tests/measure/ladder.test.ts. */
const HALF_DB = -6.73;

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('the ladder through sound', () => {
  it('finds where half of the calls are acknowledged, to 0.3 dB with 60 calls at most', async () => {
    const ladder = createLadder(RANGE);
    const set = virtualSet();
    await walkLadder(set, plan(ladder));
    expect(set.heard).toBeLessThanOrEqual(60);
    expect(Math.abs(ladder.estimate().half.value - HALF_DB)).toBeLessThan(0.3);
  });

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
