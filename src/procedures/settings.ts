/**
 * Who a station is and how it works, checked and with defaults filled in. Checked by hand: a page that only
 * steps procedures does not load a schema library.
 */
import type { Identity } from '../calls/index.js';
import { DotphaseError, requireInteger, requireRecord } from '../errors.js';
import { requireTiming, type ProcedureTiming } from './timing.js';

/** What may be answered without the operator. Distress never is. */
export interface AutomaticAnswers {
  readonly test: boolean;
  readonly position: boolean;
  readonly polling: boolean;
}

/** Who a station is and how it works. */
export interface StationSettings {
  /** Nine digits; a coast station's begins with 00. */
  readonly identity: Identity;
  /** What the station is called by voice, 1 to 60 characters; default: its digits alone. */
  readonly name?: string;
  /** Its call sign, 1 to 20 characters; default not said. */
  readonly callSign?: string;
  /** The coast station that relays go to unless another addressee is named. */
  readonly coastStation?: Identity;
  /** The groups that it answers for, nine digits each; default none. */
  readonly groups?: readonly Identity[];
  /** What is answered without the operator; default nothing. */
  readonly automatic?: Partial<AutomaticAnswers>;
  /** Waits that practice sets; default {@link DEFAULT_TIMING}. */
  readonly timing?: Partial<ProcedureTiming>;
  /** Chooses the random delays, together with the identity; an integer, default 0. */
  readonly seed?: number;
}

const SETTINGS = [
  'identity',
  'name',
  'callSign',
  'coastStation',
  'groups',
  'automatic',
  'timing',
  'seed',
] as const;
const MOST_GROUPS = 100;

function requireIdentity(field: string, value: unknown): string {
  if (typeof value !== 'string' || !/^\d{9}$/.test(value))
    throw new DotphaseError(field, value, 'nine digits');
  return value;
}

function requireText(field: string, value: unknown, most: number): string {
  if (typeof value !== 'string' || value.length < 1 || value.length > most) {
    throw new DotphaseError(field, value, `text of 1 to ${most} characters`);
  }
  return value;
}

function requireGroups(field: string, value: unknown): string[] {
  if (!Array.isArray(value) || value.length > MOST_GROUPS) {
    throw new DotphaseError(field, value, `a list of at most ${MOST_GROUPS} identities`);
  }
  return Array.from(value, (group, i) => requireIdentity(`${field}[${i}]`, group));
}

function requireFlag(field: string, value: unknown): boolean {
  if (typeof value !== 'boolean') throw new DotphaseError(field, value, 'true or false');
  return value;
}

function requireAutomatic(field: string, value: unknown): AutomaticAnswers {
  const names = ['test', 'position', 'polling'] as const;
  const given = requireRecord(value, field, names, `{ ${names.join(', ')} }`);
  const flag = (name: (typeof names)[number]) => requireFlag(`${field}.${name}`, given[name] ?? false);
  return { test: flag('test'), position: flag('position'), polling: flag('polling') };
}

/** The optional settings. */
type Named = 'name' | 'callSign' | 'coastStation';
/** Settings with nothing else left out. */
interface CompleteSettings extends Required<Omit<StationSettings, Named>>, Pick<StationSettings, Named> {
  readonly automatic: AutomaticAnswers;
  readonly timing: ProcedureTiming;
}

/** The settings with defaults filled in; throws a DotphaseError that names the first wrong one, for example `settings.seed`. */
export function requireSettings(settings: StationSettings): CompleteSettings {
  const given = requireRecord(settings, 'settings', SETTINGS, `{ ${SETTINGS.join(', ')} }`);
  const { name, callSign, coastStation } = given;
  return {
    identity: requireIdentity('settings.identity', given.identity),
    ...(name !== undefined && { name: requireText('settings.name', name, 60) }),
    ...(callSign !== undefined && { callSign: requireText('settings.callSign', callSign, 20) }),
    ...(coastStation !== undefined && {
      coastStation: requireIdentity('settings.coastStation', coastStation),
    }),
    groups: requireGroups('settings.groups', given.groups ?? []),
    automatic: requireAutomatic('settings.automatic', given.automatic ?? {}),
    timing: requireTiming('settings.timing', given.timing ?? {}),
    seed: requireInteger('settings.seed', given.seed ?? 0, Number.MIN_SAFE_INTEGER, Number.MAX_SAFE_INTEGER),
  };
}
