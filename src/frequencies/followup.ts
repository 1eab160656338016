/**
 * What follows a DSC call, on voice or by direct printing, and where: FCC80 (47 CFR Part 80) §80.1077; ITU-R M.541
 * Annexes 1 to 5 and ITU-R M.493 §8.3 (from memory).
 */
import {
  isNotReceived,
  isUnassigned,
  maritimeBand,
  type CallKind,
  type Channel,
  type DecodedCall,
  type NotReceived,
  type Unassigned,
} from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { formatFrequency, requireFrequency } from './bands.js';
import { DISTRESS_FREQUENCIES } from './dsc.js';
import { dialFrequency } from './dial.js';
import { endOf, modeOfCall } from './followed.js';
import { outlineCall, type CallOutline } from './outline.js';
import { TELEPHONY_CHANNELS } from './telephony.js';
import { VHF_CHANNELS } from './vhf.js';

/** What {@link followUp} needs to know of a call. */
export interface FollowUpRequest extends CallOutline {
  /** The DSC frequency the call came on, assigned, hertz. */
  readonly dscHz: number;
  /** The follow-on communication or first telecommand by its short name: `j3e`, `f3e`, `fec` … */
  readonly mode?: string;
  /** What the station that the call is addressed to is to receive on. */
  readonly receive?: Channel;
  /** What it is to transmit on. */
  readonly transmit?: Channel;
}

/** How communication goes on after a DSC call, seen from the station that the call is addressed to. */
export interface FollowUp {
  /** `none` when nothing follows. */
  readonly means: 'voice' | 'nbdp' | 'data' | 'none';
  /** Class of emission. */
  readonly emission?: 'J3E' | 'F3E/G3E' | 'F1B/J2B';
  /** What that station receives on, hertz (telephony on MF and HF: the carrier); absent where not known. */
  readonly receiveHz?: number;
  /** What it transmits on, hertz; the same as `receiveHz` on one frequency. */
  readonly transmitHz?: number;
  /** What an upper-sideband dial shows for receiving, hertz; telephony and direct printing on MF and HF only. */
  readonly receiveDialHz?: number;
  /** What it shows for transmitting, hertz. */
  readonly transmitDialHz?: number;
  /** In words, for example `voice (J3E) on 2182.0 kHz`. */
  readonly text: string;
  /** The rule it follows. */
  readonly rule: string;
  /** What is odd about the call or had to be assumed. */
  readonly warnings: readonly string[];
}

/** Said of direct printing wherever it is announced: it is read, and never recommended. */
const NO_LONGER_REQUIRED =
  'direct printing is no longer required in the GMDSS (IMO MSC.496(105), in force 2024); its distress frequencies go to the automatic connection system';

interface Mode {
  readonly means: 'voice' | 'nbdp' | 'data';
  readonly emission?: NonNullable<FollowUp['emission']>;
  /** Where the mode belongs, if only on one of them. */
  readonly on?: 'VHF' | 'MF/HF';
}

const J3E: Mode = { means: 'voice', emission: 'J3E', on: 'MF/HF' };
const F3E: Mode = { means: 'voice', emission: 'F3E/G3E', on: 'VHF' };
const NBDP: Mode = { means: 'nbdp', emission: 'F1B/J2B', on: 'MF/HF' };

const MODES: ReadonlyMap<string, Mode> = new Map([
  ['j3e', J3E],
  ['f3e', F3E],
  ['f3eDuplex', F3E],
  ['fec', NBDP],
  ['arq', NBDP],
  ['data', { means: 'data' }],
]);

const PARTNER_RULE =
  'FCC80 §80.1077; ITU-R M.541 Annex 5, Radio Regulations Appendix 15 (from memory): traffic follows on the partner of the DSC frequency';
const PROPOSAL_RULE = 'ITU-R M.493 §8.3 (from memory): traffic follows where the call proposes';
const COMPLETE_RULE = 'ITU-R M.541 Annex 1 (from memory): the exchange is complete with the acknowledgement';
const REFUSAL_RULE = 'ITU-R M.493 Table A1-3 (from memory): the call declines or ends communication';

function modeOf(request: FollowUpRequest, vhf: boolean, warnings: string[]): Mode {
  const mode = MODES.get(request.mode ?? 'none');
  if (!mode) {
    warnings.push('the call names no mode known here; telephony is assumed');
    return vhf ? F3E : J3E;
  }
  if (mode.means === 'nbdp') warnings.push(NO_LONGER_REQUIRED);
  if (mode.on !== undefined && (mode.on === 'VHF') !== vhf) {
    warnings.push(`${mode.emission ?? ''} is not used on ${vhf ? 'VHF' : 'MF and HF'}`);
  }
  return mode;
}

/** Whether the call leads to a VHF channel: by what it proposes, else by where it came. */
function leadsToVhf(request: FollowUpRequest): boolean {
  const proposals = [request.receive, request.transmit].filter(
    (channel): channel is Exclude<Channel, 'none' | Unassigned> =>
      channel !== undefined && channel !== 'none' && !isUnassigned(channel),
  );
  if (request.category === 'distress' || proposals.length === 0) return maritimeBand(request.dscHz) === 'VHF';
  return proposals.some((channel) => 'vhfChannel' in channel);
}

/** One proposed channel: what a ship and what a coast station transmit on, and its name. */
interface Place {
  readonly shipHz: number;
  readonly coastHz: number;
  readonly name?: string;
}

function placeOf(channel: Channel | undefined, means: Mode['means'], warnings: string[]): Place | undefined {
  if (channel === undefined || channel === 'none') return undefined;
  if (isUnassigned(channel)) {
    warnings.push('the call proposes a channel in a form not known here');
    return undefined;
  }
  if ('hz' in channel) {
    const { hz } = channel;
    if (maritimeBand(hz) === undefined) {
      warnings.push(`the call proposes ${hz} Hz, which lies in no maritime band`);
      return undefined;
    }
    return { shipHz: hz, coastHz: hz };
  }
  if ('vhfChannel' in channel) {
    const number = channel.vhfChannel + { ship: 1000, coast: 2000, both: 0 }[channel.simplex ?? 'both'];
    const row = VHF_CHANNELS.find((candidate) => candidate.channel === number);
    if (!row) warnings.push(`VHF channel ${number} is not known here`);
    else if (/no voice|navigation only/.test(row.use ?? ''))
      warnings.push(`VHF channel ${number}: ${row.use}`);
    return row && { ...row, name: `VHF channel ${number}` };
  }
  const row = TELEPHONY_CHANNELS.find((candidate) => candidate.channel === channel.channel);
  if (means !== 'voice' || !row) {
    warnings.push(`MF/HF channel ${channel.channel} is not known here for ${means}`);
    return undefined;
  }
  return { ...row, name: `channel ${channel.channel}` };
}

/** What the station that is addressed receives and transmits on. */
interface Pair {
  readonly receiveHz?: number;
  readonly transmitHz?: number;
  readonly name?: string;
}

/** The proposed channels; where one group of the message is empty, the other stands for both directions. */
function proposedPair(request: FollowUpRequest, means: Mode['means'], warnings: string[]): Pair | undefined {
  const receive = placeOf(request.receive, means, warnings);
  const transmit = placeOf(request.transmit, means, warnings);
  const hears = receive ?? transmit;
  const speaks = transmit ?? receive;
  if (!hears || !speaks) return undefined;
  const name = hears.name === speaks.name ? hears.name : undefined;
  const receiveHz = request.fromCoastStation ? hears.coastHz : hears.shipHz;
  const transmitHz = request.toCoastStation ? speaks.coastHz : speaks.shipHz;
  const duplex = hears.shipHz !== hears.coastHz || speaks.shipHz !== speaks.coastHz;
  if (duplex && request.fromCoastStation === request.toCoastStation) {
    warnings.push('a two-frequency channel works only between a ship and a coast station');
  }
  return { receiveHz, transmitHz, ...(name === undefined ? {} : { name }) };
}

/** The partner of the DSC frequency's band, for distress, urgency and safety traffic. */
function partnerPair(request: FollowUpRequest, means: Mode['means'], warnings: string[]): Pair {
  const band = maritimeBand(request.dscHz);
  const row = DISTRESS_FREQUENCIES.find((candidate) => candidate.band === band);
  if (row?.dscHz !== request.dscHz) {
    warnings.push(`${formatFrequency(request.dscHz)} is no distress and safety frequency for DSC`);
  }
  const hz = means === 'nbdp' ? row?.nbdpHz : row?.voiceHz;
  if (hz === undefined) {
    warnings.push('this band has no distress and safety frequency for that');
    return {};
  }
  return { receiveHz: hz, transmitHz: hz, ...(band === 'VHF' ? { name: 'VHF channel 16' } : {}) };
}

function dials(pair: Pair, means: Mode['means']): Pick<FollowUp, 'receiveDialHz' | 'transmitDialHz'> {
  const dial = (hz: number | undefined) => {
    if (hz === undefined || means === 'data' || maritimeBand(hz) === 'VHF') return undefined;
    return means === 'nbdp' ? dialFrequency(hz) : hz;
  };
  const receiveDialHz = dial(pair.receiveHz);
  const transmitDialHz = dial(pair.transmitHz);
  return {
    ...(receiveDialHz === undefined ? {} : { receiveDialHz }),
    ...(transmitDialHz === undefined ? {} : { transmitDialHz }),
  };
}

function describe(mode: Mode, pair: Pair): string {
  const text = { voice: 'voice', nbdp: 'direct printing', data: 'data' }[mode.means];
  const spoken = mode.emission === undefined ? text : `${text} (${mode.emission})`;
  const { receiveHz, transmitHz, name } = pair;
  if (receiveHz === undefined || transmitHz === undefined) return `${spoken}; the call names no frequency`;
  const frequencies =
    receiveHz === transmitHz
      ? formatFrequency(receiveHz)
      : `receive ${formatFrequency(receiveHz)}, transmit ${formatFrequency(transmitHz)}`;
  if (name !== undefined) return `${spoken} on ${name} (${frequencies})`;
  return `${spoken} on ${frequencies}`;
}

/**
 * Says how communication goes on after a call and on which frequencies, seen from the station it is addressed
 * to. For a distress call it is the partner of the DSC frequency; for others what the call proposes, or for urgency and
 * safety the partner again. Nothing about a received call is refused: what is odd stands in `warnings`.
 *
 * @param request - put together by hand or by {@link followUpRequest}
 * @throws DotphaseError for a DSC frequency outside 400 kHz to 200 MHz
 */
export function followUp(request: FollowUpRequest): FollowUp {
  requireFrequency('dscHz', request.dscHz);
  const end = endOf(request.kind, request.mode);
  if (end === 'complete') {
    return { means: 'none', text: 'nothing follows', rule: COMPLETE_RULE, warnings: [] };
  }
  if (end === 'refused') {
    return { means: 'none', text: 'nothing follows: declined or ended', rule: REFUSAL_RULE, warnings: [] };
  }
  const warnings: string[] = [];
  const mode = modeOf(request, leadsToVhf(request), warnings);
  const proposed = request.category === 'distress' ? undefined : proposedPair(request, mode.means, warnings);
  const takesPartner = !proposed && request.category !== 'routine';
  const pair = proposed ?? (takesPartner ? partnerPair(request, mode.means, warnings) : {});
  return {
    means: mode.means,
    ...(mode.emission === undefined ? {} : { emission: mode.emission }),
    ...(pair.receiveHz === undefined ? {} : { receiveHz: pair.receiveHz }),
    ...(pair.transmitHz === undefined ? {} : { transmitHz: pair.transmitHz }),
    ...dials(pair, mode.means),
    text: describe(mode, pair),
    rule: takesPartner ? PARTNER_RULE : PROPOSAL_RULE,
    warnings,
  };
}

function word(value: unknown): string | undefined {
  return typeof value === 'string' ? value : undefined;
}

function requireReceived<Value>(value: Value, field: string): Exclude<Value, NotReceived> {
  if (isNotReceived(value)) throw new DotphaseError(`call.${field}`, value, 'a value: it was not received');
  return value as Exclude<Value, NotReceived>;
}

/** Calls whose message names the frequencies of their sender, who was called before (M.493 §8.2.2, from memory). */
const ACKNOWLEDGEMENTS: readonly string[] = [
  'urgencyAcknowledgement',
  'safetyAcknowledgement',
  'routineAcknowledgement',
  'automaticAcknowledgement',
] satisfies CallKind[];

/** The channels of a message, seen from the station that the call is addressed to. */
function fromAddressee<Half>(
  kind: DecodedCall['kind'],
  { receive, transmit }: { receive: Half; transmit: Half },
) {
  return ACKNOWLEDGEMENTS.includes(kind) ? { receive: transmit, transmit: receive } : { receive, transmit };
}

/**
 * What {@link followUp} asks, taken from a typed call. The message of an acknowledgement names the frequencies of the
 * station that acknowledges: the one it is addressed to receives where that one transmits.
 *
 * @param call - any assigned call
 * @param dscHz - the DSC frequency it came on, assigned, hertz
 * @throws DotphaseError for an unassigned call, or where what decides was not received
 */
export function followUpRequest(call: DecodedCall, dscHz: number): FollowUpRequest {
  const outline = outlineCall(call);
  const mode = word(requireReceived(modeOfCall(call), 'mode'));
  const given = 'message' in call ? requireReceived(call.message, 'message') : undefined;
  const message = given !== undefined && 'receive' in given ? given : undefined;
  return {
    ...outline,
    dscHz,
    ...(mode === undefined ? {} : { mode }),
    ...(message &&
      fromAddressee(call.kind, {
        receive: requireReceived(message.receive, 'message.receive'),
        transmit: requireReceived(message.transmit, 'message.transmit'),
      })),
  };
}

/** The same exchange, seen from the station that called. */
function fromTheCaller(request: FollowUpRequest): FollowUpRequest {
  const { receive, transmit, fromCoastStation, toCoastStation, ...rest } = request;
  return {
    ...rest,
    fromCoastStation: toCoastStation,
    toCoastStation: fromCoastStation,
    ...(transmit === undefined ? {} : { receive: transmit }),
    ...(receive === undefined ? {} : { transmit: receive }),
  };
}

/**
 * What follows a call, as {@link followUp} says it, seen from either side.
 *
 * @param call - an assigned call that opens an exchange; where an acknowledgement changed what was proposed, the
 *   call with the telecommands and the message of the acknowledgement
 * @param dscHz - the DSC frequency it was sent on
 * @param side - which station asks
 * @throws DotphaseError for an unassigned call, or a frequency outside 400 kHz to 200 MHz
 */
export function followUpOf(call: DecodedCall, dscHz: number, side: 'caller' | 'called'): FollowUp {
  const request = followUpRequest(call, dscHz);
  return followUp(side === 'called' ? request : fromTheCaller(request));
}
