/**
 * How the level of practice follows success: common practice, no source.
 */
import type { Level } from 'dotphase/exam';

/** What practice has come to. */
export interface Progress {
  readonly level: number;
  /** Good exercises in a row at this level. */
  readonly inRow: number;
  readonly exercises: number;
  readonly asked: number;
  readonly right: number;
}

export const BEGINNING: Progress = { level: 1, inRow: 0, exercises: 0, asked: 0, right: 0 };

const HIGHEST = 5;
/** Share of right answers of a good exercise, and of one that was too hard. */
const GOOD = 0.8;
const HARD = 0.4;
/** Good exercises in a row after which the next level comes. */
const ROW = 2;

/** The level of a progress, which may have been kept by hand. */
export function levelOf({ level }: Progress): Level {
  return Math.min(HIGHEST, Math.max(1, Math.round(level))) as Level;
}

/** What an exercise makes of the progress, and what is said of its level. */
export function after(before: Progress, asked: number, right: number): { progress: Progress; said: string } {
  const level = levelOf(before);
  const share = asked === 0 ? 0 : right / asked;
  const counted = {
    exercises: before.exercises + 1,
    asked: before.asked + asked,
    right: before.right + right,
  };
  const inRow = share >= GOOD ? before.inRow + 1 : 0;
  if (inRow >= ROW && level < HIGHEST) {
    return {
      progress: { ...counted, level: level + 1, inRow: 0 },
      said: `Well done: level ${level + 1} comes next.`,
    };
  }
  if (share < HARD && level > 1) {
    return {
      progress: { ...counted, level: level - 1, inRow: 0 },
      said: `That was hard: level ${level - 1} comes next.`,
    };
  }
  const left = ROW - inRow;
  const said =
    share >= GOOD && level < HIGHEST
      ? `Good. One more like it, and level ${level + 1} comes next.`
      : `Level ${level} goes on${level < HIGHEST ? `: ${left} good ${left === 1 ? 'one' : 'ones'} in a row bring the next` : ''}.`;
  return { progress: { ...counted, level, inRow: level < HIGHEST ? inRow : 0 }, said };
}
