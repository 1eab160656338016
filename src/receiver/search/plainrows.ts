/**
 * The arithmetic of the search in plain JavaScript; `vectorrows.assembly.ts` does the same four centres at a time.
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
} from './rowconstants.js';
import { Look, type RowSettings, type TakeRows } from './rowsettings.js';
import { WINDOWS_PER_BIT } from './windows.js';

/** Keeps a quotient finite where both powers are 0. */
const LEAST_POWER = 1e-30;

export function createPlainRows(buffer: ArrayBuffer, settings: RowSettings): TakeRows {
  const {
    hop,
    toneStride,
    stride,
    width,
    upperAt,
    keptMask,
    samples,
    folded,
    waves,
    turns,
    thirds,
    powers,
    contrasts,
    characters,
    runs,
    activity,
    dots,
    limited,
    limitedDotted,
    keptContrasts,
    looks,
    withAttempts,
    lag,
    lagDotted,
  } = settings;
  const m = new Float32Array(buffer);
  const look = new Int32Array(buffer);

  const kept = (row: number) => (row & keptMask) * stride;
  const recent = (row: number) => (row & (RECENT_ROWS - 1)) * stride;

  /** The sums over a row of the step, −1 and −2 being the rows before it. */
  const third = (n: number) => thirds + 2 * (n + WINDOWS_PER_BIT - 1) * toneStride;

  /** The sums over one row, phases counted from its middle. */
  function sumThird(n: number): void {
    const at = samples + n * hop;
    const half = hop / 2;
    for (let i = 0; i < half; i++) {
      const before = m[at + half - 1 - i];
      const behind = m[at + half + i];
      m[folded + 2 * i] = before + behind;
      m[folded + 2 * i + 1] = behind - before;
    }
    const to = third(n);
    for (let tone = 0; tone < toneStride; tone++) {
      let re = 0;
      let im = 0;
      let wave = waves + tone;
      for (let i = 0; i < hop; i += 2, wave += 2 * toneStride) {
        re += m[folded + i] * m[wave];
        im += m[folded + i + 1] * m[wave + toneStride];
      }
      m[to + tone] = re;
      m[to + toneStride + tone] = im;
    }
  }

  /** The powers in the latest three rows together. */
  function addThirds(n: number, row: number): void {
    const to = powers + (row & (RECENT_ROWS - 1)) * toneStride;
    const last = third(n);
    const middle = third(n - 1);
    const first = third(n - 2);
    for (let tone = 0; tone < toneStride; tone++) {
      const cos = m[turns + tone];
      const sin = m[turns + toneStride + tone];
      const firstRe = m[first + tone];
      const firstIm = m[first + toneStride + tone];
      const lastRe = m[last + tone];
      const lastIm = m[last + toneStride + tone];
      const re = m[middle + tone] + cos * (lastRe + firstRe) + sin * (lastIm - firstIm);
      const im = m[middle + toneStride + tone] + cos * (lastIm + firstIm) - sin * (lastRe - firstRe);
      m[to + tone] = re * re + im * im;
    }
  }

  function contrast(row: number): number {
    const power = powers + (row & (RECENT_ROWS - 1)) * toneStride;
    const to = contrasts + recent(row);
    const before = activity + recent(row - WINDOWS_PER_BIT);
    const own = activity + recent(row);
    let isActive = 0;
    for (let tone = 0; tone < width; tone++) {
      const lower = m[power + tone];
      const upper = m[power + tone + upperAt];
      const value = (upper - lower) / (upper + lower + LEAST_POWER);
      m[to + tone] = value;
      const mean = m[before + tone];
      const next = mean + ACTIVITY_SHARE * (Math.abs(value) - mean);
      m[own + tone] = next;
      if (next >= LEAST_ACTIVITY) isActive = Look.characters;
    }
    return isActive;
  }

  /** The match with one DX phasing character, 125 (Y B Y Y Y Y Y B B Y), and the run of six of them. */
  function correlate(row: number): void {
    const bit = WINDOWS_PER_BIT;
    const b0 = contrasts + recent(row - 9 * bit);
    const b1 = contrasts + recent(row - 8 * bit);
    const b2 = contrasts + recent(row - 7 * bit);
    const b3 = contrasts + recent(row - 6 * bit);
    const b4 = contrasts + recent(row - 5 * bit);
    const b5 = contrasts + recent(row - 4 * bit);
    const b6 = contrasts + recent(row - 3 * bit);
    const b7 = contrasts + recent(row - 2 * bit);
    const b8 = contrasts + recent(row - bit);
    const b9 = contrasts + recent(row);
    const before = runs + recent(row - PAIR_ROWS);
    const leaving = characters + recent(row - SIX_PAIRS_ROWS);
    const run = runs + recent(row);
    const own = characters + recent(row);
    for (let tone = 0; tone < width; tone++) {
      const b = m[b1 + tone] + m[b7 + tone] + m[b8 + tone];
      const y =
        m[b0 + tone] +
        m[b2 + tone] +
        m[b3 + tone] +
        m[b4 + tone] +
        m[b5 + tone] +
        m[b6 + tone] +
        m[b9 + tone];
      const character = B_WEIGHT * b - Y_WEIGHT * y;
      m[run + tone] = m[before + tone] + character - m[leaving + tone];
      m[own + tone] = character;
    }
  }

  function findRun(row: number): number {
    const run = runs + recent(row - DX_LEAD);
    const ended = dots + recent(row - DX_LEAD - DX_ROWS);
    for (let tone = 0; tone < width; tone++) {
      const value = m[run + tone];
      if (Math.abs(value) >= LEAST_RUN || Math.abs(value + m[ended + tone]) >= LEAST_DOTTED) return Look.run;
    }
    return 0;
  }

  function keep(row: number): void {
    const from = contrasts + recent(row);
    const bit = Math.floor(row / WINDOWS_PER_BIT) & (KEPT_BITS - 1);
    const to = keptContrasts + (row % WINDOWS_PER_BIT) * KEPT_BITS + bit;
    for (let tone = 0; tone < width; tone++) m[to + tone * KEPT_ROWS_STRIDE] = m[from + tone];
  }

  const limit = (value: number, most: number) => Math.max(-most, Math.min(most, value));

  /** The runs as they count for an attempt. */
  function limitRuns(row: number): void {
    const run = runs + recent(row);
    const now = contrasts + recent(row);
    const leaving = contrasts + recent(row - DOT_ROWS);
    const plain = limited + kept(row);
    const dotted = limitedDotted + kept(row);
    const own = dots + recent(row);
    const before = dots + recent(row - WINDOWS_PER_BIT);
    const ended = dots + recent(row - DX_ROWS);
    const active = activity + recent(row);
    for (let tone = 0; tone < width; tone++) {
      // B and Y in turn, Y last.
      m[own + tone] = m[leaving + tone] - m[before + tone] - m[now + tone];
      const share = Math.min(1, NOISE_MAGNITUDE / m[active + tone]);
      m[plain + tone] = limit(share * m[run + tone], MOST_RUN);
      m[dotted + tone] = limit(share * (m[run + tone] + m[ended + tone]), MOST_DOTTED);
    }
  }

  function findRepeated(row: number, latest: number, rows: number, three: number, five: number): boolean {
    const a = latest + kept(row);
    const b = latest + kept(row - rows);
    const c = latest + kept(row - 2 * rows);
    const d = latest + kept(row - 3 * rows);
    const e = limitedDotted + kept(row - 4 * rows);
    for (let tone = 0; tone < width; tone++) {
      const sum = m[a + tone] + m[b + tone] + m[c + tone];
      const all = sum + m[d + tone] + m[e + tone];
      if (sum * sum > three || all * all > five) return true;
    }
    return false;
  }

  return (from, count) => {
    for (let n = 0; n < count; n++) {
      const row = from + n;
      sumThird(n);
      addThirds(n, row);
      let found = contrast(row);
      correlate(row);
      found |= findRun(row);
      if (withAttempts) {
        keep(row);
        limitRuns(row);
        const behind = row - BEHIND_DX;
        if (findRepeated(behind, limited, lag, LEAST_THREE, LEAST_FIVE)) found |= Look.repeated;
        if (findRepeated(behind, limitedDotted, lagDotted, LEAST_THREE_DOTTED, LEAST_FIVE_DOTTED))
          found |= Look.repeatedDotted;
      }
      look[looks + n] = found;
    }
    m.copyWithin(third(-2), third(count - 2), third(count));
  };
}
