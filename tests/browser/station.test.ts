import type { Call, DecodedCall, Quality } from 'dotphase';
import { choicesFor, createStation, stepStation } from 'dotphase/procedures';
import { describe, expect, it } from 'vitest';
import { FIRST_DRAFT, addressForms, compose } from '../../docs/bench/compose/draft.js';
import { WORDED_KINDS, kindText } from '../../docs/bench/compose/kinds.js';
import {
  FIRST_ANSWERS,
  answerTo,
  whySilent,
  type AnswerSettings,
} from '../../docs/bench/exchange/answers.js';
import { calledEvent, calledKinds } from '../../docs/bench/exchange/called.js';
import { addresseesOf } from '../../docs/bench/exchange/relay.js';
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

describe('a relay', () => {
  const SHIP = '299123456';
  const CASUALTY = '299456789';
  const station = (identity: string, name: string) =>
    ({ identity, name, frequencies: [], conduct: 'answers', delay: 0, distance: 0 }) as const;
  const BOOK = [
    station('002991234', 'Halcyon Bank Radio'),
    station(CASUALTY, 'Sea Holly'),
    station('299000444', 'Long Fetch'),
  ];
  const alert: Call = {
    kind: 'distressAlert',
    self: CASUALTY,
    nature: 'flooding',
    position: { latitude: 45.5, longitude: -30.25 },
    time: '12:40',
    followOn: 'j3e',
  };
  const offered = (identity: string, frequencyHz: number) => {
    const event = { type: 'received', call: alert, frequencyHz, quality: 'clean' } as const;
    const { state } = stepStation(createStation({ identity }, 0), event, 1000);
    const exchange = state.exchanges.find((each) => each.kind === 'alert');
    const choice = exchange && choicesFor(state, exchange.id).find((each) => each.choice === 'relay');
    if (!exchange || !choice) throw new Error('no relay is offered');
    return addresseesOf(state, exchange, choice, BOOK).map(({ to }) => to);
  };
  const coast = { station: '002991234' };

  // C25 citing M.541; FCC80 §80.1121(c).
  it('of an HF alert goes from a ship to a coast station alone', () => {
    expect(offered(SHIP, 8_414_500)).toEqual([coast]);
  });

  // FCC80 §80.1117(a): to a coast station or to all ships, where the casualty cannot alert itself.
  it('of a VHF alert goes from a ship to a coast station first, or to all ships', () => {
    expect(offered(SHIP, 156_525_000)).toEqual([coast, 'allShips']);
  });

  // M.493 §8.4 (from memory). Three degrees around 45.5° N, 30.25° W reach from 49° N to 42° N; at 49° N three
  // degrees of latitude are 4.57 degrees of longitude, from 35° W to 25° W.
  it('goes on MF to the area around the casualty or one that is typed, and from a coast station to single ships, but not to the casualty', () => {
    const typed = undefined;
    const area = { latitude: 49, longitude: -35, south: 7, east: 10 };
    expect(offered(SHIP, 2_187_500)).toEqual([coast, { area }, typed]);
    expect(offered('002994321', 2_187_500)).toEqual([{ area }, typed, { station: '299000444' }]);
    expect(offered('002994321', 156_525_000)).toEqual(['allShips', { station: '299000444' }]);
  });
});

describe('a virtual station that calls', () => {
  const OWN = ['299123456', '002994321'] as const;
  const CALLERS = ['299456789', '002991234'] as const;
  const cases = OWN.flatMap((own) =>
    CALLERS.flatMap((caller) =>
      calledKinds(caller).flatMap((kind) =>
        [156_525_000, 2_187_500].map((dscHz) => ({
          own,
          settings: { caller, kind, audience: 'own', dscHz } as const,
        })),
      ),
    ),
  );

  it.each(cases)(
    'is allowed to, and the own station may answer as it should: $own $settings',
    ({ own, settings }) => {
      const { caller, dscHz, kind } = settings;
      const position = {
        type: 'position',
        position: { latitude: 45, longitude: -30 },
        time: '12:40',
      } as const;
      const event = calledEvent(settings, own);
      const there = stepStation(createStation({ identity: caller }, 0), event, 0);
      const sent = there.actions.find(({ type }) => type === 'transmit');
      if (sent?.type !== 'transmit') throw new Error(JSON.stringify(there.actions));
      const here = stepStation(createStation({ identity: own }, 0), position, 0).state;
      const heard = { type: 'received', call: sent.call, frequencyHz: dscHz, quality: 'clean' } as const;
      const { state } = stepStation(here, heard, 10_000);
      const [exchange] = state.exchanges;
      const choices = choicesFor(state, exchange.id).map(({ choice }) => choice);
      const answer = { distressAlert: 'acknowledge', distressRelay: 'acknowledgeRelay' } as const;
      expect(choices).toContain(kind in answer ? answer[kind as keyof typeof answer] : 'able');
    },
  );

  it('proposes no channel to a coast station, which gives one itself', () => {
    const settings = {
      caller: '299456789',
      kind: 'routineCall',
      audience: 'own',
      dscHz: 156_525_000,
    } as const;
    expect(calledEvent(settings, '002994321')).toMatchObject({ call: { message: { receive: 'none' } } });
    expect(calledEvent(settings, '299123456')).toMatchObject({
      call: { message: { receive: { vhfChannel: 8 } } },
    });
  });

  // M.493 §8.4 (from memory): all ships on VHF, an area on MF and HF. Voice follows on channel 16 and 2182 kHz (RR
  // Appendix 15, from memory). The own station at 45.5° N, 30.25° W lies in the area of three degrees around it.
  it.each(
    (['urgencyCall', 'safetyCall'] as const).flatMap((kind) =>
      OWN.flatMap((own) => CALLERS.map((caller) => ({ kind, own, caller }))),
    ),
  )('announces to all around, which nobody answers by DSC: $kind from $caller', ({ kind, own, caller }) => {
    const sent = (dscHz: number) => {
      const event = calledEvent({ caller, kind, audience: 'many', dscHz }, own);
      const there = stepStation(createStation({ identity: caller }, 0), event, 0);
      const found = there.actions.find(({ type }) => type === 'transmit');
      if (found?.type !== 'transmit') throw new Error(JSON.stringify(there.actions));
      return found.call;
    };
    expect(sent(156_525_000)).toMatchObject({
      kind,
      to: 'allShips',
      message: { receive: { vhfChannel: 16 } },
    });
    const area = { latitude: 49, longitude: -35, south: 7, east: 10 };
    const call = sent(2_187_500);
    expect(call).toMatchObject({ kind, to: { area }, message: { receive: { hz: 2_182_000 } } });
    const position = {
      type: 'position',
      position: { latitude: 45.5, longitude: -30.25 },
      time: '12:40',
    } as const;
    const here = stepStation(createStation({ identity: own }, 0), position, 0).state;
    const heard = { type: 'received', call, frequencyHz: 2_187_500, quality: 'clean' } as const;
    const { state, actions } = stepStation(here, heard, 10_000);
    expect(state.exchanges).toEqual([]);
    expect(actions.map(({ type }) => type)).toContain('watch');
  });
});
