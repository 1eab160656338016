/**
 * The one table of what a station may and must do about what it received, and of when it may call again. The state
 * machines, the choices that are offered, the explanations and the questions of papers read from it.
 *
 * The sources of its rules stand in `rules.ts`: ITU-R M.541 Annexes 1 to 3, FCC80, C25, NAVCEN and common practice.
 */
import { maritimeBand } from '../frequencies/index.js';
import type { RuleName } from './rules.js';
import type { ProcedureTiming } from './timing.js';
import {
  ANSWER_LIMIT_MS,
  COAST_ANSWERS_FROM_MS,
  COAST_ANSWERS_UNTIL_MS,
  COAST_DELAY_MS,
  COAST_LIMIT_MS,
  COAST_REPEATS_MS,
  ROUTINE_FURTHER_MS,
  ROUTINE_WAIT_MS,
  UNACKNOWLEDGED_MS,
} from './timing.js';

/** Who a station is to the rules: every station that is no coast station counts as a ship. */
export type Role = 'ship' | 'coastStation';

/** The bands by the rules that hold on them. */
export type Reach = 'VHF' | 'MF' | 'HF';

/** What was received, by what it asks of its receivers. */
export type ReceivedKind =
  /** A distress alert from the ship itself. */
  | 'alert'
  /** A distress relay. */
  | 'relay'
  /** The acknowledgement of an alert or a relay. */
  | 'distressAcknowledgement'
  /** A ship takes its own alert back. */
  | 'cancellation'
  /** A call that asks one station for an acknowledgement. */
  | 'request'
  /** Any other call: it asks nobody for an acknowledgement. */
  | 'announcement'
  /** The acknowledgement of a call that is no distress call. */
  | 'acknowledgement';

/** How it is addressed. */
export type Addressed = 'me' | 'group' | 'all' | 'other';

/** What decides what a station may and must do. */
export interface Situation {
  readonly role: Role;
  readonly received: ReceivedKind;
  /** To the station itself (or a group of coast stations it answers for), its group, all or an area, or another. */
  readonly addressed: Addressed;
  /** Where it came. */
  readonly reach: Reach;
  /** Who sent it. */
  readonly from: Role;
  /** Who acknowledged the distress by DSC since it last came: a coast station before the own one before a ship. */
  readonly acknowledged: 'nobody' | 'ship' | 'self' | 'coastStation';
  /** Whether it was read for sure, by the tables, from a known sender. */
  readonly sure: boolean;
}

/** What a station may do. */
export type Deed =
  /** Set watch where communication follows. */
  | 'watch'
  /** Acknowledge a distress alert by DSC. */
  | 'acknowledge'
  /** Acknowledge a distress relay by DSC. */
  | 'acknowledgeRelay'
  /** Acknowledge a distress alert or relay by voice. */
  | 'acknowledgeByVoice'
  /** Relay the distress by DSC. */
  | 'relay'
  /** Tell a coast station by any means. */
  | 'tellCoastStation'
  /** Answer a call that is no distress call by DSC. */
  | 'answer';

/** Whether a deed is owed, allowed or forbidden. */
export type Verdict = 'must' | 'may' | 'mustNot';

/** One row of the table: in the situations that fit `when`, the deeds have this verdict. */
export interface TableRow {
  readonly deeds: readonly Deed[];
  readonly when: { readonly [Part in keyof Situation]?: readonly Situation[Part][] };
  readonly verdict: Verdict;
  /** Not before this after it was first received, milliseconds or the name of a wait that can be set; default 0. */
  readonly from?: number | keyof ProcedureTiming;
  /** Normally done by then, milliseconds after it was first received. */
  readonly until?: number;
  /**
   * What the operator must confirm: that a coast station or rescue centre was consulted, or that the casualty cannot
   * alert by itself and the master finds further help necessary.
   */
  readonly needs?: 'consulted' | 'necessary';
  /** The only addressee of a relay. */
  readonly to?: 'coastStation';
  readonly rule: RuleName;
}

const DISTRESS: readonly ReceivedKind[] = ['alert', 'relay', 'distressAcknowledgement', 'cancellation'];
const SENT_BY_DSC: readonly Deed[] = ['acknowledge', 'acknowledgeRelay', 'relay', 'answer'];
const SHIP: readonly Role[] = ['ship'];
const COAST: readonly Role[] = ['coastStation'];

/** The table. Of the rows of a deed, the first that fits decides; where none fits, the deed is forbidden. */
// prettier-ignore
export const STATION_TABLE: readonly TableRow[] = [
  { deeds: [...SENT_BY_DSC, 'acknowledgeByVoice'], when: { sure: [false] }, verdict: 'mustNot', rule: 'doubtful' },

  { deeds: ['watch'], when: { received: ['alert', 'relay', 'distressAcknowledgement'] }, verdict: 'must', rule: 'distressTraffic' },
  { deeds: ['watch'], when: { received: ['announcement'], addressed: ['group', 'all'] }, verdict: 'must', rule: 'notToMany' },
  { deeds: ['watch'], when: { received: ['request', 'announcement', 'acknowledgement'], addressed: ['me'] }, verdict: 'must', rule: 'individualAcknowledged' },

  { deeds: ['acknowledge', 'acknowledgeRelay', 'acknowledgeByVoice', 'relay', 'tellCoastStation'], when: { received: ['cancellation'] }, verdict: 'mustNot', rule: 'alertCancelled' },

  { deeds: ['acknowledge'], when: { received: ['alert'], role: SHIP, reach: ['HF'] }, verdict: 'mustNot', rule: 'shipNeverOnHf' },
  { deeds: ['acknowledge'], when: { received: ['alert'], acknowledged: ['coastStation'] }, verdict: 'mustNot', rule: 'acknowledgedAlready' },
  { deeds: ['acknowledge'], when: { received: ['alert'], role: SHIP }, verdict: 'may', needs: 'consulted', rule: 'shipConsults' },
  { deeds: ['acknowledge'], when: { received: ['alert'], role: COAST, acknowledged: ['self'] }, verdict: 'may', rule: 'coastAcknowledges' },
  { deeds: ['acknowledge'], when: { received: ['alert'], role: COAST, reach: ['VHF'] }, verdict: 'must', rule: 'coastAtOnce' },
  { deeds: ['acknowledge'], when: { received: ['alert'], role: COAST }, verdict: 'must', from: COAST_DELAY_MS, until: COAST_LIMIT_MS, rule: 'coastWaits' },
  { deeds: ['acknowledge'], when: { received: ['relay', 'distressAcknowledgement'] }, verdict: 'mustNot', rule: 'onlyWhatWasReceived' },

  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], addressed: ['other'] }, verdict: 'mustNot', rule: 'notAddressed' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], addressed: ['me'], acknowledged: ['self'] }, verdict: 'may', rule: 'relayAcknowledged' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], addressed: ['me'] }, verdict: 'must', rule: 'relayAcknowledged' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], role: COAST, from: SHIP, acknowledged: ['coastStation'] }, verdict: 'mustNot', rule: 'acknowledgedAlready' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], role: COAST, from: SHIP, acknowledged: ['self'] }, verdict: 'may', rule: 'relayAcknowledged' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'], role: COAST, from: SHIP }, verdict: 'must', rule: 'relayAcknowledged' },
  { deeds: ['acknowledgeRelay'], when: { received: ['relay'] }, verdict: 'mustNot', rule: 'relayByVoice' },

  { deeds: ['acknowledgeByVoice'], when: { received: ['alert'], role: SHIP, reach: ['VHF', 'MF'] }, verdict: 'must', from: COAST_LIMIT_MS, rule: 'shipListens' },
  { deeds: ['acknowledgeByVoice'], when: { received: ['alert'], role: SHIP }, verdict: 'may', from: COAST_LIMIT_MS, rule: 'shipNeverOnHf' },
  { deeds: ['acknowledgeByVoice'], when: { received: ['relay'], role: SHIP, addressed: ['me', 'group', 'all'] }, verdict: 'must', rule: 'relayByVoice' },

  { deeds: ['relay'], when: { role: COAST, received: ['alert', 'relay', 'distressAcknowledgement'] }, verdict: 'may', rule: 'coastRelays' },
  { deeds: ['relay'], when: { role: SHIP, acknowledged: ['coastStation'] }, verdict: 'mustNot', rule: 'acknowledgedAlready' },
  { deeds: ['relay'], when: { role: SHIP, received: ['relay'] }, verdict: 'mustNot', rule: 'relayNotAgain' },
  { deeds: ['relay'], when: { role: SHIP, received: ['alert'], reach: ['HF'] }, verdict: 'must', from: 'hfRelayMs', to: 'coastStation', rule: 'hfRelay' },
  { deeds: ['relay'], when: { role: SHIP, received: ['alert'] }, verdict: 'may', needs: 'necessary', rule: 'noRelayOnVhfOrMf' },

  { deeds: ['tellCoastStation'], when: { role: SHIP, received: ['alert'], reach: ['VHF', 'MF'], acknowledged: ['nobody', 'self', 'ship'] }, verdict: 'must', from: UNACKNOWLEDGED_MS, rule: 'tellCoast' },
  { deeds: ['tellCoastStation'], when: { role: SHIP, received: ['distressAcknowledgement'], from: SHIP, acknowledged: ['nobody', 'self', 'ship'] }, verdict: 'must', rule: 'tellCoast' },

  { deeds: ['answer'], when: { received: DISTRESS }, verdict: 'mustNot', rule: 'neverAutomatic' },
  { deeds: ['answer'], when: { addressed: ['other'] }, verdict: 'mustNot', rule: 'notAddressed' },
  { deeds: ['answer'], when: { received: ['acknowledgement'] }, verdict: 'mustNot', rule: 'acknowledgementItself' },
  { deeds: ['answer'], when: { received: ['announcement'] }, verdict: 'mustNot', rule: 'notToMany' },
  { deeds: ['answer'], when: { received: ['request'], role: COAST }, verdict: 'must', from: COAST_ANSWERS_FROM_MS, until: COAST_ANSWERS_UNTIL_MS, rule: 'coastAnswers' },
  { deeds: ['answer'], when: { received: ['request'] }, verdict: 'must', until: ANSWER_LIMIT_MS, rule: 'individualAcknowledged' },
];

/** What the table says of a deed where no row fits. */
const OTHERWISE: Omit<TableRow, 'deeds' | 'when'> = { verdict: 'mustNot', rule: 'onlyWhatIsOffered' };

/** What the table says of a deed. */
export type Ruling = Omit<TableRow, 'deeds' | 'when'>;

function fits({ when }: TableRow, situation: Situation): boolean {
  return (Object.keys(when) as (keyof Situation)[]).every((part) =>
    (when[part] as readonly unknown[]).includes(situation[part]),
  );
}

/** What a station may or must do in a situation. */
export function rulingOn(deed: Deed, situation: Situation): Ruling {
  return STATION_TABLE.find((row) => row.deeds.includes(deed) && fits(row, situation)) ?? OTHERWISE;
}

/** Milliseconds after the first reception from which a deed may be done. */
export function fromOf({ from = 0 }: Ruling, timing: ProcedureTiming): number {
  return typeof from === 'number' ? from : timing[from];
}

/** The reach of a frequency, hertz. */
export function reachOf(frequencyHz: number): Reach {
  const band = maritimeBand(frequencyHz);
  if (band === 'VHF') return 'VHF';
  return band === '2 MHz' || band === '0.5 MHz' ? 'MF' : 'HF';
}

/** When a call that nobody answered may be sent again. */
export interface RepeatRow {
  readonly role: Role;
  readonly category: 'routine' | 'other';
  /** After how many attempts. */
  readonly attempts: 'first' | 'further';
  /** Milliseconds after the latest sending, or the name of a wait that can be set. */
  readonly wait: number | keyof ProcedureTiming;
  /** At most so many calls to one station in 24 hours. */
  readonly mostInADay?: number;
  readonly rule: RuleName;
}

/** When calls may be sent again. */
// prettier-ignore
export const REPEAT_TABLE: readonly RepeatRow[] = [
  { role: 'ship', category: 'routine', attempts: 'first', wait: ROUTINE_WAIT_MS, rule: 'routineWait' },
  { role: 'ship', category: 'routine', attempts: 'further', wait: ROUTINE_FURTHER_MS, rule: 'routineWait' },
  { role: 'coastStation', category: 'routine', attempts: 'first', wait: COAST_REPEATS_MS, mostInADay: 5, rule: 'coastRepeats' },
  { role: 'coastStation', category: 'routine', attempts: 'further', wait: ROUTINE_FURTHER_MS, mostInADay: 5, rule: 'coastRepeats' },
  { role: 'ship', category: 'other', attempts: 'first', wait: 'acknowledgementWaitMs', rule: 'acknowledgementWait' },
  { role: 'ship', category: 'other', attempts: 'further', wait: 'acknowledgementWaitMs', rule: 'acknowledgementWait' },
  { role: 'coastStation', category: 'other', attempts: 'first', wait: 'acknowledgementWaitMs', rule: 'acknowledgementWait' },
  { role: 'coastStation', category: 'other', attempts: 'further', wait: 'acknowledgementWaitMs', rule: 'acknowledgementWait' },
];

/** When a call that was sent so many times may be sent again. */
export function repeatOf(role: Role, category: RepeatRow['category'], attempts: number): RepeatRow {
  const stage = attempts > 1 ? 'further' : 'first';
  const row = REPEAT_TABLE.find(
    (each) => each.role === role && each.category === category && each.attempts === stage,
  );
  return row ?? REPEAT_TABLE[0];
}
