import type { Call, DecodedCall, Quality } from 'dotphase';
import { createStation, stepStation } from 'dotphase/procedures';
import { describe, expect, it } from 'vitest';
import { FIRST_DRAFT, addressForms, compose } from '../../docs/bench/compose/draft.js';
import { WORDED_KINDS, kindText } from '../../docs/bench/compose/kinds.js';
import {
  FIRST_ANSWERS,
  answerTo,
  whySilent,
  type AnswerSettings,
} from '../../docs/bench/exchange/answers.js';
import { draftFromJson, draftOfLink, linkTo } from '../../docs/bench/compose/fromcall.js';
import { CALL_KINDS, DotphaseError, decodeCall, encodeCall } from 'dotphase';

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

  it.each(CALL_KINDS)('takes a %s back in as it was', (kind) => {
    const call = composed(kind);
    expect(compose(draftFromJson(JSON.stringify(call), FIRST_DRAFT)).call).toEqual(call);
    expect(draftOfLink(linkTo(call, 2_187_500), FIRST_DRAFT)?.kind).toBe(kind);
  });

  it('takes nothing in that is no call', () => {
    for (const text of ['', '{}', 'null', '[]', '{"kind":"testCall"}', '{"kind":"irregularCall"}', '"x"']) {
      expect(() => draftFromJson(text, FIRST_DRAFT), text).toThrow(DotphaseError);
    }
    expect(() => draftOfLink('#compose/%', FIRST_DRAFT)).toThrow(DotphaseError);
    expect(draftOfLink('#log', FIRST_DRAFT)).toBeUndefined();
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

const STATION = '002991234';

describe('a station that answers by itself', () => {
  const heard = (call: DecodedCall, quality: Quality, part: Partial<AnswerSettings> = {}) => {
    const before = createStation({ identity: STATION }, 0);
    const event = { type: 'received', call, frequencyHz: 2_187_500, quality } as const;
    const { state, actions } = stepStation(before, event, 1000);
    const settings = { ...FIRST_ANSWERS, others: 'able', ...part } as const;
    const message = { receive: { hz: 4_146_000 }, transmit: { hz: 4_146_000 } } as const;
    const chosen = actions.flatMap((action) => answerTo(action, state, settings, message) ?? []);
    return {
      choices: chosen.map(({ choice }) => choice),
      why: whySilent({ call, quality }, 2_187_500, state),
    };
  };
  const test: Call = { kind: 'testCall', to: { station: STATION }, self: '299456789' };
  const urgency: Call = {
    kind: 'urgencyCall',
    to: { station: STATION },
    self: '299456789',
    telecommand1: 'j3e',
    telecommand2: 'none',
    message: { receive: 'none', transmit: 'none' },
  };

  it('answers a test call for itself, whether read clean or recovered, unless told to ask', () => {
    expect(heard(test, 'clean')).toEqual({ choices: ['able'], why: undefined });
    expect(heard(test, 'recovered').choices).toEqual(['able']);
    expect(heard(test, 'clean', { simple: false }).choices).toEqual([]);
  });

  it('does with other calls as it is told', () => {
    expect(heard(urgency, 'clean').choices).toEqual(['able']);
    expect(heard(urgency, 'clean', { others: 'unable' }).choices).toEqual(['unable']);
    expect(heard(urgency, 'clean', { others: 'propose' }).choices).toEqual(['propose']);
    expect(heard(urgency, 'clean', { others: 'ask' }).choices).toEqual([]);
  });

  it('answers no doubtful call, none for another station, and none whose caller is not known', () => {
    for (const silent of [
      heard(test, 'doubtful'),
      heard({ ...test, to: { station: '002994321' } }, 'clean'),
      heard({ ...test, self: { unassigned: [126, 126, 126, 126, 126] } }, 'clean'),
      heard({ kind: 'unassignedCall', symbols: [112, 5, 5, 127] }, 'clean'),
    ]) {
      expect(silent.choices).toEqual([]);
      expect(silent.why).toBeDefined();
    }
  });

  // M541-8 Annex 1 §3.3: distress is acknowledged by hand only.
  it.each(CALL_KINDS.filter((kind) => kindText(kind).priority === 'distress'))(
    'never answers a %s',
    (kind) => {
      const silent = heard(composed(kind), 'clean');
      expect(silent.choices).toEqual([]);
      expect(silent.why).toBeDefined();
    },
  );

  it('does not answer the relay of a distress that is addressed to it without a person', () => {
    const relay = composed('distressRelay') as Extract<Call, { kind: 'distressRelay' }>;
    expect(heard({ ...relay, to: { station: STATION } }, 'clean').choices).toEqual([]);
  });
});
