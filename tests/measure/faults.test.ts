/** Made-up faulty sets at 20 dB: every fault is named, and nothing else. tests/bench/measure.bench.ts examines 500. */
import { describe, expect, it } from 'vitest';
import { frameCall } from '../../src/frames/index.js';
import { modulate } from '../../src/modem/index.js';
import { withWrongCharacter } from '../../src/transmitter/index.js';
import { createMeter, measureCall } from '../../src/measure/index.js';
import { ALERT, FAULTS, TEST_CALL, examined } from './faults.js';
import { madeUpAudio } from './madeupset.js';

describe('a made-up set', () => {
  it.each(FAULTS)('with $name', ({ set, named, symbols }) => {
    expect(examined(set, symbols ?? TEST_CALL, 5).outside).toEqual(named);
  });

  it.each([1, 2])('that is sound, %s', (seed) => {
    expect(examined({}, TEST_CALL, seed)).toEqual({ outside: [], untold: [], calls: 1 });
  });
});

describe('the meter', () => {
  const audio = madeUpAudio(ALERT, { sendings: 2 }, { ratioDb: 20 });
  const measured = (...sizes: number[]) => {
    const meter = createMeter({ sampleRate: 12_000, bands: ['mf-hf'] });
    const calls = [];
    for (let at = 0, i = 0; at < audio.length; i++) {
      const size = sizes[i % sizes.length];
      calls.push(...meter.push(audio.subarray(at, at + size)));
      at += size;
    }
    return [...calls, ...meter.flush()].map((call) => call.measured?.figures);
  };

  it('finds sendings without a gap, however the audio is cut', () => {
    const whole = measured(audio.length);
    expect(whole).toHaveLength(2);
    expect(whole[1]?.gapMs?.value).toBeCloseTo(0, 1);
    expect(whole[1]?.sendingsUnequal).toEqual({ value: 0, uncertainty: 0 });
    expect(whole[1]?.dots).toEqual({ value: 200, uncertainty: 0 });
    expect(measured(20_011, 7)).toEqual(whole);
  });

  it('gives nothing for silence and for noise', () => {
    const meter = createMeter({ sampleRate: 12_000, bands: ['mf-hf'] });
    expect([...meter.push(new Float32Array(30_000)), ...meter.flush()]).toEqual([]);
  });
});

describe('measuring a call', () => {
  const place = {
    start: 2.6,
    baud: 100,
    centreHz: 1700,
    inverted: false,
    symbols: [...TEST_CALL],
    expansions: [],
  };

  it('gives nothing where no call lies', () => {
    expect(measureCall(new Float32Array(120_000), place, { sampleRate: 12_000 })).toBeUndefined();
    expect(measureCall(new Float32Array(10), place, { sampleRate: 12_000 })).toBeUndefined();
  });

  it('leaves the dots out where the audio begins among them: more may have been sent', () => {
    const audio = madeUpAudio(TEST_CALL, {}, { ratioDb: 30, seed: 2 });
    const cut = audio.subarray(Math.round(1.8 * 12_000));
    const measured = measureCall(cut, { ...place, start: place.start - 1.8 }, { sampleRate: 12_000 });
    expect(measured?.figures.centreHz?.value).toBeCloseTo(1700, 1);
    expect(measured?.figures.dots).toBeUndefined();
  });

  it('gives nothing of a call that the audio does not hold to its end', () => {
    const audio = madeUpAudio(TEST_CALL, {}, { ratioDb: 30, seed: 2 });
    expect(measureCall(audio.subarray(0, 12_000 * 8), place, { sampleRate: 12_000 })).toBeUndefined();
  });

  it.each([
    ['DX', 0],
    ['RX', 0],
    ['both', undefined],
  ] as const)(
    'takes a character that is none in %s from the other for the error check',
    (position, wrong) => {
      const frame = withWrongCharacter(frameCall([...TEST_CALL]), { character: 5, position });
      const audio = new Float32Array(12_000 * 11);
      audio.set(modulate(frame, { sampleRate: 12_000 }), 7200);
      const measured = measureCall(audio, place, { sampleRate: 12_000 });
      expect(measured?.figures.errorChecksWrong?.value).toBe(wrong);
      expect(measured?.figures.oddCharacters?.value).toBe(position === 'both' ? 2 : 1);
    },
  );

  it('refuses what is no audio and no call', () => {
    expect(() => measureCall([] as never, place, { sampleRate: 12_000 })).toThrow('audio');
    expect(() => measureCall(new Float32Array(10), { ...place, baud: 50 }, { sampleRate: 12_000 })).toThrow(
      'call.baud',
    );
    expect(() => measureCall(new Float32Array(10), place, { sampleRate: 1 })).toThrow('sampleRate');
  });

  it('tells hum and whistles, and how far below the call', () => {
    const audio = madeUpAudio(TEST_CALL, {}, { ratioDb: 30, seed: 2 });
    // 0.05 is 20 dB below 0.5, 0.005 is 40 dB.
    const add = (hz: number, amplitude: number) => {
      audio.forEach((value, n) => {
        audio[n] = value + amplitude * Math.sin((2 * Math.PI * hz * n) / 12_000);
      });
    };
    add(100, 0.05);
    add(2500, 0.005);
    const lines = measureCall(audio, place, { sampleRate: 12_000 })?.lines ?? [];
    expect(
      lines.map(({ frequencyHz, levelDb, isHum }) => [
        Math.round(frequencyHz.value),
        Math.round(levelDb.value),
        isHum,
      ]),
    ).toEqual([
      [100, -20, true],
      [2500, -40, false],
    ]);
  });

  it('tells droop: the level falls by 1 dB over the call', () => {
    const audio = madeUpAudio(TEST_CALL, {}, { ratioDb: 30, seed: 2 });
    const seconds = 2 + 6.2;
    const drooped = audio.map((value, n) => value * 10 ** (-(n / 12_000 - 0.6) / seconds / 20));
    const droop = measureCall(drooped, place, { sampleRate: 12_000 })?.figures.droopDb;
    expect(droop?.value).toBeCloseTo(-1, 1);
  });

  it('tells the rise of the level: 20 ms by a straight line are 16 ms from 10 to 90 %', () => {
    const audio = madeUpAudio(TEST_CALL, {}, { ratioDb: 40, seed: 2 });
    const risen = audio.map((value, n) => value * Math.max(0, Math.min(1, (n / 12_000 - 0.58) / 0.02)));
    const rise = measureCall(risen, place, { sampleRate: 12_000 })?.figures.riseMs;
    expect(rise?.value).toBeLessThan(2);
    const slow = audio.map((value, n) => value * Math.max(0, Math.min(1, (n / 12_000 - 0.6) / 0.004)));
    const own = measureCall(slow, place, { sampleRate: 12_000 })?.figures.riseMs;
    expect(Math.abs((own?.value ?? NaN) - 3.2)).toBeLessThan(2 * (own?.uncertainty ?? 0));
  });

  it('says so where the phase begins anew at each transition, and measures no rate then', () => {
    const audio = madeUpAudio(TEST_CALL, { isSwitched: true }, { ratioDb: 30, seed: 2 });
    const measured = measureCall(audio, place, { sampleRate: 12_000 });
    expect(measured?.isPhaseBroken).toBe(true);
    expect(measured?.figures.rateErrorPpm).toBeUndefined();
    expect(measured?.figures.phaseStepDegrees?.value).toBeGreaterThan(90);
  });
});
