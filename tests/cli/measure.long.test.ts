/** A call over a path that fades, whose fit takes long: what is told of it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { TEST_CALL } from '../measure/faults.js';
import { madeUpAudio } from '../measure/madeupset.js';
import { applyChannel } from '../../src/channel/index.js';
import { writeWav } from '../../src/wav/index.js';
import { here } from './here.js';
import { measured } from './measured.js';

let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dotphase-'));
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('a call over a path that fades', () => {
  const sampleRate = 8000;
  const faded = (name: string, sendings: number) => {
    const set = madeUpAudio(TEST_CALL, { sendings, gapSeconds: 2 }, { sampleRate, ratioDb: 25 });
    const stages = [{ kind: 'fading', condition: 'mid-latitude-moderate' }] as const;
    const audio = applyChannel(set, { sampleRate, seed: 4, stages: [...stages] });
    const path = join(folder, name);
    writeFileSync(path, writeWav({ sampleRate, channels: [audio] }));
    return path;
  };

  it('is told in text, in JSON and in a report, and no figure of the path is charged to the set', async () => {
    const report = join(folder, 'faded.json');
    const path = faded('faded.wav', 2);
    const text = await here(['measure', path, '--clock-ppm', '1', '--report', report, '--set', 'one']);
    expect(text.code).toBe(0);
    const words = text.stdout.replace(/\s+/g, ' ');
    expect(words).toContain('its level moves more than a set’s does, as over a path that fades');
    expect(words).toContain('without 2 calls, whose level moves');
    expect(words).not.toMatch(/symbol rate error|centre of the tones|OUTSIDE/);
    const [first] = await measured(faded('faded-once.wav', 1));
    expect(first).toMatchObject({ isUnsteady: true });
    expect(first.centreHz).toBeUndefined();
    const { notMeasured } = JSON.parse(readFileSync(report, 'utf8')) as { notMeasured: string[] };
    expect(notMeasured[0]).toContain('2 calls, whose level moves');
  });
});
