import { describe, expect, it } from 'vitest';
import { parseSigmf, readIqBlocks, type IqFormat } from '../../src/radio/index.js';

async function read(bytes: readonly number[], format: IqFormat, cut: number): Promise<number[][]> {
  const all = Uint8Array.from(bytes);
  const samples: number[][] = [];
  for await (const { i, q } of readIqBlocks([all.subarray(0, cut), all.subarray(cut)], format))
    i.forEach((sample, n) => samples.push([sample, q[n]]));
  return samples;
}

describe('complex samples', () => {
  it.each<[IqFormat, number[], number[][]]>([
    [
      'cu8',
      [0, 255, 127, 128],
      [
        [-1, 1],
        [-0.5 / 127.5, 0.5 / 127.5],
      ],
    ],
    [
      'cs8',
      [0x80, 0x40, 0, 0xff],
      [
        [-1, 0.5],
        [0, -1 / 128],
      ],
    ],
    [
      'cs16',
      [0x00, 0x80, 0x00, 0x40, 1, 0, 0xff, 0xff],
      [
        [-1, 0.5],
        [1 / 32_768, -1 / 32_768],
      ],
    ],
    // IEEE 754: 0x3f800000 is 1, 0xbf000000 is −0.5.
    ['cf32', [0, 0, 0x80, 0x3f, 0, 0, 0x00, 0xbf], [[1, -0.5]]],
  ])('of %s, cut anywhere', async (format, bytes, samples) => {
    for (let cut = 0; cut <= bytes.length; cut++) {
      const given = await read(bytes, format, cut);
      expect(given.length).toBe(samples.length);
      given.forEach((pair, n) => {
        expect(pair[0]).toBeCloseTo(samples[n][0], 6);
        expect(pair[1]).toBeCloseTo(samples[n][1], 6);
      });
    }
  });

  it('leave a sample that is cut off, and say so', async () => {
    expect(await read([0, 255, 127], 'cu8', 1)).toHaveLength(1);
    const warnings: string[] = [];
    const blocks = readIqBlocks([new Uint8Array(11)], 'cs16', ({ text }) => warnings.push(text));
    for await (const { i } of blocks) expect(i).toHaveLength(2);
    expect(warnings).toEqual(['The last sample is not whole: 3 of its 4 bytes are there']);
  });

  it('that are no numbers count as silence', async () => {
    // IEEE 754: 0x7f800000 is infinite, 0x7fc00000 not a number.
    const bytes = [0, 0, 0x80, 0x7f, 0, 0, 0xc0, 0x7f, 0, 0, 0x80, 0x3f, 0, 0, 0, 0];
    expect(await read(bytes, 'cf32', 5)).toEqual([
      [0, 0],
      [1, 0],
    ]);
  });
});

describe('SigMF metadata', () => {
  const METADATA = {
    global: { 'core:datatype': 'ci16_le', 'core:sample_rate': 192_000, 'core:version': '1.0.0' },
    captures: [
      { 'core:sample_start': 0, 'core:frequency': 8_430_000, 'core:datetime': '2031-05-17T09:30:00Z' },
      { 'core:sample_start': 1_920_000, 'core:frequency': 12_600_000 },
    ],
    annotations: [],
  };

  it('tells format, rate, and where and when each piece was tuned', () => {
    expect(parseSigmf(JSON.stringify(METADATA))).toEqual({
      format: 'cs16',
      sampleRate: 192_000,
      captures: [
        { start: 0, tunedHz: 8_430_000, began: Date.UTC(2031, 4, 17, 9, 30) },
        { start: 1_920_000, tunedHz: 12_600_000 },
      ],
    });
  });

  it.each([
    ['{', 'metadata: got text that is no JSON, expected SigMF metadata'],
    ['{"captures": []}', /^global: /],
    [
      JSON.stringify({ ...METADATA, global: { ...METADATA.global, 'core:sample_rate': 'fast' } }),
      /core:sample_rate/,
    ],
    [
      JSON.stringify({ ...METADATA, global: { ...METADATA.global, 'core:datatype': 'rf32_le' } }),
      'core:datatype: got "rf32_le", expected cu8, ci8, ci16_le, cf32_le',
    ],
  ])('is refused where it is wrong: %s', (text, message) => {
    expect(() => parseSigmf(text)).toThrow(message);
  });
});
