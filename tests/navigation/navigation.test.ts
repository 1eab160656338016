import fc from '../property.js';
import { GPS } from 'gps';
import { describe, expect, it } from 'vitest';
import { DotphaseError } from '../../src/errors.js';
import { createOwnPosition, POSITION_LIMIT_MS, readNavigationSentence } from '../../src/navigation/index.js';

const NOON = Date.UTC(2031, 4, 17, 12, 0, 0);
const HOUR = 3_600_000;

/** Checksum by IEC 61162-1 (from memory): exclusive-or of everything between $ and *, two hex digits. */
function sentence(body: string): string {
  const sum = new TextEncoder().encode(body).reduce((xor, byte) => xor ^ byte, 0);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`;
}

const rmc = (time: string, date = '170531', change: { status?: string; mode?: string } = {}) =>
  sentence(
    `GPRMC,${time},${change.status ?? 'A'},4530.50,N,03015.25,W,12.0,270.0,${date},,,${change.mode ?? 'A'}`,
  );
const gga = (time: string, quality = '1') =>
  sentence(`GPGGA,${time},4530.50,N,03015.25,W,${quality},08,1.0,10.0,M,0.0,M,,`);
const gll = (time: string, status = 'A', mode = 'A') =>
  sentence(`GPGLL,4530.50,N,03015.25,W,${time},${status},${mode}`);

// 45° 30.50' N is 45 + 30.5/60; 30° 15.25' W is −(30 + 15.25/60).
const POSITION = { latitude: 45 + 30.5 / 60, longitude: -(30 + 15.25 / 60) };
const AT = {
  latitude: expect.closeTo(POSITION.latitude, 12) as number,
  longitude: expect.closeTo(POSITION.longitude, 12) as number,
};

describe('sentences', () => {
  it('have checksums worked by hand', () => {
    // G ^ L ^ L is 0x47 ^ 0x4c ^ 0x4c = 0x47.
    expect(sentence('GLL')).toBe('$GLL*47\r\n');
  });

  it.each([
    ['RMC', rmc('120000.50'), Date.UTC(2031, 4, 17)],
    ['GGA', gga('120000.50'), undefined],
    ['GLL', gll('120000.50'), undefined],
  ])('of kind %s give position and time', (formatter, line, day) => {
    const read = readNavigationSentence(line);
    expect(read).toMatchObject({ formatter, talker: 'GP', timeOfDay: 12 * HOUR + 500 });
    expect(read?.day).toBe(day);
    expect(read?.position).toEqual(AT);
  });

  it('give no position unless they declare it valid', () => {
    const invalid = [
      rmc('120000', '170531', { status: 'V' }),
      rmc('120000', '170531', { mode: 'N' }),
      rmc('120000', '170531', { mode: 'E' }),
      rmc('120000', '170531', { mode: 'S' }),
      gga('120000', '0'),
      gga('120000', '6'),
      gga('120000', '7'),
      gga('120000', '8'),
      gga('120000', ''),
      gll('120000', 'V'),
      gll('120000', 'A', 'N'),
      sentence('GPRMC,,V,,,,,,,,,,N'),
      sentence('GPGGA,,,,,,0,,,,,,,,'),
      sentence('GPGLL,,,,,,V,N'),
    ];
    for (const line of invalid) {
      expect(readNavigationSentence(line), line).toBeDefined();
      expect(readNavigationSentence(line)?.position, line).toBeUndefined();
    }
    for (const mode of ['A', 'D', 'F', 'P', 'R']) {
      expect(readNavigationSentence(rmc('120000', '170531', { mode }))?.position).toEqual(AT);
    }
    // Before version 2.3 there was no mode.
    expect(readNavigationSentence(sentence('GPGLL,4530.50,N,03015.25,W,120000,A'))?.position).toEqual(AT);
  });

  it('give simulated positions in training only', () => {
    for (const line of [
      rmc('120000', '170531', { status: 'V', mode: 'S' }),
      gga('120000', '8'),
      gll('120000', 'V', 'S'),
    ]) {
      expect(readNavigationSentence(line)?.position).toBeUndefined();
      expect(readNavigationSentence(line, { simulated: true })?.position).toEqual(AT);
    }
    expect(readNavigationSentence(gga('120000', '0'), { simulated: true })?.position).toBeUndefined();
  });

  it('are skipped when they are others', () => {
    for (const line of [
      '',
      '$',
      'noise',
      sentence('GPVTG,270.0,T,,M,12.0,N,22.2,K,A'),
      '!AIVDM,1,1,,A,x,0*00',
      '$PRMC,1*00',
    ]) {
      expect(readNavigationSentence(line)).toBeUndefined();
    }
  });

  it('are found behind a tag block or a broken start', () => {
    expect(readNavigationSentence(`\\s:GP0001,n:1*5F\\${gga('120000')}`)?.position).toEqual(AT);
    expect(readNavigationSentence(`$GPGGA,1200${gga('120000')}`)?.position).toEqual(AT);
  });

  it.each([
    ['checksum', rmc('120000').replace('270.0', '270.1')],
    ['sentence', rmc('120000').replace(/\*.*/, '')],
    ['sentence', rmc('120000').replace('270.0', '270\u00e9')],
    ['sentence', sentence('GPRMC,120000,A')],
    ['latitude', sentence('GPGLL,9000.01,N,03015.25,W,120000,A,A')],
    ['latitude', sentence('GPGLL,4560.00,N,03015.25,W,120000,A,A')],
    ['latitude', sentence('GPGLL,4530.5x,N,03015.25,W,120000,A,A')],
    ['latitude', sentence('GPGLL,,N,03015.25,W,120000,A,A')],
    ['latitude', sentence('GPGLL,4530.50,E,03015.25,W,120000,A,A')],
    ['latitude', sentence('GPGLL,4530.50,,03015.25,W,120000,A,A')],
    ['longitude', sentence('GPGLL,4530.50,N,18000.01,W,120000,A,A')],
    ['longitude', sentence('GPGLL,4530.50,N,3015.25,W,120000,A,A')],
    ['time', sentence('GPGLL,4530.50,N,03015.25,W,240000,A,A')],
    ['time', sentence('GPGLL,4530.50,N,03015.25,W,,A,A')],
    ['date', rmc('120000', '300231')],
    ['date', rmc('120000', '')],
  ])('with a bad %s are refused', (field, line) => {
    expect(() => readNavigationSentence(line)).toThrow(
      expect.objectContaining({ name: 'DotphaseError', field }) as Error,
    );
  });

  it('agree with a general-purpose reader', () => {
    const two = (value: number) => String(value).padStart(2, '0');
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 90 * 60_000 }),
        fc.integer({ min: 0, max: 180 * 60_000 }),
        fc.constantFrom('N', 'S'),
        fc.constantFrom('E', 'W'),
        fc.integer({ min: 0, max: 86_399 }),
        (latitude, longitude, northSouth, eastWest, second) => {
          const angle = (thousandths: number, width: number) =>
            String(Math.floor(thousandths / 60_000)).padStart(width, '0') +
            ((thousandths % 60_000) / 1000).toFixed(3).padStart(6, '0');
          const time = two(Math.floor(second / 3600)) + two(Math.floor(second / 60) % 60) + two(second % 60);
          const body = `GPRMC,${time},A,${angle(latitude, 2)},${northSouth},${angle(longitude, 3)},${eastWest},0.0,0.0,170531,,,A`;
          const line = sentence(body);
          const reference = GPS.Parse(line.trim());
          if (reference === false || reference.type !== 'RMC') throw new Error('the reference reads RMC');
          const read = readNavigationSentence(line);
          expect(reference.valid).toBe(true);
          expect(read?.position?.latitude).toBeCloseTo(reference.lat ?? NaN, 9);
          expect(read?.position?.longitude).toBeCloseTo(reference.lon ?? NaN, 9);
          expect((read?.day ?? NaN) + (read?.timeOfDay ?? NaN)).toBe(reference.time?.getTime());
        },
      ),
    );
  });
});

describe('the own position', () => {
  function station(at = NOON) {
    const refused: DotphaseError[] = [];
    const time = { now: at };
    const own = createOwnPosition({ clock: () => time.now, onRefused: (error) => refused.push(error) });
    return { own, time, refused };
  }

  it('is none at first', () => {
    const { own } = station();
    expect(own.forCall()).toEqual({ position: 'none', time: 'none' });
    expect(own.latest()).toBeUndefined();
    expect(own.utc()).toBe(NOON);
  });

  it('comes from a stream cut anywhere', () => {
    const stream = `\r\n${gga('115958', '0')}noise\n${gga('115959')}${rmc('120000').replace('\r', '')}`;
    for (let size = 1; size < 90; size += 11) {
      const { own, refused } = station();
      for (let i = 0; i < stream.length; i += size) own.push(stream.slice(i, i + size));
      expect(own.forCall().time).toBe('12:00');
      expect(own.latest()).toMatchObject({ source: 'RMC', time: NOON, ageMs: 0 });
      expect(refused).toEqual([]);
    }
  });

  it('waits for the end of a line', () => {
    const { own } = station();
    own.push(gga('120000').trimEnd());
    expect(own.latest()).toBeUndefined();
    own.push('\n');
    expect(own.latest()?.position).toEqual(AT);
  });

  it('tells of damaged sentences and goes on', () => {
    const { own, refused } = station();
    own.push(gga('120000').replace('4530', '4630'));
    own.push('$GPGGA'.padEnd(100_000, 'x'));
    own.push(`\r\n${gga('120001')}`);
    expect(refused.map(({ field }) => field)).toEqual(['checksum', 'sentence']);
    expect(own.latest()?.time).toBe(NOON + 1000);
  });

  // M.493 Annex 1 §8.1.2 (from memory): a position older than 23.5 hours is not sent.
  it('is not sent when older than 23.5 hours', () => {
    expect(POSITION_LIMIT_MS).toBe(84_600_000);
    for (const line of [rmc('120000'), gga('120000'), gll('120000')]) {
      const { own, time } = station();
      own.push(line);
      time.now = NOON + POSITION_LIMIT_MS;
      expect(own.forCall()).toMatchObject({ position: { latitude: 45 + 30.5 / 60 }, time: '12:00' });
      time.now += 1;
      expect(own.forCall()).toEqual({ position: 'none', time: 'none' });
      expect(own.latest()?.ageMs).toBe(POSITION_LIMIT_MS + 1);
    }
  });

  it('ages while the receiver has none or repeats itself', () => {
    const { own, time } = station();
    const last = rmc('120000') + gga('120000') + gll('120000');
    own.push(last);
    for (let hour = 1; hour <= 48; hour++) {
      time.now = NOON + hour * HOUR;
      own.push(hour % 2 === 0 ? rmc('120000', '170531', { status: 'V' }) : last);
      expect(own.latest()?.ageMs).toBe(hour * HOUR);
      expect(own.forCall().position === 'none').toBe(hour > 23);
    }
    own.push(gga('120001'));
    expect(own.forCall().time).toBe('12:00');
  });

  it('takes the day from the clock where the sentence has none', () => {
    const { own, time } = station(Date.UTC(2031, 4, 18, 0, 0, 2));
    own.push(gga('235959'));
    expect(own.latest()).toMatchObject({ time: Date.UTC(2031, 4, 17, 23, 59, 59), ageMs: 3000 });
    time.now = Date.UTC(2031, 4, 18, 23, 59, 58);
    own.push(gll('000001'));
    expect(own.latest()?.time).toBe(Date.UTC(2031, 4, 19, 0, 0, 1));
    expect(own.forCall().time).toBe('00:00');
  });

  it('sets the time right by RMC', () => {
    const { own, time } = station(NOON - 5 * HOUR);
    own.push(rmc('120000'));
    expect(own.utc()).toBe(NOON);
    expect(own.latest()?.ageMs).toBe(0);
    time.now += HOUR;
    expect(own.utc()).toBe(NOON + HOUR);
    own.push(gga('130000'));
    expect(own.latest()).toMatchObject({ time: NOON + HOUR, ageMs: 0 });
    own.push(rmc('130001', '170531', { status: 'V' }));
    expect(own.utc()).toBe(NOON + HOUR);
  });

  it('does not grow young when the clock jumps', () => {
    const { own, time } = station();
    own.push(gga('120000'));
    time.now -= 48 * HOUR;
    expect(own.forCall().position).toBe('none');
    time.now += 48 * HOUR + 1000;
    expect(own.forCall().position).not.toBe('none');
  });

  it('can be entered by hand', () => {
    const { own, time } = station();
    own.enter({ latitude: -10.5, longitude: 170 });
    expect(own.forCall()).toEqual({ position: { latitude: -10.5, longitude: 170 }, time: '12:00' });
    own.enter({ latitude: 0, longitude: 0 }, NOON - 2 * HOUR);
    expect(own.latest()).toMatchObject({ source: 'entered', ageMs: 2 * HOUR });
    expect(own.forCall().time).toBe('10:00');
    time.now += 22 * HOUR;
    expect(own.forCall().position).toBe('none');
    expect(() => {
      own.enter({ latitude: 91, longitude: 0 });
    }).toThrow(/position.latitude/);
    expect(() => {
      own.enter({ latitude: 0, longitude: NaN });
    }).toThrow(/position.longitude/);
    expect(() => {
      own.enter({ latitude: 0, longitude: 0 }, time.now + HOUR);
    }).toThrow(DotphaseError);
  });

  it('reads on behind anything', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.string(), fc.constantFrom('$GPRMC,', '\n', ',', '*', gga('120000')))),
        (pieces) => {
          const { own } = station();
          for (const piece of pieces) own.push(piece);
          // Whatever stood before it, a sentence on a line of its own is read.
          own.push(`\n${gga('120000')}`);
          expect(own.forCall()).toMatchObject({ position: POSITION, time: '12:00' });
        },
      ),
    );
  });
});
