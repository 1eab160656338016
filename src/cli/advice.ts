/**
 * What is to be said about a call besides what it says: rules it breaks, its frequency and what follows it.
 */
import {
  checkCall,
  identityMid,
  isReceivedWhole,
  isUnassigned,
  type Call,
  type DecodedCall,
  type Problem,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import type { Band } from '../frames/index.js';
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

function shown(value: unknown): string {
  if (isUnassigned(value)) return value.unassigned.join(' ');
  return typeof value === 'string' ? value : JSON.stringify(value ?? 'nothing');
}

/** A rule that is broken, in a line. */
export function problemText({ level, field, value, expected, rule }: Problem): string {
  const weight = level === 'error' ? 'must not be sent' : 'wrong in practice';
  return `${weight}: ${field} ${shown(value)}, expected ${expected} [${rule}]`;
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

/** Where a call may be sent. */
export function frequencyAdvice(call: Call, band: Band): string | undefined {
  const outline = outlined(call);
  const suggested = outline ? suggestFrequencies(outline) : [];
  const frequencies = suggested
    .map(({ frequency }) => frequency)
    .filter(({ scope, band: of }) => scope !== 'national' && (of === 'VHF') === (band === 'vhf'));
  return frequencies.length === 0 ? undefined : `DSC on ${listed(frequencies.map(({ hz }) => hz))}`;
}

/** What the dial of an upper-sideband set shows for a DSC frequency, below VHF. */
export function dialAdvice(hz: number): string {
  const dial = maritimeBand(hz) === 'VHF' ? '' : ` (dial ${formatFrequency(dialFrequency(hz))} USB)`;
  return `DSC on ${formatFrequency(hz)}${dial}`;
}

/** What follows a call, seen from the called station, with what is odd about it. */
export function followUpText(call: DecodedCall, hz: number): string | undefined {
  const request = unlessUnknown(() => followUpRequest(call, hz));
  if (!request) return isReceivedWhole(call) ? undefined : 'what follows, and where, was not received';
  const { text, warnings, receiveHz, transmitHz } = followUp(request);
  const side = receiveHz === transmitHz ? '' : ', for the called station';
  return [`then ${text}${side}`, ...warnings].join('; ');
}
