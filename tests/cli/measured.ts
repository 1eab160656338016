/** Recordings of made-up sets, and what `dotphase measure` says of them. */
import { writeFileSync } from 'node:fs';
import { expect } from 'vitest';
import { madeUpAudio, type MadeUpSet } from '../measure/madeupset.js';
import { writeWav } from '../../src/wav/index.js';
import { here } from './here.js';

/** Samples per second of the recordings. */
export const sampleRate = 8000;

/** Writes a recording of a made-up set, perhaps with a steady tone of 0.1 in it or on a channel of its own. */
export function recordSet(
  path: string,
  symbols: readonly number[],
  set: MadeUpSet,
  toneHz?: number,
  isBeside = false,
) {
  const audio = madeUpAudio(symbols, set, { sampleRate, ratioDb: 25 });
  const tone = audio.map((_, n) =>
    toneHz === undefined ? 0 : 0.1 * Math.sin((2 * Math.PI * toneHz * n) / sampleRate),
  );
  const mixed = isBeside ? audio : audio.map((value, n) => value + tone[n]);
  writeFileSync(path, writeWav({ sampleRate, channels: isBeside ? [mixed, tone] : [mixed] }));
  return path;
}

/** What is said of a call as a line of JSON. */
export interface Line {
  centreHz: { value: number; uncertainty: number };
  rateErrorPpm: { value: number; uncertainty: number };
  dots: { value: number; uncertainty: number };
  verdicts: { figure: string; verdict: string; source: string }[];
  truth?: Record<string, string>;
  pooledCalls?: number;
}

/** The calls that are measured, as their lines say. */
export const measured = async (...args: string[]) => {
  const { code, stdout } = await here(['measure', '--json', ...args]);
  expect(code).toBe(0);
  return stdout
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Line);
};
