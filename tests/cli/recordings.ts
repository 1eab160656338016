/** A folder of its own for each test of many recordings, and a recording of one call to fill it with. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, beforeEach } from 'vitest';
import { here } from './here.js';

let top: string;

/** The folder of the test that runs. */
export let folder: string;

/** Something in that folder. */
export const inFolder = (...names: string[]) => join(folder, ...names);

/** The recording: a test call on channel 70. */
export const call = () => join(top, 'call.wav');

/** To be called once in a file of tests. */
export function useRecordings(): void {
  beforeAll(async () => {
    top = mkdtempSync(join(tmpdir(), 'many-'));
    const flags = ['--from', '299123456', '--to', '002991234', '--vhf', '--out', call()];
    await here(['encode', 'test-call', ...flags]);
  });
  afterAll(() => {
    rmSync(top, { recursive: true, force: true });
  });
  beforeEach(() => {
    folder = mkdtempSync(join(top, 'folder-'));
  });
}
