/**
 * Recordings for the tests, made by the library in Node.
 */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { MODULATIONS, encodeCall, frameCall, modulateBits, type Band, type Call } from 'dotphase';
import { applyChannel } from 'dotphase/channel';
import { writeWav } from 'dotphase/wav';

const RATE = 48_000;

export const TEST_CALL: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299456789' };
export const ALERT: Call = {
  kind: 'distressAlert',
  self: '299456789',
  nature: 'flooding',
  position: { latitude: 45.5, longitude: -30.25 },
  time: '12:40',
  followOn: 'f3e',
};

/** A folder that the system clears away. */
export const folder = mkdtempSync(join(tmpdir(), 'bench-'));

/** One after another with pauses, in noise 20 dB below. */
export function scene(calls: readonly Call[], band: Band, pause: number): Float32Array {
  const silence = new Float32Array(pause * RATE);
  const pieces = calls.flatMap((call) => [
    silence,
    modulateBits(frameCall(encodeCall(call), { band }).bits, {
      sampleRate: RATE,
      modulation: MODULATIONS[band],
    }),
  ]);
  const clean = Float32Array.from([...pieces, silence].flatMap((piece) => [...piece]));
  const options = { sampleRate: RATE, seed: 1, signalLevelDb: -9 };
  return applyChannel(clean, { ...options, stages: [{ kind: 'noise', snrDb: 20 }] });
}

/** Writes a WAV file and gives its path. */
export function wavFile(name: string, channels: Float32Array[], sampleRate = RATE): string {
  const path = join(folder, name);
  writeFileSync(path, writeWav({ sampleRate, channels }));
  return path;
}
