/**
 * What a ship's operator has to do about a call: ITU-R M.541 Annexes 1 and 3, Radio Regulations Articles 32 and 33
 * (from memory). Every text is right for its own calls and wrong for all others, so that each can stand among the
 * choices of another.
 */
import type { Call } from '../../calls/index.js';
import { maritimeBand } from '../../frequencies/index.js';
import {
  RULES,
  addressing,
  asksForAcknowledgement,
  type Addressing,
  type RuleName,
} from '../../procedures/index.js';
import { GROUPS, OWN_SHIP } from '../scenario.js';
import type { Answer, HeardContext, Topic } from './ask.js';
import { lostText } from './facts.js';
import { followOf } from './follow.js';

/** Who owes an acknowledgement by DSC. */
const DUE = {
  coast: 'Yes: from a coast station, to the ship that sent it',
  own: 'Yes: from you',
  other: 'Yes: from the called station, which is not you',
  nobody: 'No: it acknowledges no other station’s call, and asks for no acknowledgement',
  isOne: 'No: it is the acknowledgement of another station’s call',
} as const;

/** What a call asks of the operator. */
export interface Duty {
  readonly due: keyof typeof DUE;
  /** What to do next. */
  readonly next: string;
  readonly rules: readonly RuleName[];
}

/** A distress relay that the candidate hears. */
function relayDuty(address: Addressing): Duty {
  switch (address) {
    case 'one':
      return {
        due: 'own',
        next: 'It is passed on to you alone: acknowledge it by DSC, by hand, then set watch for the traffic',
        rules: ['relayAcknowledged', 'neverAutomatic'],
      };
    case 'none':
      return {
        due: 'other',
        next: 'It is passed on to another station: set watch for the traffic, send nothing by DSC',
        rules: ['distressTraffic'],
      };
    case 'many':
      return {
        due: 'nobody',
        next: 'It is passed on to all: set watch for the traffic and acknowledge there by voice, not by DSC',
        rules: ['relayByVoice'],
      };
  }
}

/** A distress call that the candidate hears. */
function distressDuty(call: Call, isHf: boolean, address: Addressing): Duty | undefined {
  switch (call.kind) {
    case 'distressAlert':
      return isHf
        ? {
            due: 'coast',
            next: 'The ship itself calls: set watch for its traffic, do not acknowledge, relay it to a coast station if none acknowledges',
            rules: ['shipNeverOnHf', 'coastAcknowledges'],
          }
        : {
            due: 'coast',
            next: 'The ship itself calls: set watch for its traffic, leave the DSC acknowledgement to coast stations, acknowledge by voice after a short while',
            rules: ['shipListens', 'coastAcknowledges'],
          };
    case 'distressAcknowledgement':
    case 'relayAcknowledgement':
      return {
        due: 'isOne',
        next: 'A station has acknowledged the distress: set watch for the traffic, send nothing by DSC',
        rules: ['acknowledgementEndsRepetition', 'distressTraffic'],
      };
    case 'ownAlertCancellation':
      return {
        due: 'nobody',
        next: 'The ship takes its alert back: send nothing about it unless it calls again',
        rules: ['selfCancel', 'alertCancelled'],
      };
    case 'distressRelay':
      return relayDuty(address);
    default:
      return undefined;
  }
}

/** The calls that are complete with their acknowledgement: what answers each. */
const COMPLETE: Readonly<Record<string, string>> = {
  testCall: 'Acknowledge the test by DSC; nothing follows by voice',
  positionRequest: 'Answer by DSC with your position and its time; nothing follows by voice',
  pollingRequest: 'Answer the polling by DSC; nothing follows by voice',
};

/** A call to the candidate's ship alone that asks for an answer. */
function requestDuty(call: Call): Duty {
  const complete = COMPLETE[call.kind] as string | undefined;
  return complete === undefined
    ? {
        due: 'own',
        next: 'Acknowledge it by DSC, then set watch where the call says',
        rules: ['individualAcknowledged'],
      }
    : { due: 'own', next: complete, rules: ['individualAcknowledged', 'complete'] };
}

/** An acknowledgement of the candidate's own call. */
function answeredDuty(call: Call, isOver: boolean): Duty {
  if (!isOver) {
    return {
      due: 'isOne',
      next: 'It answers your call: set watch where it says, send nothing more by DSC',
      rules: ['individualAcknowledged'],
    };
  }
  const isDeclined = 'telecommand1' in call && call.telecommand1 === 'unable';
  return isDeclined
    ? {
        due: 'isOne',
        next: 'It answers your call: nothing for now, since the called station cannot comply',
        rules: ['unable'],
      }
    : { due: 'isOne', next: 'It answers your call: nothing, the exchange is complete', rules: ['complete'] };
}

/** What a call asks of the operator of the candidate's ship; undefined for kinds without a rule here. */
export function dutyOf(call: Call, frequencyHz: number): Duty | undefined {
  const band = maritimeBand(frequencyHz);
  const address = addressing(call, { identity: OWN_SHIP.identity, groups: [GROUPS[0].identity] });
  const isHf = band !== 'VHF' && band !== '2 MHz';
  if (call.kind === 'automaticCall' || call.kind === 'automaticAcknowledgement') return undefined;
  const distress = distressDuty(call, isHf, address);
  if (distress) return distress;
  if (address === 'none') {
    return {
      due: asksForAcknowledgement(call) ? 'other' : 'isOne',
      next: 'Nothing: it is between other stations',
      rules: ['individualAcknowledged'],
    };
  }
  if (address === 'one') {
    return asksForAcknowledgement(call)
      ? requestDuty(call)
      : answeredDuty(call, followOf(call, frequencyHz).medium === 'none');
  }
  return {
    due: 'nobody',
    next: 'It is announced to many: set watch where it says, send no acknowledgement',
    rules: ['notToMany'],
  };
}

const because = (rules: readonly RuleName[]) =>
  rules.map((name) => `${RULES[name].text} (${RULES[name].source})`).join(' ');

/** What a call answers to each question about what to do. */
export function procedureAnswers(context: HeardContext): [Topic, Answer | undefined][] {
  const duty = dutyOf(context.call, context.frequencyHz);
  // A call that was read with doubt is never answered, whatever it asks for.
  if (!duty || (duty.due === 'own' && lostText(context) !== undefined)) return [];
  const reason = because(duty.rules);
  return [
    ['acknowledgement', { text: DUE[duty.due], because: reason }],
    ['next', { text: duty.next, because: reason }],
  ];
}
