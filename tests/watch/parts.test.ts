/** What a watch is told, when what it hears was on the air, and how loud it is. */
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { ArrivalClock } from '../../src/watch/arrival.js';
import { checkWatch, watchSchema } from '../../src/watch/index.js';
import { Levels, type SpanLevel } from '../../src/watch/levels.js';

const INPUT = { name: 'mf', command: ['arecord'], format: 's16', sampleRate: 12_000 };
const watch = (...inputs: unknown[]) => ({ log: 'heard.db', inputs });

describe('the file of a watch', () => {
  const published = JSON.parse(
    readFileSync(new URL('../../src/watch/watch.schema.json', import.meta.url), 'utf8'),
  ) as Record<string, unknown>;
  // A form that only people check, as the date, is not asked of it.
  const validate = new Ajv2020({ validateFormats: false }).compile(published);

  it('has its published schema', () => {
    expect(published).toEqual(watchSchema());
  });

  it.each<[string, unknown]>([
    ['a command', watch(INPUT)],
    ['a pipe', watch({ ...INPUT, command: undefined, pipe: '/run/a' })],
    [
      'all there is',
      watch({
        ...INPUT,
        channels: 2,
        channel: 'mix',
        frequencyHz: 8_414_500,
        bands: ['mf-hf'],
        centreHz: 1700,
        searchHz: 100,
        recorded: '2031-05-17T09:30:00Z',
        silenceDb: -70,
        silenceSeconds: 30,
        gapSeconds: 10,
      }),
    ],
    [
      'a slice of spectrum',
      watch({
        name: '8 MHz',
        pipe: '/run/iq',
        format: 'cs16',
        sampleRate: 2_400_000,
        tunedHz: 8_430_000,
        oscillatorPpm: -1.5,
        bands: ['mf-hf'],
        anywhere: true,
      }),
    ],
    [
      'a slice between the DSC frequencies',
      watch({ ...INPUT, format: 'cs16', tunedHz: 9_000_000, anywhere: true }),
    ],
  ])('takes %s', (_what, config) => {
    const plain = JSON.parse(JSON.stringify(config)) as unknown;
    expect(checkWatch(plain)).toEqual(plain);
    expect(validate(plain)).toBe(true);
  });

  it('is in the guide as it may be', () => {
    const guide = readFileSync(new URL('../../docs/pages/recordings.md', import.meta.url), 'utf8');
    const [, json] = /```json\n([^]*?)```/.exec(guide) ?? [];
    expect(checkWatch(JSON.parse(json)).inputs).toHaveLength(3);
  });

  it.each<[unknown, RegExp]>([
    [null, /watch: got null, expected a watch/],
    [{ log: 'a.db' }, /inputs: got undefined, expected a list of inputs/],
    [watch(), /inputs: .* at least one input/],
    [watch({ ...INPUT, sampleRate: 7999 }), /inputs\[0\]\.sampleRate: got 7999/],
    [watch({ ...INPUT, format: 's8' }), /inputs\[0\]\.format: got "s8"/],
    [watch({ ...INPUT, speed: 1 }), /inputs\[0\]\.speed: got 1, expected no such field/],
    [watch({ ...INPUT, name: 'a\nb' }), /inputs\[0\]\.name/],
    [watch({ ...INPUT, recorded: 'noon' }), /inputs\[0\]\.recorded/],
    [watch({ ...INPUT, format: 'cs16', tunedHz: 8_414_500, anywhere: 1 }), /inputs\[0\]\.anywhere: got 1/],
    [watch({ ...INPUT, frequencyHz: 2187.5 }), /inputs\[0\]\.frequencyHz: got 2187\.5/],
  ])('refuses %j, as its schema does', (config, said) => {
    expect(() => checkWatch(config)).toThrow(said);
    expect(validate(config)).toBe(false);
  });

  it.each<[unknown, RegExp]>([
    [watch({ ...INPUT, sampleRate: 192_001 }), /sampleRate: got 192001, expected of audio .* 8000 to 192000/],
    [watch({ ...INPUT, tunedHz: 8_430_000 }), /inputs\[0\]\.tunedHz: .* only with cu8, cs8, cs16, cf32/],
    [watch({ ...INPUT, anywhere: true }), /inputs\[0\]\.anywhere: .* only with cu8, cs8, cs16, cf32/],
    [
      watch({ ...INPUT, format: 'cs16', tunedHz: 40_000_000, anywhere: true }),
      /tunedHz: got 40000000 Hz at 12000 samples a second, expected/,
    ],
    [
      watch({ ...INPUT, format: 'cs16', tunedHz: 9_000_000, anywhere: true, bands: ['vhf'] }),
      /tunedHz: got 9000000 Hz/,
    ],
    [watch({ ...INPUT, format: 'cs16' }), /inputs\[0\]\.tunedHz: got nothing, expected the frequency/],
    [
      watch({ ...INPUT, format: 'cs16', tunedHz: 9_000_000 }),
      /tunedHz: got 9000000 Hz at 12000 samples a second, expected a slice with a DSC frequency in it/,
    ],
    [
      watch({ ...INPUT, format: 'cs16', tunedHz: 8_414_500, frequencyHz: 8_414_500 }),
      /inputs\[0\]\.frequencyHz: .* nothing of it with a slice/,
    ],
    [watch({ ...INPUT, pipe: '/run/a' }), /inputs\[0\]: .* either command or pipe/],
    [watch({ ...INPUT, command: undefined }), /inputs\[0\]: .* either command or pipe/],
    [watch(INPUT, INPUT), /inputs\[1\]\.name: got "mf", expected each name once/],
    [watch({ ...INPUT, channel: 1 }), /inputs\[0\]\.channel: got 1, expected a channel below 1/],
    [watch({ ...INPUT, searchHz: 50 }), /inputs\[0\]\.searchHz/],
  ])('refuses also %j', (config, said) => {
    expect(() => checkWatch(config)).toThrow(said);
  });
});

describe('the time of live audio', () => {
  const NOON = Date.UTC(2031, 4, 17, 12);

  it('is told by what arrives soonest, however late the rest is', () => {
    const clock = new ArrivalClock();
    // A tenth of a second at a time, each up to 300 ms late, one in ten at once.
    for (let n = 1; n <= 200; n++)
      expect(clock.arrived(n / 10, NOON + n * 100 + (n % 10 === 0 ? 0 : 37 * (n % 9)))).toBeUndefined();
    expect(clock.timeOf(12)).toBeCloseTo(NOON + 12_000, 0);
  });

  it('follows a sound card whose clock is slow', () => {
    const clock = new ArrivalClock();
    // 200 parts per million over an hour: 720 ms, which is never a jump.
    for (let n = 1; n <= 36_000; n++) expect(clock.arrived(n / 10, NOON + n * 100 * 1.0002)).toBeUndefined();
    expect(clock.timeOf(3600)).toBeCloseTo(NOON + 3600_000 + 720, -1);
  });

  it('shows lost samples as a jump, once, and goes on from there', () => {
    const clock = new ArrivalClock();
    const lost = [];
    for (let n = 1; n <= 400; n++) {
      const late = n > 200 ? 3000 : 0;
      const jump = clock.arrived(n / 10, NOON + n * 100 + late);
      if (jump) lost.push(jump);
    }
    expect(lost).toHaveLength(1);
    expect(lost[0].until - lost[0].from).toBeCloseTo(3000, 0);
    expect(Math.abs(lost[0].from - (NOON + 20_000))).toBeLessThan(10_000);
    expect(clock.timeOf(30)).toBeCloseTo(NOON + 33_000, 0);
  });

  it('takes a pause for lost samples only where they did not come later', () => {
    const clock = new ArrivalClock();
    for (let n = 1; n <= 400; n++) {
      // For three seconds nothing arrives, then all at once.
      const arrives = n > 100 && n <= 130 ? 13_000 : n * 100;
      expect(clock.arrived(n / 10, NOON + arrives)).toBeUndefined();
    }
  });

  it('tells a jump that is excused nowhere', () => {
    const clock = new ArrivalClock();
    for (let n = 1; n <= 100; n++) clock.arrived(n / 10, NOON + n * 100);
    clock.excuse();
    for (let n = 101; n <= 300; n++) expect(clock.arrived(n / 10, NOON + n * 100 + 9000)).toBeUndefined();
    expect(clock.timeOf(20)).toBeCloseTo(NOON + 29_000, 0);
  });
});

describe('levels', () => {
  const RATE = 8000;
  const sine = (seconds: number, amplitude: number) =>
    Float32Array.from({ length: seconds * RATE }, (_, n) => amplitude * Math.sin((2 * Math.PI * n) / 8));
  const measure = (pieces: readonly Float32Array[]) => {
    const spans: SpanLevel[] = [];
    const levels = new Levels(RATE, -80, (span) => spans.push(span));
    for (const piece of pieces) levels.push(piece);
    return { spans, levels };
  };

  it('are told each minute: a sine of amplitude 0.1 is at −23.01 dB, its peak at −20 dB', () => {
    const { spans, levels } = measure([sine(90, 0.1)]);
    levels.end();
    expect(spans.map(({ start, seconds }) => [start, seconds])).toEqual([
      [0, 60],
      [60, 30],
    ]);
    for (const { rmsDb, peakDb } of spans) {
      expect(rmsDb).toBeCloseTo(-23.01, 2);
      expect(peakDb).toBeCloseTo(-20, 2);
    }
  });

  it('are the same however the audio is cut', () => {
    const audio = sine(61, 0.3);
    const cut = [];
    for (let at = 0; at < audio.length; at += 777) cut.push(audio.subarray(at, at + 777));
    const [whole, pieces] = [measure([audio]), measure(cut)];
    expect(pieces.spans[0].rmsDb).toBeCloseTo(whole.spans[0].rmsDb ?? NaN, 6);
    expect(pieces.spans[0].seconds).toBe(whole.spans[0].seconds);
  });

  it('tell where silence began, and that it is over', () => {
    const { levels } = measure([sine(5, 0.1), new Float32Array(3 * RATE)]);
    expect(levels.silentFrom).toBe(5);
    levels.push(sine(2, 0.1));
    expect(levels.silentFrom).toBeUndefined();
    const quiet = measure([sine(2, 1e-5), new Float32Array(RATE)]);
    expect(quiet.levels.silentFrom).toBe(0);
    const nothing = measure([new Float32Array(60 * RATE)]);
    expect(nothing.spans).toEqual([{ start: 0, seconds: 60 }]);
  });
});
