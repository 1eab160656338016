/**
 * The arithmetic of the search with vector instructions, in AssemblyScript: what `plainrows.ts` does, four tones or
 * centres at a time. `npm run wasm` compiles it to `vectormodule.ts`. Globals are set by the names in
 * `rowsettings.ts`; those that say where something lies come in 32-bit numbers and are turned into bytes where they are
 * used.
 */
import {
  ACTIVITY_SHARE,
  BEHIND_DX,
  B_WEIGHT,
  DOT_ROWS,
  DX_LEAD,
  DX_ROWS,
  LEAST_ACTIVITY,
  LEAST_DOTTED,
  LEAST_FIVE,
  LEAST_FIVE_DOTTED,
  LEAST_RUN,
  LEAST_THREE,
  LEAST_THREE_DOTTED,
  MOST_DOTTED,
  MOST_RUN,
  PAIR_ROWS,
  SIX_PAIRS_ROWS,
  Y_WEIGHT,
  RECENT_ROWS,
} from './rowconstants';

export let hop: i32 = 0;
export let toneStride: i32 = 0;
export let stride: i32 = 0;
export let width: i32 = 0;
export let upperAt: i32 = 0;
export let keptMask: i32 = 0;

export let samples: i32 = 0;
export let folded: i32 = 0;
export let waves: i32 = 0;
export let turns: i32 = 0;
export let thirds: i32 = 0;
export let powers: i32 = 0;
export let contrasts: i32 = 0;
export let characters: i32 = 0;
export let runs: i32 = 0;
export let activity: i32 = 0;
export let dots: i32 = 0;
export let limited: i32 = 0;
export let limitedDotted: i32 = 0;
export let looks: i32 = 0;

export let withAttempts: i32 = 0;
export let lag: i32 = 0;
export let lagDotted: i32 = 0;

const WINDOWS_PER_BIT: i32 = 3;
const LEAST_POWER: f32 = 1e-30;

/** Bits of `looks`, as in `rowsettings.ts`. */
const RUN: i32 = 1;
const CHARACTERS: i32 = 2;
const REPEATED: i32 = 4;
const REPEATED_DOTTED: i32 = 8;

/** Third of a bit that the next row is. */
let phase: i32 = 0;

function keptAt(part: i32, row: i32): usize {
  return (<usize>(part + (row & keptMask) * stride)) << 2;
}

function recentAt(part: i32, row: i32): usize {
  return (<usize>(part + (row & (RECENT_ROWS - 1)) * stride)) << 2;
}

function powersAt(row: i32): usize {
  return (<usize>(powers + (row & (RECENT_ROWS - 1)) * toneStride)) << 2;
}

function thirdAt(third: i32): usize {
  return (<usize>(thirds + 2 * (third % WINDOWS_PER_BIT) * toneStride)) << 2;
}

/** The sums over one row, phases counted from its middle. */
function sumThird(row: i32): void {
  const half = hop >> 1;
  const middle = (<usize>(samples + row * hop + half)) << 2;
  const first = (<usize>folded) << 2;
  for (let n: usize = 0; n < <usize>half; n++) {
    const before = load<f32>(middle - ((n + 1) << 2));
    const behind = load<f32>(middle + (n << 2));
    store<f32>(first + (n << 3), before + behind);
    store<f32>(first + (n << 3), behind - before, 4);
  }
  const length = (<usize>toneStride) << 2;
  const to = thirdAt(phase);
  const end = first + ((<usize>hop) << 2);
  const from = (<usize>waves) << 2;
  for (let tone: usize = 0; tone < length; tone += 16) {
    let re = f32x4.splat(0);
    let im = f32x4.splat(0);
    let wave = from + tone;
    for (let at = first; at < end; at += 8) {
      re = f32x4.add(re, f32x4.mul(v128.load32_splat(at), v128.load(wave)));
      wave += length;
      im = f32x4.add(im, f32x4.mul(v128.load32_splat(at, 4), v128.load(wave)));
      wave += length;
    }
    v128.store(to + tone, re);
    v128.store(to + tone + length, im);
  }
}

/** The powers in the latest three rows together. */
function addThirds(row: i32): void {
  const length = (<usize>toneStride) << 2;
  const to = powersAt(row);
  const last = thirdAt(phase);
  const middle = thirdAt(phase + 2);
  const first = thirdAt(phase + 1);
  const turn = (<usize>turns) << 2;
  for (let tone: usize = 0; tone < length; tone += 16) {
    const cos = v128.load(turn + tone);
    const sin = v128.load(turn + tone + length);
    const firstRe = v128.load(first + tone);
    const firstIm = v128.load(first + tone + length);
    const lastRe = v128.load(last + tone);
    const lastIm = v128.load(last + tone + length);
    const re = f32x4.add(
      f32x4.add(v128.load(middle + tone), f32x4.mul(cos, f32x4.add(lastRe, firstRe))),
      f32x4.mul(sin, f32x4.sub(lastIm, firstIm)),
    );
    const im = f32x4.sub(
      f32x4.add(v128.load(middle + tone + length), f32x4.mul(cos, f32x4.add(lastIm, firstIm))),
      f32x4.mul(sin, f32x4.sub(lastRe, firstRe)),
    );
    v128.store(to + tone, f32x4.add(f32x4.mul(re, re), f32x4.mul(im, im)));
  }
}

function contrast(row: i32): i32 {
  const length = (<usize>stride) << 2;
  const lowers = powersAt(row);
  const uppers = lowers + ((<usize>upperAt) << 2);
  const to = keptAt(contrasts, row);
  const before = recentAt(activity, row - WINDOWS_PER_BIT);
  const own = recentAt(activity, row);
  const share = f32x4.splat(ACTIVITY_SHARE);
  const least = f32x4.splat(LEAST_ACTIVITY);
  const tiny = f32x4.splat(LEAST_POWER);
  let active = f32x4.splat(0);
  for (let tone: usize = 0; tone < length; tone += 16) {
    const lower = v128.load(lowers + tone);
    const upper = v128.load(uppers + tone);
    let value = f32x4.div(f32x4.sub(upper, lower), f32x4.add(f32x4.add(upper, lower), tiny));
    // Behind the last centre there is nothing.
    const left = width - <i32>(tone >> 2);
    if (left < 4) {
      if (left < 2) value = f32x4.replace_lane(value, 1, 0);
      if (left < 3) value = f32x4.replace_lane(value, 2, 0);
      value = f32x4.replace_lane(value, 3, 0);
    }
    v128.store(to + tone, value);
    const mean = v128.load(before + tone);
    const next = f32x4.add(mean, f32x4.mul(share, f32x4.sub(f32x4.abs(value), mean)));
    v128.store(own + tone, next);
    active = v128.or(active, f32x4.ge(next, least));
  }
  return v128.any_true(active) ? CHARACTERS : 0;
}

/** The match with one DX phasing character, 125 (Y B Y Y Y Y Y B B Y), and the run of six of them. */
function correlate(row: i32): void {
  const length = (<usize>stride) << 2;
  const b0 = keptAt(contrasts, row - 9 * WINDOWS_PER_BIT);
  const b1 = keptAt(contrasts, row - 8 * WINDOWS_PER_BIT);
  const b2 = keptAt(contrasts, row - 7 * WINDOWS_PER_BIT);
  const b3 = keptAt(contrasts, row - 6 * WINDOWS_PER_BIT);
  const b4 = keptAt(contrasts, row - 5 * WINDOWS_PER_BIT);
  const b5 = keptAt(contrasts, row - 4 * WINDOWS_PER_BIT);
  const b6 = keptAt(contrasts, row - 3 * WINDOWS_PER_BIT);
  const b7 = keptAt(contrasts, row - 2 * WINDOWS_PER_BIT);
  const b8 = keptAt(contrasts, row - WINDOWS_PER_BIT);
  const b9 = keptAt(contrasts, row);
  const before = recentAt(runs, row - PAIR_ROWS);
  const leaving = recentAt(characters, row - SIX_PAIRS_ROWS);
  const run = recentAt(runs, row);
  const own = recentAt(characters, row);
  const weightB = f32x4.splat(B_WEIGHT);
  const weightY = f32x4.splat(Y_WEIGHT);
  for (let tone: usize = 0; tone < length; tone += 16) {
    const b = f32x4.add(f32x4.add(v128.load(b1 + tone), v128.load(b7 + tone)), v128.load(b8 + tone));
    let y = f32x4.add(v128.load(b0 + tone), v128.load(b2 + tone));
    y = f32x4.add(y, f32x4.add(v128.load(b3 + tone), v128.load(b4 + tone)));
    y = f32x4.add(y, f32x4.add(v128.load(b5 + tone), v128.load(b6 + tone)));
    y = f32x4.add(y, v128.load(b9 + tone));
    const character = f32x4.sub(f32x4.mul(weightB, b), f32x4.mul(weightY, y));
    const sum = f32x4.add(v128.load(before + tone), character);
    v128.store(run + tone, f32x4.sub(sum, v128.load(leaving + tone)));
    v128.store(own + tone, character);
  }
}

function findRun(row: i32): i32 {
  const length = (<usize>stride) << 2;
  const run = recentAt(runs, row - DX_LEAD);
  const ended = recentAt(dots, row - DX_LEAD - DX_ROWS);
  const least = f32x4.splat(LEAST_RUN);
  const leastWithDots = f32x4.splat(LEAST_DOTTED);
  let found = f32x4.splat(0);
  for (let tone: usize = 0; tone < length; tone += 16) {
    const value = v128.load(run + tone);
    found = v128.or(found, f32x4.ge(f32x4.abs(value), least));
    found = v128.or(found, f32x4.ge(f32x4.abs(f32x4.add(value, v128.load(ended + tone))), leastWithDots));
  }
  return v128.any_true(found) ? RUN : 0;
}

function limit(value: v128, most: v128): v128 {
  return f32x4.max(f32x4.neg(most), f32x4.min(most, value));
}

/** The runs as they count for an attempt. */
function limitRuns(row: i32): void {
  const length = (<usize>stride) << 2;
  const run = recentAt(runs, row);
  const now = keptAt(contrasts, row);
  const leaving = keptAt(contrasts, row - DOT_ROWS);
  const own = recentAt(dots, row);
  const before = recentAt(dots, row - WINDOWS_PER_BIT);
  const ended = recentAt(dots, row - DX_ROWS);
  const plain = keptAt(limited, row);
  const dotted = keptAt(limitedDotted, row);
  const most = f32x4.splat(MOST_RUN);
  const mostWithDots = f32x4.splat(MOST_DOTTED);
  for (let tone: usize = 0; tone < length; tone += 16) {
    // B and Y in turn, Y last.
    const older = f32x4.sub(v128.load(leaving + tone), v128.load(before + tone));
    v128.store(own + tone, f32x4.sub(older, v128.load(now + tone)));
    const value = v128.load(run + tone);
    v128.store(plain + tone, limit(value, most));
    v128.store(dotted + tone, limit(f32x4.add(value, v128.load(ended + tone)), mostWithDots));
  }
}

function findRepeated(row: i32, latest: i32, rows: i32, three: f32, five: f32): bool {
  const length = (<usize>stride) << 2;
  const a = keptAt(latest, row);
  const b = keptAt(latest, row - rows);
  const c = keptAt(latest, row - 2 * rows);
  const d = keptAt(latest, row - 3 * rows);
  const e = keptAt(limitedDotted, row - 4 * rows);
  const leastOfThree = f32x4.splat(three);
  const leastOfFive = f32x4.splat(five);
  let found = f32x4.splat(0);
  for (let tone: usize = 0; tone < length; tone += 16) {
    const sum = f32x4.add(f32x4.add(v128.load(a + tone), v128.load(b + tone)), v128.load(c + tone));
    const all = f32x4.add(f32x4.add(sum, v128.load(d + tone)), v128.load(e + tone));
    found = v128.or(found, f32x4.gt(f32x4.mul(sum, sum), leastOfThree));
    found = v128.or(found, f32x4.gt(f32x4.mul(all, all), leastOfFive));
  }
  return v128.any_true(found);
}

/** Takes `count` rows from the samples in memory, from row `from` on. */
export function take(from: i32, count: i32): void {
  for (let n = 0; n < count; n++) {
    const row = from + n;
    sumThird(n);
    addThirds(row);
    let found = contrast(row);
    correlate(row);
    found |= findRun(row);
    if (withAttempts) {
      limitRuns(row);
      const behind = row - BEHIND_DX;
      if (findRepeated(behind, limited, lag, LEAST_THREE, LEAST_FIVE)) found |= REPEATED;
      if (findRepeated(behind, limitedDotted, lagDotted, LEAST_THREE_DOTTED, LEAST_FIVE_DOTTED))
        found |= REPEATED_DOTTED;
    }
    store<i32>((<usize>(looks + n)) << 2, found);
    phase = (phase + 1) % WINDOWS_PER_BIT;
  }
}
