/** The virtual medium: what arrives where, when and how strong. */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import {
  createMedium,
  pathByDistance,
  type Medium,
  type MediumOptions,
  type MediumReport,
} from '../../src/simulation/index.js';
import { callAudio } from '../../src/simulation/sound.js';

const SHIP = '299000111';
const OTHER = '299000222';
const COAST = '002990001';
const MF = 2_187_500;
const VHF = 156_525_000;
const RATE = 8000;

const testCall = (self: string): Call => ({ kind: 'testCall', to: { station: COAST }, self });
const audio = (call: Call, frequencyHz = MF) => callAudio(call, { sampleRate: RATE, frequencyHz });

/** A tone, for looking at samples. */
function tone(seconds: number, hz: number): Float32Array {
  return Float32Array.from(
    { length: Math.round(seconds * RATE) },
    (_, n) => 0.2 * Math.sin((2 * Math.PI * hz * n) / RATE),
  );
}

/** Lets time pass to a moment in the steps that the medium asks for. */
function run(medium: Medium, to: number): MediumReport[] {
  const reports: MediumReport[] = [];
  for (let next = medium.next(); next !== undefined && next <= to; next = medium.next()) {
    reports.push(...medium.advance(next));
  }
  return [...reports, ...medium.advance(to)];
}

function calls(reports: readonly MediumReport[]) {
  return reports.flatMap((report) => (report.type === 'received' ? [report] : []));
}

/** What a station hears, without noise to speak of. */
function recorded(options: MediumOptions, act: (medium: Medium) => void, to: number): Float32Array {
  const medium = createMedium({ sampleRate: RATE, ...options });
  const pieces: Float32Array[] = [];
  medium.listen({
    station: COAST,
    frequencyHz: MF,
    noiseDb: -100,
    decode: false,
    onAudio: (samples) => pieces.push(samples),
  });
  act(medium);
  run(medium, to);
  const all = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

function expectClose(heard: Float32Array, expected: Float32Array): void {
  expect(heard.length).toBe(expected.length);
  // Noise 100 dB below a transmission: 2e-6 in 3 kHz, some more in all; ten times that is far beyond its peaks.
  for (let n = 0; n < heard.length; n++) {
    if (Math.abs(heard[n] - expected[n]) > 3e-5) expect([n, heard[n]]).toEqual([n, expected[n]]);
  }
}

describe('the virtual medium', () => {
  it('carries a call to everyone who listens, at its time and with its strength', () => {
    const path = (from: string, to: string) =>
      from === SHIP && to === COAST ? { delayMs: 100, levelDb: -5 } : {};
    const medium = createMedium({ sampleRate: RATE, path });
    for (const station of [COAST, OTHER]) medium.listen({ station, frequencyHz: MF, noiseDb: -17 });
    medium.listen({ station: COAST, frequencyHz: 4_207_500 });
    medium.transmit(SHIP, MF, audio(testCall(SHIP)), 1000);
    const received = calls(run(medium, 20_000)).sort((a, b) => a.received.start - b.received.start);
    expect(
      received.map(({ station, frequencyHz, received: { call } }) => [station, frequencyHz, call]),
    ).toEqual([
      [OTHER, MF, testCall(SHIP)],
      [COAST, MF, testCall(SHIP)],
    ]);
    const [near, far] = received.map(({ received: each }) => each);
    // 20 dots of 10 ms stand before the phasing (M.493 §3.1, from memory), which sets out at 1.2 s.
    expect(near.start).toBeCloseTo(1.2, 2);
    expect(far.start).toBeCloseTo(1.3, 2);
    expect(near.snrDb).toBeGreaterThan(15);
    expect(near.snrDb).toBeLessThan(19);
    expect(near.snrDb - far.snrDb).toBeGreaterThan(3.5);
    expect(near.snrDb - far.snrDb).toBeLessThan(6.5);
    expect(medium.next()).toBeUndefined();
  });

  it('adds up what is sent at the same time', () => {
    const path = (from: string) => (from === SHIP ? { levelDb: -6 } : { delayMs: 50 });
    const heard = recorded(
      { path },
      (medium) => {
        medium.transmit(SHIP, MF, tone(1, 1000), 250);
        medium.transmit(OTHER, MF, tone(1, 1700), 750);
      },
      2500,
    );
    const expected = new Float32Array(2.5 * RATE);
    tone(1, 1000).forEach((sample, n) => (expected[0.25 * RATE + n] += sample * 10 ** (-6 / 20)));
    tone(1, 1700).forEach((sample, n) => (expected[0.8 * RATE + n] += sample));
    expectClose(heard, expected);
  });

  it('gives the same sound however its time is cut', () => {
    const act = (medium: Medium) => {
      medium.transmit(SHIP, MF, tone(1, 1000), 123);
      for (const to of [5, 17, 333, 334, 800]) medium.advance(to);
      medium.transmit(OTHER, MF, tone(0.5, 1500), 900);
    };
    const path = () => ({ delayMs: 7, fading: 'mid-latitude-moderate' as const });
    const cut = recorded({ path, seed: 4 }, act, 2000);
    const whole = recorded(
      { path, seed: 4 },
      (medium) => {
        medium.transmit(SHIP, MF, tone(1, 1000), 123);
        medium.transmit(OTHER, MF, tone(0.5, 1500), 900);
      },
      2000,
    );
    expect(cut).toEqual(whole);
    expect(recorded({ path, seed: 5 }, act, 2000)).not.toEqual(whole);
  });

  it('breaks a transmission off', () => {
    const heard = recorded(
      { path: () => ({ delayMs: 50 }) },
      (medium) => {
        const { id } = medium.transmit(SHIP, MF, tone(1, 1000), 0);
        medium.advance(400);
        medium.cease(id);
        medium.transmit(SHIP, MF, tone(0.25, 1700), 1000);
      },
      1500,
    );
    const expected = new Float32Array(1.5 * RATE);
    expected.set(tone(0.4, 1000), 0.05 * RATE);
    expected.set(tone(0.25, 1700), 1.05 * RATE);
    expectClose(heard, expected);
  });

  it('lets a station hear nothing on the radio it sends on, and itself only on its recording', () => {
    const heard = recorded(
      {},
      (medium) => {
        medium.transmit(OTHER, MF, tone(1, 1000), 0);
        medium.transmit(COAST, MF, tone(0.25, 1700), 500);
      },
      1000,
    );
    const expected = tone(1, 1000);
    expected.set(tone(0.25, 1700), 0.5 * RATE);
    expectClose(heard, expected);

    const medium = createMedium({ sampleRate: RATE });
    medium.listen({ station: COAST, frequencyHz: MF });
    medium.listen({ station: COAST, frequencyHz: VHF });
    medium.transmit(COAST, 4_207_500, tone(8, 1000), 0);
    medium.transmit(SHIP, MF, audio(testCall(SHIP)), 0);
    medium.transmit(SHIP, VHF, audio(testCall(SHIP), VHF), 0);
    expect(calls(run(medium, 12_000)).map(({ frequencyHz }) => frequencyHz)).toEqual([VHF]);
  });

  it('loses the weaker of two calls at the same time', () => {
    const path = (from: string) => ({ levelDb: from === SHIP ? -12 : 0 });
    const medium = createMedium({ sampleRate: RATE, path });
    medium.listen({ station: COAST, frequencyHz: MF });
    medium.transmit(SHIP, MF, audio(testCall(SHIP)), 0);
    medium.transmit(OTHER, MF, audio(testCall(OTHER)), 370);
    const sure = calls(run(medium, 12_000)).filter(({ received }) => received.quality !== 'doubtful');
    expect(sure.map(({ received }) => received.call)).toEqual([testCall(OTHER)]);
  });

  it('knows when a frequency is occupied', () => {
    const path = (from: string) => (from === OTHER ? { levelDb: -40 } : from === COAST ? undefined : {});
    const medium = createMedium({ sampleRate: RATE, path });
    medium.listen({ station: COAST, frequencyHz: MF });
    medium.listen({ station: SHIP, frequencyHz: MF });
    medium.transmit(SHIP, MF, tone(1, 1000), 100);
    expect([50, 100, 1099, 1100].map((at) => medium.isBusy(COAST, MF, at))).toEqual([
      false,
      true,
      true,
      false,
    ]);
    expect(medium.isBusy(SHIP, MF, 500)).toBe(false);
    medium.transmit(OTHER, MF, tone(1, 1000), 2000);
    expect(medium.isBusy(COAST, MF, 2500)).toBe(false);
    expect(medium.isBusy(COAST, 4_207_500, 500)).toBe(false);
  });

  it.each([
    ['sampleRate', () => createMedium({ sampleRate: 4000 })],
    ['seed', () => createMedium({ seed: -1 })],
    [
      'noiseDb',
      () => {
        createMedium().listen({ station: SHIP, frequencyHz: MF, noiseDb: 200 });
      },
    ],
    [
      'frequency',
      () => {
        createMedium().listen({ station: SHIP, frequencyHz: 1 });
      },
    ],
    [
      'to',
      () => {
        const medium = createMedium();
        medium.advance(10);
        medium.advance(5);
      },
    ],
    [
      'at',
      () => {
        const medium = createMedium();
        medium.advance(10);
        medium.transmit(SHIP, MF, tone(1, 1000), 5);
      },
    ],
    [
      'station',
      () => {
        const medium = createMedium();
        medium.transmit(SHIP, MF, tone(1, 1000));
        medium.transmit(SHIP, 4_207_500, tone(1, 1000));
      },
    ],
    [
      'station',
      () => {
        const medium = createMedium();
        medium.listen({ station: SHIP, frequencyHz: MF });
        medium.listen({ station: SHIP, frequencyHz: MF });
      },
    ],
  ])('names what is wrong: %s', (field, act) => {
    expect(act).toThrow(DotphaseError);
    expect(act).toThrow(expect.objectContaining({ field }) as Error);
  });
});

describe('paths by distance', () => {
  const at = (latitude: number, longitude: number) => ({ latitude, longitude });

  it('reach 30 nautical miles on VHF, 150 on MF and all the world on HF', () => {
    // A minute of latitude is a nautical mile.
    expect(pathByDistance(at(48, -12), at(48 + 29 / 60, -12), VHF)).toBeDefined();
    expect(pathByDistance(at(48, -12), at(48 + 31 / 60, -12), VHF)).toBeUndefined();
    expect(pathByDistance(at(48, -12), at(48 + 149 / 60, -12), MF)).toBeDefined();
    expect(pathByDistance(at(48, -12), at(48 + 151 / 60, -12), MF)).toBeUndefined();
    expect(pathByDistance(at(48, -12), at(-48, 168), 8_414_500)).toBeDefined();
    expect(pathByDistance(undefined, at(0, 0), VHF)).toEqual({});
  });

  it('take as long as light does', () => {
    // Half around a globe of 6371 km: 20015 km, 66.8 ms. Across the 180th meridian one degree is 111.2 km, 0.371 ms.
    expect(pathByDistance(at(0, 0), at(0, 180), 8_414_500)?.delayMs).toBeCloseTo(66.76, 1);
    expect(pathByDistance(at(0, 179.5), at(0, -179.5), 8_414_500)?.delayMs).toBeCloseTo(0.371, 3);
  });
});
