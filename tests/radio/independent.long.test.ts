/**
 * Slices made by another hand: a script in Python with numpy that knows nothing of this package's code.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { here } from '../cli/here.js';
import { jsonLines } from '../cli/jsonlines.js';

const SCRIPT = fileURLToPath(new URL('independent/slice.py', import.meta.url));
const hasNumpy = spawnSync('python3', ['-c', 'import numpy']).status === 0;
if (!hasNumpy) console.warn('Slices by another hand are not tested: python3 with numpy is missing.');

interface Line {
  readonly frequencyHz: number;
  readonly measuredHz: number;
  readonly symbols: readonly number[];
  readonly quality: string;
  readonly startUtc: string;
}

describe.runIf(hasNumpy)('a slice made by numpy', () => {
  let folder: string;
  let sent: readonly { readonly frequencyHz: number; readonly symbols: readonly number[] }[];
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'numpy-'));
    const made = spawnSync('python3', [SCRIPT, join(folder, 'slice')], { encoding: 'utf8' });
    expect(made.stderr).toBe('');
    sent = JSON.parse(readFileSync(join(folder, 'slice.json'), 'utf8')) as typeof sent;
  });
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  async function decode(...flags: string[]) {
    const { stdout, stderr } = await here(['decode', '--json', ...flags, join(folder, 'slice.sigmf-meta')]);
    const lines = jsonLines<Line>(stdout).sort((a, b) => a.frequencyHz - b.frequencyHz);
    return { lines, stderr: stderr.replace(/\s+/g, ' ') };
  }

  // The weakest lies 54 dB below the strongest; the strongest's image would lie on 8437.5 kHz, −30 dB.
  it('is read whole, each call on its frequency, no image told', async () => {
    const { lines, stderr } = await decode();
    expect(lines.map(({ frequencyHz, quality }) => [frequencyHz, quality])).toEqual(
      sent.map(({ frequencyHz }) => [frequencyHz, 'clean']),
    );
    // A line has one format specifier, and the error check at the end.
    expect(lines.map(({ symbols }) => symbols.slice(0, -1))).toEqual(
      sent.map(({ symbols }) => symbols.slice(1)),
    );
    // The alert's first dot is sent 0.4 s after the beginning, its phasing 2 s later.
    expect(lines[0].startUtc).toMatch(/^2031-05-17T09:30:02\.(39|40)/);
    expect(stderr).toMatch(/oscillator is about \+2\.[0-2] ppm off, from 4 calls of 4 stations/);
  });

  it('tells how far the oscillator was off, and is read with it', async () => {
    const { lines, stderr } = await decode('--find-oscillator');
    expect(stderr).toMatch(/oscillator is about \+2\.[0-2] ppm off/);
    for (const { measuredHz, frequencyHz } of lines)
      expect(Math.abs(measuredHz - frequencyHz)).toBeLessThanOrEqual(2);
  });

  it('holds nothing more between the channels', async () => {
    const { lines } = await decode('--anywhere');
    expect(lines.map(({ frequencyHz }) => frequencyHz)).toEqual(sent.map(({ frequencyHz }) => frequencyHz));
  });
});
