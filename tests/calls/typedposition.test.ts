import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { formatPosition, parseArea, parsePosition } from '../../src/calls/index.js';
import { parseFrequency, parseTimeOfDay, parseWorkingChannel } from '../../src/frequencies/index.js';
import { DotphaseError } from '../../src/errors.js';

// 48°12.0′N is 48 + 12/60 = 48.2°; 12°45.0′W is −(12 + 45/60) = −12.75°.
const WEST_OF_THE_CHANNEL = { latitude: 48.2, longitude: -12.75 };

describe('positions as people type them', () => {
  it.each([
    `48°12.0'N 012°45.0'W`,
    '48°12.0′N 012°45.0′W',
    '48°12’N 12°45’W',
    '48 12N 012 45W',
    '48 12.0 N, 012 45.0 W',
    '48-12N 012-45W',
    '48-12.0N/012-45.0W',
    'N48 12 W012 45',
    `N 48° 12.0' W 012° 45.0'`,
    '4812N 01245W',
    '4812.0N 01245.0W',
    `48°12'00"N 12°45'00"W`,
    '48°12′00″n 12°45′00″w',
    '48.2N 12.75W',
    '48.2, -12.75',
    '48.2 -12.75',
    '+48.2° −12.75°',
  ])('reads %s', (text) => {
    const position = parsePosition(text);
    expect(position).toMatchObject({
      latitude: expect.closeTo(WEST_OF_THE_CHANNEL.latitude, 10) as number,
      longitude: expect.closeTo(WEST_OF_THE_CHANNEL.longitude, 10) as number,
    });
  });

  it.each([
    '',
    '48 12',
    '48 60N 012 45W',
    '91 00N 012 45W',
    '48 12N 180 01W',
    '48.5 12N 012 45W',
    '48 12N',
    '48 12N 012 45N',
    '012 45W 48 12N',
    '48 12 61N 012 45W',
    '90.1, 0.0',
    'somewhere',
    '48°12.0′N 012°45.0′W!',
  ])('refuses %j', (text) => {
    expect(() => parsePosition(text)).toThrow(DotphaseError);
  });

  it('keeps the quadrant that a zero hides', () => {
    expect(parsePosition('00 00S 000 00W')).toEqual({ latitude: 0, longitude: 0, quadrant: 'SW' });
    expect(parsePosition('00 00N 000 00E')).toEqual({ latitude: 0, longitude: 0 });
    expect(parsePosition('10 00S 000 00W')).toEqual({ latitude: -10, longitude: 0, quadrant: 'SW' });
  });

  it('reads none', () => {
    expect(parsePosition('none')).toBe('none');
  });

  it('reads back every position the library prints, to its last digit', () => {
    const minutes = (limit: number) => fc.integer({ min: -limit * 60, max: limit * 60 }).map((m) => m / 60);
    fc.assert(
      fc.property(minutes(90), minutes(180), (latitude, longitude) => {
        const position = parsePosition(formatPosition({ latitude, longitude }));
        expect(position).toMatchObject({
          latitude: expect.closeTo(latitude, 10) as number,
          longitude: expect.closeTo(longitude, 10) as number,
        });
      }),
    );
  });

  it('answers any text with a position or the typed error', () => {
    const alphabet = fc.constantFrom(...Array.from(`0123456789.,-+°'"NSEW nsew`));
    const angle = fc.tuple(
      fc.integer({ min: 0, max: 200 }),
      fc.integer({ min: 0, max: 70 }),
      fc.constantFrom('N', 'S', 'E', 'W', 'n'),
    );
    const near = fc
      .tuple(angle, angle)
      .map((two) => two.map(([degrees, minutes, side]) => `${degrees}°${minutes}'${side}`).join(' '));
    let read = 0;
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: alphabet, maxLength: 40 }), near), (text) => {
        let position = 'none' as ReturnType<typeof parsePosition>;
        if (refusal(() => (position = parsePosition(text))) || position === 'none') return;
        read++;
        expect(Math.abs(position.latitude)).toBeLessThanOrEqual(90);
        expect(Math.abs(position.longitude)).toBeLessThanOrEqual(180);
      }),
      { numRuns: 2000 },
    );
    // Otherwise nothing was checked.
    expect(read).toBeGreaterThan(20);
  });
});

describe('areas', () => {
  it.each(['58N 012W 6 10', '58°N 012°W 6°S 10°E', '58N, 12W, 06, 10'])('reads %s', (text) => {
    expect(parseArea(text)).toEqual({ latitude: 58, longitude: -12, south: 6, east: 10 });
  });

  it.each(['', '58N 012W', '91N 012W 6 10', '58 30N 012W 6 10', '58N 181W 6 10', '58N 012W 6 100'])(
    'refuses %j',
    (text) => {
      expect(() => parseArea(text)).toThrow(DotphaseError);
    },
  );
});

describe('channels', () => {
  it.each([
    ['12520 kHz', { hz: 12_520_000 }],
    ['12520.0kHz', { hz: 12_520_000 }],
    ['2.182 MHz', { hz: 2_182_000 }],
    ['8294010 Hz', { hz: 8_294_010 }],
    ['vhf 16', { vhfChannel: 16 }],
    ['VHF16', { vhfChannel: 16 }],
    ['vhf 60 ship', { vhfChannel: 60, simplex: 'ship' }],
    ['channel 1205', { channel: 1205 }],
    ['ch 1205', { channel: 1205 }],
    ['none', 'none'],
    // A number alone: a frequency in a maritime band, else a channel that there is.
    ['2048', { hz: 2_048_000 }],
    ['2048 kHz', { hz: 2_048_000 }],
    ['8294,5', { hz: 8_294_500 }],
    ['1205', { channel: 1205 }],
    ['16', { vhfChannel: 16 }],
    ['ch 16', { vhfChannel: 16 }],
  ])('reads %s', (text, channel) => {
    expect(parseWorkingChannel(text)).toEqual(channel);
  });

  it.each([
    ['16', { vhfChannel: 16 }],
    ['ch 16', { vhfChannel: 16 }],
    ['1060', { vhfChannel: 60, simplex: 'ship' }],
    ['2027', { vhfChannel: 27, simplex: 'coast' }],
  ])('reads %s on VHF', (text, channel) => {
    expect(parseWorkingChannel(text, 'vhf')).toEqual(channel);
  });

  // 1801 kHz lies in the 2 MHz band, and 1801 is a channel at 18 MHz (RR Appendix 17, from memory).
  it('asks which is meant where a number could be both', () => {
    expect(() => parseWorkingChannel('1801')).toThrow('"1801 kHz" or "ch 1801"');
  });

  it.each(['99', '12520 x', 'vhf', '1e9 Hz', 'kHz', '300'])('refuses %j', (text) => {
    expect(() => parseWorkingChannel(text)).toThrow(DotphaseError);
  });
});

describe('DSC frequencies', () => {
  it.each([
    ['2187.5', 2_187_500],
    ['2187,5 kHz', 2_187_500],
    ['70', 156_525_000],
    ['ch 70', 156_525_000],
    ['156.525', 156_525_000],
    ['156.525 MHz', 156_525_000],
  ])('reads %s', (text, hz) => {
    expect(parseFrequency(text)).toBe(hz);
  });
});

describe('times of day', () => {
  it.each([
    ['9:30', '09:30'],
    ['09:30', '09:30'],
    ['0930', '09:30'],
    ['0930Z', '09:30'],
    ['1240', '12:40'],
    ['12:40 UTC', '12:40'],
  ])('reads %s', (text, time) => {
    expect(parseTimeOfDay(text)).toBe(time);
  });

  it.each(['24:00', '12:60', '12', '12345', ''])('refuses %j', (text) => {
    expect(() => parseTimeOfDay(text)).toThrow(DotphaseError);
  });
});
