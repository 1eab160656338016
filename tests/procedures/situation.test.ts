/**
 * What a station knows of another's distress, as the table of rules asks. Each row of the table has its source; here
 * stand situations worked by hand from the records of exchanges. M541-8 = ITU-R M.541-8 Annex 1, FCC80 = 47 CFR Part 80,
 * C25 = IMO COMSAR/Circ.25.
 */
import { describe, expect, it } from 'vitest';
import type { DistressAlert, DistressRelay } from '../../src/calls/index.js';
import type { AlertExchange, Reception } from '../../src/procedures/exchange.js';
import { createStation, type StationState } from '../../src/procedures/index.js';
import {
  attemptEnds,
  firstHeardAt,
  isToCoastStation,
  objectionToRelay,
  receptionFor,
  rulingOnRelay,
  situationOf,
} from '../../src/procedures/situation.js';

const MINUTE = 60_000;
const NOW = 100 * MINUTE;
const [SHIP, OTHER, CASUALTY, COAST, OTHER_COAST] = [
  '299000111',
  '299000222',
  '299000333',
  '002990001',
  '002990002',
];
/** The distress frequencies of VHF, MF and two of HF, hertz (M.541 Annex 5). */
const [VHF, MF, HF8, HF12] = [156_525_000, 2_187_500, 8_414_500, 12_577_000];

const distress = { nature: 'fire', position: 'none', time: 'none', followOn: 'j3e' } as const;
const alert: DistressAlert = { kind: 'distressAlert', self: CASUALTY, ...distress };
const relayOf = (self: string, to: DistressRelay['to'] = { station: COAST }): DistressRelay => ({
  kind: 'distressRelay',
  to,
  self,
  casualty: CASUALTY,
  ...distress,
});

const heardOn = (frequencyHz: number, firstAt: number, lastAt = firstAt): Reception => ({
  frequencyHz,
  firstAt,
  lastAt,
  count: 1,
});

const exchangeOf = (more: Partial<AlertExchange> = {}): AlertExchange => ({
  kind: 'alert',
  id: 1,
  since: 7,
  phase: 'open',
  casualty: CASUALTY,
  alert,
  heard: [],
  acknowledgedBy: [],
  openings: 1,
  ...more,
});

const stationOf = (identity: string, ...exchanges: AlertExchange[]): StationState => ({
  ...createStation({ identity, seed: 1 }, NOW),
  exchanges,
});
const [ship, coast] = [stationOf(SHIP), stationOf(COAST)];

describe('the reception that is answered', () => {
  const [early, vhf, hf] = [heardOn(MF, 1, 2), heardOn(VHF, 3, 5), heardOn(HF8, 4, 9)];
  const exchange = exchangeOf({ heard: [early, vhf, hf] });

  it('is that on the frequency asked for, or none', () => {
    expect(receptionFor(exchange, ship, MF)).toBe(early);
    expect(receptionFor(exchange, ship, HF12)).toBeUndefined();
  });

  // Radio Regulations 32.31 (from memory): a ship does not acknowledge on HF.
  it('is for a ship the latest on VHF or MF, on HF only where there is no other', () => {
    expect(receptionFor(exchange, ship)).toBe(vhf);
    const [eight, twelve] = [heardOn(HF8, 1, 2), heardOn(HF12, 3, 4)];
    expect(receptionFor(exchangeOf({ heard: [eight, twelve] }), ship)).toBe(twelve);
    expect(receptionFor(exchangeOf(), ship)).toBeUndefined();
  });

  it('is for a coast station the latest, wherever it came', () => {
    expect(receptionFor(exchange, coast)).toBe(hf);
  });

  it('leaves what was heard in its order', () => {
    receptionFor(exchange, coast);
    expect(exchange.heard).toEqual([early, vhf, hf]);
  });
});

describe('when an alert was first heard', () => {
  it('is the first time on any frequency, or when it was first spoken of', () => {
    expect(firstHeardAt(exchangeOf({ heard: [heardOn(MF, 30), heardOn(VHF, 20)] }))).toBe(20);
    expect(firstHeardAt(exchangeOf())).toBe(7);
  });
});

describe('who acknowledged', () => {
  const own = (call: NonNullable<AlertExchange['acknowledgement']>['call'], sent: boolean) => ({
    acknowledgement: { call, frequencyHz: MF, sent },
  });
  const distressAcknowledgement = {
    kind: 'distressAcknowledgement',
    self: SHIP,
    casualty: CASUALTY,
    ...distress,
  } as const;
  const relayAcknowledgement = {
    kind: 'relayAcknowledgement',
    to: 'allShips',
    self: SHIP,
    casualty: CASUALTY,
    ...distress,
  } as const;
  const of = (more: Partial<AlertExchange>, deed: Parameters<typeof situationOf>[2] = 'acknowledge') =>
    situationOf(exchangeOf(more), ship, deed).acknowledged;

  it('is nobody, a ship, or a coast station before all others', () => {
    expect(of({})).toBe('nobody');
    expect(of({ acknowledgedBy: [OTHER] })).toBe('ship');
    expect(of({ acknowledgedBy: [OTHER, COAST] })).toBe('coastStation');
    expect(of({ acknowledgedBy: [COAST], ...own(distressAcknowledgement, true) })).toBe('coastStation');
  });

  it('is the station itself once its own has gone out, which is no other’s', () => {
    expect(of(own(distressAcknowledgement, true))).toBe('self');
    expect(of({ acknowledgedBy: [OTHER], ...own(distressAcknowledgement, true) })).toBe('self');
    expect(of({ acknowledgedBy: [SHIP], ...own(distressAcknowledgement, false) })).toBe('nobody');
    expect(situationOf(exchangeOf({ acknowledgedBy: [COAST] }), coast, 'acknowledge').acknowledged).toBe(
      'nobody',
    );
  });

  it('tells the acknowledgement of the alert from that of a relay', () => {
    expect(of(own(relayAcknowledgement, true))).toBe('nobody');
    expect(of(own(relayAcknowledgement, true), 'acknowledgeRelay')).toBe('self');
    expect(of(own(distressAcknowledgement, true), 'acknowledgeRelay')).toBe('nobody');
  });
});

describe('the situation', () => {
  const relayed = (self: string, frequencyHz = HF8, addressed: 'me' | 'other' | 'all' = 'me') => ({
    relay: { call: relayOf(self), frequencyHz, addressed },
  });

  it('of an alert that was heard on MF', () => {
    const exchange = exchangeOf({ heard: [heardOn(MF, 1)] });
    expect(situationOf(exchange, ship, 'acknowledge')).toEqual({
      role: 'ship',
      received: 'alert',
      addressed: 'all',
      reach: 'MF',
      from: 'ship',
      acknowledged: 'nobody',
      sure: true,
    });
    expect(situationOf(exchange, coast, 'acknowledge').role).toBe('coastStation');
  });

  it('has the reach of the frequency asked for, else of where the alert came, else of where it was relayed', () => {
    const both = exchangeOf({ heard: [heardOn(VHF, 5), heardOn(HF8, 1)] });
    expect(situationOf(both, ship, 'acknowledge').reach).toBe('VHF');
    expect(situationOf(both, ship, 'acknowledge', HF12).reach).toBe('HF');
    // C25, FCC80 §80.1121(c): what came on HF too is relayed as an HF alert.
    expect(situationOf(both, ship, 'relay').reach).toBe('HF');
    expect(situationOf(exchangeOf({ heard: [heardOn(VHF, 5)] }), ship, 'relay').reach).toBe('VHF');
    expect(situationOf(exchangeOf(relayed(OTHER, VHF)), ship, 'acknowledge').reach).toBe('VHF');
    expect(situationOf(exchangeOf(), ship, 'acknowledge').reach).toBe('MF');
  });

  it('is about the relay where that is what is acknowledged, or all that came', () => {
    const exchange = exchangeOf({ heard: [heardOn(MF, 1)], ...relayed(OTHER_COAST) });
    expect(situationOf(exchange, ship, 'acknowledgeRelay')).toMatchObject({
      received: 'relay',
      addressed: 'me',
      reach: 'HF',
      from: 'coastStation',
    });
    expect(situationOf(exchange, ship, 'acknowledge')).toMatchObject({
      received: 'alert',
      addressed: 'all',
      reach: 'MF',
      from: 'ship',
    });
    const { alert: _, ...withoutAlert } = exchangeOf(relayed(OTHER, HF8, 'other'));
    expect(situationOf(withoutAlert, ship, 'acknowledge')).toMatchObject({
      received: 'relay',
      addressed: 'other',
      from: 'ship',
    });
  });

  it('counts as relayed only where a coast station did: it knows of the alert then', () => {
    const heard = [heardOn(HF8, 1)];
    const received = (self: string) =>
      situationOf(exchangeOf({ heard, ...relayed(self) }), ship, 'relay').received;
    expect(received(OTHER_COAST)).toBe('relay');
    expect(received(OTHER)).toBe('alert');
    expect(situationOf(exchangeOf({ heard }), ship, 'relay').received).toBe('alert');
  });

  it('of what only others acknowledged has neither alert nor relay', () => {
    const { alert: _, ...withoutAlert } = exchangeOf();
    expect(situationOf(withoutAlert, ship, 'acknowledge')).toMatchObject({
      received: 'distressAcknowledgement',
      addressed: 'all',
      from: 'ship',
      // What is read with doubt opens no exchange: an acknowledgement that did was sure.
      sure: true,
    });
  });

  it('is not sure where the sender of the alert was not received, unless a relay tells of it', () => {
    const doubtful = { ...alert, self: { notReceived: [null, 0, 0, 3, 30] } } as unknown as DistressAlert;
    expect(situationOf(exchangeOf({ alert: doubtful }), ship, 'acknowledge').sure).toBe(false);
    const told = exchangeOf({ alert: doubtful, ...relayed(OTHER) });
    expect(situationOf(told, ship, 'acknowledgeRelay').sure).toBe(true);
  });
});

describe('the end of an attempt', () => {
  // A call takes 7.2 s on MF and HF and 0.45 s on VHF (JP567); with the time to be read 9 s and 1 s (no source).
  it('comes so long after the last call of it on that radio', () => {
    const exchange = exchangeOf({
      heard: [heardOn(MF, 0, 1000), heardOn(HF8, 0, 5000), heardOn(VHF, 0, 7000)],
    });
    expect(attemptEnds(exchange, HF12)).toBe(14_000);
    expect(attemptEnds(exchange, VHF)).toBe(8000);
    expect(attemptEnds(exchangeOf({ heard: [heardOn(MF, 0)] }), VHF)).toBe(-Infinity);
  });
});

describe('a call to a coast station', () => {
  it.each([
    [{ station: COAST }, true],
    [{ station: OTHER }, false],
    [{ group: '029900001' }, false],
    ['allShips', false],
    [{ station: { unassigned: [1, 2, 3, 4, 5] } }, false],
  ] as const)('%j: %s', (to, is) => {
    expect(isToCoastStation(to as Parameters<typeof isToCoastStation>[0])).toBe(is);
  });
});

describe('a relay put together by hand', () => {
  const toAll = relayOf(SHIP, 'allShips');
  const toCoast = relayOf(SHIP);
  const heardFor = (minutes: number, hz = HF8) => [heardOn(hz, NOW - minutes * MINUTE)];

  it('of which nothing was heard may go out', () => {
    const other = exchangeOf({ casualty: OTHER, heard: heardFor(1) });
    for (const state of [ship, stationOf(SHIP, other)]) {
      expect(rulingOnRelay(state, toCoast)).toBeUndefined();
      expect(objectionToRelay(state, toAll, false)).toBeUndefined();
    }
    // Of ships that are not known one is not another.
    const unknown = stationOf(SHIP, exchangeOf({ casualty: 'unknown', heard: heardFor(1) }));
    expect(rulingOnRelay(unknown, { ...toCoast, casualty: 'unknown' })).toBeUndefined();
  });

  // C25, FCC80 §80.1121(c): an HF alert, 5 minutes after it came, to a coast station alone.
  it('of an HF alert goes to a coast station, five minutes after it was heard', () => {
    const state = stationOf(SHIP, exchangeOf({ heard: heardFor(5) }));
    expect(rulingOnRelay(state, toCoast)).toMatchObject({
      verdict: 'must',
      to: 'coastStation',
      rule: 'hfRelay',
      fromMs: NOW,
    });
    expect(objectionToRelay(state, toCoast, false)).toBeUndefined();
    expect(objectionToRelay(state, toAll, false)).toBe('hfRelay');
    expect(objectionToRelay(stationOf(SHIP, exchangeOf({ heard: heardFor(4) })), toCoast, false)).toBe(
      'hfRelay',
    );
  });

  // FCC80 §80.1117(a): on VHF and MF only where the master finds further help necessary.
  it('of an MF alert goes out only where that is confirmed to be necessary, to anybody', () => {
    const state = stationOf(SHIP, exchangeOf({ heard: heardFor(10, MF) }));
    expect(objectionToRelay(state, toAll, false)).toBe('noRelayOnVhfOrMf');
    expect(objectionToRelay(state, toAll, true)).toBeUndefined();
  });

  it('is forbidden once a coast station has acknowledged, also where it is necessary', () => {
    const state = stationOf(SHIP, exchangeOf({ heard: heardFor(10), acknowledgedBy: [COAST] }));
    expect(objectionToRelay(state, toCoast, true)).toBe('acknowledgedAlready');
  });

  // FCC80 §80.335: an alert taken back.
  it('of a cancelled alert is forbidden', () => {
    const state = stationOf(SHIP, exchangeOf({ phase: 'cancelled', heard: heardFor(10) }));
    expect(objectionToRelay(state, toCoast, true)).toBe('alertCancelled');
  });

  it('goes by the latest exchange about the casualty', () => {
    const cancelled = exchangeOf({ phase: 'cancelled', heard: heardFor(60) });
    const again = exchangeOf({ id: 2, heard: heardFor(10) });
    expect(objectionToRelay(stationOf(SHIP, cancelled, again), toCoast, false)).toBeUndefined();
    expect(objectionToRelay(stationOf(SHIP, again, cancelled), toCoast, false)).toBe('alertCancelled');
  });
});
