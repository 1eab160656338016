import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import {
  describeIdentity,
  describeReceivedIdentity,
  formatIdentity,
  identityKind,
  identityMid,
  parseIdentity,
} from '../../src/calls/identity.js';
import { isAllocatedMid, midAdministration } from '../../src/calls/mids.js';
import { DotphaseError } from '../../src/errors.js';

// Forms of ITU-R M.585-9 Annexes 1 and 2 (from memory), with the unallocated MID 299.
const FORMS = [
  ['299123456', 'ship', '299', 'ship 299 123 456'],
  ['029912345', 'group', '299', 'group of ships 0 299 12345'],
  ['002991234', 'coastStation', '299', 'coast station 00 299 1234'],
  ['002990000', 'coastStationGroup', '299', 'group of coast stations 00 299 0000'],
  ['009990000', 'coastStationGroup', undefined, 'all VHF coast stations 00 999 0000'],
  ['111299123', 'sarAircraft', '299', 'search and rescue aircraft 111 299 123'],
  ['111299000', 'sarAircraftGroup', '299', 'group of search and rescue aircraft 111 299 000'],
  ['829912345', 'handheld', '299', 'handheld radio 8 299 12345'],
  ['982991234', 'craft', '299', 'craft of a parent ship 98 299 1234'],
  ['992991234', 'aidToNavigation', '299', 'aid to navigation 99 299 1234'],
  ['970123456', 'sart', undefined, 'search and rescue transmitter 970 12 3456'],
  ['972123456', 'manOverboard', undefined, 'man overboard device 972 12 3456'],
  ['974123456', 'epirb', undefined, 'EPIRB 974 12 3456'],
  ['979123456', 'autonomousDevice', undefined, 'autonomous radio device 979 123 456'],
  ['123456789', 'unknown', undefined, 'unassigned identity 123 456 789'],
  ['000000000', 'unknown', undefined, 'unassigned identity 000 000 000'],
  ['999999999', 'unknown', undefined, 'unassigned identity 999 999 999'],
] as const;

describe('identity forms', () => {
  it.each(FORMS)('%s is a %s with MID %s', (mmsi, kind, mid, text) => {
    expect(identityKind(mmsi)).toBe(kind);
    expect(identityMid(mmsi)).toBe(mid);
    expect(describeIdentity(mmsi)).toBe(text);
    expect(text.endsWith(formatIdentity(mmsi))).toBe(true);
  });

  // MIDs lie in 201–775 (M.585, from memory).
  it.each(['', '0', '00', '111', '8', '98', '99'])(
    'takes 201 to 775 and nothing else behind %j',
    (prefix) => {
      for (let mid = 200; mid <= 999; mid++) {
        const digits = (prefix + String(mid)).padEnd(9, '1');
        const claimed = identityMid(digits) === String(mid);
        expect(claimed, digits).toBe(mid >= 201 && mid <= 775);
      }
    },
  );

  it('gives each identity one kind, and groups that read back', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 999_999_999 }), (number) => {
        const mmsi = String(number).padStart(9, '0');
        expect(parseIdentity(formatIdentity(mmsi))).toBe(mmsi);
        expect(identityMid(mmsi) ?? '201').toMatch(/^[2-7]\d\d$/);
      }),
    );
  });
});

// Worked by hand from the same forms: a kind is named only where no missing digit could make it another.
describe('an identity of which some digits were not received', () => {
  it.each([
    ['299204???', 'ship 299 204 ???'],
    ['21?123456', 'ship 21? 123 456'],
    ['77512345?', 'ship 775 123 45?'],
    ['77612345?', 'unassigned identity 776 123 45?'],
    // 200 and 776 to 779 are no MIDs.
    ['20?123456', 'station 20? 123 456'],
    ['77?123456', 'station 77? 123 456'],
    ['?99123456', 'station ?99 123 456'],
    ['02991????', 'group of ships 0 299 1????'],
    ['0?9912345', 'station 0?9 912 345'],
    ['00299123?', 'coast station 00 299 123?'],
    ['002990000', 'group of coast stations 00 299 0000'],
    ['00299????', 'group of coast stations or coast station 00 299 ????'],
    ['00299?000', 'group of coast stations or coast station 00 299 ?000'],
    ['00299?999', 'group of coast stations or coast station 00 299 ?999'],
    ['00???1234', 'station 00? ??1 234'],
    ['00999000?', 'station 009 990 00?'],
    ['111299???', 'group of search and rescue aircraft or search and rescue aircraft 111 299 ???'],
    ['11129912?', 'search and rescue aircraft 111 299 12?'],
    ['?11299123', 'station ?11 299 123'],
    ['8299?????', 'handheld radio 8 299 ?????'],
    ['97412????', 'EPIRB 974 12 ????'],
    ['97?123456', 'station 97? 123 456'],
    ['?????????', 'station ??? ??? ???'],
  ])('%s is told as "%s"', (digits, text) => {
    expect(describeReceivedIdentity(digits)).toBe(text);
  });
});

describe('typed identities', () => {
  it('drops spaces, hyphens and dots', () => {
    for (const text of [
      '299123456',
      ' 299 123 456 ',
      '299-123-456',
      '299.123.456',
      '299\u00a0123\u00a0456',
    ]) {
      expect(parseIdentity(text)).toBe('299123456');
    }
  });

  it.each(['', '29912345', '2991234560', '29912345O', '+299123456', '٢٩٩١٢٣٤٥٦', ' '.repeat(1e6)])(
    'refuses %j',
    (text) => {
      expect(() => parseIdentity(text)).toThrow(DotphaseError);
    },
  );

  it('refuses what is no nine digits everywhere', () => {
    for (const bad of ['29912345', '299 123 456', 'abcdefghi', '299123456\n', 299123456, undefined, null]) {
      for (const read of [identityKind, identityMid, formatIdentity, describeIdentity]) {
        expect(() => read(bad as string)).toThrow(/identity: got .*expected nine digits/);
      }
    }
    expect(() => parseIdentity(undefined as unknown as string)).toThrow(DotphaseError);
  });
});

// The ITU table of maritime identification digits (from memory): one row of each first digit.
describe('maritime identification digits', () => {
  it.each([
    ['211', 'Germany'],
    ['257', 'Norway'],
    ['316', 'Canada'],
    ['366', 'United States'],
    ['431', 'Japan'],
    ['503', 'Australia'],
    ['601', 'South Africa'],
    ['636', 'Liberia'],
    ['710', 'Brazil'],
    ['775', 'Venezuela'],
  ])('%s belongs to %s', (mid, administration) => {
    expect(midAdministration(mid)).toBe(administration);
    expect(isAllocatedMid(mid)).toBe(true);
  });

  it.each(['000', '200', '299', '300', '400', '700', '776', '999'])('%s is not allotted', (mid) => {
    expect(midAdministration(mid)).toBeUndefined();
    expect(isAllocatedMid(mid)).toBe(false);
  });

  it('keeps "not known here" apart', () => {
    expect(midAdministration('221')).toBeUndefined();
    expect(isAllocatedMid('221')).toBeUndefined();
  });

  // MIDs lie in 201–775, a first digit 2–7 for each region (M.585, from memory).
  it('knows administrations from 201 to 775 only, in each region', () => {
    const known = Array.from({ length: 1000 }, (_, i) => String(i).padStart(3, '0')).filter(
      (mid) => midAdministration(mid) !== undefined,
    );
    expect(known.every((mid) => mid >= '201' && mid <= '775' && isAllocatedMid(mid) === true)).toBe(true);
    expect([...new Set(known.map((mid) => mid[0]))]).toEqual(['2', '3', '4', '5', '6', '7']);
  });

  it.each(['', '29', '2999', 'abc', 299])('refuses %j', (mid) => {
    expect(() => isAllocatedMid(mid as string)).toThrow(DotphaseError);
    expect(() => midAdministration(mid as string)).toThrow(DotphaseError);
  });
});
