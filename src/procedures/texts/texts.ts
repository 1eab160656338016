/**
 * What a station tells its operator, refuses, offers and has said by voice, in sentences.
 */
import { describeCall, formatIdentity, formatPosition, timeOfDay, type Identity } from '../../calls/index.js';
import { checkFrequency, formatFrequency, outlineCall } from '../../frequencies/index.js';
import type { Choice, StationAction } from '../actions.js';
import { isCoastStation } from '../addressing.js';
import type { Cancellation } from '../notices.js';
import { RULES } from '../rules.js';

const again = (isAgain: boolean, text = ' again') => (isAgain ? text : '');

function nameOf(casualty: Identity | 'unknown'): string {
  return casualty === 'unknown' ? 'an unknown ship' : formatIdentity(casualty);
}

const TRUST = {
  sure: '',
  doubtful: 'Read with doubt: ',
  partial: 'Not received whole, so nothing is answered: ',
};
const WHEN = { inTime: '', late: ' It came late.', left: ' The call had been left.' };

/**
 * What the operator is told, in a sentence.
 *
 * @param action - of a station
 */
export function describeNotice({ notice, rule }: Extract<StationAction, { type: 'tell' }>): string {
  switch (notice.type) {
    case 'rule':
      return RULES[rule].text;
    case 'call':
      return TRUST[notice.trust] + describeCall(notice.call);
    case 'sameCall':
      return 'The same call came again.';
    case 'expired':
      return 'The call is left unanswered: its sender has stopped waiting.';
    case 'frequency': {
      const { call, frequencyHz } = notice;
      const warning = checkFrequency(outlineCall(call), frequencyHz);
      const text = warning?.text ?? `${formatFrequency(frequencyHz)} is for other calls`;
      return call.kind === 'distressAlert'
        ? `${text}; it is sent all the same.`
        : `${text} (${warning?.rule})`;
    }
    case 'callUnsent':
      return 'The call did not go out, or not whole.';
    case 'acknowledgementUnsent':
      return 'The acknowledgement did not go out, or not whole.';
    case 'alertUnsent': {
      const what = notice.isCancellation ? 'cancellation' : 'alert';
      return `The ${what} on ${formatFrequency(notice.frequencyHz)} was not sent, or not whole; it is sent again.`;
    }
    case 'unanswered':
      return `No acknowledgement after ${notice.attempts === 1 ? 'one attempt' : `${notice.attempts} attempts`}.`;
    case 'acknowledged':
      return describeCall(notice.call) + WHEN[notice.when];
    case 'acknowledgedAgain': {
      const by = notice.by === undefined ? 'the called station' : formatIdentity(notice.by);
      return `${by} acknowledges again, on ${formatFrequency(notice.frequencyHz)}.`;
    }
    case 'unmatched': {
      const by = notice.by === undefined ? 'A station' : formatIdentity(notice.by);
      return `${by} acknowledges a call that this station did not send or no longer awaits.`;
    }
    case 'complete':
      return 'The exchange is complete; nothing follows by voice.';
    case 'relayWithdrawn':
      return `The relay is withdrawn. ${RULES[rule].text}`;
    case 'givesWay':
      return 'The earlier alert gives way to this one.';
    case 'notRepeated':
      return 'The alert is not repeated. If it was not meant, cancel it.';
    case 'nothingSent':
      return 'Nothing had been sent yet, so nothing needs to be cancelled.';
    case 'cancelByVoice': {
      const where =
        notice.voiceHz.length === 0 ? '' : ` on ${notice.voiceHz.map(formatFrequency).join(', ')}`;
      return `Cancel it by voice too${where}, and keep watch there.`;
    }
    case 'alertAcknowledged': {
      const { by, frequencyHz } = notice;
      const more = frequencyHz === undefined ? again(notice.again) : ` on ${formatFrequency(frequencyHz)}`;
      return `${formatIdentity(by)} acknowledges the alert${more}.`;
    }
    case 'strangeAcknowledgement':
      return `${formatIdentity(notice.by)} acknowledges a distress alert that this station did not send.`;
    case 'alert': {
      const who = nameOf(notice.casualty);
      const where = formatFrequency(notice.frequencyHz);
      return notice.time === 'afterAcknowledgement'
        ? `The alert from ${who} comes again on ${where} though it was acknowledged.`
        : `Distress alert from ${who} on ${where}${again(notice.time === 'again', ', again')}.`;
    }
    case 'relay': {
      const by = notice.by === undefined ? 'another station' : formatIdentity(notice.by);
      const where = `${formatFrequency(notice.frequencyHz)}${again(notice.again, ', again')}`;
      return `${by} relays the distress of ${nameOf(notice.casualty)} on ${where}.`;
    }
    case 'acknowledgementDelayed':
      return `The acknowledgement goes out ${notice.seconds} s from now. ${RULES[rule].text}`;
    case 'acknowledgementWaits':
      return `The acknowledgement waits until ${formatFrequency(notice.frequencyHz)} is free.`;
    case 'acknowledgementWithdrawn':
      return `The own acknowledgement is withdrawn: ${formatIdentity(notice.by)} was first.`;
    case 'acknowledgementOverdue':
      return `The alert from ${nameOf(notice.casualty)} should be acknowledged by now.`;
    case 'noCoastStation':
      return `No coast station has acknowledged the alert from ${nameOf(notice.casualty)}. ${RULES[rule].text}`;
    case 'distressAcknowledged': {
      const { by, casualty } = notice;
      const who = `The ${isCoastStation(by) ? 'coast station' : 'station'} ${formatIdentity(by)}`;
      return `${who} acknowledges the distress of ${nameOf(casualty)}.`;
    }
    case 'tellCoastStation':
      return notice.because === 'acknowledged'
        ? 'Tell a coast station of the alert by any means.'
        : 'No coast station has acknowledged it: one should be told.';
    case 'alertCancelled': {
      const who = formatIdentity(notice.casualty);
      return notice.frequencyHz === undefined
        ? `${who} cancels its distress alert.`
        : `${who} cancels a distress alert of its own on ${formatFrequency(notice.frequencyHz)}.`;
    }
    case 'forgotten':
      return 'An open exchange is forgotten: there are too many.';
  }
}

/**
 * Why what the operator asked for is not done, in a sentence.
 *
 * @param action - of a station
 */
export function describeRefusal({ refusal, rule }: Extract<StationAction, { type: 'refuse' }>): string {
  switch (refusal.type) {
    case 'rule':
      return RULES[rule].text;
    case 'early': {
      const wait = refusal.seconds === undefined ? '' : ` for another ${refusal.seconds} s`;
      return `Not yet${wait}. ${RULES[rule].text}`;
    }
    case 'noExchange':
      return `There is no exchange ${refusal.exchange}.`;
    case 'notOffered':
      return `That cannot be done now: the exchange is ${refusal.phase}.`;
    case 'notReceived':
      return 'The alert itself was not received there.';
    case 'noAddressee':
      return 'Name the coast station that the relay goes to.';
    case 'nothingToRelay':
      return 'Nothing is known of this alert that could be relayed.';
    case 'notByItself':
      return `A ${refusal.kind} is not sent by itself: alerts and answers have their own procedures.`;
    case 'otherSender':
      return `The call is not in the name of ${formatIdentity(refusal.identity)}.`;
    case 'position': {
      const then = refusal.isAlert ? 'the alert goes out all the same' : 'the last good one stands';
      return `${JSON.stringify(refusal.value)} is no position in degrees; ${then}.`;
    }
    case 'time':
      return `${JSON.stringify(refusal.value)} is no time as HH:MM; the position stands without one.`;
  }
}

const RESEND = { distress: 'Send the alert again now', outgoing: 'Send the call again' };
const STOP = {
  distress: 'Stop repeating the alert',
  outgoing: 'Leave the call',
  incoming: 'Leave the call unanswered',
  alert: 'Close the alert',
};

/**
 * What a choice does, in a few words.
 *
 * @param choice - as a station offers it
 */
export function describeChoice({ choice, kind, to, needs }: Choice): string {
  switch (choice) {
    case 'able':
      return 'Acknowledge: able to comply';
    case 'unable':
      return 'Acknowledge: unable to comply';
    case 'propose':
      return 'Acknowledge: on another channel';
    case 'again':
      return 'Send the acknowledgement once more';
    case 'resend':
      return kind === 'distress' ? RESEND.distress : RESEND.outgoing;
    case 'cancel':
      return 'Cancel the alert';
    case 'acknowledge':
      return `Acknowledge the alert by DSC${needs === 'consulted' ? ', after consulting a coast station or rescue centre' : ''}`;
    case 'acknowledgeRelay':
      return 'Acknowledge the relay by DSC';
    case 'relay':
      return `Relay the alert${to === 'coastStation' ? ' to a coast station' : ''}`;
    case 'stop':
      return STOP[kind];
  }
}

/**
 * What the operator says by voice to cancel an alert (FCC80 §80.335; Radio Regulations 32.53A to 32.53F, from memory).
 */
export function describeCancellation(say: Cancellation): string {
  const { identity, name, callSign, position, alertAt } = say;
  const digits = formatIdentity(identity);
  const self = name ?? digits;
  const who = [
    ...[self, self, self],
    ...(callSign === undefined ? [] : [`call sign ${callSign}`]),
    ...(name === undefined ? [] : [`MMSI ${digits}`]),
    position === 'none' ? 'position not known' : `position ${formatPosition(position)}`,
  ];
  return (
    `All stations, all stations, all stations, this is ${who.join(', ')}. ` +
    `Please cancel my distress alert of ${timeOfDay(alertAt)} UTC.`
  );
}
