/**
 * Answers about what a ship's operator has to do, by the table of what a station may and must do. Every text is right
 * for its own calls and wrong for all others, so that each can be offered among the choices of another.
 */
import type { Call } from '../../calls/index.js';
import {
  addressedOf,
  reachOf,
  receivedKind,
  roleOf,
  rulingOn,
  type Deed,
  type Role,
  type RuleName,
  type Ruling,
  type Situation,
} from '../../procedures/index.js';
import { RULES } from '../../procedures/texts/index.js';
import { GROUPS, OWN_SHIP } from '../scenario.js';
import type { Answer, HeardContext } from './ask.js';
import type { Topic } from './topics.js';
import { lostText } from './content.js';
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

/** What the table says of a call, for the candidate's ship and for a coast station that hears it as well. */
interface Rulings {
  readonly own: (deed: Deed) => Ruling;
  readonly coast: (deed: Deed) => Ruling;
}

function rulingsOn(call: Call, frequencyHz: number, addressed: Situation['addressed']): Rulings {
  const heardBy = (role: Role) => (deed: Deed) =>
    rulingOn(deed, {
      role,
      received: receivedKind(call),
      addressed,
      reach: reachOf(frequencyHz),
      from: roleOf('self' in call && typeof call.self === 'string' ? call.self : undefined),
      acknowledged: 'nobody',
      sure: true,
    });
  return { own: heardBy('ship'), coast: heardBy('coastStation') };
}

/** A distress relay that the candidate hears. */
function relayDuty({ own, coast }: Rulings, isToOther: boolean): Duty {
  const ruling = own('acknowledgeRelay');
  if (ruling.verdict === 'must') {
    return {
      due: 'own',
      next: 'It is passed on to you alone: acknowledge it by DSC, by hand, then set watch for the traffic',
      rules: [ruling.rule, 'neverAutomatic'],
    };
  }
  if (isToOther) {
    return {
      due: 'other',
      next: 'It is passed on to another station: set watch for the traffic, send nothing by DSC',
      rules: [ruling.rule, own('watch').rule],
    };
  }
  const byCoast = coast('acknowledgeRelay');
  return {
    due: byCoast.verdict === 'must' ? 'coast' : 'nobody',
    next: 'It is passed on to all: set watch for the traffic and acknowledge there by voice, not by DSC',
    rules: [ruling.rule, byCoast.rule, own('relay').rule],
  };
}

/** A distress call that the candidate hears. */
function distressDuty(call: Call, rulings: Rulings, isToOther: boolean): Duty | undefined {
  const { own, coast } = rulings;
  switch (call.kind) {
    case 'distressAlert':
      return own('relay').verdict === 'must'
        ? {
            due: 'coast',
            next: 'The ship itself calls: set watch for its traffic, do not acknowledge, relay it to a coast station if none acknowledges',
            rules: [own('acknowledge').rule, own('relay').rule, coast('acknowledge').rule],
          }
        : {
            due: 'coast',
            next: 'The ship itself calls: set watch for its traffic, leave the DSC acknowledgement to coast stations, acknowledge by voice after a short while',
            rules: [own('acknowledgeByVoice').rule, own('acknowledge').rule, coast('acknowledge').rule],
          };
    case 'distressAcknowledgement':
    case 'relayAcknowledgement':
      return {
        due: 'isOne',
        next: 'A station has acknowledged the distress: set watch for the traffic, send nothing by DSC',
        rules: ['acknowledgementEndsRepetition', own('watch').rule],
      };
    case 'ownAlertCancellation':
      return {
        due: 'nobody',
        next: 'The ship takes its alert back: send nothing about it unless it calls again',
        rules: ['selfCancel', own('acknowledge').rule],
      };
    case 'distressRelay':
      return relayDuty(rulings, isToOther);
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
function requestDuty(call: Call, { rule }: Ruling): Duty {
  const complete = COMPLETE[call.kind] as string | undefined;
  return complete === undefined
    ? {
        due: 'own',
        next: 'Acknowledge it by DSC, then set watch where the call says',
        rules: [rule],
      }
    : { due: 'own', next: complete, rules: [rule, 'complete'] };
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
  const addressed = addressedOf(call, { identity: OWN_SHIP.identity, groups: [GROUPS[0].identity] });
  const rulings = rulingsOn(call, frequencyHz, addressed);
  const answer = rulings.own('answer');
  if (call.kind === 'automaticCall' || call.kind === 'automaticAcknowledgement') return undefined;
  const distress = distressDuty(call, rulings, addressed === 'other');
  if (distress) return distress;
  if (addressed === 'other') {
    return {
      due: receivedKind(call) === 'request' ? 'other' : 'isOne',
      next: 'Nothing: it is between other stations',
      rules: [answer.rule],
    };
  }
  if (addressed === 'me') {
    return answer.verdict === 'must'
      ? requestDuty(call, answer)
      : answeredDuty(call, followOf(call, frequencyHz).means === 'none');
  }
  return {
    due: 'nobody',
    next: 'It is announced to many: set watch where it says, send no acknowledgement',
    rules: [answer.rule],
  };
}

const because = (rules: readonly RuleName[]) =>
  rules.map((name) => `${RULES[name].text} (${RULES[name].source})`).join(' ');

/** The answers to the questions about what to do. */
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
