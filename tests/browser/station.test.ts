import type { Call, Quality } from 'dotphase';
import { describe, expect, it } from 'vitest';
import { FIRST_DRAFT, addressForms, compose } from '../../docs/bench/compose/draft.js';
import { WORDED_KINDS } from '../../docs/bench/compose/kinds.js';
import { STATION, answerTo } from '../../docs/bench/exchange/station.js';
import { CALL_KINDS, decodeCall, encodeCall } from 'dotphase';

function composed(kind: (typeof CALL_KINDS)[number]): Call {
  const form = addressForms(kind).at(0);
  const { call, complaints } = compose({ ...FIRST_DRAFT, kind, addressForm: form ?? 'station' });
  if (!call) throw new Error(`${kind}: ${JSON.stringify(complaints)}`);
  return call;
}

describe('the form', () => {
  it('has words for every kind of call', () => {
    expect([...WORDED_KINDS].sort()).toEqual([...CALL_KINDS].sort());
  });

  it.each(CALL_KINDS)('composes a %s that reads back as it was sent', (kind) => {
    const call = composed(kind);
    expect(decodeCall(encodeCall(call).symbols, { expansions: encodeCall(call).expansions })).toEqual(call);
  });

  it('takes positions to the ten-thousandth of a minute where asked to', () => {
    const position = { ...FIRST_DRAFT.position, latitudeMinutes: '30.1234' };
    const draft = { ...FIRST_DRAFT, kind: 'distressAlert' as const, position };
    // Without the expansion a set cuts the fraction of the minute off (common practice, no source).
    const { call } = compose(draft);
    expect(call && decodeCall(encodeCall(call).symbols)).toMatchObject({ position: { latitude: 45.5 } });
    expect(compose({ ...draft, isFine: true }).call).toMatchObject({
      position: { latitude: 45 + 30.1234 / 60, longitude: -30.25 },
      expansions: [{ kind: 'finePosition' }],
    });
  });

  it('names the quadrant where a zero hides it', () => {
    const position = {
      ...FIRST_DRAFT.position,
      latitudeDegrees: '0',
      latitudeMinutes: '0',
      northSouth: 'S' as const,
    };
    const { call } = compose({ ...FIRST_DRAFT, kind: 'distressAlert', position });
    expect(call).toMatchObject({ position: { latitude: 0, longitude: -30.25, quadrant: 'SW' } });
  });

  it('refuses degrees beyond the pole and the far meridian', () => {
    const at = (part: object) =>
      compose({
        ...FIRST_DRAFT,
        kind: 'distressAlert',
        position: { ...FIRST_DRAFT.position, ...part },
      }).complaints;
    expect(at({ latitudeDegrees: '90', latitudeMinutes: '1' })).toHaveProperty('latitude');
    expect(at({ longitudeDegrees: '181' })).toHaveProperty('longitude');
    expect(at({ longitudeDegrees: '180', longitudeMinutes: '0' })).toEqual({});
    expect(at({ latitudeDegrees: '-4' })).toHaveProperty('latitude');
    expect(at({ latitudeDegrees: '1e1' })).toHaveProperty('latitude');
  });
});

describe('the coast station', () => {
  const hears = (call: Call, quality: Quality = 'clean') => answerTo({ call, quality }, STATION);

  it('answers a test call for itself, whether read clean or recovered', () => {
    const call: Call = { kind: 'testCall', to: { station: STATION }, self: '299456789' };
    const answer = { kind: 'testAcknowledgement', to: { station: '299456789' }, self: STATION };
    expect(hears(call)).toEqual({ type: 'answer', call: answer });
    expect(hears(call, 'recovered')).toEqual({ type: 'answer', call: answer });
  });

  it('answers no doubtful call, none for another station, and none whose caller is not known', () => {
    const call: Call = { kind: 'testCall', to: { station: STATION }, self: '299456789' };
    expect(hears(call, 'doubtful').type).toBe('silent');
    expect(hears({ ...call, to: { station: '002994321' } }).type).toBe('silent');
    expect(hears({ ...call, self: { unassigned: [126, 126, 126, 126, 126] } }).type).toBe('silent');
  });

  it.each(CALL_KINDS.filter((kind) => kind !== 'testCall'))('is silent on a %s', (kind) => {
    expect(hears(composed(kind)).type).toBe('silent');
  });

  it('is silent on calls that fit no table', () => {
    expect(hears({ kind: 'unassignedCall', symbols: [112, 5, 5, 127] }).type).toBe('silent');
  });
});
