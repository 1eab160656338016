/**
 * What follows a call, and where: ITU-R M.541 Annex 4 and ITU-R M.493 §8.2 (from memory).
 */
import type { Call, Channel } from '../../calls/index.js';
import {
  DISTRESS_FREQUENCIES,
  formatFrequency,
  maritimeBand,
  type FollowUp,
} from '../../frequencies/index.js';
import { followUpOf } from '../../procedures/index.js';
import { calledStation } from '../draw/calls.js';
import type { Draw } from '../draw/draw.js';
import type { Ask, HeardContext } from './ask.js';

/** The kind of call that each acknowledgement answers, where communication may follow. */
const ANSWERED = {
  urgencyAcknowledgement: 'urgencyCall',
  safetyAcknowledgement: 'safetyCall',
  routineAcknowledgement: 'routineCall',
  automaticAcknowledgement: 'automaticCall',
} as const;

/** What follows a call, seen from the stations that it is addressed to. */
export function followOf(call: Call, frequencyHz: number): FollowUp {
  const kind = call.kind in ANSWERED ? ANSWERED[call.kind as keyof typeof ANSWERED] : undefined;
  const called = calledStation(call);
  if (kind === undefined || called === undefined || !('self' in call))
    return followUpOf(call, frequencyHz, 'called');
  const request = { ...call, kind, to: { station: call.self }, self: called } as Call;
  return followUpOf(request, frequencyHz, 'caller');
}

const shifted = (channel: Channel, by: number): Channel => {
  if (channel === 'none' || 'unassigned' in channel) return channel;
  if ('hz' in channel) return { hz: channel.hz + 3000 * by };
  if ('channel' in channel) return { channel: channel.channel + by };
  return { vhfChannel: channel.vhfChannel + by };
};

/** The same call with other working channels. */
function otherChannels(call: Call): Call[] {
  if (!('message' in call) || !('receive' in call.message)) return [];
  const { receive, transmit } = call.message;
  return [-1, 1, 2].map((by): Call => ({
    ...call,
    message: { receive: shifted(receive, by), transmit: shifted(transmit, by) },
  }));
}

/** The same call with another mode. */
function otherMode(call: Call): Call[] {
  if (!('followOn' in call)) return [];
  return [{ ...call, followOn: call.followOn === 'fec' ? 'j3e' : 'fec' }];
}

/** Wrong answers to what follows a call, the most tempting first. */
function temptations(call: Call, frequencyHz: number, draw: Draw): string[] {
  const isVhf = maritimeBand(frequencyHz) === 'VHF';
  const mode = isVhf ? 'F3E/G3E' : 'J3E';
  const others = draw.shuffle(DISTRESS_FREQUENCIES.filter(({ band }) => (band === 'VHF') === isVhf));
  const here = isVhf
    ? `voice (${mode}) on VHF channel 70 (${formatFrequency(frequencyHz)})`
    : `voice (${mode}) on ${formatFrequency(frequencyHz)}`;
  const swapped = followUpOf(call, frequencyHz, 'caller').text;
  const isDistress = 'followOn' in call;
  return [
    ...draw.shuffle([
      here,
      'nothing follows',
      swapped,
      ...otherChannels(call).map((other) => followOf(other, frequencyHz).text),
      ...(isVhf ? [] : otherMode(call).map((other) => followOf(other, frequencyHz).text)),
      ...(isDistress ? others.slice(0, 2).map(({ dscHz }) => followOf(call, dscHz).text) : []),
    ]),
    ...others.map(({ voiceHz, band }) =>
      band === 'VHF'
        ? `voice (${mode}) on VHF channel 16 (${formatFrequency(voiceHz)})`
        : `voice (${mode}) on ${formatFrequency(voiceHz)}`,
    ),
    'voice (F3E/G3E) on VHF channel 6 (156.300 MHz)',
    'voice (F3E/G3E) on VHF channel 13 (156.650 MHz)',
    'voice (F3E/G3E) on VHF channel 72 (156.625 MHz)',
  ];
}

/** Asks what follows, seen from the stations that the call is addressed to. */
export function askFollow({ call, frequencyHz, draw }: HeardContext): Ask {
  const { text, rule, medium } = followOf(call, frequencyHz);
  const isNothing = (other: string) => other.startsWith('nothing follows');
  const wrong = temptations(call, frequencyHz, draw).filter(
    (other) => !(medium === 'none' && isNothing(other)) && !other.includes('names no frequency'),
  );
  return {
    topic: 'follow',
    text: 'What follows for the stations it is addressed to, and on which frequency?',
    right: text,
    wrong,
    because: `${rule}.`,
  };
}
