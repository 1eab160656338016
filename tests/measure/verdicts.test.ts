/** Verdicts: never "within" where the interval reaches over the limit. */
import { describe, expect, it } from 'vitest';
import { compareWithTruth, judge, readOwnLimits, tolerancesFor } from '../../src/measure/index.js';
import { decodeCall, encodeCall } from '../../src/calls/index.js';
import fc from '../property.js';
import { TEST_CALL } from './errors.js';

describe('a verdict', () => {
  const limits = { lowest: -30, highest: 30 };
  // 95 % lie within 1.96 standard deviations: ±1.96 about 28 reaches 29.96.
  it.each([
    [28, 1, 'within'],
    [28, 1.03, 'cannotTell'],
    [32, 1, 'outside'],
    [32, 1.03, 'cannotTell'],
    [-32, 1, 'outside'],
    [30, 0, 'within'],
    [30.001, 0, 'outside'],
    [0, Infinity, 'cannotTell'],
    [NaN, 1, 'cannotTell'],
  ] as const)('on %s ± %s is %s', (value, uncertainty, verdict) => {
    expect(judge({ value, uncertainty }, limits)).toBe(verdict);
  });

  it('is within only where the whole interval is', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), fc.double({ min: 0, noNaN: true }), (value, uncertainty) => {
        const half = 1.96 * uncertainty;
        const isIn = value - half >= -30 && value + half <= 30;
        expect(judge({ value, uncertainty }, limits) === 'within').toBe(isIn);
      }),
    );
  });
});

describe('the table of tolerances', () => {
  const of = (figure: string, band: 'mf-hf' | 'vhf', own = {}) =>
    tolerancesFor({ band, symbols: TEST_CALL, own }).find((tolerance) => tolerance.figure === figure);

  it('has the rate within 30 ppm and the centre within 10 Hz (M.493 Annex 1 §1.3, from memory)', () => {
    expect(of('rateErrorPpm', 'mf-hf')).toMatchObject({ lowest: -30, highest: 30, certainty: 'established' });
    expect(of('centreHz', 'mf-hf')).toMatchObject({ lowest: 1690, highest: 1710 });
  });

  it('has the tones of VHF at 2100 and 1300 Hz within 10 Hz (M.493 Annex 1 §1.3, from memory)', () => {
    expect(of('toneBHz', 'vhf')).toMatchObject({ lowest: 2090, highest: 2110 });
    expect(of('toneYHz', 'vhf')).toMatchObject({ lowest: 1290, highest: 1310 });
    expect(of('centreHz', 'vhf')).toBeUndefined();
  });

  it('has 200 dots to a ship on MF/HF and 20 on VHF (M.493 Annex 1 §3.4, from memory)', () => {
    expect(of('dots', 'mf-hf')).toMatchObject({ lowest: 200, highest: 200 });
    expect(of('dots', 'vhf')).toMatchObject({ lowest: 20, highest: 20 });
  });

  it('has no lower limit where a figure cannot be negative, so that 0 ± anything small is within', () => {
    const limit = of('phaseStepDegrees', 'mf-hf');
    expect(limit).toMatchObject({ lowest: undefined, highest: 20 });
    expect(judge({ value: 0, uncertainty: 1 }, limit ?? { lowest: 1, highest: 1 })).toBe('within');
  });

  it('gives way to limits of the user', () => {
    expect(of('dots', 'mf-hf', { dots: null })).toBeUndefined();
    expect(of('droopDb', 'mf-hf', { droopDb: [null, 1] })).toMatchObject({
      lowest: undefined,
      highest: 1,
      certainty: 'user',
    });
  });

  it.each([
    [[], 'limits: got []'],
    [{ speed: [0, 1] }, 'limits.speed'],
    [{ dots: [20] }, 'limits.dots'],
    [{ dots: ['20', '20'] }, 'limits.dots'],
    [{ dots: [21, 20] }, 'the smaller number first'],
  ])('refuses limits like %j', (data, message) => {
    expect(() => readOwnLimits(data)).toThrow(message);
  });
});

describe('what a call says against the truth', () => {
  const call = decodeCall(
    encodeCall({
      kind: 'distressAlert',
      self: '299123456',
      nature: 'flooding',
      position: { latitude: 48 + 12 / 60, longitude: -(12 + 45 / 60) },
      time: '00:00',
      followOn: 'j3e',
    }).symbols,
  );
  it('fits within a minute, since a set cuts minutes off or rounds them', () => {
    const position = { latitude: 48 + 12.9 / 60, longitude: -(12 + 45.9 / 60) };
    expect(compareWithTruth(call, { identity: '299123456', position, time: '23:59' })).toEqual({
      identity: 'fits',
      position: 'fits',
      time: 'fits',
    });
  });
  it('differs beyond', () => {
    const position = { latitude: 48 + 13.1 / 60, longitude: -(12 + 45 / 60) };
    expect(compareWithTruth(call, { identity: '299123457', position, time: '00:02' })).toEqual({
      identity: 'differs',
      position: 'differs',
      time: 'differs',
    });
  });
  it('says nothing of what a call does not carry', () => {
    const test = decodeCall(TEST_CALL);
    expect(compareWithTruth(test, { position: { latitude: 0, longitude: 0 }, time: '12:00' })).toEqual({
      position: 'notSent',
      time: 'notSent',
    });
    expect(compareWithTruth(test, {})).toEqual({});
  });
});
