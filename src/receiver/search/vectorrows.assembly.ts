/**
 * The arithmetic of the search with vector instructions, in AssemblyScript: what `plainrows.ts` does, four tones or
 * centres at a time. Each stage goes through a whole run of rows before the next, since few centres would have more work
 * with finding their rows than with the numbers in them. `npm run wasm` compiles it to `vectormodule.ts`. Globals are set
 * by the names in `rowsettings.ts`; those that say where something lies come in 32-bit numbers and are turned into bytes
 * where they are used.
 */
import {
  ACTIVITY_SHARE,
  BEHIND_DX,
  B_WEIGHT,
  DOT_ROWS,
  DX_LEAD,
  DX_ROWS,
  KEPT_BITS,
  KEPT_ROWS_STRIDE,
  LEAST_ACTIVITY,
  LEAST_DOTTED,
  LEAST_FIVE,
  LEAST_FIVE_DOTTED,
  LEAST_RUN,
  LEAST_THREE,
  LEAST_THREE_DOTTED,
  MOST_DOTTED,
  MOST_RUN,
  NOISE_MAGNITUDE,
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
export let keptContrasts: i32 = 0;
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

/** Bytes that so many numbers take. */
function bytes(numbers: i32): usize {
  return (<usize>numbers) << 2;
}

function keptAt(part: i32, row: i32): usize {
  return bytes(part + (row & keptMask) * stride);
}

function recentAt(part: i32, row: i32): usize {
  return bytes(part + (row & (RECENT_ROWS - 1)) * stride);
}

function powersAt(row: i32): usize {
  return bytes(powers + (row & (RECENT_ROWS - 1)) * toneStride);
}

/** The sums over a row of the step, −1 and −2 being the rows before it. */
function thirdAt(n: i32): usize {
  return bytes(thirds + 2 * (n + WINDOWS_PER_BIT - 1) * toneStride);
}

/** Sums and differences of the samples of a row of the step about its middle, with room for another row's between. */
function fold(n: i32, to: usize): void {
  const half = bytes(hop >> 1);
  const middle = bytes(samples + n * hop) + half;
  for (let at: usize = 0; at < half; at += 4) {
    const before = load<f32>(middle - at - 4);
    const behind = load<f32>(middle + at);
    store<f32>(to + (at << 2), before + behind);
    store<f32>(to + (at << 2), behind - before, 4);
  }
}

/**
 * The sums over each row, phases counted from its middle: a row and the next, four tones and the next four at a time, so
 * that what is loaded is used twice. The row that this may do behind the last counts for nothing.
 */
function sumThirds(count: i32): void {
  const length = bytes(toneStride);
  const first = bytes(folded);
  const end = first + bytes(2 * hop);
  for (let n = 0; n < count; n += 2) {
    fold(n, first);
    fold(n + 1, first + 8);
    let to = thirdAt(n);
    for (let from = bytes(waves), behind = from + length; from < behind; from += 32, to += 32) {
      let re = f32x4.splat(0);
      let re4 = f32x4.splat(0);
      let im = f32x4.splat(0);
      let im4 = f32x4.splat(0);
      let nextRe = f32x4.splat(0);
      let nextRe4 = f32x4.splat(0);
      let nextIm = f32x4.splat(0);
      let nextIm4 = f32x4.splat(0);
      let wave = from;
      for (let at = first; at < end; at += 16) {
        const sum = v128.load32_splat(at);
        const nextSum = v128.load32_splat(at, 8);
        const cos = v128.load(wave);
        const cos4 = v128.load(wave, 16);
        re = f32x4.add(re, f32x4.mul(sum, cos));
        re4 = f32x4.add(re4, f32x4.mul(sum, cos4));
        nextRe = f32x4.add(nextRe, f32x4.mul(nextSum, cos));
        nextRe4 = f32x4.add(nextRe4, f32x4.mul(nextSum, cos4));
        wave += length;
        const difference = v128.load32_splat(at, 4);
        const nextDifference = v128.load32_splat(at, 12);
        const sin = v128.load(wave);
        const sin4 = v128.load(wave, 16);
        im = f32x4.add(im, f32x4.mul(difference, sin));
        im4 = f32x4.add(im4, f32x4.mul(difference, sin4));
        nextIm = f32x4.add(nextIm, f32x4.mul(nextDifference, sin));
        nextIm4 = f32x4.add(nextIm4, f32x4.mul(nextDifference, sin4));
        wave += length;
      }
      v128.store(to, re);
      v128.store(to, re4, 16);
      let at = to + length;
      v128.store(at, im);
      v128.store(at, im4, 16);
      at += length;
      v128.store(at, nextRe);
      v128.store(at, nextRe4, 16);
      at += length;
      v128.store(at, nextIm);
      v128.store(at, nextIm4, 16);
    }
  }
}

/** The powers in three rows together, of which the row is the last. */
function addThirds(n: i32, row: i32, rows: i32): void {
  const length = bytes(toneStride);
  let first = thirdAt(n - 2);
  let to = powersAt(row);
  for (let end = to + bytes(rows * toneStride); to < end; first += length) {
    for (let turn = bytes(turns), behind = turn + length; turn < behind; turn += 16) {
      const cos = v128.load(turn);
      const sin = v128.load(turn + length);
      let at = first;
      const firstRe = v128.load(at);
      const firstIm = v128.load((at += length));
      const middleRe = v128.load((at += length));
      const middleIm = v128.load((at += length));
      const lastRe = v128.load((at += length));
      const lastIm = v128.load(at + length);
      const re = f32x4.add(
        f32x4.add(middleRe, f32x4.mul(cos, f32x4.add(lastRe, firstRe))),
        f32x4.mul(sin, f32x4.sub(lastIm, firstIm)),
      );
      const im = f32x4.sub(
        f32x4.add(middleIm, f32x4.mul(cos, f32x4.add(lastIm, firstIm))),
        f32x4.mul(sin, f32x4.sub(lastRe, firstRe)),
      );
      v128.store(to, f32x4.add(f32x4.mul(re, re), f32x4.mul(im, im)));
      first += 16;
      to += 16;
    }
  }
}

function contrast(row: i32, rows: i32, look: usize): void {
  const length = bytes(stride);
  const upperFrom = bytes(upperAt);
  let lowers = powersAt(row);
  const to = recentAt(contrasts, row);
  const before = recentAt(activity, row - WINDOWS_PER_BIT);
  const own = recentAt(activity, row);
  const share = f32x4.splat(ACTIVITY_SHARE);
  const least = f32x4.splat(LEAST_ACTIVITY);
  const tiny = f32x4.splat(LEAST_POWER);
  for (let at: usize = 0, end = bytes(rows * stride); at < end; look += 4) {
    let active = f32x4.splat(0);
    let left = i32x4.sub(i32x4.splat(width), i32x4(0, 1, 2, 3));
    let from = lowers;
    for (const behind = at + length; at < behind; at += 16, from += 16) {
      const lower = v128.load(from);
      const upper = v128.load(from + upperFrom);
      let value = f32x4.div(f32x4.sub(upper, lower), f32x4.add(f32x4.add(upper, lower), tiny));
      // Behind the last centre there is nothing.
      value = v128.and(value, i32x4.gt_s(left, i32x4.splat(0)));
      left = i32x4.sub(left, i32x4.splat(4));
      v128.store(to + at, value);
      const mean = v128.load(before + at);
      const next = f32x4.add(mean, f32x4.mul(share, f32x4.sub(f32x4.abs(value), mean)));
      v128.store(own + at, next);
      active = v128.or(active, f32x4.ge(next, least));
    }
    store<i32>(look, v128.any_true(active) ? CHARACTERS : 0);
    lowers += bytes(toneStride);
  }
}

/** The match with one DX phasing character, 125 (Y B Y Y Y Y Y B B Y), and the run of six of them. */
function correlate(row: i32, rows: i32): void {
  const b0 = recentAt(contrasts, row - 9 * WINDOWS_PER_BIT);
  const b1 = recentAt(contrasts, row - 8 * WINDOWS_PER_BIT);
  const b2 = recentAt(contrasts, row - 7 * WINDOWS_PER_BIT);
  const b3 = recentAt(contrasts, row - 6 * WINDOWS_PER_BIT);
  const b4 = recentAt(contrasts, row - 5 * WINDOWS_PER_BIT);
  const b5 = recentAt(contrasts, row - 4 * WINDOWS_PER_BIT);
  const b6 = recentAt(contrasts, row - 3 * WINDOWS_PER_BIT);
  const b7 = recentAt(contrasts, row - 2 * WINDOWS_PER_BIT);
  const b8 = recentAt(contrasts, row - WINDOWS_PER_BIT);
  const b9 = recentAt(contrasts, row);
  const before = recentAt(runs, row - PAIR_ROWS);
  const leaving = recentAt(characters, row - SIX_PAIRS_ROWS);
  const run = recentAt(runs, row);
  const own = recentAt(characters, row);
  const weightB = f32x4.splat(B_WEIGHT);
  const weightY = f32x4.splat(Y_WEIGHT);
  for (let at: usize = 0, end = bytes(rows * stride); at < end; at += 16) {
    const b = f32x4.add(f32x4.add(v128.load(b1 + at), v128.load(b7 + at)), v128.load(b8 + at));
    let y = f32x4.add(v128.load(b0 + at), v128.load(b2 + at));
    y = f32x4.add(y, f32x4.add(v128.load(b3 + at), v128.load(b4 + at)));
    y = f32x4.add(y, f32x4.add(v128.load(b5 + at), v128.load(b6 + at)));
    y = f32x4.add(y, v128.load(b9 + at));
    const character = f32x4.sub(f32x4.mul(weightB, b), f32x4.mul(weightY, y));
    const sum = f32x4.add(v128.load(before + at), character);
    v128.store(run + at, f32x4.sub(sum, v128.load(leaving + at)));
    v128.store(own + at, character);
  }
}

/** Notes for one row what was found in it. */
function note(look: usize, found: v128, what: i32): void {
  if (v128.any_true(found)) store<i32>(look, load<i32>(look) | what);
}

function findRuns(row: i32, rows: i32, look: usize): void {
  const length = bytes(stride);
  const run = recentAt(runs, row - DX_LEAD);
  const ended = recentAt(dots, row - DX_LEAD - DX_ROWS);
  const least = f32x4.splat(LEAST_RUN);
  const leastWithDots = f32x4.splat(LEAST_DOTTED);
  for (let at: usize = 0, end = bytes(rows * stride); at < end; look += 4) {
    let found = f32x4.splat(0);
    for (const behind = at + length; at < behind; at += 16) {
      const value = v128.load(run + at);
      found = v128.or(found, f32x4.ge(f32x4.abs(value), least));
      found = v128.or(found, f32x4.ge(f32x4.abs(f32x4.add(value, v128.load(ended + at))), leastWithDots));
    }
    note(look, found, RUN);
  }
}

function limit(value: v128, most: v128): v128 {
  return f32x4.pmax(f32x4.pmin(value, most), f32x4.neg(most));
}

/** The runs as they count for an attempt. */
function limitRuns(row: i32, rows: i32): void {
  const run = recentAt(runs, row);
  const now = recentAt(contrasts, row);
  const leaving = recentAt(contrasts, row - DOT_ROWS);
  const own = recentAt(dots, row);
  const before = recentAt(dots, row - WINDOWS_PER_BIT);
  const ended = recentAt(dots, row - DX_ROWS);
  const plain = keptAt(limited, row);
  const dotted = keptAt(limitedDotted, row);
  const active = recentAt(activity, row);
  const one = f32x4.splat(1);
  const inNoise = f32x4.splat(NOISE_MAGNITUDE);
  const most = f32x4.splat(MOST_RUN);
  const mostWithDots = f32x4.splat(MOST_DOTTED);
  for (let at: usize = 0, end = bytes(rows * stride); at < end; at += 16) {
    // B and Y in turn, Y last.
    const older = f32x4.sub(v128.load(leaving + at), v128.load(before + at));
    v128.store(own + at, f32x4.sub(older, v128.load(now + at)));
    const value = v128.load(run + at);
    const share = f32x4.min(one, f32x4.div(inNoise, v128.load(active + at)));
    v128.store(plain + at, limit(f32x4.mul(share, value), most));
    const withDots = f32x4.add(value, v128.load(ended + at));
    v128.store(dotted + at, limit(f32x4.mul(share, withDots), mostWithDots));
  }
}

function keep(row: i32, rows: i32): void {
  const apart = bytes(KEPT_ROWS_STRIDE);
  let from = recentAt(contrasts, row);
  for (const behind = row + rows; row < behind; row++) {
    const bit = (row / WINDOWS_PER_BIT) & (KEPT_BITS - 1);
    let to = bytes(keptContrasts + (row % WINDOWS_PER_BIT) * KEPT_BITS + bit);
    for (const end = from + bytes(stride); from < end; from += 16) {
      const values = v128.load(from);
      v128.store32_lane(to, values, 0);
      v128.store32_lane((to += apart), values, 1);
      v128.store32_lane((to += apart), values, 2);
      v128.store32_lane((to += apart), values, 3);
      to += apart;
    }
  }
}

/** `apart` rows lie from one sending to the next. */
function findRepeated(
  row: i32,
  rows: i32,
  look: usize,
  what: i32,
  latest: i32,
  apart: i32,
  three: f32,
  five: f32,
): void {
  const length = bytes(stride);
  const a = keptAt(latest, row);
  const b = keptAt(latest, row - apart);
  const c = keptAt(latest, row - 2 * apart);
  const d = keptAt(latest, row - 3 * apart);
  const e = keptAt(limitedDotted, row - 4 * apart);
  const leastOfThree = f32x4.splat(three);
  const leastOfFive = f32x4.splat(five);
  for (let at: usize = 0, end = bytes(rows * stride); at < end; look += 4) {
    let found = f32x4.splat(0);
    for (const behind = at + length; at < behind; at += 16) {
      const sum = f32x4.add(f32x4.add(v128.load(a + at), v128.load(b + at)), v128.load(c + at));
      const all = f32x4.add(f32x4.add(sum, v128.load(d + at)), v128.load(e + at));
      found = v128.or(found, f32x4.gt(f32x4.mul(sum, sum), leastOfThree));
      found = v128.or(found, f32x4.gt(f32x4.mul(all, all), leastOfFive));
    }
    note(look, found, what);
  }
}

/** At most so many rows, up to where a ring may begin anew: the longer ones are multiples of the shorter. */
function upTo(row: i32, rows: i32): i32 {
  return min(rows, RECENT_ROWS - (row & (RECENT_ROWS - 1)));
}

/** How many of the rows from one on lie one behind the other in every ring, and so do those that are looked back upon. */
function unbroken(row: i32, rows: i32): i32 {
  for (let bit = 0; bit < 10; bit++) rows = upTo(row - bit * WINDOWS_PER_BIT, rows);
  rows = upTo(row - PAIR_ROWS, rows);
  rows = upTo(row - SIX_PAIRS_ROWS, rows);
  rows = upTo(row - DX_LEAD, rows);
  rows = upTo(row - DX_LEAD - DX_ROWS, rows);
  if (!withAttempts) return rows;
  rows = upTo(row - DOT_ROWS, rows);
  rows = upTo(row - DX_ROWS, rows);
  for (let sending = 0; sending < 5; sending++) {
    rows = upTo(row - BEHIND_DX - sending * lag, rows);
    rows = upTo(row - BEHIND_DX - sending * lagDotted, rows);
  }
  return rows;
}

/** Takes `count` rows from the samples in memory, from row `from` on. */
export function take(from: i32, count: i32): void {
  sumThirds(count);
  for (let n = 0; n < count;) {
    const row = from + n;
    const rows = unbroken(row, count - n);
    const look = bytes(looks + n);
    addThirds(n, row, rows);
    contrast(row, rows, look);
    correlate(row, rows);
    findRuns(row, rows, look);
    if (withAttempts) {
      keep(row, rows);
      limitRuns(row, rows);
      const behind = row - BEHIND_DX;
      findRepeated(behind, rows, look, REPEATED, limited, lag, LEAST_THREE, LEAST_FIVE);
      findRepeated(
        behind,
        rows,
        look,
        REPEATED_DOTTED,
        limitedDotted,
        lagDotted,
        LEAST_THREE_DOTTED,
        LEAST_FIVE_DOTTED,
      );
    }
    n += rows;
  }
  memory.copy(thirdAt(-2), thirdAt(count - 2), thirdAt(0) - thirdAt(-2));
}
