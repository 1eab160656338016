/**
 * The table of rules, row by row: each answer worked by hand from the text named beside it. M541-8 = ITU-R M.541-8
 * Annexes 1 and 2, FCC80 = 47 CFR Part 80, C25 = IMO COMSAR/Circ.25.
 */
import { describe, expect, it } from 'vitest';
import {
  REPEAT_TABLE,
  STATION_TABLE,
  reachOf,
  repeatOf,
  rulingOn,
  type Deed,
  type Situation,
  type Verdict,
} from '../../src/procedures/index.js';
import { RULES } from '../../src/procedures/texts/index.js';

const MINUTE = 60_000;

const plain: Situation = {
  role: 'ship',
  received: 'alert',
  addressed: 'all',
  reach: 'MF',
  from: 'ship',
  acknowledged: 'nobody',
  sure: true,
};
const coast = { role: 'coastStation' } as const;

type Row = [what: string, deed: Deed, situation: Partial<Situation>, verdict: Verdict, more?: object];

// prettier-ignore
const ROWS: readonly Row[] = [
  // Common practice, no source.
  ['what was read with doubt, acknowledged', 'acknowledge', { ...coast, sure: false }, 'mustNot'],
  ['what was read with doubt, relayed', 'relay', { reach: 'HF', sure: false }, 'mustNot'],
  ['what was read with doubt, answered', 'answer', { received: 'request', addressed: 'me', sure: false }, 'mustNot'],
  ['a relay read with doubt', 'acknowledgeRelay', { received: 'relay', addressed: 'me', sure: false }, 'mustNot'],
  // FCC80 §80.1077: the telephony partner of the band.
  ['watch after an alert', 'watch', {}, 'must'],
  ['watch after a relay to another station', 'watch', { received: 'relay', addressed: 'other' }, 'must'],
  ['watch after an acknowledgement', 'watch', { received: 'distressAcknowledgement' }, 'must'],
  // M.541 Annex 3 §2 and §3 (from memory).
  ['watch after a call to an area', 'watch', { received: 'announcement' }, 'must'],
  ['watch after a call to my group', 'watch', { received: 'announcement', addressed: 'group' }, 'must'],
  ['watch after a call to another', 'watch', { received: 'request', addressed: 'other' }, 'mustNot'],
  ['watch after a call to me', 'watch', { received: 'request', addressed: 'me' }, 'must'],
  // FCC80 §80.335: an alert taken back.
  ['a cancelled alert, acknowledged', 'acknowledge', { ...coast, received: 'cancellation' }, 'mustNot'],
  ['a cancelled alert, relayed', 'relay', { received: 'cancellation', reach: 'HF' }, 'mustNot'],
  // Radio Regulations 32.31 (from memory), FCC80 §80.1121(c).
  ['an HF alert by a ship', 'acknowledge', { reach: 'HF' }, 'mustNot', { rule: 'shipNeverOnHf' }],
  // M.541 Annex 3 §1 (from memory), C25 §2: once is enough.
  ['an alert that a coast station acknowledged', 'acknowledge', { ...coast, acknowledged: 'coastStation' }, 'mustNot', { rule: 'acknowledgedAlready' }],
  ['the same by a ship', 'acknowledge', { acknowledged: 'coastStation' }, 'mustNot', { rule: 'acknowledgedAlready' }],
  // FCC80 §80.1117(a), §80.1121(d).
  ['an MF alert by a ship', 'acknowledge', {}, 'may', { needs: 'consulted', rule: 'shipConsults' }],
  ['a VHF alert by a ship', 'acknowledge', { reach: 'VHF' }, 'may', { needs: 'consulted' }],
  // M541-8 Annex 1 §3.3.1 and §3.3.2: VHF as soon as practicable, MF and HF after 1 and within 2 3/4 min.
  ['a VHF alert by a coast station', 'acknowledge', { ...coast, reach: 'VHF' }, 'must', { rule: 'coastAtOnce' }],
  ['an MF alert by a coast station', 'acknowledge', coast, 'must', { from: MINUTE, until: 2.75 * MINUTE }],
  ['an HF alert by a coast station', 'acknowledge', { ...coast, reach: 'HF' }, 'must', { from: MINUTE, until: 2.75 * MINUTE }],
  ['an alert that only a ship acknowledged, by a coast station', 'acknowledge', { ...coast, acknowledged: 'ship' }, 'must', { rule: 'coastWaits' }],
  ['an alert once more by the coast station that did', 'acknowledge', { ...coast, acknowledged: 'self' }, 'may', { rule: 'coastAcknowledges' }],
  // M541-8 Annex 1 §3.3: an acknowledgement answers an alert that was received.
  ['a relay, as if it were the alert', 'acknowledge', { ...coast, received: 'relay' }, 'mustNot', { rule: 'onlyWhatWasReceived' }],
  // M.493 Table A1-4.4, M.541 Annex 1 §3.4 (from memory).
  ['a relay to another station', 'acknowledgeRelay', { received: 'relay', addressed: 'other' }, 'mustNot', { rule: 'notAddressed' }],
  ['the same by a coast station', 'acknowledgeRelay', { ...coast, received: 'relay', addressed: 'other' }, 'mustNot', { rule: 'notAddressed' }],
  ['a relay to me', 'acknowledgeRelay', { received: 'relay', addressed: 'me' }, 'must', { rule: 'relayAcknowledged' }],
  ['a relay to me once more', 'acknowledgeRelay', { received: 'relay', addressed: 'me', acknowledged: 'self' }, 'may'],
  ['a relay to all by a ship, at a coast station', 'acknowledgeRelay', { ...coast, received: 'relay' }, 'must', { rule: 'relayAcknowledged' }],
  ['the same once more', 'acknowledgeRelay', { ...coast, received: 'relay', acknowledged: 'self' }, 'may'],
  ['the same after another coast station', 'acknowledgeRelay', { ...coast, received: 'relay', acknowledged: 'coastStation' }, 'mustNot'],
  ['a relay to all by a coast station, at a ship', 'acknowledgeRelay', { received: 'relay', from: 'coastStation' }, 'mustNot', { rule: 'relayByVoice' }],
  ['the same at a coast station', 'acknowledgeRelay', { ...coast, received: 'relay', from: 'coastStation' }, 'mustNot', { rule: 'relayByVoice' }],
  // M541-8 Annex 1 §3.3.4, FCC80 §80.1121: by voice, after coast stations have had their time.
  ['an MF alert by voice', 'acknowledgeByVoice', {}, 'must', { from: 2.75 * MINUTE }],
  ['an HF alert by voice', 'acknowledgeByVoice', { reach: 'HF' }, 'may'],
  ['a relay to all by voice', 'acknowledgeByVoice', { received: 'relay', from: 'coastStation' }, 'must', { rule: 'relayByVoice' }],
  ['a relay to another by voice', 'acknowledgeByVoice', { received: 'relay', addressed: 'other' }, 'mustNot'],
  // Radio Regulations 32.16 (from memory).
  ['an alert relayed by a coast station', 'relay', { ...coast, acknowledged: 'self' }, 'may', { rule: 'coastRelays' }],
  ['an acknowledged alert relayed by a ship', 'relay', { reach: 'HF', acknowledged: 'coastStation' }, 'mustNot'],
  // Common practice, no source.
  ["a coast station's relay relayed by a ship", 'relay', { received: 'relay', reach: 'HF', from: 'coastStation' }, 'mustNot', { rule: 'relayNotAgain' }],
  // C25 citing M.541, FCC80 §80.1121(c): 5 min, to a coast station.
  ['an HF alert relayed by a ship', 'relay', { reach: 'HF' }, 'must', { from: 'hfRelayMs', to: 'coastStation', rule: 'hfRelay' }],
  // FCC80 §80.1117(a) and §80.1121(b), C25 §2.3.
  ['an MF alert relayed by a ship', 'relay', {}, 'may', { needs: 'necessary', rule: 'noRelayOnVhfOrMf' }],
  ['a VHF alert relayed by a ship', 'relay', { reach: 'VHF', acknowledged: 'ship' }, 'may', { needs: 'necessary' }],
  // FCC80 §80.1121(b): a coast station is told.
  ['an unacknowledged MF alert told', 'tellCoastStation', {}, 'must', { from: 5 * MINUTE }],
  ['an acknowledged MF alert told', 'tellCoastStation', { acknowledged: 'coastStation' }, 'mustNot'],
  ["a ship's acknowledgement told", 'tellCoastStation', { received: 'distressAcknowledgement', acknowledged: 'ship' }, 'must'],
  // M541-8 Annex 1 §3.3: distress is answered by hand, by its own procedures.
  ['an alert answered as a call', 'answer', { ...coast }, 'mustNot', { rule: 'neverAutomatic' }],
  // M.541 Annex 1 §4 and M.493 §5 (from memory).
  ['a call to another station', 'answer', { received: 'request', addressed: 'other' }, 'mustNot', { rule: 'notAddressed' }],
  ['an acknowledgement', 'answer', { received: 'acknowledgement', addressed: 'me' }, 'mustNot', { rule: 'acknowledgementItself' }],
  ['a call to all', 'answer', { received: 'announcement' }, 'mustNot', { rule: 'notToMany' }],
  // M.541 Annex 2 (from memory): coast stations after 5 s, within 4 1/2 min.
  ['a call to a coast station', 'answer', { ...coast, received: 'request', addressed: 'me' }, 'must', { from: 5000, until: 4.5 * MINUTE }],
  // Common practice, no source: 5 min.
  ['a call to a ship', 'answer', { received: 'request', addressed: 'me' }, 'must', { until: 5 * MINUTE }],
];

describe('the table of rules', () => {
  it.each(ROWS)('%s: %s', (_, deed, situation, verdict, more = {}) => {
    expect(rulingOn(deed, { ...plain, ...situation })).toMatchObject({ verdict, ...more });
  });

  it('has no row that none of these reaches', () => {
    const reached = new Set(ROWS.map(([, deed, situation]) => rulingOn(deed, { ...plain, ...situation })));
    for (const row of STATION_TABLE) expect([...reached], JSON.stringify(row)).toContain(row);
  });

  it('forbids what it does not name', () => {
    expect(rulingOn('tellCoastStation', { ...plain, ...coast })).toMatchObject({ verdict: 'mustNot' });
    expect(rulingOn('acknowledgeRelay', plain)).toMatchObject({ verdict: 'mustNot' });
  });

  // Ships: M.541 Annex 3 §4.2; coast stations: M.541 Annex 2 (both from memory). Tests: common practice, no source.
  it.each([
    ['ship', 'routine', 1, 5 * MINUTE],
    ['ship', 'routine', 2, 15 * MINUTE],
    ['coastStation', 'routine', 1, 45_000],
    ['coastStation', 'routine', 2, 15 * MINUTE],
    ['ship', 'other', 1, 'acknowledgementWaitMs'],
    ['coastStation', 'other', 3, 'acknowledgementWaitMs'],
  ] as const)('lets a %s repeat a %s call after attempt %i', (role, category, attempts, wait) => {
    expect(repeatOf(role, category, attempts)).toMatchObject({ wait });
    expect(REPEAT_TABLE).toContain(repeatOf(role, category, attempts));
  });

  it('knows the reach of a frequency', () => {
    expect([156_525_000, 2_187_500, 455_500, 4_207_500, 16_804_500].map(reachOf)).toEqual([
      'VHF',
      'MF',
      'MF',
      'HF',
      'HF',
    ]);
  });

  it('says of each rule where it comes from and how sure it is', () => {
    for (const { text, source, certainty } of Object.values(RULES)) {
      expect(text).toMatch(/^[A-Z].*\.$/);
      if (certainty === 'practice') expect(source).toBe('common practice, no source');
      else expect(source).not.toContain('common practice');
      // What was not read again is said to be from memory.
      const isRead = /M541-8|FCC80|C25|JP567|NAVCEN|MSC\.496/.test(source);
      expect(isRead || source.includes('from memory') || certainty === 'practice', source).toBe(true);
    }
  });
});
