/**
 * What an exchange is doing, in words.
 */
import type { Call } from 'dotphase';
import { followUpOf, formatFrequency, outlineCall, type FollowUp } from 'dotphase/frequencies';
import type { Exchange, StationAction, StationState } from 'dotphase/procedures';

/** Where communication goes on by voice, as in "Voice follows: 2182.0 kHz J3E". */
function sayFollowUp({ means, receiveHz, transmitHz, emission, text }: FollowUp): string {
  if (means === 'none') return 'Nothing follows by voice: the exchange ends with the acknowledgement.';
  if (means !== 'voice' || receiveHz === undefined) return `What follows: ${text}.`;
  const mode = emission ?? '';
  return receiveHz === transmitHz
    ? `Voice follows: ${formatFrequency(receiveHz)} ${mode}`.trimEnd()
    : `Voice follows ${mode}: ${text}`;
}

/** Where a station sets watch. */
export function sayWatch({ call, frequencyHz, side }: Extract<StationAction, { type: 'watch' }>): string {
  return sayFollowUp(followUpOf(call, frequencyHz, side));
}

/** What follows an own call, seen from the own station. */
export function followUpText(call: Call, frequencyHz: number): string {
  try {
    return sayFollowUp(followUpOf(call, frequencyHz, 'caller'));
  } catch {
    return '';
  }
}

/** What the audio of a call would claim on the air. */
export function priorityOf(call: Call): 'distress' | 'urgency' | 'safety' | 'routine' {
  try {
    return outlineCall(call).category;
  } catch {
    return 'routine';
  }
}

/** What an exchange is about, as a call. */
export function callOf(exchange: Exchange): Call | undefined {
  switch (exchange.kind) {
    case 'outgoing':
    case 'incoming':
      return exchange.call;
    case 'distress':
      return exchange.alert;
    case 'alert':
      return exchange.alert ?? exchange.relay?.call;
  }
}

/** The phase of an exchange in words. */
export function sayPhase(exchange: Exchange): string {
  const texts: Readonly<Record<Exchange['kind'], Readonly<Record<string, string>>>> = {
    outgoing: {
      sending: 'On the air',
      awaiting: 'Listening for the acknowledgement',
      answered: 'Acknowledged',
      declined: 'Refused',
      unanswered: 'No acknowledgement',
      announced: 'Announced to many: nobody acknowledges it by DSC',
      stopped: 'Left',
    },
    incoming: {
      open: 'Waits for an answer',
      answering: 'The answer goes out',
      answered: 'Answered',
      expired: 'Left unanswered',
      closed: 'Left unanswered',
    },
    distress: {
      sending: 'On the air',
      waiting: 'Listening for the acknowledgement; the alert is repeated by itself',
      acknowledged: 'Acknowledged',
      stopped: 'Not repeated',
      cancelling: 'The cancellation goes out',
      cancelled: 'Cancelled by DSC: cancel it by voice too',
    },
    alert: {
      open: 'Nobody has acknowledged it by DSC',
      acknowledged: 'Acknowledged by DSC',
      cancelled: 'Taken back by the ship itself',
      closed: 'Closed',
    },
  };
  return texts[exchange.kind][exchange.phase] ?? exchange.phase;
}

/** Phases in which an exchange goes on by itself, or has something on the air. */
const RUNNING = ['sending', 'awaiting', 'waiting', 'answering', 'cancelling'];

/** Whether an exchange of the own station goes on by itself. */
export function isRunning(state: StationState | undefined): boolean {
  return state?.exchanges.some(({ phase }) => RUNNING.includes(phase)) ?? false;
}
