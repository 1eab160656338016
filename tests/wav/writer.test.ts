import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { createWavWriter, readWav, writeWav } from '../../src/wav/index.js';
import { ascii, chunk, fmt16, identical, joined, le16, le32, le64, riff, s16 } from './build.js';

const UNKNOWN = 0xffffffff;
const floats = (...values: number[]): Float32Array => Float32Array.from(values);

describe('a whole file, byte by byte', () => {
  it('16 bit', () => {
    const bytes = writeWav({ sampleRate: 12000, channels: [floats(0, 0.5, -1, 1, 2 ** -15)] });
    // 1 is one step above the highest code
    expect(bytes).toEqual(riff([chunk('fmt ', fmt16()), chunk('data', s16(0, 16384, -32768, 32767, 1))]));
  });

  it('8 bit, unsigned and padded', () => {
    const bytes = writeWav({ sampleRate: 8000, channels: [floats(0, -1, 0.5)], bitDepth: 8 });
    expect(bytes).toEqual(
      riff([chunk('fmt ', fmt16({ rate: 8000, bits: 8 })), chunk('data', [128, 0, 192])]),
    );
  });

  it('24 bit, two channels in turn', () => {
    const bytes = writeWav({
      sampleRate: 48000,
      channels: [floats(-1, 0.5), floats(0, -(2 ** -23))],
      bitDepth: 24,
    });
    const data = [0, 0, 0x80, 0, 0, 0, 0, 0, 0x40, 0xff, 0xff, 0xff];
    expect(bytes).toEqual(
      riff([chunk('fmt ', fmt16({ rate: 48000, bits: 24, channels: 2 })), chunk('data', data)]),
    );
  });

  it('32 bit', () => {
    const bytes = writeWav({ sampleRate: 768000, channels: [floats(-1, 0.5, 1)], bitDepth: 32 });
    const data = [-(2 ** 31), 2 ** 30, 2 ** 31 - 1].flatMap(le32);
    expect(bytes).toEqual(riff([chunk('fmt ', fmt16({ rate: 768000, bits: 32 })), chunk('data', data)]));
  });

  it('floating point, with the fact chunk it must have, not clipped', () => {
    const bytes = writeWav({ sampleRate: 12000, channels: [floats(1, -0.5, 2.5)], float: true });
    const fmt = [...fmt16({ tag: 3, bits: 32 }), ...le16(0)];
    const data = [0x3f800000, 0xbf000000, 0x40200000].flatMap(le32);
    expect(bytes).toEqual(riff([chunk('fmt ', fmt), chunk('fact', le32(3)), chunk('data', data)]));
  });

  it('no samples', () => {
    const bytes = writeWav({ sampleRate: 12000, channels: [floats()] });
    expect(bytes).toEqual(riff([chunk('fmt ', fmt16()), chunk('data', [])]));
  });
});

describe('what is written is read', () => {
  const sample = fc.float({ min: -1, max: 1, noNaN: true });

  for (const bitDepth of [8, 16, 24, 32] as const) {
    it(`${bitDepth} bit: within half a step, one at the top`, () => {
      const property = fc.property(fc.array(fc.tuple(sample, sample), { maxLength: 50 }), (frames) => {
        const channels = [0, 1].map((c) => Float32Array.from(frames, (frame) => frame[c]));
        const read = readWav(writeWav({ sampleRate: 12000, channels, bitDepth }));
        expect(read).toMatchObject({ warnings: [], bitDepth, encoding: 'pcm' });
        const step = 2 ** (1 - bitDepth);
        for (const [c, samples] of channels.entries()) {
          for (const [i, value] of samples.entries()) {
            const error = Math.abs(read.channels[c][i] - value);
            // a 32-bit float keeps 24 bits
            expect(error).toBeLessThanOrEqual((value > 1 - step ? step : step / 2) + 2 ** -25);
          }
        }
      });
      fc.assert(property, { numRuns: 100 });
    });
  }

  it('every code of 8 and 16 bits comes back as it was', () => {
    for (const bitDepth of [8, 16] as const) {
      const count = 2 ** bitDepth;
      const codes = Array.from({ length: count }, (_, code) => code);
      const data = bitDepth === 8 ? codes : codes.flatMap(le16);
      const file = riff([chunk('fmt ', fmt16({ bits: bitDepth })), chunk('data', data)]);
      const { channels, sampleRate } = readWav(file);
      expect(identical(writeWav({ sampleRate, channels, bitDepth }), file)).toBe(true);
    }
  });

  it('codes of 24 bits come back as they were', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 255 }), { minLength: 6, maxLength: 90 }), (bytes) => {
        const data = bytes.slice(0, bytes.length - (bytes.length % 6));
        const file = riff([chunk('fmt ', fmt16({ bits: 24, channels: 2 })), chunk('data', data)]);
        const { channels, sampleRate } = readWav(file);
        expect(writeWav({ sampleRate, channels, bitDepth: 24 })).toEqual(file);
      }),
    );
  });

  it('floating point comes back bit by bit', () => {
    const property = fc.property(fc.float32Array({ noNaN: true, noDefaultInfinity: true }), (samples) => {
      expect(readWav(writeWav({ sampleRate: 12000, channels: [samples], float: true })).channels[0]).toEqual(
        samples,
      );
    });
    fc.assert(property);
  });

  it('a tone keeps no offset: the mean error over a slow ramp is far below a step', () => {
    for (const bitDepth of [8, 16] as const) {
      const ramp = Float32Array.from({ length: 20001 }, (_, i) => (i - 10000) / 10000.7);
      const { channels } = readWav(writeWav({ sampleRate: 12000, channels: [ramp], bitDepth }));
      const mean = channels[0].reduce((sum, value, i) => sum + value - ramp[i], 0) / ramp.length;
      expect(Math.abs(mean)).toBeLessThan(0.02 * 2 ** (1 - bitDepth));
    }
  });
});

describe('wavefile reads what is written', () => {
  const left = Float32Array.from({ length: 999 }, (_, i) => Math.sin(0.89 * i));
  const right = Float32Array.from({ length: 999 }, (_, i) => 0.3 * Math.cos(0.21 * i));

  for (const [code, bitDepth, float, scale, zero] of [
    ['8', 8, false, 128, 128],
    ['16', 16, false, 32768, 0],
    ['24', 24, false, 8388608, 0],
    ['32', 32, false, 2147483648, 0],
    ['32f', 32, true, 1, 0],
  ] as const) {
    it(code, () => {
      const file = new wavefile.WaveFile(
        writeWav({ sampleRate: 44100, channels: [left, right], bitDepth, float }),
      );
      expect(file).toMatchObject({ container: 'RIFF', bitDepth: code });
      expect(file.fmt).toMatchObject({ numChannels: 2, sampleRate: 44100 });
      const samples = file.getSamples() as unknown as Float64Array[];
      for (const [c, channel] of [left, right].entries()) {
        const expected = [...channel].map((value) => {
          if (float) return value;
          return Math.min(Math.round(value * scale), scale - 1) + zero;
        });
        expect([...samples[c]].map((value) => value + 0)).toEqual(expected.map((value) => value + 0));
      }
    });
  }

  it('a stream with its header put right', () => {
    const writer = createWavWriter({ sampleRate: 12000 });
    const body = writer.push([floats(0.5, -0.5)]);
    const end = writer.end();
    const file = new wavefile.WaveFile(joined(end.header, body, end.tail));
    expect([...file.getSamples()]).toEqual([16384, -16384]);
  });
});

describe('a stream', () => {
  const options = { sampleRate: 12000, channels: 2, bitDepth: 8 } as const;

  it('of unknown length: sizes of all bits set, then the true ones', () => {
    const writer = createWavWriter({ ...options, channels: 1 });
    const junk = chunk('JUNK', new Array<number>(28).fill(0));
    const fmt = chunk('fmt ', fmt16({ bits: 8 }));
    const first = riff([junk, fmt, [...ascii('data'), ...le32(UNKNOWN)]], { size: UNKNOWN });
    expect(writer.header).toEqual(first);
    const body = joined(writer.push([floats(0, 0.5)]), writer.push([floats()]), writer.push([floats(-1)]));
    expect([...body]).toEqual([128, 192, 0]);
    const { header, tail, frames, clipped } = writer.end();
    expect({ frames, clipped }).toEqual({ frames: 3, clipped: 0 });
    expect(joined(header, body, tail)).toEqual(riff([junk, fmt, chunk('data', [128, 192, 0])]));
    expect(readWav(joined(first, body)).channels).toEqual([floats(0, 0.5, -1)]);
  });

  it('of known length has its 44-byte header at once, and is held to it', () => {
    const writer = createWavWriter({ ...options, frames: 3 });
    const body = writer.push([floats(0, 0), floats(0.5, 0.5)]);
    expect(() => writer.push([floats(0, 0), floats(0, 0)])).toThrow(
      'frames: got 4, expected at most the 3 announced',
    );
    expect(() => writer.end()).toThrow('frames: got 2, expected the 3 announced');
    const rest = writer.push([floats(-1), floats(0)]);
    const { header, tail } = writer.end();
    expect(header).toEqual(writer.header);
    expect(joined(header, body, rest, tail)).toEqual(
      riff([chunk('fmt ', fmt16({ bits: 8, channels: 2 })), chunk('data', [128, 192, 128, 192, 0, 128])]),
    );
  });

  it('becomes RF64 beyond 4 GiB, at the same length', () => {
    const frames = 3_000_000_000;
    const header = [
      ...ascii('RF64'),
      ...le32(UNKNOWN),
      ...ascii('WAVE'),
      ...chunk('ds64', [
        ...le64(72n + 6_000_000_000n),
        ...le64(6_000_000_000n),
        ...le64(3_000_000_000n),
        ...le32(0),
      ]),
      ...chunk('fmt ', fmt16()),
      ...ascii('data'),
      ...le32(UNKNOWN),
    ];
    const known = createWavWriter({ sampleRate: 12000, frames });
    expect([...known.header]).toEqual(header);
    expect(createWavWriter({ sampleRate: 12000 }).header).toHaveLength(header.length);
    const largestRiff = Math.floor((UNKNOWN - 1 - 36 - 36) / 2);
    expect(ascii('RIFF')).toEqual([
      ...createWavWriter({ sampleRate: 12000, frames: largestRiff }).header.slice(0, 4),
    ]);
    expect(ascii('RF64')).toEqual([
      ...createWavWriter({ sampleRate: 12000, frames: largestRiff + 1 }).header.slice(0, 4),
    ]);
  });

  it('counts what it clips', () => {
    const samples = floats(1, -1, 1.5, -7, 0);
    const clipped = (float: boolean): number => {
      const writer = createWavWriter({ sampleRate: 12000, float });
      writer.push([samples]);
      return writer.end().clipped;
    };
    expect(clipped(false)).toBe(2);
    expect(clipped(true)).toBe(0);
    const read = readWav(writeWav({ sampleRate: 12000, channels: [samples] })).channels[0];
    expect([...read]).toEqual([32767 / 32768, -1, 32767 / 32768, -1, 0]);
  });

  it('in blocks larger than are converted at once', () => {
    const samples = Float32Array.from({ length: 150_000 }, (_, i) => ((i % 65536) - 32768) / 32768);
    const { channels } = readWav(writeWav({ sampleRate: 12000, channels: [samples, samples, samples] }));
    expect(channels.map((given) => identical(given, samples))).toEqual([true, true, true]);
  });
});

describe('bad use', () => {
  it('is refused by name', () => {
    const good = { sampleRate: 12000, channels: [floats(0)] };
    expect(() => writeWav({ ...good, sampleRate: 0 })).toThrow('sampleRate: got 0');
    expect(() => writeWav({ ...good, sampleRate: 768001 })).toThrow('sampleRate: got 768001');
    expect(() => writeWav({ ...good, bitDepth: 12 as 16 })).toThrow(
      'bitDepth: got 12, expected 8, 16, 24 or 32',
    );
    expect(() => writeWav({ ...good, bitDepth: 16, float: true })).toThrow('bitDepth: got 16, expected 32');
    expect(() => writeWav({ ...good, channels: [] })).toThrow('channels: got "0 arrays"');
    expect(() => writeWav({ ...good, channels: floats(0) as unknown as Float32Array[] })).toThrow(
      'channels: got',
    );
    expect(() => writeWav({ ...good, channels: [[0] as unknown as Float32Array] })).toThrow(
      'channels[0]: got [0]',
    );
    expect(() => writeWav({ ...good, channels: [floats(0), floats(0, 1)] })).toThrow(
      'channels[1]: got "2 samples"',
    );
    expect(() => writeWav({ ...good, channels: [floats(0, NaN)] })).toThrow('channels[0] frame 1: got NaN');
    expect(() => writeWav({ ...good, channels: [floats(-Infinity)], float: true })).toThrow(
      'frame 0: got -Infinity',
    );
    expect(() => createWavWriter({ sampleRate: 12000, channels: 0 })).toThrow('channels: got 0');
    expect(() => createWavWriter({ sampleRate: 12000, frames: -1 })).toThrow('frames: got -1');
    const writer = createWavWriter({ sampleRate: 12000, channels: 2 });
    expect(() => writer.push([floats(0)])).toThrow('channels: got "1 arrays", expected 2 arrays');
    writer.end();
    expect(() => writer.push([floats(0), floats(0)])).toThrow('push: got "a call after end()"');
    expect(() => writer.end()).toThrow('end: got');
  });
});
