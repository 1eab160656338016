/**
 * Each kind of call in a full sentence. Apart from the tables, so that encoding alone does not load the words.
 */
import type { RowKind } from './types.js';

/** Gives the phrase for a field by its name; for `to` the addressee, for `telecommands` both of them. */
type Say = (name: string) => string;

const distressText = (say: Say) => `${say('nature')}${say('position')}, ${say('time')}; ${say('followOn')}`;
const communicationText = (say: Say) => `${say('telecommands')}, ${say('message')}`;
const requestText = (name: string, say: Say) =>
  `${name} from ${say('self')} to ${say('to')}; an acknowledgement is requested.`;
const automaticText = (say: Say) =>
  `from ${say('self')} to ${say('to')}: ${say('telecommands')}, ${say('message')}, ${say('telephone')}.`;

/** The sentence of each kind of call that has a row in the tables. */
export const CALL_TEXTS: Readonly<Record<RowKind, (say: Say) => string>> = {
  distressAlert: (say) => `Distress alert from ${say('self')}: ${distressText(say)}.`,
  ownAlertCancellation: (say) =>
    `Cancellation of its own distress alert by ${say('self')}; the alert read: ${distressText(say)}.`,
  distressAcknowledgement: (say) =>
    `Distress acknowledgement from ${say('self')} for ${say('casualty')}: ${distressText(say)}.`,
  relayAcknowledgement: (say) =>
    `Acknowledgement of a distress relay, from ${say('self')} to ${say('to')}, for ${say('casualty')}: ${distressText(say)}.`,
  distressRelay: (say) =>
    `Distress relay from ${say('self')} to ${say('to')} for ${say('casualty')}: ${distressText(say)}.`,
  testCall: (say) => requestText('Test call', say),
  testAcknowledgement: (say) => `Test acknowledgement from ${say('self')} to ${say('to')}.`,
  positionRequest: (say) => requestText('Position request', say),
  positionReport: (say) =>
    `Position report from ${say('self')} to ${say('to')}: ${say('position')}, ${say('time')}.`,
  pollingRequest: (say) => requestText('Polling request', say),
  pollingReply: (say) => `Polling reply from ${say('self')} to ${say('to')}.`,
  urgencyCall: (say) => `Urgency call from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  urgencyAcknowledgement: (say) =>
    `Urgency acknowledgement from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  safetyCall: (say) => `Safety call from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  safetyAcknowledgement: (say) =>
    `Safety acknowledgement from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  routineCall: (say) => `Routine call from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  routineAcknowledgement: (say) =>
    `Routine acknowledgement from ${say('self')} to ${say('to')}: ${communicationText(say)}.`,
  automaticAcknowledgement: (say) => `Automatic-service acknowledgement ${automaticText(say)}`,
  automaticCall: (say) => `Automatic-service call ${automaticText(say)}`,
  irregularDistressCall: (say) =>
    `Irregular distress call (${say('telecommand1')}) from ${say('self')} to ${say('to')} for ${say('casualty')}: ${distressText(say)}.`,
  irregularCall: (say) =>
    `Irregular ${say('category')} call from ${say('self')} to ${say('to')}: ${say('telecommands')}, ${say('message')}.`,
  irregularAutomaticCall: (say) =>
    `Irregular ${say('category')} call by the automatic service ${automaticText(say)}`,
};
