/**
 * Written questions about the rules of procedure: each rule of `src/procedures/rules.ts` stands in one of the sets.
 */
import type { RuleName } from '../../procedures/index.js';
import { RULES } from '../../procedures/texts/index.js';
import type { WrittenLine, WrittenSet } from './set.js';

function line(key: string, situation: string, answer: string, ...rules: readonly RuleName[]): WrittenLine {
  const because = rules.map((name) => `${RULES[name].text} (${RULES[name].source})`).join(' ');
  return { key, situation, answer, because, rules };
}

/** Who acknowledges a distress alert by DSC, and when. */
const ALERT: WrittenSet = {
  name: 'alert',
  ask: 'What does it do about the acknowledgement by DSC?',
  lines: [
    line(
      'coastVhf',
      'A coast station receives a distress alert on VHF channel 70; nobody has acknowledged it.',
      'It acknowledges by hand, as soon as practicable',
      'coastAtOnce',
      'coastAcknowledges',
    ),
    line(
      'coastMf',
      'A coast station receives a distress alert on 2187.5 kHz; nobody has acknowledged it.',
      'It waits at least 1 minute, then acknowledges by hand, normally within 2 3/4 minutes',
      'coastWaits',
      'coastAcknowledges',
    ),
    line(
      'shipHf',
      'A ship receives a distress alert on 8414.5 kHz; nobody has acknowledged it.',
      'It sends none whatever happens: on this band that is for coast stations alone',
      'shipNeverOnHf',
    ),
    line(
      'shipVhf',
      'A ship receives a distress alert on VHF channel 70; nobody has acknowledged it.',
      'It leaves it to coast stations, and sends one only on the advice of a coast station or rescue centre',
      'shipListens',
      'shipConsults',
    ),
    line(
      'again',
      'A coast station acknowledged a distress alert on VHF channel 70 five minutes ago, and the alert comes again.',
      'It acknowledges anew: the ship did not hear the acknowledgement before',
      'stillRepeated',
    ),
    line(
      'others',
      'A coast station receives a distress alert on 2187.5 kHz and hears another coast station acknowledge it; it has not come again.',
      'It sends none unless the alert comes again: another coast station has acknowledged it',
      'acknowledgedAlready',
    ),
    line(
      'doubt',
      'A coast station reads on VHF channel 70 what may be a distress alert, with too many characters in doubt.',
      'It shows what was read and sends none on the word of a doubtful call',
      'doubtful',
    ),
  ],
  apart: [
    // An alert that comes again is acknowledged by hand and at once as well.
    ['coastVhf', 'again'],
  ],
};

/** Who relays a distress alert by DSC. */
const RELAY: WrittenSet = {
  name: 'relay',
  ask: 'May it relay the distress by DSC?',
  lines: [
    line(
      'hf',
      'A ship received a distress alert on 12577 kHz that no coast station acknowledges.',
      'Yes, it has to: after 5 minutes, and only to a coast station',
      'hfRelay',
    ),
    line(
      'mf',
      'A ship received a distress alert on 2187.5 kHz from a ship that calls for itself.',
      'No, unless that ship can no longer alert and the master finds further help necessary',
      'noRelayOnVhfOrMf',
    ),
    line(
      'relayed',
      'A ship received a distress relay from another ship, and nothing else.',
      'No: the station that told it has told the others',
      'relayNotAgain',
    ),
    line(
      'coast',
      'A coast station needs the help of ships for a distress.',
      'Yes: to all ships on VHF, to an area or to single ships on MF and HF',
      'coastRelays',
    ),
    line(
      'acknowledged',
      'A ship received a distress alert on 8414.5 kHz and, two minutes later, a coast station’s acknowledgement of it.',
      'No: a coast station has the distress in hand',
      'acknowledgedAlready',
    ),
    line(
      'behalf',
      'A ship sees another on fire whose radio is silent; the master finds further help necessary.',
      'Yes, at once, on behalf of a casualty that cannot call',
      'relayOnBehalf',
    ),
    line(
      'cancelled',
      'A ship received a distress alert on 6312 kHz, and then the cancellation of it by the same ship.',
      'No: nothing more is sent about it unless the ship calls again',
      'alertCancelled',
    ),
  ],
  apart: [
    // Who sees a casualty that cannot call has the exception of the rule about MF and VHF.
    ['mf', 'behalf'],
    // On MF a coast station is told after 5 minutes as well, though not by a relay.
    ['hf', 'mf'],
  ],
};

/** What is sent by DSC in answer to a call. */
const ANSWER: WrittenSet = {
  name: 'answer',
  ask: 'What does it send by DSC?',
  lines: [
    line(
      'relayToMe',
      'A ship receives a distress relay that a coast station sent to it alone.',
      'An acknowledgement of the relay, by hand only',
      'relayAcknowledged',
      'neverAutomatic',
    ),
    line(
      'relayToCoast',
      'A coast station receives on VHF a distress relay that a ship sent to all ships; nobody has acknowledged it.',
      'An acknowledgement of the relay, by hand only',
      'relayAcknowledged',
      'neverAutomatic',
    ),
    line(
      'relayToAll',
      'A ship receives a distress relay that a coast station sent to all ships.',
      'Nothing: it acknowledges by voice on the distress frequency',
      'relayByVoice',
      'distressTraffic',
    ),
    line(
      'test',
      'A ship receives a test call that is addressed to it.',
      'The one acknowledgement that completes the exchange, by itself where the operator allows that',
      'automatic',
      'complete',
    ),
    line(
      'polling',
      'A ship receives a polling request that is addressed to it.',
      'The one acknowledgement that completes the exchange, by itself where the operator allows that',
      'automatic',
      'complete',
    ),
    line(
      'many',
      'A ship receives an urgency call to all ships.',
      'Nothing: it sets watch for the message that is announced',
      'notToMany',
      'announced',
    ),
    line(
      'acknowledgement',
      'A ship receives the acknowledgement of a test call that it sent.',
      'Nothing: an acknowledgement is not acknowledged',
      'acknowledgementItself',
    ),
    line(
      'other',
      'A ship receives a routine call that is addressed to another ship.',
      'Nothing: the call is for another station',
      'notAddressed',
    ),
    line(
      'able',
      'A ship receives a routine call from another ship and can comply with it as it is.',
      'An acknowledgement that repeats the content of the call',
      'individualAcknowledged',
    ),
    line(
      'unable',
      'A ship receives a routine call from another ship and cannot comply with it at all.',
      'An acknowledgement with telecommand 104 and the reason',
      'unable',
    ),
    line(
      'elsewhere',
      'A ship receives a routine call from another ship and can comply, but not on the frequency that the call proposes.',
      'An acknowledgement that names another working frequency',
      'otherChannel',
    ),
  ],
  apart: [
    // A test is acknowledged with its own content as well.
    ['test', 'able'],
    ['polling', 'able'],
  ],
};

/** What the operator does. */
const OPERATOR: WrittenSet = {
  name: 'operator',
  ask: 'What does the operator do?',
  lines: [
    line(
      'false',
      'The ship’s own distress alert went out by mistake on 2187.5 kHz and VHF channel 70.',
      'Stops its repetition and cancels it by DSC on each frequency that it went out on, then by voice on the partner of each',
      'stopped',
      'selfCancel',
      'cancelByVoice',
    ),
    line(
      'acknowledged',
      'The ship’s own distress alert was acknowledged by DSC by a coast station.',
      'Lets the alert rest and speaks on the telephony distress frequency of the same band',
      'acknowledgementEndsRepetition',
      'distressTraffic',
    ),
    line(
      'sooner',
      'The ship is in distress, its alert is unanswered, and the next repetition by itself is minutes away: that is too late.',
      'Sends the alert again by hand: the automatic repetition can be overridden',
      'repetitionByHand',
    ),
    line(
      'breaksOut',
      'Fire breaks out aboard while a routine call of the own ship is on the air.',
      'Breaks off what is being sent and alerts',
      'distressFirst',
    ),
    line(
      'busy',
      'A test call to another ship is ready to go, and its frequency is in use.',
      'Waits until the frequency is free, however long that takes',
      'listenFirst',
    ),
    line(
      'ownBusy',
      'The own distress alert is ready to go, and its frequency is in use by other calls.',
      'Has it sent all the same, after a second of waiting at most',
      'distressPatience',
    ),
    line(
      'unheard',
      'A distress alert of another ship on VHF was acknowledged by no coast station within 5 minutes; its traffic is being watched.',
      'Tells a coast station by any means',
      'tellCoast',
    ),
    line(
      'late',
      'A routine call to the own ship came ten minutes ago and was not answered.',
      'Leaves it alone: its sender has stopped waiting',
      'answerLimit',
    ),
    line(
      'toCoast',
      'A routine call to a coast station is to be made; the frequency is free.',
      'Proposes no working channel: the station names it in its acknowledgement',
      'coastNamesChannel',
    ),
    line(
      'relayTo',
      'A relay for a ship that cannot call is to be sent, and nothing is said of whom to.',
      'Addresses it to a coast station',
      'relayToCoast',
    ),
  ],
  apart: [
    // A coast station may be told by a call that it is addressed in.
    ['unheard', 'relayTo'],
    // Other ways to be in distress with a call still to be sent.
    ['sooner', 'ownBusy'],
    ['breaksOut', 'ownBusy'],
    ['breaksOut', 'sooner'],
  ],
};

/** How a call goes on the air. */
const SENDING: WrittenSet = {
  name: 'sending',
  ask: 'How is it sent?',
  lines: [
    line(
      'single',
      'A distress alert is sent on one frequency, 2187.5 kHz.',
      'Five times in a row without a gap, each with its dot pattern, 36.0 s in all',
      'singleFrequency',
    ),
    line(
      'multi',
      'A distress alert is sent on several MF and HF frequencies.',
      'Once on each of up to six frequencies, done within a minute',
      'multiFrequency',
    ),
    line(
      'relay',
      'A ship sends a distress relay to a coast station on 2187.5 kHz.',
      'Once, on one frequency, started by hand',
      'relayOnce',
    ),
    line(
      'cancel',
      'A ship cancels its own alert, which went out on three frequencies.',
      'Once on each frequency that the alert went out on, and then by voice on the partner of each',
      'selfCancel',
      'cancelByVoice',
    ),
    line(
      'acknowledgement',
      'A coast station is ready to acknowledge an alert on 2187.5 kHz whose five calls still go on.',
      'When the attempt is over and the frequency is free: who sends hears nothing',
      'afterTheAttempt',
    ),
    line(
      'urgency',
      'A coast station has an urgency message for all ships within reach of VHF.',
      'Announced by DSC, then spoken where the announcement says',
      'announced',
    ),
    line(
      'automatic',
      'A station answers a position request while nobody is at the set.',
      'By itself, where the operator has allowed that',
      'automatic',
    ),
  ],
};

/** When a call may be sent again. */
const REPEAT: WrittenSet = {
  name: 'repeat',
  ask: 'When does the rule let it be sent again, at the earliest?',
  lines: [
    line(
      'alert',
      'A distress alert was not acknowledged; the set repeats it by itself.',
      'At random 3.5 to 4.5 minutes after the beginning of the attempt before',
      'repetition',
    ),
    line(
      'shipFirst',
      'A ship’s routine call was not acknowledged; it was the first.',
      '5 minutes after it',
      'routineWait',
    ),
    line(
      'shipFurther',
      'A ship’s routine call was not acknowledged; it was the second.',
      '15 minutes after it',
      'routineWait',
    ),
    line(
      'coastFirst',
      'A coast station’s routine call to a ship was not acknowledged; it was the first.',
      '45 seconds after it',
      'coastRepeats',
    ),
    line(
      'coastSecond',
      'A coast station’s routine call to a ship was not acknowledged; it was the second.',
      '15 minutes after it',
      'coastRepeats',
    ),
    line(
      'test',
      'A ship’s test call was not acknowledged.',
      'About a minute after it',
      'acknowledgementWait',
    ),
    line(
      'failed',
      'A distress alert did not go out because the transmitter failed.',
      'At once',
      'transmitterFailed',
    ),
    line(
      'ended',
      'A distress alert was acknowledged by DSC.',
      'Not by itself: the acknowledgement has ended its repetition',
      'acknowledgementEndsRepetition',
    ),
  ],
};

/** How soon an acknowledgement goes out. */
const WAIT: WrittenSet = {
  name: 'wait',
  ask: 'How soon does it acknowledge by DSC?',
  lines: [
    line(
      'coastRoutine',
      'A coast station receives a ship’s routine call that is addressed to it.',
      'After at least 5 seconds and within 4 1/2 minutes',
      'coastAnswers',
    ),
    line(
      'coastVhf',
      'A coast station receives a distress alert on VHF channel 70.',
      'As soon as practicable',
      'coastAtOnce',
    ),
    line(
      'coastHf',
      'A coast station receives a distress alert on 8414.5 kHz.',
      'After at least 1 minute, normally within 2 3/4 minutes',
      'coastWaits',
    ),
    line(
      'shipHf',
      'A ship receives a distress alert on 16804.5 kHz.',
      'Never: it listens, and relays if no coast station acknowledges',
      'shipNeverOnHf',
    ),
    line(
      'shipRoutine',
      'A ship receives another ship’s routine call that is addressed to it.',
      'Within 5 minutes, whenever the operator is ready: later the caller has stopped waiting',
      'individualAcknowledged',
      'answerLimit',
    ),
    line(
      'doubtful',
      'A coast station receives on VHF channel 70 what may be a distress alert, but was read with doubt.',
      'Not on the word of what was read with doubt',
      'doubtful',
    ),
    line(
      'other',
      'A ship receives a routine call that is addressed to another ship.',
      'Not at all: the call is for another station',
      'notAddressed',
    ),
  ],
  apart: [
    // Within 4 1/2 minutes is within 5 as well, and who answers as soon as practicable is within both.
    ['coastRoutine', 'shipRoutine'],
    ['coastVhf', 'shipRoutine'],
  ],
};

/** What a DSC set does by itself. */
const SET: WrittenSet = {
  name: 'set',
  ask: 'What does a DSC set that keeps the rules do?',
  lines: [
    line(
      'stray',
      'An acknowledgement comes in of a call that the station never sent.',
      'It counts it for nothing: it belongs to no call of its kind that was sent to its sender',
      'onlyWhatWasReceived',
      'matching',
    ),
    line(
      'irregular',
      'A whole and certain sequence comes in that the call tables do not allow.',
      'It shows it as irregular and sends no answer',
      'irregular',
    ),
    line(
      'doubtful',
      'The acknowledgement of the own alert comes in, half of its characters in doubt.',
      'It shows it, and the alert does not fall silent on its word',
      'doubtful',
    ),
    line(
      'full',
      'There are more exchanges than it can remember.',
      'It forgets finished ones first, and tells what open one it forgets',
      'memory',
    ),
    line(
      'notOffered',
      'Somebody asks for a step that the present state of an exchange does not allow.',
      'It refuses: an exchange goes on only in the ways its state allows',
      'onlyWhatIsOffered',
    ),
    line(
      'choice',
      'A routine call for the station comes in, and it may be accepted or declined.',
      'It asks: the operator decides',
      'operator',
    ),
    line(
      'printing',
      'The operator asks for direct printing after a call.',
      'It names it as asked, though it never recommends it: it is no longer required',
      'noDirectPrinting',
    ),
    line(
      'position',
      'The navigation receiver says that the ship is at latitude 95 degrees.',
      'It keeps the last good position; an alert would rather go without one than not at all',
      'soundPosition',
    ),
    line(
      'failed',
      'The own distress alert did not go out because the transmitter failed.',
      'It tells that at once and tries again at once',
      'transmitterFailed',
    ),
  ],
  apart: [
    // What comes with doubt or by mistake is shown, and not answered either.
    ['irregular', 'doubtful'],
    ['stray', 'irregular'],
    ['stray', 'doubtful'],
  ],
};

/** The sets about rules. */
export const RULE_SETS: readonly WrittenSet[] = [ALERT, RELAY, ANSWER, OPERATOR, SENDING, REPEAT, WAIT, SET];
