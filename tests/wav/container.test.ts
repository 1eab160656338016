import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { DotphaseError } from '../../src/errors.js';
import type { WavAudio, WavReaderOptions } from '../../src/wav/index.js';
import { createWavReader, readWav } from '../../src/wav/index.js';
import { ascii, chunk, fmt16, fmt40, joined, le16, le32, le64, plain, riff, s16 } from './build.js';

const UNKNOWN = 0xffffffff;
const four = s16(1000, 2000, 3000, 4000);
const fmt = chunk('fmt ', fmt16());

function codes(audio: WavAudio): number[] {
  return [...audio.channels[0]].map((value) => value * 32768);
}

function kinds(audio: WavAudio): string[] {
  return audio.warnings.map(({ kind }) => kind);
}

/** Reads, and expects these samples and these kinds of warning. */
function expectRead(
  bytes: Uint8Array,
  samples: number[],
  warnings: string[] = [],
  options: WavReaderOptions = {},
): void {
  const audio = readWav(bytes, options);
  expect({ samples: codes(audio), warnings: kinds(audio) }).toEqual({ samples, warnings });
}

describe('a plain file', () => {
  it('byte by byte', () => {
    // RIFF, 44 - 8 + 4 = 40 bytes, WAVE; fmt, 16 bytes: PCM, 1 channel, 12000 Hz, 24000 bytes/s, 2 bytes a frame, 16
    // bits; data, 4 bytes: -32768, 16384
    const hex =
      '52494646 28000000 57415645 666d7420 10000000 0100 0100 e02e0000 c05d0000 0200 1000 64617461 04000000 0080 0040';
    const bytes = Uint8Array.from(hex.replaceAll(' ', '').match(/../g) ?? [], (pair) => parseInt(pair, 16));
    expect(bytes.length).toBe(48);
    const audio = readWav(bytes);
    expect(audio).toEqual({
      sampleRate: 12000,
      channelCount: 1,
      bitDepth: 16,
      bytesPerSample: 2,
      encoding: 'pcm',
      declaredFrames: 2,
      channels: [Float32Array.of(-1, 0.5)],
      warnings: [],
    });
  });

  it('without samples', () => {
    expectRead(plain(), []);
  });
});

describe('chunks', () => {
  it('before, between and behind, odd ones with their pad byte', () => {
    const list = chunk('LIST', [...ascii('INFOINAM'), ...le32(3), ...ascii('abc')]);
    const file = riff([
      chunk('JUNK', new Array<number>(27).fill(0)),
      chunk('bext', new Array<number>(603).fill(7)),
      fmt,
      chunk('fact', le32(4)),
      chunk('odd ', [1]),
      chunk('none', []),
      chunk('data', four),
      list,
      chunk('id3 ', [1, 2, 3]),
    ]);
    expectRead(file, [1000, 2000, 3000, 4000]);
  });

  it('whose pad byte is not 0', () => {
    const file = riff([chunk('LIST', [1, 2, 3], { pad: false }), ascii('X'), fmt, chunk('data', four)]);
    expectRead(file, [1000, 2000, 3000, 4000]);
  });

  it('whose pad byte is missing', () => {
    const file = riff([chunk('LIST', [1, 2, 3], { pad: false }), fmt, chunk('data', four)]);
    expectRead(file, [1000, 2000, 3000, 4000], ['pad-byte']);
    expect(readWav(file).warnings[0].byte).toBe(12 + 8 + 3);
  });

  it('a fmt chunk longer than anyone asked', () => {
    const long = [...fmt16(), ...le16(0), ...new Array<number>(81).fill(9)];
    expectRead(riff([chunk('fmt ', long), chunk('data', four)]), [1000, 2000, 3000, 4000]);
  });

  it('a second fmt and a second data chunk are told, not used', () => {
    const file = riff([
      fmt,
      chunk('fmt ', fmt16({ channels: 2 })),
      chunk('data', four),
      chunk('data', s16(9)),
    ]);
    expectRead(file, [1000, 2000, 3000, 4000], ['repeated-chunk', 'repeated-chunk']);
    expect(readWav(file).warnings.map(({ byte }) => byte)).toEqual([36, 36 + 24 + 16]);
  });

  it('an odd data chunk, padded, unpadded, and before another chunk', () => {
    const eight = chunk('fmt ', fmt16({ bits: 8 }));
    const data = chunk('data', [128, 192, 64]);
    for (const file of [
      riff([eight, data]),
      riff([eight, chunk('data', [128, 192, 64], { pad: false })]),
      riff([eight, data, chunk('LIST', [1, 2])]),
    ]) {
      const audio = readWav(file);
      expect([...audio.channels[0]]).toEqual([0, 0.5, -0.5]);
      expect(audio.warnings).toEqual([]);
    }
  });

  it('tags and cue points put in by wavefile', () => {
    const file = new wavefile.WaveFile();
    file.fromScratch(1, 12000, '16', [1000, 2000, 3000]);
    file.setTag('INAM', 'odd');
    file.setCuePoint({ position: 100, label: 'here' });
    expectRead(file.toBuffer(), [1000, 2000, 3000]);
  });

  it('RIFX, big endian, is refused as wavefile writes it', () => {
    const file = new wavefile.WaveFile();
    file.fromScratch(1, 12000, '16', [1000], { container: 'RIFX' });
    expect(() => readWav(file.toBuffer())).toThrow(`byte 0: got "RIFX", expected 'RIFF', 'RF64' or 'BW64'`);
  });
});

describe('sizes a recorder could not know', () => {
  const streamed = (riffSize: number, dataSize: number, tail: number[] = four): Uint8Array =>
    riff([fmt, chunk('data', tail, { size: dataSize })], { size: riffSize });

  for (const [name, riffSize, dataSize] of [
    ['0 and 0', 0, 0],
    ['all bits set', UNKNOWN, UNKNOWN],
    ['all bits set, then 0', UNKNOWN, 0],
    ['0, then all bits set', 0, UNKNOWN],
    ['near 2^31, as written to a pipe', 0x7ffff024, 0x7ffff000],
    ['near 2^31, in whole frames of 6 bytes', 0x7ffff044, 0x7fffeffc],
    ['2^31 - 1', 0x7fffffff, 0x7fffffff],
    ['2^31 and the header', 0x80000024, 0x80000000],
    ['2^32 less the header', UNKNOWN - 8, UNKNOWN - 44],
  ] as const) {
    it(name, () => {
      expectRead(streamed(riffSize, dataSize), [1000, 2000, 3000, 4000]);
      expect(readWav(streamed(riffSize, dataSize)).declaredFrames).toBeUndefined();
      const reader = createWavReader();
      reader.push(streamed(riffSize, dataSize));
      expect(reader.end()).toMatchObject({ frames: 4, warnings: [] });
    });
  }

  it('a header never brought up to date: size 0, file said to end with it', () => {
    expectRead(streamed(36, 0), [1000, 2000, 3000, 4000], ['data-size']);
    expect(readWav(streamed(36, 0)).warnings[0].byte).toBe(40);
  });

  it('an empty data chunk with a chunk behind it stays empty', () => {
    expectRead(riff([fmt, chunk('data', []), chunk('LIST', ascii('INFO'))]), []);
  });

  it('a true size near 2^31 is believed if the file has that length', () => {
    for (const [options, frames] of [
      [{ totalBytes: 44 + 0x7ffff000 }, 0x7ffff000 / 2],
      [{ totalBytes: 44 + 0x7fffeffe }, undefined],
      [{}, undefined],
    ] as const) {
      const reader = createWavReader(options);
      reader.push(streamed(0x7ffff024, 0x7ffff000));
      expect(reader.info?.declaredFrames).toBe(frames);
    }
  });

  it('sizes that lost their upper bits beyond 4 GiB', () => {
    // 6 000 000 000 bytes of samples, then a LIST chunk of 12: RIFF size 6 000 000 048 modulo 2^32
    const totalBytes = 44 + 6e9 + 12;
    const bytes = streamed((totalBytes - 8) % 2 ** 32, 6e9 % 2 ** 32);
    const reader = createWavReader({ totalBytes });
    reader.push(bytes);
    expect(reader.info?.declaredFrames).toBe(3e9);
    expect(reader.end().warnings.map(({ kind }) => kind)).toEqual(['data-size', 'data-cut-short']);
    const blind = createWavReader();
    blind.push(bytes);
    expect(blind.info?.declaredFrames).toBe((6e9 % 2 ** 32) / 2);
  });

  it('a file cut short', () => {
    const file = riff([fmt, chunk('data', s16(1, 2, 3, 4, 5, 6))]);
    expectRead(file.subarray(0, 44 + 6), [1, 2, 3], ['data-cut-short']);
    expectRead(file.subarray(0, 44 + 7), [1, 2, 3], ['data-cut-short', 'partial-frame']);
    expectRead(file.subarray(0, 44), [], ['data-cut-short']);
    const { warnings } = readWav(file.subarray(0, 44 + 7));
    expect(warnings.map(({ byte }) => byte)).toEqual([51, 50]);
    expect(warnings[0].text).toBe('The data chunk promises 12 bytes of samples; 7 are there and were read.');
  });

  it('a data chunk that ends within a frame', () => {
    const file = riff([chunk('fmt ', fmt16({ channels: 2 })), chunk('data', s16(1, 2, 3))]);
    expectRead(file, [1], ['partial-frame']);
  });

  it('bytes behind the end', () => {
    const file = joined(plain(1, 2), Uint8Array.from(ascii('TAG and more')));
    expectRead(file, [1, 2], ['unread-bytes']);
    expect(readWav(file).warnings[0].byte).toBe(48);
    // the RIFF header claims them, but they are no chunk
    const claimed = riff([fmt, chunk('data', four), [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]]);
    expectRead(claimed, [1000, 2000, 3000, 4000], ['unread-bytes']);
  });

  it('reads on to the end if asked to', () => {
    const file = joined(plain(1, 2), Uint8Array.from(s16(3, 4)));
    expectRead(file, [1, 2, 3, 4], [], { toEnd: true });
    expectRead(plain(1, 2, 3), [1, 2, 3], [], { toEnd: true });
  });

  it('a RIFF size that does not fit', () => {
    expectRead(riff([fmt, chunk('data', four)], { size: 40 }), [1000, 2000, 3000, 4000], ['riff-size']);
    expectRead(riff([fmt, chunk('data', four)], { size: 4000 }), [1000, 2000, 3000, 4000], ['riff-size']);
  });
});

describe('RF64 and BW64', () => {
  const ds64 = (riffSize: bigint, dataSize: bigint): number[] =>
    chunk('ds64', [...le64(riffSize), ...le64(dataSize), ...le64(0n), ...le32(0)]);
  const long = (id: string, riffSize: bigint, dataSize: bigint, size = UNKNOWN): Uint8Array =>
    riff([ds64(riffSize, dataSize), fmt, chunk('data', four, { size }), chunk('LIST', ascii('INFO'))], {
      id,
      size: UNKNOWN,
    });
  const length = BigInt(long('RF64', 0n, 0n).length);

  for (const id of ['RF64', 'BW64']) {
    it(`${id} takes its sizes from ds64`, () => {
      expectRead(long(id, length - 8n, 8n), [1000, 2000, 3000, 4000]);
    });
    it(`${id} with a data chunk that knows its size`, () => {
      expectRead(long(id, length - 8n, 8n, 8), [1000, 2000, 3000, 4000]);
    });
  }

  it('promises more than 32 bits can say', () => {
    const reader = createWavReader();
    reader.push(long('RF64', 20_000_000_000n, 16_000_000_000n));
    expect(reader.info?.declaredFrames).toBe(8_000_000_000);
    expect(reader.end().warnings.map(({ kind }) => kind)).toEqual(['data-cut-short']);
  });

  it('sizes never filled in, or beyond all reason, are read to the end', () => {
    for (const dataSize of [0n, 2n ** 64n - 1n]) {
      const file = riff([ds64(dataSize, dataSize), fmt, chunk('data', four, { size: UNKNOWN })], {
        id: 'RF64',
        size: UNKNOWN,
      });
      expectRead(file, [1000, 2000, 3000, 4000]);
    }
  });

  it('without a ds64 chunk', () => {
    const file = riff([fmt, chunk('data', four, { size: UNKNOWN })], { id: 'RF64', size: UNKNOWN });
    expectRead(file, [1000, 2000, 3000, 4000]);
  });
});

describe('refusals name the byte', () => {
  const withFmt = (body: number[]): Uint8Array => riff([chunk('fmt ', body), chunk('data', four)]);
  const data = chunk('data', four);
  const cases: [string, Uint8Array, string][] = [
    ['nothing', new Uint8Array(0), 'byte 0: got "the end of the file", expected a RIFF'],
    [
      'four bytes',
      plain().subarray(0, 4),
      'byte 0: got "4 bytes, then the end of the file", expected a RIFF',
    ],
    ['another format', Uint8Array.from(ascii('fLaC            ')), 'byte 0: got "fLaC", expected'],
    ['another RIFF', riff([fmt, data], { type: 'AVI ' }), `byte 8: got "AVI ", expected 'WAVE'`],
    ['no chunks', riff([]), 'byte 12: got "the end of the file", expected a fmt chunk'],
    [
      'a fmt chunk cut off',
      plain().subarray(0, 30),
      'byte 20: got "10 bytes, then the end of the file", expected 16',
    ],
    ['no data chunk', riff([fmt]), 'byte 36: got "the end of the file", expected a data chunk'],
    ['data first', riff([data, fmt]), 'byte 12: got "data", expected a fmt chunk before'],
    ['no chunk name', riff([[0, 0, 0, 0, 1, 2, 3, 4], fmt, data]), 'byte 12: got'],
    ['a short fmt chunk', withFmt(fmt16().slice(0, 14)), 'byte 16: got 14, expected a fmt chunk of 16'],
    ['a short extensible', withFmt(fmt40().slice(0, 24)), 'byte 16: got 24, expected a fmt chunk of 40'],
    ['ADPCM', withFmt(fmt16({ tag: 2, bits: 4, align: 1 })), 'byte 20: got 2, expected format tag 1 (PCM)'],
    ['MP3 in extensible', withFmt(fmt40({ subTag: 0x55 })), 'byte 44: got 85, expected format tag'],
    [
      'a strange subformat',
      withFmt(fmt40({ tail: new Array<number>(14).fill(1) })),
      'byte 44: got "01 00 01',
    ],
    ['no channels', withFmt(fmt16({ channels: 0 })), 'byte 22: got 0, expected 1 to 1024 channels'],
    ['65535 channels', withFmt(fmt16({ channels: 65535 })), 'byte 22: got 65535, expected'],
    ['rate 0', withFmt(fmt16({ rate: 0 })), 'byte 24: got 0, expected a sample rate'],
    ['rate 768001', withFmt(fmt16({ rate: 768001 })), 'byte 24: got 768001, expected a sample rate'],
    ['block align 0', withFmt(fmt16({ align: 0 })), 'byte 32: got 0, expected frames of 2 or 3 or 4 bytes'],
    [
      'block align too small',
      withFmt(fmt16({ channels: 2, align: 2 })),
      'byte 32: got 2, expected frames of 4 or',
    ],
    ['block align not whole', withFmt(fmt16({ channels: 2, align: 5 })), 'byte 32: got 5, expected'],
    ['block align too large', withFmt(fmt16({ align: 8 })), 'byte 32: got 8, expected'],
    ['48 bits', withFmt(fmt16({ bits: 48 })), 'byte 34: got 48, expected at most 32 bits'],
    ['half floats', withFmt(fmt16({ tag: 3, bits: 16 })), 'byte 34: got 16, expected 32 or 64 bits'],
    [
      'float in doubles',
      withFmt(fmt16({ tag: 3, bits: 32, align: 8 })),
      'byte 32: got 8, expected frames of 4 bytes',
    ],
    ['too many valid bits', withFmt(fmt40({ validBits: 17 })), 'byte 38: got 17, expected at most 16'],
    [
      'a short ds64',
      riff([chunk('ds64', le32(0)), fmt, data], { id: 'RF64' }),
      'byte 16: got 4, expected a ds64',
    ],
  ];
  for (const [name, bytes, message] of cases) {
    it(name, () => {
      expect(() => readWav(bytes)).toThrow(DotphaseError);
      expect(() => readWav(bytes)).toThrow(message);
    });
  }

  it('and rates at the ends of the range are read', () => {
    for (const rate of [1, 768000]) expect(readWav(withFmt(fmt16({ rate }))).sampleRate).toBe(rate);
  });
});

it('samples in wider containers fill the upper bits, and the reader says so', () => {
  // 24 bits in 4 bytes: 0x40000000 is one half of 2^31
  const file = riff([chunk('fmt ', fmt16({ bits: 24, align: 4 })), chunk('data', le32(0x40000000))]);
  const audio = readWav(file);
  expect([...audio.channels[0]]).toEqual([0.5]);
  expect(audio.warnings).toMatchObject([{ kind: 'container-width', byte: 32 }]);
});
