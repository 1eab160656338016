/** What `dotphase measure` says of recordings. */
import { expect } from 'vitest';
import { here } from './here.js';
import { jsonLines } from './jsonlines.js';

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
  return jsonLines<Line>(stdout);
};
