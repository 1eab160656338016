import { afterEach, describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { readWav } from '../../src/wav/index.js';
import { chunk, fmt16, fmt40, le16, le32, plain, riff, s16 } from './build.js';

function samplesOf(fmt: number[], data: number[]): number[][] {
  return readWav(riff([chunk('fmt ', fmt), chunk('data', data)])).channels.map((samples) => [...samples]);
}

// Every expected value is code / 2^(n-1), the usual reading of two's complement as a fraction.
describe('samples by hand', () => {
  it('8 bit: unsigned, silence at 128', () => {
    expect(samplesOf(fmt16({ bits: 8 }), [128, 0, 255, 129, 127])).toEqual([
      [0, -1, 127 / 128, 1 / 128, -1 / 128],
    ]);
  });

  it('16 bit', () => {
    expect(samplesOf(fmt16(), s16(0, -32768, 32767, 1, -1))).toEqual([
      [0, -1, 32767 / 32768, 1 / 32768, -1 / 32768],
    ]);
  });

  it('24 bit, with the lowest code', () => {
    const data = [0, 0, 0, 0, 0, 0x80, 0xff, 0xff, 0x7f, 1, 0, 0, 0xff, 0xff, 0xff];
    expect(samplesOf(fmt16({ bits: 24 }), data)).toEqual([[0, -1, 8388607 / 8388608, 2 ** -23, -(2 ** -23)]]);
  });

  it('32 bit', () => {
    const data = [0, -(2 ** 31), 2 ** 30, 1, -1].flatMap(le32);
    expect(samplesOf(fmt16({ bits: 32 }), data)).toEqual([[0, -1, 0.5, 2 ** -31, -(2 ** -31)]]);
  });

  it('12 bits fill the upper bits of 16', () => {
    expect(samplesOf(fmt16({ bits: 12, align: 2 }), s16(0x7ff0, -32768))).toEqual([[2047 / 2048, -1]]);
  });

  // IEEE 754: 1.0 = 3F800000, -0.5 = BF000000, 2.5 = 40200000
  it('32-bit floating point, beyond full scale too', () => {
    const data = [0x3f800000, 0xbf000000, 0x40200000].flatMap(le32);
    expect(samplesOf(fmt16({ tag: 3, bits: 32 }), data)).toEqual([[1, -0.5, 2.5]]);
  });

  // 1.0 = 3FF00000 00000000, -0.25 = BFD00000 00000000
  it('64-bit floating point', () => {
    const data = [0, 0x3ff00000, 0, 0xbfd00000].flatMap(le32);
    expect(samplesOf(fmt16({ tag: 3, bits: 64 }), data)).toEqual([[1, -0.25]]);
  });

  it('gives 0 for what is no number, and says where', () => {
    const nan = 0x7fc00000;
    const infinite = 0xff800000;
    const data = [0x3f000000, nan, infinite, 0x3f000000].flatMap(le32);
    const fmt = fmt16({ tag: 3, bits: 32, channels: 2 });
    const { channels, warnings } = readWav(riff([chunk('fmt ', fmt), chunk('data', data)]));
    expect(channels.map((samples) => [...samples])).toEqual([
      [0.5, 0],
      [0, 0.5],
    ]);
    // samples begin at 44, the second is at 48
    expect(warnings).toMatchObject([{ kind: 'non-finite-samples', byte: 48 }]);
    expect(warnings[0].text).toMatch(/^2 samples/);
  });

  // ITU-T G.711 tables 1 and 2 on a 16-bit scale: the largest magnitudes are 8031 × 4 and 4032 × 8, the smallest 0 and
  // 1 × 8 (from memory)
  it('µ-law and A-law', () => {
    const fraction = (...values: number[]): number[] => values.map((value) => value / 32768);
    expect(samplesOf(fmt16({ tag: 7, bits: 8 }), [0x80, 0x00, 0xff, 0x7f, 0xfe])[0]).toEqual(
      fraction(32124, -32124, 0, 0, 8),
    );
    expect(samplesOf(fmt16({ tag: 6, bits: 8 }), [0xaa, 0x2a, 0xd5, 0x55, 0xd4])[0]).toEqual(
      fraction(32256, -32256, 8, -8, 24),
    );
  });
});

describe('channels', () => {
  const fmt = fmt16({ channels: 3 });
  const file = riff([chunk('fmt ', fmt), chunk('data', s16(3276, 6553, -3276, 100, 200, 300))]);
  const values = (channel: number | 'mix' | 'each'): number[][] =>
    readWav(file, { channel }).channels.map((samples) =>
      [...samples].map((value) => Math.round(value * 32768)),
    );

  it('each, one, or the mean', () => {
    expect(values('each')).toEqual([
      [3276, 100],
      [6553, 200],
      [-3276, 300],
    ]);
    expect(values(0)).toEqual([[3276, 100]]);
    expect(values(2)).toEqual([[-3276, 300]]);
    expect(values('mix')).toEqual([[Math.round(6553 / 3), 200]]);
  });

  it('refuses a channel that is not there', () => {
    expect(() => values(3)).toThrow('channel: got 3, expected a channel below 3');
    expect(() => values(-1)).toThrow('channel: got -1');
    expect(() => values('left' as 'mix')).toThrow('channel: got "left"');
  });

  for (const [name, tag, bits] of [
    ['8 bit', 1, 8],
    ['24 bit', 1, 24],
    ['32 bit', 1, 32],
    ['float', 3, 32],
    ['double', 3, 64],
    ['A-law', 6, 8],
    ['µ-law', 7, 8],
  ] as const) {
    it(`one of two in ${name} is that one of each`, () => {
      const data = Array.from({ length: (6 * bits) / 8 }, (_, i) => (i * 37 + 11) % 64);
      if (bits === 64) for (let i = 0; i < 6; i++) data.splice(8 * i + 6, 2, 0xe0 + i, 0x3f); // 0.5 to 1
      const both = riff([chunk('fmt ', fmt16({ tag, bits, channels: 2 })), chunk('data', data)]);
      const each = readWav(both).channels;
      expect(readWav(both, { channel: 1 }).channels).toEqual([each[1]]);
      expect(readWav(both, { channel: 0 }).channels).toEqual([each[0]]);
      expect([...each[0]]).not.toEqual([...each[1]]);
    });
  }
});

describe('files made by wavefile', () => {
  const left = Array.from({ length: 500 }, (_, i) => Math.fround(Math.sin(0.89 * i)));
  const right = Array.from({ length: 500 }, (_, i) => Math.fround(0.3 * Math.cos(0.21 * i)));

  for (const [code, scale, encoding, bitDepth] of [
    ['8', 127, 'pcm', 8],
    ['16', 32767, 'pcm', 16],
    ['24', 8388607, 'pcm', 24],
    ['32', 2147483647, 'pcm', 32],
    ['32f', 1, 'float', 32],
    ['64', 1, 'float', 64],
  ] as const) {
    for (const container of ['RIFF', 'RF64']) {
      it(`${code} in ${container}`, () => {
        const whole = (value: number): number => (scale === 1 ? value : Math.round(value * scale));
        const offset = code === '8' ? 128 : 0;
        const coded = [left, right].map((samples) => samples.map((value) => whole(value) + offset));
        const file = new wavefile.WaveFile();
        file.fromScratch(2, 22050, code, coded, { container });
        const audio = readWav(file.toBuffer());
        expect(audio).toMatchObject({ sampleRate: 22050, channelCount: 2, encoding, bitDepth, warnings: [] });
        const full = scale === 1 ? 1 : scale + 1;
        for (const [channel, samples] of [left, right].entries()) {
          const expected = samples.map((value) => Math.fround(whole(value) / full) + 0);
          expect([...audio.channels[channel]]).toEqual(expected);
        }
      });
    }
  }

  it('wavefile agrees on all codes of A-law and µ-law', () => {
    for (const [code, tag] of [
      ['8a', 6],
      ['8m', 7],
    ] as const) {
      const codes = Array.from({ length: 256 }, (_, i) => i);
      const file = new wavefile.WaveFile();
      file.fromScratch(1, 8000, code, codes);
      const audio = readWav(file.toBuffer());
      expect(audio.encoding).toBe(tag === 6 ? 'alaw' : 'mulaw');
      if (tag === 6) file.fromALaw();
      else file.fromMuLaw();
      expect([...audio.channels[0]].map((value) => value * 32768)).toEqual(
        [...file.getSamples()].map((value) => value + 0),
      );
    }
  });

  it('12 valid bits in an extensible format', () => {
    const file = new wavefile.WaveFile();
    file.fromScratch(1, 8000, '12', [2047, -2048, 0]);
    expect(file.fmt).toMatchObject({ audioFormat: 65534, validBitsPerSample: 12 });
    expect(readWav(file.toBuffer())).toMatchObject({ bitDepth: 12, bytesPerSample: 2 });
  });
});

describe('where there is no name `global`, as in a browser', () => {
  const own = Object.getOwnPropertyDescriptor(globalThis, 'global');
  afterEach(() => {
    if (own !== undefined) Object.defineProperty(globalThis, 'global', own);
  });

  it('reads, and leaves no such name behind', () => {
    expect(own).toBeDefined();
    Reflect.deleteProperty(globalThis, 'global');
    const { channels } = readWav(plain(16384, -16384));
    expect('global' in globalThis).toBe(false);
    expect([...channels[0]]).toEqual([0.5, -0.5]);
  });
});

it('reads extensible PCM and floating point by their subformat', () => {
  expect(samplesOf(fmt40({ bits: 16 }), s16(16384))).toEqual([[0.5]]);
  expect(samplesOf(fmt40({ bits: 32, subTag: 3 }), le32(0x3f000000))).toEqual([[0.5]]);
  expect(samplesOf(fmt40({ bits: 8, subTag: 7 }), [0x80])).toEqual([[32124 / 32768]]);
  const twenty = riff([chunk('fmt ', fmt40({ bits: 24, validBits: 20 })), chunk('data', [0, 0, 0x40])]);
  expect(readWav(twenty)).toMatchObject({ bitDepth: 20, bytesPerSample: 3 });
  expect([...le16(0x1234)]).toEqual([0x34, 0x12]);
});
