/** Typed arrays made in another window, worker or context are as good as our own. */
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import { applyChannel } from '../../src/channel/index.js';
import { isFloat32Array, isUint8Array } from '../../src/dsp/index.js';
import { readWav, writeWav } from '../../src/wav/index.js';

const foreign = (code: string): unknown => runInNewContext(code);

it('knows typed arrays of any realm, and nothing else', () => {
  expect(foreign('new Float32Array(2)')).not.toBeInstanceOf(Float32Array);
  expect(isFloat32Array(foreign('new Float32Array(2)'))).toBe(true);
  expect(isUint8Array(foreign('new Uint8Array(2)'))).toBe(true);
  expect(isUint8Array(Buffer.from('ab'))).toBe(true);
  const others = [
    [],
    { length: 1 },
    'text',
    null,
    undefined,
    new Float64Array(1),
    new DataView(new ArrayBuffer(1)),
  ];
  for (const other of others) expect([isFloat32Array(other), isUint8Array(other)]).toEqual([false, false]);
  expect(isFloat32Array({ [Symbol.toStringTag]: 'Float32Array' })).toBe(false);
});

it('passes them through a channel and a WAV file', () => {
  const samples = foreign('Float32Array.of(0, 0.5, -0.5)') as Float32Array;
  const heard = applyChannel(samples, { sampleRate: 8000, seed: 1, stages: [{ kind: 'gain', gainDb: 0 }] });
  expect([...heard]).toEqual([0, 0.5, -0.5]);
  const bytes = writeWav({ sampleRate: 8000, channels: [samples] });
  const copyOf = foreign('(bytes) => Uint8Array.from(bytes)') as (bytes: number[]) => Uint8Array;
  expect([...readWav(copyOf([...bytes])).channels[0]]).toEqual([0, 0.5, -0.5]);
});
