import { describe, expect, it } from 'vitest';
import { type ChannelStage, applyChannel } from '../../src/channel/index.js';
import {
  bandPower,
  kolmogorov,
  meanSquare,
  peakFrequency,
  powerDensity,
  sineLevelDb,
  toDb,
  tone,
} from './measure.js';

const sampleRate = 12_000;
const signalLevelDb = sineLevelDb(0.5);

/** What a stage adds to silence. */
function added(seconds: number, stage: ChannelStage, seed = 1): Float32Array {
  return applyChannel(new Float32Array(seconds * sampleRate), {
    sampleRate,
    seed,
    signalLevelDb,
    stages: [stage],
  });
}

/** Level relative to the signal. */
function relative(samples: Float32Array): number {
  return toDb(meanSquare(samples)) - signalLevelDb;
}

/** Element by element, whether the higher of two tones is the stronger: a plain receiver of frequency-shift keying. */
function elements(samples: Float32Array, baud: number, lowHz: number, highHz: number, start = 0): boolean[] {
  const length = sampleRate / baud;
  const energy = (from: number, frequency: number): number => {
    let re = 0;
    let im = 0;
    for (let i = Math.ceil(from); i < from + length; i++) {
      re += samples[i] * Math.cos((2 * Math.PI * frequency * i) / sampleRate);
      im += samples[i] * Math.sin((2 * Math.PI * frequency * i) / sampleRate);
    }
    return re * re + im * im;
  };
  const out: boolean[] = [];
  for (let from = start; from + length <= samples.length; from += length) {
    out.push(energy(from, highHz) > energy(from, lowHz));
  }
  return out;
}

describe('levels and times', () => {
  const stages: ChannelStage[] = [
    { kind: 'carrier', frequencyHz: 1230, levelDb: 7 },
    { kind: 'fsk', levelDb: 7 },
    { kind: 'nbdp', levelDb: 7 },
  ];

  it.each(stages)('of $kind are those asked for, relative to the signal', (stage) => {
    expect(relative(added(10, stage))).toBeCloseTo(7, 1);
  });

  it.each(stages)('keep $kind between its times', (stage) => {
    const samples = added(2, { ...stage, startSeconds: 0.5, stopSeconds: 1.25 } as ChannelStage);
    expect(samples.findIndex((x) => x !== 0)).toBeGreaterThanOrEqual(6000);
    expect(samples.findIndex((x) => x !== 0)).toBeLessThan(6003);
    expect(samples.subarray(15_000).every((x) => x === 0)).toBe(true);
    expect(samples.subarray(14_990, 15_000).some((x) => x !== 0)).toBe(true);
  });

  it('leave the signal in place', () => {
    const input = tone(sampleRate, 1700, 1);
    const output = applyChannel(input, { sampleRate, seed: 1, signalLevelDb, stages: [stages[0]] });
    const alone = added(1, stages[0]);
    expect(Math.max(...output.map((x, i) => Math.abs(x - alone[i] - input[i])))).toBeLessThan(1e-6);
  });
});

describe('a carrier', () => {
  it('lies at its frequency', () => {
    expect(
      peakFrequency(added(6, { kind: 'carrier', frequencyHz: 1230.4, levelDb: 0 }), sampleRate),
    ).toBeCloseTo(1230.4, 3);
  });
});

describe('other frequency-shift keying', () => {
  const samples = added(60, { kind: 'fsk', baud: 75, shiftHz: 850, centreHz: 2000, levelDb: 0 }, 5);
  const sent = elements(samples, 75, 1575, 2425);

  it('has its two tones at the centre ± half the shift, and random elements', () => {
    const ones = sent.filter(Boolean).length / sent.length;
    expect(Math.abs(ones - 0.5)).toBeLessThan(0.03);
    const changes = sent.filter((x, i) => i > 0 && x !== sent[i - 1]).length / sent.length;
    expect(Math.abs(changes - 0.5)).toBeLessThan(0.03);
    const density = powerDensity(samples, sampleRate);
    const around = bandPower(density, sampleRate, 1475, 1675) + bandPower(density, sampleRate, 2325, 2525);
    expect(around / meanSquare(samples)).toBeGreaterThan(0.9);
  });

  it('turns from element to element without a jump of phase', () => {
    // Between neighbouring samples a tone of amplitude A at f changes by at most 2A·sin(πf/fs).
    const amplitude = Math.SQRT2 * 10 ** (signalLevelDb / 20);
    const most = 2 * amplitude * Math.sin((Math.PI * 2425) / sampleRate);
    const largest = samples.reduce(
      (max, x, i) => (i === 0 ? 0 : Math.max(max, Math.abs(x - samples[i - 1]))),
      0,
    );
    expect(largest).toBeLessThan(most * 1.000001);
  });

  it('keeps its rate where elements are no whole number of samples', () => {
    // 45.45 Bd at 12 kHz: 264.03 samples an element; after 60 s the last element would be off by 80 samples otherwise.
    const odd = added(60, { kind: 'fsk', baud: 45.45, shiftHz: 450, centreHz: 1700, levelDb: 0 }, 5);
    const frequency = (from: number, to: number): number => {
      let crossings = 0;
      for (let i = from + 1; i < to; i++) if (odd[i - 1] < 0 && odd[i] >= 0) crossings++;
      return (crossings * sampleRate) / (to - from);
    };
    const length = sampleRate / 45.45;
    let clear = 0;
    for (let k = 0; k < 2700; k++) {
      const f = frequency(Math.ceil(k * length), Math.floor((k + 1) * length));
      if (Math.min(Math.abs(f - 1475), Math.abs(f - 1925)) < 60) clear++;
    }
    expect(clear).toBe(2700);
  });
});

describe('direct printing', () => {
  /** ITU-R M.625 Table 1 (from memory): some combinations in the order they are sent. */
  const TABLE: Readonly<Record<string, string>> = {
    BBBYYYB: 'A',
    YBYYBBB: 'B',
    BYBBBYY: 'C',
    BBYYBYB: 'D',
    YBBYBYB: 'E',
    BYYBBYB: 'N',
    BYYYBBB: 'O',
    BYBYBYB: 'R',
    BBYBYYB: 'S',
    YYBYBBB: 'T',
    YYBBBYB: ' ',
    YBYBBYB: 'letters',
    YBBYBBY: 'figures',
    YYYBBBB: 'return',
    YYBBYBB: 'line',
    BBBBYYY: 'alpha',
    YBBYYBB: 'repetition',
  };

  const text = 'SEA NOT CARD 3';
  const samples = added(6, { kind: 'nbdp', levelDb: 0, text, startSeconds: 0.5, centreHz: 1500 });
  const sent = elements(samples, 100, 1415, 1585, 6000)
    .map((high) => (high ? 'B' : 'Y'))
    .join('');
  const slots = sent.match(/.{7}/gu) ?? [];

  it('has four B and three Y elements in every character', () => {
    for (const seed of [1, 2]) {
      const random = elements(added(20, { kind: 'nbdp', levelDb: 0 }, seed), 100, 1615, 1785);
      const characters = random
        .map((high) => (high ? 'B' : 'Y'))
        .join('')
        .match(/.{7}/gu);
      expect(characters?.length).toBeGreaterThan(280);
      for (const character of characters ?? []) expect(character.replaceAll('Y', '')).toBe('BBBB');
    }
  });

  it('begins with phasing signals 2 in DX and 1 in RX, then carries each character in DX and again five slots later', () => {
    const dx = slots.filter((_, i) => i % 2 === 0).map((s) => TABLE[s] ?? s);
    const rx = slots.filter((_, i) => i % 2 === 1).map((s) => TABLE[s] ?? s);
    const characters = ['return', 'line', 'letters', ...Array.from('SEA NOT CARD '), 'figures', 'E'];
    expect(dx.slice(0, 16)).toEqual(new Array(16).fill('repetition'));
    expect(dx.slice(16, 16 + characters.length)).toEqual(characters);
    expect(rx.slice(0, 18)).toEqual(new Array(18).fill('alpha'));
    expect(rx.slice(18, 18 + characters.length)).toEqual(characters);
  });

  it('prints figures: combination E after figure shift is 3', () => {
    // 6 s hold 40 pairs of 140 ms: 16 of phasing, the 18 characters, and the idle signals.
    expect(slots[2 * (16 + 16)]).toBe('YBBYBBY');
    expect(slots[2 * (16 + 17)]).toBe('YBBYBYB');
  });

  it('ends with idle signals α, and begins again', () => {
    const long = added(20, { kind: 'nbdp', levelDb: 0, text: 'E', startSeconds: 1 });
    const all = elements(long, 100, 1615, 1785, 12_000)
      .map((high) => (high ? 'B' : 'Y'))
      .join('');
    // 16 pairs of phasing, 4 characters, 14 pairs of idle signals: 34 pairs of 14 elements.
    const first = all.slice(0, 34 * 14);
    expect(all.slice(34 * 14, 2 * 34 * 14)).toBe(first);
    expect(first.slice(-12 * 14)).toBe('BBBBYYY'.repeat(24));
  });
});

describe('voice-like noise', () => {
  const samples = added(120, { kind: 'voice', levelDb: 0 }, 4);
  const density = powerDensity(samples, sampleRate);

  it('lies between 300 and 2700 Hz and falls by 6 dB an octave above 600 Hz', () => {
    const inside = bandPower(density, sampleRate, 250, 2750);
    expect(inside / meanSquare(samples)).toBeGreaterThan(0.995);
    // A first-order fall: from 1000 to 2000 Hz 10·log10((1 + (2000/600)²)/(1 + (1000/600)²)) = 5.05 dB, less
    // what the bilinear bend of the sampled filter takes.
    const fall = toDb(bandPower(density, sampleRate, 900, 1100) / bandPower(density, sampleRate, 1900, 2100));
    expect(Math.abs(fall - 5.05)).toBeLessThan(1);
  });

  it('speaks at its level, with pauses', () => {
    const pieces = Array.from({ length: 600 }, (_, k) => meanSquare(samples, k * 2400, (k + 1) * 2400));
    const quiet = pieces.filter((p) => toDb(p) - signalLevelDb < -40).length / pieces.length;
    // Spurts of 2 s and pauses of 0.7 s on average: 26 % pause.
    expect(quiet).toBeGreaterThan(0.1);
    expect(quiet).toBeLessThan(0.4);
    const steady = added(120, { kind: 'voice', levelDb: 0, spurtSeconds: 60, pauseSeconds: 0 }, 4);
    expect(Math.abs(relative(steady))).toBeLessThan(0.5);
  });

  it('has syllables: its loudness varies with a spread of 4 Hz', () => {
    const steady = added(120, { kind: 'voice', levelDb: 0, spurtSeconds: 60, pauseSeconds: 0 }, 4);
    const loudness = Array.from({ length: 2400 }, (_, k) => meanSquare(steady, k * 600, (k + 1) * 600));
    const mean = loudness.reduce((a, b) => a + b) / loudness.length;
    const lag = (n: number): number => {
      let sum = 0;
      for (let k = 0; k + n < loudness.length; k++) sum += (loudness[k] - mean) * (loudness[k + n] - mean);
      return sum;
    };
    // 50 ms apart: exp(−4(π·2·0.05)²) = 0.67 of the variance; 300 ms apart nothing.
    expect(lag(1) / lag(0)).toBeGreaterThan(0.4);
    expect(Math.abs(lag(6) / lag(0))).toBeLessThan(0.15);
  });
});

describe('crashes of static', () => {
  it('arrive as a Poisson process', () => {
    const ratePerSecond = 5;
    const samples = added(400, { kind: 'impulses', levelDb: 0, ratePerSecond, decayMs: 0.1, tailDb: 0 }, 2);
    const arrivals: number[] = [];
    for (let i = 0, last = -100; i < samples.length; i++) {
      if (samples[i] === 0) continue;
      if (i - last > 20) arrivals.push(i / sampleRate);
      last = i;
    }
    expect(Math.abs(arrivals.length - 400 * ratePerSecond)).toBeLessThan(3 * Math.sqrt(400 * ratePerSecond));
    const gaps = arrivals.slice(1).map((t, k) => t - arrivals[k]);
    expect(kolmogorov(gaps, (t) => 1 - Math.exp(-ratePerSecond * t))).toBeLessThan(1.63);
  });

  it('have their level within 3 kHz', () => {
    // Power P decays as exp(−2t/τ): each crash carries the energy P·τ/2, so the mean power is rate·P·τ/2, and half of it
    // lies within 3 kHz at 12 kHz. P = 1 (0 dB), τ = 3 ms, 50 a second: 0.075, −11.25 dB.
    const samples = added(200, { kind: 'impulses', levelDb: 0, ratePerSecond: 50, decayMs: 3, tailDb: 0 }, 2);
    const density = powerDensity(samples, sampleRate);
    expect(Math.abs(toDb(bandPower(density, sampleRate, 0, 3000)) - signalLevelDb - -11.25)).toBeLessThan(
      0.3,
    );
  });

  it('have heavy tails: the excess over the weakest is exponential in dB', () => {
    // The energy of a crash that begins with power P is P·τ/2 on average.
    const samples = added(
      600,
      { kind: 'impulses', levelDb: 0, ratePerSecond: 1.8, decayMs: 2, tailDb: 6 },
      3,
    );
    const excess: number[] = [];
    for (let i = 0; i < samples.length; i++) {
      if (samples[i] === 0) continue;
      let end = i;
      while (end < samples.length && samples[end] !== 0) end++;
      const energy = meanSquare(samples, i, end) * (end - i);
      // At 12 kHz the whole band holds twice what 3 kHz hold.
      excess.push(toDb(energy / ((0.002 * sampleRate) / 2) / 2) - signalLevelDb);
      i = end;
    }
    const beyond = (db: number): number => excess.filter((x) => x > db).length / excess.length;
    expect(excess.length).toBeGreaterThan(900);
    for (const db of [6, 12]) expect(Math.abs(beyond(db) - Math.exp(-db / 6))).toBeLessThan(0.05);
  });
});

describe('other audio', () => {
  const other = new Float32Array(6000);
  other.set(tone(sampleRate, 900, 0.25, 0.01), 3000);

  it('collides at its level and time, whatever its own level, and ends with itself', () => {
    const output = applyChannel(new Float32Array(24_000), {
      sampleRate,
      signalLevelDb,
      sources: { other },
      stages: [{ kind: 'audio', source: 'other', levelDb: -3, startSeconds: 0.5 }],
    });
    expect(output.subarray(0, 9000).every((x) => x === 0)).toBe(true);
    expect(output.subarray(12_000).every((x) => x === 0)).toBe(true);
    // The silence in front of the tone does not count into its level, but for the piece of 256 samples it begins in.
    expect(Math.abs(toDb(meanSquare(output, 9000, 12_000)) - signalLevelDb - -3)).toBeLessThan(0.3);
  });

  it('repeats when asked', () => {
    const output = applyChannel(new Float32Array(24_000), {
      sampleRate,
      signalLevelDb,
      sources: { other },
      stages: [{ kind: 'audio', source: 'other', repeat: true }],
    });
    expect(output.subarray(6000, 12_000)).toEqual(output.subarray(0, 6000));
    expect(output.subarray(18_000, 24_000)).toEqual(output.subarray(0, 6000));
  });
});
