/**
 * Advice about a call: rules, frequency, follow-up.
 */
import {
  checkCall,
  identityMid,
  isReceivedWhole,
  type Call,
  type DecodedCall,
  type Problem,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { fieldWords, inWords, valueWords } from './fieldwords.js';
import type { Band } from '../symbols/index.js';
import {
  VHF_DSC_HZ,
  checkFrequency,
  dialFrequency,
  followUp,
  followUpRequest,
  formatFrequency,
  maritimeBand,
  outlineCall,
  suggestFrequencies,
  type CallOutline,
  type FollowUp,
} from '../frequencies/index.js';

/** The digits of invented stations in examples and exercises, which are not allocated. */
const INVENTED_MID = '299';

/** The DSC frequency of a call: as given, or on VHF that of channel 70. */
export function frequencyOf(given: number | undefined, band: Band): number | undefined {
  return given ?? (band === 'vhf' ? VHF_DSC_HZ : undefined);
}

function isInvented({ rule, value }: Problem): boolean {
  return (
    rule.startsWith('the maritime identification digits') &&
    typeof value === 'string' &&
    identityMid(value) === INVENTED_MID
  );
}

/** The rules that a call breaks, without that invented stations are not allocated. */
export function problemsOf(call: DecodedCall, band: Band, frequencyHz?: number): Problem[] {
  return checkCall(call, { band, ...(frequencyHz !== undefined && { frequencyHz }) }).filter(
    (problem) => !isInvented(problem),
  );
}

/** A rule that is broken, in a line. */
export function problemText({ level, field, value, expected, rule }: Problem): string {
  const weight = level === 'error' ? 'must not be sent' : 'wrong in practice';
  return `${weight}: ${fieldWords(field)}: ${valueWords(value)}, expected ${inWords(expected)} [${rule}]`;
}

/** What `find` gives; undefined where the call has no outline: unassigned, or what decides was not received. */
function unlessUnknown<Found>(find: () => Found): Found | undefined {
  try {
    return find();
  } catch (error) {
    if (error instanceof DotphaseError) return undefined;
    throw error;
  }
}

function outlined(call: DecodedCall): CallOutline | undefined {
  return unlessUnknown(() => outlineCall(call));
}

function listed(frequencies: readonly number[]): string {
  return frequencies.map(formatFrequency).join(', ');
}

/** A warning where a call is on a frequency that is not for it. */
export function frequencyWarning(call: DecodedCall, hz: number): string | undefined {
  const outline = outlined(call);
  const warning = outline && checkFrequency(outline, hz);
  if (!warning) return undefined;
  const instead = warning.instead.map(({ frequency }) => frequency.hz);
  const advice = instead.length === 0 ? '' : `; it belongs on ${listed(instead)}`;
  return `${warning.text}${advice} [${warning.rule}]`;
}

/** The frequencies of a band, regional ones aside, that a call may be sent on, hertz. */
export function suitedFrequencies(call: Call, band: Band): number[] {
  const outline = outlined(call);
  return (outline ? suggestFrequencies(outline) : [])
    .map(({ frequency }) => frequency)
    .filter(({ scope, band: of }) => scope !== 'regional' && (of === 'VHF') === (band === 'vhf'))
    .map(({ hz }) => hz);
}

/** Where a call may be sent. */
export function frequencyAdvice(call: Call, band: Band): string | undefined {
  const frequencies = suitedFrequencies(call, band);
  return frequencies.length === 0 ? undefined : `DSC on ${listed(frequencies)}`;
}

/** What is odd about the channels that a call proposes, sent on a DSC frequency. */
export function channelWarnings(call: Call, hz: number | undefined): readonly string[] {
  return hz === undefined ? [] : (followUpOfCall(call, hz)?.warnings ?? []);
}

/** A warning where a call is sent in a row that is not to be. */
export function repeatWarning({ kind }: Call, times: number): string | undefined {
  if (times === 1 || kind === 'distressAlert') return undefined;
  return kind === 'testCall'
    ? 'a test call is sent once, and testing kept to the least; without an answer it is sent again later, not in a row [ITU-R M.541 Annex 3 (from memory)]'
    : 'only a distress alert is sent several times in a row; other calls are sent once [ITU-R M.541 Annex 1 (from memory)]';
}

/** What the dial of an upper-sideband set shows for a DSC frequency, below VHF. */
export function dialAdvice(hz: number): string {
  const dial = maritimeBand(hz) === 'VHF' ? '' : ` (dial ${formatFrequency(dialFrequency(hz))} USB)`;
  return `DSC on ${formatFrequency(hz)}${dial}`;
}

/**
 * What follows a call, seen from the station it is addressed to; undefined where that is not known: of no known kind
 * or category, or not received.
 */
export function followUpOfCall(call: DecodedCall, hz: number): FollowUp | undefined {
  const request = unlessUnknown(() => followUpRequest(call, hz));
  return request && followUp(request);
}

/** What follows a call, in words; undefined where there is nothing to say. */
export function followUpText(call: DecodedCall, follow: FollowUp | undefined): string | undefined {
  if (!follow) return isReceivedWhole(call) ? undefined : 'what follows, and where, was not received';
  const side =
    follow.receiveHz === follow.transmitHz ? '' : ', for the station that the call is addressed to';
  return `then ${follow.text}${side}`;
}
