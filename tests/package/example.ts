/**
 * The example of the README, as a user would copy it.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './run.js';

/** The first JavaScript block that imports the package. */
export function readmeExample(): string {
  const blocks = readFileSync(join(ROOT, 'README.md'), 'utf8').matchAll(/```(?:js|ts)\n([^]*?)```/g);
  const example = [...blocks].map(([, code]) => code).find((code) => code.includes("from 'dotphase'"));
  if (example === undefined) throw new Error('README.md has no example that imports dotphase');
  return example;
}

/** What the example prints: five sendings of the alert, each with its time, quality and sentence. */
export const EXPECTED = new RegExp(
  `^(\\d+\\.\\d+ clean Distress alert from ship 299 123 456: flooding at 48°12′N 012°45′W, ` +
    `position valid 09:30 UTC; voice follows on J3E\\.\\s+){5}$`,
);
