/**
 * Identities in the maritime mobile service: ITU-R M.585-9 (from memory). An identity is a string of nine
 * digits; DSC sends it with a 0 behind it in five characters (ITU-R M.493 §5.2).
 */
import { DotphaseError } from '../errors.js';

/** What an identity stands for, by its first digits. */
export type IdentityKind =
  | 'ship'
  | 'group'
  | 'coastStation'
  | 'coastStationGroup'
  | 'sarAircraft'
  | 'sarAircraftGroup'
  | 'handheld'
  | 'craft'
  | 'aidToNavigation'
  | 'sart'
  | 'manOverboard'
  | 'epirb'
  | 'autonomousDevice'
  | 'unknown';

interface IdentityForm {
  readonly kind: IdentityKind;
  /** The nine digits as they are grouped for people: `MID` the maritime identification digits, `x` any digit. */
  readonly form: string;
  readonly text: string;
}

/** M.585-9 Annex 1 and 2 (from memory), 00 MID 9999 by NAVCEN; the first form that fits counts. */
const FORMS: readonly IdentityForm[] = [
  { kind: 'ship', form: 'MID xxx xxx', text: 'ship' },
  { kind: 'group', form: '0 MID xxxxx', text: 'group of ships' },
  { kind: 'coastStationGroup', form: '00 999 0000', text: 'all VHF coast stations' },
  { kind: 'coastStationGroup', form: '00 MID 9999', text: 'group of coast stations' },
  { kind: 'coastStationGroup', form: '00 MID 0000', text: 'group of coast stations' },
  { kind: 'coastStation', form: '00 MID xxxx', text: 'coast station' },
  { kind: 'sarAircraftGroup', form: '111 MID 000', text: 'group of search and rescue aircraft' },
  { kind: 'sarAircraft', form: '111 MID xxx', text: 'search and rescue aircraft' },
  { kind: 'handheld', form: '8 MID xxxxx', text: 'handheld radio' },
  { kind: 'craft', form: '98 MID xxxx', text: 'craft of a parent ship' },
  { kind: 'aidToNavigation', form: '99 MID xxxx', text: 'aid to navigation' },
  { kind: 'sart', form: '970 xx xxxx', text: 'search and rescue transmitter' },
  { kind: 'manOverboard', form: '972 xx xxxx', text: 'man overboard device' },
  { kind: 'epirb', form: '974 xx xxxx', text: 'EPIRB' },
  { kind: 'autonomousDevice', form: '979 xxx xxx', text: 'autonomous radio device' },
  { kind: 'unknown', form: 'xxx xxx xxx', text: 'unassigned identity' },
];

/** Every kind of identity, in the order of M.585. */
export const IDENTITY_KINDS: readonly IdentityKind[] = [...new Set(FORMS.map((row) => row.kind))];

/** Each form with its pattern: one capturing group per group of digits, the one named `mid` from 201 to 775. */
const READERS = FORMS.map((row) => ({
  ...row,
  pattern: new RegExp(
    `^${row.form
      .split(' ')
      .map((group) =>
        group === 'MID'
          ? '(?<mid>20[1-9]|2[1-9]\\d|[3-6]\\d\\d|7[0-6]\\d|77[0-5])'
          : `(${group.replaceAll('x', '\\d')})`,
      )
      .join('')}$`,
  ),
}));

function read(mmsi: string): { row: IdentityForm; groups: string[]; mid: string | undefined } {
  const digits: unknown = mmsi;
  if (typeof digits === 'string' && digits.length === 9) {
    for (const row of READERS) {
      const match = row.pattern.exec(digits);
      if (match) return { row, groups: match.slice(1), mid: match.groups?.mid };
    }
  }
  throw new DotphaseError('identity', mmsi, 'nine digits');
}

/**
 * The nine digits of an identity that a person typed: spaces, hyphens and dots between the digits are dropped.
 *
 * @throws DotphaseError when what is left is not nine digits
 */
export function parseIdentity(text: string): string {
  const given: unknown = text;
  const digits = typeof given === 'string' && given.length <= 40 ? given.replace(/[\s.-]/g, '') : '';
  if (!/^\d{9}$/.test(digits)) throw new DotphaseError('identity', text, 'nine digits, spaces allowed');
  return digits;
}

/**
 * What an identity stands for, by its form. A form that M.585 does not assign, or digits outside 201–775 where
 * the maritime identification digits stand, is `unknown`; whether the digits are allocated is not asked here
 * (see {@link isAllocatedMid}).
 *
 * @param mmsi - nine digits without spaces
 * @throws DotphaseError when it is not nine digits
 */
export function identityKind(mmsi: string): IdentityKind {
  return read(mmsi).row.kind;
}

/**
 * The three maritime identification digits (MID) in an identity, 201–775, or undefined in forms that have none
 * (M.585-9, from memory).
 *
 * @param mmsi - nine digits without spaces
 * @throws DotphaseError when it is not nine digits
 */
export function identityMid(mmsi: string): string | undefined {
  return read(mmsi).mid;
}

/**
 * An identity in groups for people, with the maritime identification digits standing by themselves:
 * `299 123 456` a ship, `0 299 12345` a group, `00 299 1234` a coast station, `111 299 123` an aircraft,
 * `8 299 12345` a handheld radio, `98 299 1234` and `99 299 1234` a craft and an aid to navigation,
 * `970 12 3456` (972, 974) a device with its maker's two digits, and threes otherwise. Common practice, no source.
 *
 * @param mmsi - nine digits without spaces
 * @throws DotphaseError when it is not nine digits
 */
export function formatIdentity(mmsi: string): string {
  return read(mmsi).groups.join(' ');
}

/**
 * What an identity stands for and its grouped digits, for example `coast station 00 299 1234`.
 *
 * @param mmsi - nine digits without spaces
 * @throws DotphaseError when it is not nine digits
 */
export function describeIdentity(mmsi: string): string {
  const { row, groups } = read(mmsi);
  return `${row.text} ${groups.join(' ')}`;
}

/** The numbers from 0 to 999 that three digits may be, some of them `?`. */
function possibleMids(digits: string): number[] {
  const pattern = new RegExp(`^${digits.replaceAll('?', '.')}$`);
  return Array.from({ length: 1000 }, (_, i) => i).filter((i) => pattern.test(String(i).padStart(3, '0')));
}

const [FIRST_MID, LAST_MID] = [201, 775];

/** Whether digits, some of them `?`, fit a form whatever the missing ones are, may fit it, or do not. */
function fitOf(digits: string, form: string): 'surely' | 'maybe' | 'no' {
  const places = form.replaceAll(' ', '');
  const midAt = places.indexOf('MID');
  const mids = midAt < 0 ? [FIRST_MID] : possibleMids(digits.slice(midAt, midAt + 3));
  const isMid = (mid: number) => mid >= FIRST_MID && mid <= LAST_MID;
  const fixed = Array.from(places, (place, i) => [place, digits[i]]).filter(([place]) => /\d/.test(place));
  if (!mids.some(isMid) || fixed.some(([place, digit]) => digit !== '?' && digit !== place)) return 'no';
  return mids.every(isMid) && fixed.every(([, digit]) => digit !== '?') ? 'surely' : 'maybe';
}

/**
 * What an identity of which some digits were not received stands for, with its grouped digits: `ship 299 204 ???`. It is
 * a ship or a coast station only where the digits that say so were received; otherwise `station ??? 204 123`.
 *
 * @param digits - nine digits, `?` for one that was not received
 */
export function describeReceivedIdentity(digits: string): string {
  const fits = FORMS.map((row) => ({ row, fit: fitOf(digits, row.form) })).filter(({ fit }) => fit !== 'no');
  const possible = fits.slice(0, fits.findIndex(({ fit }) => fit === 'surely') + 1).map(({ row }) => row);
  // A coast station and a group of them differ in their last digits alone, and so do aircraft.
  const texts = [...new Set(possible.map(({ text }) => text))];
  const isTold =
    texts.length <= 2 && (texts.length === 1 || possible.every(({ kind }) => kind !== 'unknown'));
  const groups = (isTold ? possible[0].form : 'xxx xxx xxx').split(' ');
  let at = 0;
  const grouped = groups.map((group) => digits.slice(at, (at += group.length))).join(' ');
  return `${isTold ? texts.join(' or ') : 'station'} ${grouped}`;
}
