/** Slices of spectrum that are made: what is in them, and what is refused. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import {
  IQ_FORMATS,
  checkSliceScene,
  createIqReader,
  createIqWriter,
  createSliceReceiver,
  formatSigmf,
  parseSigmf,
  sliceBlocks,
  sliceSchema,
  type IqBlock,
  type SliceScene,
} from '../../src/radio/index.js';
import { ALERT } from '../scenes/alert.js';
import { wholeSlice } from '../scenes/slice.js';

const TEST: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };

/** The calls that a receiver finds: what and where. */
function heard(scene: SliceScene): (readonly [number, string])[] {
  const { sampleRate, tunedHz, receiver: { oscillatorPpm = 0 } = {} } = scene;
  const receiver = createSliceReceiver({ sampleRate, tunedHz, oscillatorPpm });
  const calls = [...sliceBlocks(scene)].flatMap(({ i, q }) => receiver.push(i, q));
  return [...calls, ...receiver.flush()]
    .filter(({ quality }) => quality !== 'doubtful')
    .map(({ frequencyHz, symbols }) => [frequencyHz, symbols.join()] as const)
    .sort(([a], [b]) => a - b);
}
const sent = (call: Call) => encodeCall(call).symbols.join();

const BAND: SliceScene = { sampleRate: 48_000, tunedHz: 8_425_000, seconds: 9, noiseDb: -70, seed: 3 };

describe('a slice that is made', () => {
  it('holds its calls, each on its frequency, as strong as it should be, beside a strong neighbour', () => {
    const scene: SliceScene = {
      ...BAND,
      calls: [
        { call: ALERT, frequencyHz: 8_414_500, atSeconds: 0.5, levelDb: -6 },
        { call: TEST, frequencyHz: 8_415_500, atSeconds: 0.2, snrDb: 60 },
        { call: TEST, frequencyHz: 8_436_500, atSeconds: 1, snrDb: 3 },
      ],
      carriers: [{ frequencyHz: 8_431_000, levelDb: -10, fromSeconds: 2, untilSeconds: 6 }],
    };
    expect(heard(scene)).toEqual([
      [8_414_500, sent(ALERT)],
      [8_415_500, sent(TEST)],
      [8_436_500, sent(TEST)],
    ]);
  });

  it('holds channel 70 by frequency modulation', () => {
    const scene: SliceScene = {
      ...{ sampleRate: 96_000, tunedHz: 156_510_000, seconds: 2, noiseDb: -60 },
      calls: [{ call: TEST, frequencyHz: 156_525_000, atSeconds: 0.5, levelDb: -10 }],
    };
    expect(heard(scene)).toEqual([[156_525_000, sent(TEST)]]);
  });

  it('is read in spite of what its receiver does wrong', () => {
    const scene: SliceScene = {
      ...BAND,
      receiver: { oscillatorPpm: -3, dcI: 0.05, dcQ: -0.02, imbalanceDb: 0.5, skewDegrees: 3 },
      calls: [{ call: ALERT, frequencyHz: 8_414_500, atSeconds: 0.5, levelDb: -10 }],
    };
    expect(heard(scene)).toEqual([[8_414_500, sent(ALERT)]]);
  });

  it('holds sendings in a row, and of a call that its end cuts what was sent until then', () => {
    const scene: SliceScene = {
      ...BAND,
      seconds: 19,
      calls: [{ call: ALERT, frequencyHz: 8_414_500, atSeconds: 0, snrDb: 30, repeat: 5 }],
    };
    // 7.2 s each: two are whole.
    expect(heard(scene)).toEqual([1, 2].map(() => [8_414_500, sent(ALERT)]));
  });

  it('is the same by the symbols of a call as by the call', () => {
    const at = { frequencyHz: 8_414_500, atSeconds: 0.5, snrDb: 40 };
    const { symbols, expansions } = encodeCall({
      ...TEST,
      expansions: [{ kind: 'personsOnBoard', value: 12 }],
    });
    const typed = { ...TEST, expansions: [{ kind: 'personsOnBoard', value: 12 } as const] };
    const [one, other] = [{ symbols, expansions }, { call: typed }].map((what) =>
      wholeSlice({ ...BAND, calls: [{ ...at, ...what }] }),
    );
    expect(one).toEqual(other);
  });

  it('is as long as it should be and the same each time; another seed gives other noise', () => {
    const scene = { ...BAND, seconds: 1.5001 };
    const [one, again, other] = [scene, scene, { ...scene, seed: 4 }].map(wholeSlice);
    expect(one.i).toHaveLength(Math.round(1.5001 * 48_000));
    expect(again).toEqual(one);
    expect(other.i[0]).not.toBe(one.i[0]);
  });

  it('fades: two paths of equal mean power, Rayleigh, as F.1487 says', () => {
    // A sending of 68 s with a spread of 10 Hz fades some hundred times.
    const call = { call: ALERT, frequencyHz: 8_425_000, atSeconds: 0, levelDb: 0, repeat: 20 } as const;
    const options = { sampleRate: 8000, tunedHz: 8_425_000, seconds: 100, seed: 11 };
    const powers = (scene: SliceScene) => {
      const { i, q } = wholeSlice(scene);
      // The second path begins 6 ms later.
      return Array.from(i, (sample, n) => sample ** 2 + q[n] ** 2).slice(800);
    };
    const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const steady = powers({ ...options, calls: [call] });
    expect(Math.min(...steady.slice(0, 1000))).toBeCloseTo(1, 3);
    const faded = powers({ ...options, calls: [{ ...call, fading: 'low-latitude-disturbed' }] });
    expect(mean(faded)).toBeGreaterThan(0.85);
    expect(mean(faded)).toBeLessThan(1.15);
    // Of an exponential distribution (the power of a Rayleigh amplitude) 1 − 1/e lies below the mean.
    const level = mean(faded);
    const below = mean(faded.map((power) => Number(power < level)));
    expect(Math.abs(below - (1 - 1 / Math.E))).toBeLessThan(0.04);
  });

  it('is never held as a whole', () => {
    setFlagsFromString('--expose-gc');
    const collect = runInNewContext('gc') as () => void;
    // 4 million samples, of 4 bytes in each part: 32 MB if they were kept.
    const scene: SliceScene = {
      ...{ sampleRate: 8_000_000, tunedHz: 8_425_000, seconds: 0.5 },
      calls: [{ call: ALERT, frequencyHz: 8_414_500, atSeconds: 0.25, levelDb: -20 }],
    };
    const held = () => {
      collect();
      return process.memoryUsage().arrayBuffers;
    };
    const before = held();
    let [samples, blocks, most] = [0, 0, 0];
    for (const { i } of sliceBlocks(scene)) {
      samples += i.length;
      if (blocks++ % 16 === 0) most = Math.max(most, held() - before);
    }
    expect(samples).toBe(4_000_000);
    expect(most).toBeLessThan(16_000_000);
  });
});

describe('a scene', () => {
  const call = { call: TEST, frequencyHz: 8_414_500, atSeconds: 0.5, snrDb: 10 };
  it.each<[string, object, string]>([
    ['sampleRate', { sampleRate: 100 }, 'samples a second from 8000 to 10000000'],
    ['sampleRate', { sampleRate: undefined }, 'samples a second'],
    ['tunedHz', { tunedHz: '8425 kHz' }, 'hertz from 0'],
    ['seconds', { seconds: 0 }, 'seconds above 0'],
    ['seconds', { seconds: Infinity }, 'seconds above 0'],
    ['seed', { seed: 1.5 }, 'a whole number'],
    ['recorded', { recorded: 'yesterday' }, '2031-05-17T09:30:00Z'],
    ['noiseDb', { noiseDb: 3 }, 'from −200 to 0'],
    ['noise', { noise: -60 }, 'no such field'],
    ['calls', { calls: {} }, 'a list of calls'],
    ['calls[0].frequencyHz', { calls: [{ ...call, frequencyHz: 8_449_000 }] }, '8401300 to 8448700 Hz'],
    ['calls[1].levelDb', { calls: [call, { ...call, levelDb: 1 }] }, 'either levelDb or snrDb'],
    ['calls[0].snrDb', { noiseDb: undefined, calls: [call] }, 'noiseDb in the scene'],
    ['calls[0].atSeconds', { calls: [{ ...call, atSeconds: 9 }] }, 'less than the 9 seconds'],
    ['calls[0].call', { calls: [{ ...call, call: undefined }] }, 'either call or symbols'],
    ['calls[0].call.kind', { calls: [{ ...call, call: { kind: 'tea' } }] }, ''],
    ['calls[0].call.self', { calls: [{ ...call, call: { ...TEST, self: '12' } }] }, ''],
    ['calls[0].symbols[0]', { calls: [{ ...call, call: undefined, symbols: [128] }] }, '0 to 127'],
    ['calls[0].fading', { calls: [{ ...call, fading: 'stormy' }] }, 'mid-latitude-moderate'],
    ['calls[0].repeat', { calls: [{ ...call, repeat: 0 }] }, 'from 1 to 100'],
    ['carriers[0].frequencyHz', { carriers: [{ frequencyHz: 1, levelDb: 0 }] }, '8401000 to 8449000'],
    [
      'carriers[0].fromSeconds',
      { carriers: [{ frequencyHz: 8_425_000, levelDb: 0, fromSeconds: 9 }] },
      'less than 9',
    ],
    ['receiver.skewDegrees', { receiver: { skewDegrees: 90 } }, 'degrees from −30 to 30'],
  ])('is refused by the field that is wrong: %s', (field, change, expected) => {
    const scene = JSON.parse(JSON.stringify({ ...BAND, ...change })) as SliceScene;
    const refusal = (act: () => unknown) => {
      try {
        act();
      } catch (error) {
        return error as Error & { field?: string };
      }
      return undefined;
    };
    const refused = refusal(() => checkSliceScene(scene));
    expect(refused?.field).toBe(field);
    expect(refused?.message).toContain(expected);
    // Before the first block, too.
    expect(refusal(() => sliceBlocks(scene))?.message).toBe(refused?.message);
  });

  it('that fades on VHF is refused', () => {
    const vhf = { ...call, frequencyHz: 156_525_000, fading: 'mid-latitude-quiet' };
    expect(() => checkSliceScene({ ...BAND, tunedHz: 156_525_000, calls: [vhf] })).toThrow(
      /calls\[0\]\.fading/,
    );
  });

  it('has its published schema, and is judged alike by a general JSON Schema validator', () => {
    const file = fileURLToPath(new URL('../../src/radio/slice.schema.json', import.meta.url));
    const published = JSON.parse(readFileSync(file, 'utf8')) as object;
    expect(published).toEqual(sliceSchema());
    const validate = new Ajv2020({ strict: false, validateFormats: false }).compile(published);
    expect(validate({ ...BAND, calls: [call] })).toBe(true);
    expect(validate({ ...BAND, noise: -60 })).toBe(false);
    expect(validate({ ...BAND, calls: [{ ...call, fading: 'stormy' }] })).toBe(false);
  });
});

describe('samples', () => {
  const block: IqBlock = {
    i: Float32Array.of(0, 0.5, -0.5, 1, -1, 2),
    q: Float32Array.of(0.25, -0.25, 0, -1, 1, -3),
  };
  // Half a step of each format.
  it.each([
    ['cu8', 1 / 254, 2],
    ['cs8', 1 / 127, 2],
    ['cs16', 1 / 32_767, 2],
    ['cf32', 0, 0],
  ] as const)('written as %s are read again, and what is clipped is counted', (format, within, clipped) => {
    const writer = createIqWriter(format);
    const { i, q } = createIqReader(format).push(writer.push(block));
    const limit = format === 'cf32' ? Infinity : 1;
    const expected = (samples: Float32Array) => samples.map((one) => Math.max(-limit, Math.min(limit, one)));
    for (const [read, given] of [
      [i, expected(block.i)],
      [q, expected(block.q)],
    ] as const)
      read.forEach((sample, n) => {
        expect(Math.abs(sample - given[n])).toBeLessThanOrEqual(within);
      });
    expect(writer.clipped).toBe(clipped);
  });

  it('as many of Q as of I, in a format that is known', () => {
    expect(() => createIqWriter('cs16').push({ ...block, q: new Float32Array(1) })).toThrow(
      /q: got .1 samples., expected 6/,
    );
    expect(() => createIqWriter('mp3' as never)).toThrow(/format: got .mp3./);
  });

  it('have metadata that is read again', () => {
    for (const format of IQ_FORMATS) {
      const captures = [{ start: 0, tunedHz: 8_425_000, began: Date.UTC(2031, 4, 17, 9, 30) }];
      const recording = { format, sampleRate: 48_000, captures };
      expect(parseSigmf(formatSigmf(recording))).toEqual(recording);
    }
  });
});

const SCRIPT = fileURLToPath(new URL('independent/measure.py', import.meta.url));
const hasNumpy = spawnSync('python3', ['-c', 'import numpy']).status === 0;
if (!hasNumpy) console.warn('Slices are not measured by another hand: python3 with numpy is missing.');

describe.runIf(hasNumpy)('a slice as numpy measures it', () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'scene-'));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  function measure(scene: SliceScene, ...what: string[]): unknown[] {
    const { sampleRate, tunedHz } = scene;
    const name = join(folder, 'slice');
    const writer = createIqWriter('cf32');
    writeFileSync(
      `${name}.sigmf-data`,
      Buffer.concat([...sliceBlocks(scene)].map((one) => writer.push(one))),
    );
    writeFileSync(
      `${name}.sigmf-meta`,
      formatSigmf({ format: 'cf32', sampleRate, captures: [{ start: 0, tunedHz }] }),
    );
    const made = spawnSync('python3', [SCRIPT, name, ...what], { encoding: 'utf8' });
    expect(made.stderr).toBe('');
    return JSON.parse(made.stdout) as unknown[];
  }

  it('has its noise, carriers and calls where and as strong as they should be', () => {
    const [noise, carrier, gone, tone, power, edge] = measure(
      {
        ...BAND,
        calls: [{ call: ALERT, frequencyHz: 8_414_500, atSeconds: 1, levelDb: -20 }],
        carriers: [{ frequencyHz: 8_431_003.5, snrDb: 50, fromSeconds: 2, untilSeconds: 6 }],
      },
      'noise:8440000:8448000',
      'line:8430000:8432000:2:6',
      'line:8430000:8432000:6:9',
      // The dots: equally often 85 Hz to either side, so a line every 50 Hz; the whole is a carrier of −20 dB.
      'line:8414000:8415000:1.1:2.9',
      'power:8413500:8415500:1.1:2.9',
      'noise:8401000:8402000',
    ) as [number, [number, number], [number, number], [number, number], number, number];
    expect(noise).toBeCloseTo(-70, 0);
    expect(edge).toBeCloseTo(-70, 0);
    // Within a bin, a quarter of a hertz; half a bin off a Hann window loses 1.4 dB.
    expect(Math.abs(carrier[0] - 8_431_003.5)).toBeLessThan(0.26);
    expect(carrier[1]).toBeGreaterThan(-21.5);
    expect(carrier[1]).toBeLessThan(-19.9);
    expect(gone[1]).toBeLessThan(-80);
    expect(Math.abs((Math.abs(tone[0] - 8_414_500) % 100) - 50)).toBeLessThan(1);
    expect(Math.abs(power + 20)).toBeLessThan(0.3);
  });

  it('has Y 85 Hz below the middle, the oscillator taken into account', () => {
    // A test call to a coast station: 0.2 s of dots, 1.2 s of phasing; its 15th character is the first of seven 126, which
    // are BYYYYYYBBY: from 4.6 to 5.4 s Y is sent most of the time.
    const [[hertz]] = measure(
      {
        ...{ ...BAND, noiseDb: -100, receiver: { oscillatorPpm: 10 } },
        calls: [{ call: TEST, frequencyHz: 8_414_500, atSeconds: 0, levelDb: -6 }],
      },
      'line:8414000:8415000:4.6:5.4',
    ) as [[number, number]];
    // 10 ppm of 8.425 MHz: all lies 84.25 Hz lower.
    expect(Math.abs(hertz - (8_414_500 - 84.25 - 85))).toBeLessThan(15);
  });

  it('has the constant and the image of its receiver', () => {
    const receiver = { dcI: 0.05, dcQ: -0.02, imbalanceDb: 0.7, skewDegrees: 4 };
    const [constant, uneven] = measure({ ...BAND, noiseDb: -40, receiver }, 'constant', 'uneven') as [
      [number, number],
      [number, number],
    ];
    expect(constant[0]).toBeCloseTo(0.05, 3);
    expect(constant[1]).toBeCloseTo(-0.02, 3);
    expect(uneven[0]).toBeCloseTo(0.7, 1);
    expect(uneven[1]).toBeCloseTo(4, 0);
  });

  it('turns the carrier of channel 70 by 2 rad', () => {
    const [[hertz, deviation]] = measure(
      {
        ...{ sampleRate: 96_000, tunedHz: 156_510_000, seconds: 2 },
        calls: [{ call: TEST, frequencyHz: 156_525_040, atSeconds: 0.5, levelDb: -10 }],
      },
      'deviation:156525000:0.55:0.9',
    ) as [[number, number]];
    expect(hertz).toBeCloseTo(40, 0);
    expect(deviation).toBeGreaterThan(1.98);
    expect(deviation).toBeLessThan(2.05);
  });
});
