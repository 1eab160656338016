/**
 * The voice that speaks the numbers of exercises: the same words at every rate, and none where none is installed.
 */
import { spawnSync } from 'node:child_process';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { findVoice } from '../../src/cli/paper/speech.js';

const isInstalled = spawnSync('espeak-ng', ['--version'], { stdio: 'ignore' }).status === 0;

afterEach(() => {
  vi.unstubAllEnvs();
});

describe('a voice', () => {
  it('is none where there is no program for it', () => {
    vi.stubEnv('PATH', '');
    expect(findVoice(12_000)).toBeUndefined();
  });

  it.runIf(isInstalled)('says the same at every rate, as loud', () => {
    const seconds = [8000, 12_000, 22_050, 48_000].map((rate) => {
      const spoken = findVoice(rate)?.('Exercise 12.') ?? new Float32Array();
      expect(spoken.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0)).toBeCloseTo(0.3, 3);
      return spoken.length / rate;
    });
    for (const each of seconds) {
      expect(each).toBeGreaterThan(0.5);
      expect(Math.abs(each - seconds[0])).toBeLessThan(0.1);
    }
  });

  it.runIf(isInstalled)('is quiet above what speech needs, at a rate that could hold more', () => {
    const rate = 48_000;
    const spoken = findVoice(rate)?.('Exercise 6.') ?? new Float32Array();
    // First differences weigh frequencies upwards: of a signal below 4 kHz they hold at most (2·sin(π·4/48))² = 0.27 of it.
    const energy = spoken.reduce((sum, sample) => sum + sample ** 2, 0);
    const steps = spoken.reduce((sum, sample, n) => sum + (n > 0 ? (sample - spoken[n - 1]) ** 2 : 0), 0);
    expect(steps / energy).toBeLessThan(0.27);
  });
});
