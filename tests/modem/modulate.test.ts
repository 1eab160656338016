import type { Frame } from '../../src/frames/index.js';
import FFT from 'fft.js';
import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { frameCall } from '../../src/frames/index.js';
import { dotBits } from '../../src/frames/sequence.js';
import { MODULATIONS, modulate, modulateBits, type ModulateBitsOptions } from '../../src/modem/index.js';
import { CASES, numbers } from '../vectors/cases.js';

const RATES = [8000, 11_025, 12_000, 16_000, 22_050, 44_100, 48_000, 192_000];
const ALERT = frameCall(numbers(CASES[0].characters)).bits;
const [Y, B] = [1, 0];

const hann = (n: number, size: number) => Math.sin((Math.PI * n) / size) ** 2;

/** Power in each bin of a Hann-windowed transform, bin k at k / size · sampleRate. */
function spectrum(samples: Float32Array, size: number, from = 0): Float64Array {
  const fft = new FFT(size);
  const out = fft.createComplexArray();
  fft.realTransform(
    out,
    Array.from({ length: size }, (_, n) => (samples[from + n] ?? 0) * hann(n, size)),
  );
  return Float64Array.from({ length: size / 2 }, (_, k) => out[2 * k] ** 2 + out[2 * k + 1] ** 2);
}

/** The strongest frequency, between bins by the parabola through the logarithms of the peak's three bins. */
function peakHz(samples: Float32Array, sampleRate: number): number {
  let size = 1;
  while (size * 2 <= samples.length) size *= 2;
  const power = spectrum(samples, size);
  const k = power.indexOf(power.reduce((best, value) => Math.max(best, value)));
  const [a, b, c] = [k - 1, k, k + 1].map((bin) => Math.log(power[bin]));
  return ((k + (a - c) / (2 * (a - 2 * b + c))) * sampleRate) / size;
}

/** The phase against a centre, turn by turn: the samples mixed down and averaged over `width` samples. */
function mixed(
  samples: Float32Array,
  sampleRate: number,
  hz: number,
  at: number,
  width: number,
): [number, number] {
  let [re, im] = [0, 0];
  for (let n = Math.max(0, at - width); n < Math.min(samples.length, at + width); n++) {
    const angle = (-2 * Math.PI * hz * n) / sampleRate;
    re += samples[n] * Math.cos(angle);
    im += samples[n] * Math.sin(angle);
  }
  return [re, im];
}

// ITU-R M.493 Annex 1 §1.3 (from memory): 1615 Hz for Y and 1785 Hz for B at 100 Bd; 1300 and 2100 Hz at 1200 Bd.
describe.each(RATES)('at %i samples a second', (sampleRate) => {
  it.each([
    ['mf-hf', Y, 1615],
    ['mf-hf', B, 1785],
    ['vhf', Y, 1300],
    ['vhf', B, 2100],
  ] as const)('%s sends %i as a tone of %i Hz', (band, bit, hz) => {
    const modulation = MODULATIONS[band];
    const bits = new Uint8Array(modulation.baud).fill(bit);
    expect(Math.abs(peakHz(modulateBits(bits, { sampleRate, modulation }), sampleRate) - hz)).toBeLessThan(1);
    const inverted = modulateBits(bits, { sampleRate, modulation, inverted: true });
    expect(Math.abs(peakHz(inverted, sampleRate) - (3400 - hz))).toBeLessThan(1);
    const moved = modulateBits(bits, { sampleRate, modulation, centreHz: 1234.5 });
    expect(Math.abs(peakHz(moved, sampleRate) - (hz - 1700 + 1234.5))).toBeLessThan(1);
  });

  it('shifts by 170 and by 800 Hz', () => {
    for (const [band, shift] of [
      ['mf-hf', 170],
      ['vhf', 800],
    ] as const) {
      const modulation = MODULATIONS[band];
      const tone = (bit: number) =>
        peakHz(
          modulateBits(new Uint8Array(modulation.baud).fill(bit), { sampleRate, modulation }),
          sampleRate,
        );
      expect(Math.abs(tone(B) - tone(Y) - shift)).toBeLessThan(1);
    }
  });

  // Dots are a periodic signal of half the bit rate; its line spectrum lies at the centre and every 50 Hz (600 Hz) around
  // it. The bit rate over thousands of bits is the frequency of two neighbouring lines' difference, measured by the
  // turning of their phase between the beginning and the end. 30 ppm is the tolerance of M.493 §1.3.
  it.each(['mf-hf', 'vhf'] as const)('keeps the bit rate of %s within 30 ppm, without drift', (band) => {
    const modulation = MODULATIONS[band];
    const seconds = 12;
    const samples = modulateBits(dotBits(modulation.baud * seconds), { sampleRate, modulation });
    expect(Math.abs(samples.length - seconds * sampleRate)).toBeLessThanOrEqual(1);
    const lines = [modulation.centreHz - modulation.baud / 2, modulation.centreHz + modulation.baud / 2];
    const width = Math.round(sampleRate / 2);
    const [early, late] = [width, samples.length - width];
    const turns = lines.map((hz) => {
      const [a, b] = [early, late].map((at) => {
        const [re, im] = mixed(samples, sampleRate, hz, at, width);
        return Math.atan2(im, re);
      });
      return (b - a) / (2 * Math.PI);
    });
    const drift = (turns[1] - turns[0]) % 1;
    const wrapped = drift - Math.round(drift);
    const hzOff = (wrapped * sampleRate) / (late - early);
    expect((Math.abs(hzOff) / modulation.baud) * 1e6).toBeLessThan(30);
  });

  it('never steps farther than the higher tone allows', () => {
    for (const [bits, band] of [
      [ALERT, 'mf-hf'],
      [frameCall(numbers(CASES[1].characters), { band: 'vhf' }).bits, 'vhf'],
    ] as const) {
      const modulation = MODULATIONS[band];
      const highest = modulation.centreHz + modulation.shiftHz / 2;
      const samples = modulateBits(bits, { sampleRate, modulation, level: 1, rampBits: 0 });
      // A sine of frequency f moves at most 2·sin(π f / fs) between two samples, wherever its phase is.
      const limit = 2 * Math.sin((Math.PI * highest) / sampleRate) + 1e-6;
      let farthest = 0;
      for (let n = 1; n < samples.length; n++)
        farthest = Math.max(farthest, Math.abs(samples[n] - samples[n - 1]));
      expect(farthest).toBeLessThanOrEqual(limit);
      expect(farthest).toBeGreaterThan(0.9 * limit);
    }
  });
});

describe('phase', () => {
  /** The signal worked independently: the frequency summed sample by sample on a grid 100 times finer. */
  function reference(
    bits: ArrayLike<number>,
    sampleRate: number,
    baud: number,
    tones: [number, number],
  ): number[] {
    const fine = 100;
    const samples: number[] = [];
    let cycles = 0;
    for (let n = 0; n < Math.ceil((bits.length * sampleRate) / baud); n++) {
      samples.push(Math.sin(2 * Math.PI * cycles));
      for (let k = 0; k < fine; k++) {
        const bit = bits[Math.floor(((n + (k + 0.5) / fine) * baud) / sampleRate)] ?? 0;
        cycles += tones[bit] / sampleRate / fine;
      }
    }
    return samples;
  }

  it.each([
    [8000, 'mf-hf', [1785, 1615]],
    [11_025, 'mf-hf', [1785, 1615]],
    [11_025, 'vhf', [2100, 1300]],
  ] as const)('is continuous through every bit at %i, %s', (sampleRate, band, tones) => {
    const bits = ALERT.subarray(150, 350);
    const modulation = MODULATIONS[band];
    const samples = modulateBits(bits, { sampleRate, modulation, level: 1, rampBits: 0 });
    const expected = reference(bits, sampleRate, modulation.baud, [...tones]);
    expect(samples).toHaveLength(expected.length);
    // The grid misplaces a change of tone by up to 1/200 sample each, which adds up as a random walk.
    let worst = 0;
    samples.forEach((sample, n) => (worst = Math.max(worst, Math.abs(sample - expected[n]))));
    expect(worst).toBeLessThan(0.05);
  });
});

describe('level', () => {
  const peak = (options: Partial<ModulateBitsOptions>) =>
    modulateBits(ALERT, { sampleRate: 48_000, ...options }).reduce((max, s) => Math.max(max, Math.abs(s)), 0);

  it.each([1, 0.5, 0.01])('%d is the peak', (level) => {
    expect(peak({ level })).toBeCloseTo(level, 3);
    expect(peak({ level })).toBeLessThanOrEqual(level * (1 + 1e-6));
  });

  it('is 0.5 unless told, and may be 0', () => {
    expect(peak({})).toBeCloseTo(0.5, 3);
    expect(peak({ level: 0 })).toBe(0);
  });

  it('is the same throughout', () => {
    const samples = modulateBits(ALERT, { sampleRate: 48_000, level: 1 });
    for (let from = 480; from + 960 < samples.length; from += 960) {
      const mean = samples.subarray(from, from + 960).reduce((sum, sample) => sum + sample * sample, 0) / 960;
      expect(Math.abs(10 * Math.log10(2 * mean))).toBeLessThan(0.5);
    }
  });
});

describe('start and stop', () => {
  const sampleRate = 48_000;
  const perBit = sampleRate / 100;
  const bits = new Uint8Array(20);

  it('are soft over a fifth of a bit unless told', () => {
    const soft = modulateBits(bits, { sampleRate, level: 1 });
    const hard = modulateBits(bits, { sampleRate, level: 1, rampBits: 0 });
    expect(hard).toHaveLength(20 * perBit);
    const gain = (n: number) => soft[n] / hard[n];
    expect(soft[0]).toBe(0);
    // A raised cosine: half way up at half the ramp, in samples 48 of 96, and the same falling.
    expect(gain(48)).toBeCloseTo(0.5, 3);
    expect(gain(24)).toBeCloseTo(Math.sin(Math.PI / 8) ** 2, 3);
    expect(gain(97)).toBe(1);
    expect(gain(10 * perBit + 7)).toBe(1);
    expect(gain(20 * perBit - 48)).toBeCloseTo(0.5, 3);
    expect(gain(20 * perBit - 98)).toBe(1);
  });

  it('are as long as told', () => {
    const soft = modulateBits(bits, { sampleRate, level: 1, rampBits: 1 });
    const hard = modulateBits(bits, { sampleRate, level: 1, rampBits: 0 });
    expect(soft[perBit / 2 + 5] / hard[perBit / 2 + 5]).toBeCloseTo(0.516, 2);
    expect(soft[perBit + 1] / hard[perBit + 1]).toBe(1);
    // With hard edges the tone begins at a zero crossing and is at full level at once.
    expect(Math.max(...hard.subarray(0, 30))).toBeGreaterThan(0.99);
  });

  it('are cut nowhere: the last sample lies within the last bit', () => {
    for (const rate of [8000, 11_025, 44_100]) {
      for (let count = 1; count < 30; count++) {
        const { length } = modulateBits(new Uint8Array(count), { sampleRate: rate });
        expect((length - 1) / rate).toBeLessThan(count / 100);
        expect(length / rate).toBeGreaterThanOrEqual(count / 100);
      }
    }
    expect(modulateBits([], { sampleRate: 8000 })).toHaveLength(0);
  });
});

// Binary FSK with continuous phase and modulation index h = 170 / 100: power density by the closed form for random bits
// (J. G. Proakis, Digital Communications, ch. 4: M = 2), f in hertz from the centre, T one bit.
function density(f: number): number {
  const [T, h] = [0.01, 1.7];
  const sinc = (x: number) => (x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x));
  const A = [-1, 1].map((sign) => sinc(f * T - (sign * h) / 2));
  const beta = Math.cos(Math.PI * h);
  const spread = 1 + beta * beta - 2 * beta * Math.cos(2 * Math.PI * f * T);
  const between = (alpha: number) =>
    (Math.cos(2 * Math.PI * f * T - alpha) - beta * Math.cos(alpha)) / spread;
  const pairs = [
    [0, 0, -1],
    [0, 1, 0],
    [1, 0, 0],
    [1, 1, 1],
  ].map(([n, m, turn]) => A[n] * A[m] * between(turn * Math.PI * h));
  return T * ((A[0] ** 2 + A[1] ** 2) / 2 + pairs.reduce((sum, value) => sum + value) / 2);
}

describe('energy more than 500 Hz from the centre', () => {
  const sampleRate = 12_000;
  const outsideDb = (bits: ArrayLike<number>, rampBits: number) => {
    const samples = modulateBits(bits, { sampleRate, level: 1, rampBits });
    const size = 2 ** Math.ceil(Math.log2(samples.length));
    const fft = new FFT(size);
    const out = fft.createComplexArray();
    fft.realTransform(
      out,
      Array.from({ length: size }, (_, n) => samples[n] ?? 0),
    );
    let [inside, outside] = [0, 0];
    for (let k = 0; k < size / 2; k++) {
      const power = out[2 * k] ** 2 + out[2 * k + 1] ** 2;
      if (Math.abs((k * sampleRate) / size - 1700) > 500) outside += power;
      else inside += power;
    }
    return 10 * Math.log10(outside / (inside + outside));
  };

  it('is what theory gives for random bits', () => {
    let [inside, outside] = [0, 0];
    for (let f = 0.05; f < 4300; f += 0.1) {
      // Below 0 Hz, 1700 Hz under the centre, nothing of note is left; the mirror half counts twice.
      if (f > 500) outside += density(f);
      else inside += density(f);
    }
    const theory = 10 * Math.log10(outside / (inside + outside));
    let state = 1;
    const bits = Uint8Array.from({ length: 2000 }, () => (state = (state * 48_271) % 2_147_483_647) & 1);
    expect(Math.abs(outsideDb(bits, 0) - theory)).toBeLessThan(0.5);
  });

  it('lies 35 dB below the whole of a distress alert', () => {
    expect(outsideDb(ALERT, 0.2)).toBeLessThan(-35.5);
    expect(outsideDb(ALERT, 0)).toBeLessThan(-35);
  });
});

describe('a frame', () => {
  // 1200 Bd: ten bits take 10 / 1200 s, 400 samples of 48 kHz; at 100 Bd they take 0.1 s, 4800 samples (M.493 §1.3).
  it.each([
    ['vhf', 400],
    ['mf-hf', 4800],
  ] as const)('of %s goes out at the bit rate of its band', (band, samples) => {
    const bits = Uint8Array.from([0, 1, 0, 1, 1, 1, 0, 0, 1, 0]);
    const audio = modulate({ band, bits }, { sampleRate: 48_000 });
    expect(audio).toHaveLength(samples);
    expect(audio).toEqual(modulateBits(bits, { sampleRate: 48_000, modulation: MODULATIONS[band] }));
  });

  it('without a band is refused', () => {
    const bits = new Uint8Array(10) as unknown as Frame;
    expect(() => modulate(bits, { sampleRate: 48_000 })).toThrow(/^frame/);
  });
});

describe('refusals', () => {
  it.each<[string, Partial<Record<keyof ModulateBitsOptions, unknown>>]>([
    ['sampleRate', { sampleRate: 7999 }],
    ['sampleRate', { sampleRate: 192_001 }],
    ['sampleRate', { sampleRate: NaN }],
    ['sampleRate', { sampleRate: '8000' }],
    ['sampleRate', { sampleRate: undefined }],
    ['centreHz', { centreHz: 85 }],
    ['centreHz', { centreHz: 3915 }],
    ['centreHz', { centreHz: NaN }],
    ['centreHz', { centreHz: 400, modulation: MODULATIONS.vhf }],
    ['level', { level: -0.1 }],
    ['level', { level: 1.1 }],
    ['rampBits', { rampBits: -1 }],
    ['rampBits', { rampBits: 1.5 }],
  ])('%s is named: %o', (field, options) => {
    expect(
      refusal(() => modulateBits(ALERT, { sampleRate: 8000, ...options } as ModulateBitsOptions)),
    ).toMatchObject({ field });
  });

  it('take no good centre', () => {
    for (const centreHz of [85.1, 400, 2600, 3914.9]) {
      expect(modulateBits(ALERT, { sampleRate: 8000, centreHz })).toHaveLength(57_600);
    }
  });
});

it('gives samples within the level whatever the bits', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 1 }), { maxLength: 60 }),
      fc.integer({ min: 8000, max: 60_000 }),
      fc.constantFrom(MODULATIONS['mf-hf'], MODULATIONS.vhf),
      fc.boolean(),
      (bits, sampleRate, modulation, inverted) => {
        const samples = modulateBits(bits, { sampleRate, modulation, inverted, level: 0.25 });
        expect(samples).toHaveLength(Math.ceil((bits.length * sampleRate) / modulation.baud));
        expect(samples.every((sample) => Math.abs(sample) <= 0.25)).toBe(true);
      },
    ),
    { numRuns: 50 },
  );
});
