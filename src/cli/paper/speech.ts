/**
 * A voice for the numbers of exercises: espeak-ng, where it is installed.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createResampler } from '../../dsp/index.js';
import { readWav } from '../../wav/index.js';

const PROGRAM = 'espeak-ng';
/** The voice, slower than it speaks by itself. */
const VOICE = ['-v', 'en', '-s', '140'];
const LEVEL = 0.3;
/** Seconds behind the words that the filter of the resampler needs. */
const TAIL_SECONDS = 0.05;
/** Hertz that speech reaches up to, and where nothing may be left. */
const BAND = { pass: 3200, stop: 4000 };

/** Samples at another rate, as loud as the other sounds of a paper. */
function fitted(samples: Float32Array, from: number, to: number): Float32Array {
  const padded = new Float32Array(samples.length + Math.round(TAIL_SECONDS * from));
  padded.set(samples);
  const moved =
    from === to
      ? padded
      : createResampler({ from, to, ...BAND })
          .push(padded)
          .slice();
  const peak = moved.reduce((most, sample) => Math.max(most, Math.abs(sample)), 1e-6);
  return moved.map((sample) => (LEVEL * sample) / peak);
}

/** Speaks a text. */
function speaker(sampleRate: number): (text: string) => Float32Array {
  return (text) => {
    const folder = mkdtempSync(join(tmpdir(), 'dotphase-voice-'));
    try {
      const file = join(folder, 'text.wav');
      spawnSync(PROGRAM, [...VOICE, '-w', file, text], { stdio: 'ignore' });
      const { sampleRate: rate, channels } = readWav(readFileSync(file));
      return fitted(channels[0], rate, sampleRate);
    } finally {
      rmSync(folder, { recursive: true });
    }
  };
}

/** A speaker of texts at a sample rate; undefined where there is no voice on this machine, or none that works. */
export function findVoice(sampleRate: number): ((text: string) => Float32Array) | undefined {
  const speak = speaker(sampleRate);
  try {
    return speak('One.').length > 0 ? speak : undefined;
  } catch {
    return undefined;
  }
}
