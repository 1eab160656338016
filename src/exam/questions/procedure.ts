/**
 * What a ship's operator has to do about a call: ITU-R M.541 Annexes 1 and 3, Radio Regulations Articles 32 and 33
 * (from memory).
 */
import type { Call } from '../../calls/index.js';
import { formatFrequency, maritimeBand } from '../../frequencies/index.js';
import {
  RULES,
  addressing,
  asksForAcknowledgement,
  isCoastStation,
  type Addressing,
  type RuleName,
} from '../../procedures/index.js';
import { GROUPS, OWN_SHIP } from '../scenario.js';
import type { Ask, HeardContext } from './ask.js';
import { lostText } from './facts.js';
import { followOf } from './follow.js';

/** Who owes an acknowledgement by DSC. */
const DUE = {
  coast: 'Yes: from a coast station',
  own: 'Yes: from you',
  other: 'Yes: from the called station, which is not you',
  nobody: 'No: nobody acknowledges it by DSC',
  isOne: 'No: it is an acknowledgement itself',
  every: 'Yes: from every ship that received it',
} as const;

type Due = keyof typeof DUE;

/** What a call asks of the operator. */
interface Duty {
  readonly due: Due;
  /** Answers about the acknowledgement that could be argued for too, and are not offered. */
  readonly arguable?: readonly Due[];
  /** What to do next. */
  readonly next: string;
  /** What not to do, the most tempting first. */
  readonly mistakes: readonly string[];
  readonly rules: readonly RuleName[];
}

const OWN_ALERT = 'Send a distress alert of your own to draw attention to it';
const acknowledgeNow = (watch: string) =>
  `Acknowledge it by DSC to all ships at once, then set watch for ${watch}`;
const relayNow = (watch: string) => `Relay it by DSC to all ships at once, then set watch for ${watch}`;
const COAST_ALONE = 'Nothing: distress is the business of coast stations alone';
const NOT_YOURS = 'Nothing: it is addressed to another station';
const WAIT = 'Nothing until it is received a second time';
const LET_AUTOMATIC = 'Leave the acknowledgement to the automatic of the set, and nothing else';

/** A distress relay that the candidate hears. */
function relayDuty(
  { self }: Extract<Call, { kind: 'distressRelay' }>,
  address: Addressing,
  watch: string,
  answerHere: string,
): Duty {
  if (address === 'one') {
    return {
      due: 'own',
      next: `Acknowledge it by DSC, by hand, then set watch for ${watch}`,
      mistakes: [LET_AUTOMATIC, relayNow(watch), answerHere, COAST_ALONE, acknowledgeNow(watch)],
      rules: ['relayAcknowledged', 'neverAutomatic'],
    };
  }
  if (address === 'none') {
    return {
      due: 'other',
      next: `Set watch for ${watch}; send nothing by DSC`,
      mistakes: [acknowledgeNow(watch), relayNow(watch), answerHere, OWN_ALERT],
      rules: ['distressTraffic'],
    };
  }
  const isByCoast = typeof self === 'string' && isCoastStation(self);
  return {
    due: isByCoast ? 'nobody' : 'coast',
    arguable: [isByCoast ? 'coast' : 'nobody'],
    next: `Set watch for ${watch} and acknowledge there by voice, not by DSC`,
    mistakes: [
      acknowledgeNow(watch),
      `Relay it once more by DSC to all ships and set watch for ${watch}`,
      answerHere,
      'Wait for the alert of the ship itself, and acknowledge that one by DSC',
      COAST_ALONE,
    ],
    rules: ['relayByVoice'],
  };
}

/** A distress call that the candidate hears; `watch` is where its traffic goes on. */
function distressDuty(
  call: Call,
  isHf: boolean,
  address: Addressing,
  watch: string,
  here: string,
): Duty | undefined {
  const answerHere = `Call the sender by voice on ${here}`;
  switch (call.kind) {
    case 'distressAlert':
      return isHf
        ? {
            due: 'coast',
            next: `Set watch for ${watch}; do not acknowledge it, but relay it to a coast station if none acknowledges it`,
            mistakes: [
              acknowledgeNow(watch),
              `Set watch for ${watch}, and acknowledge it by DSC if no coast station does`,
              answerHere,
              COAST_ALONE,
              OWN_ALERT,
              relayNow(watch),
            ],
            rules: ['shipNeverOnHf', 'coastAcknowledges'],
          }
        : {
            due: 'coast',
            next: `Set watch for ${watch}; leave the DSC acknowledgement to coast stations and acknowledge by voice after a short while`,
            mistakes: [acknowledgeNow(watch), relayNow(watch), answerHere, COAST_ALONE, OWN_ALERT],
            rules: ['shipListens', 'coastAcknowledges'],
          };
    case 'distressAcknowledgement':
    case 'relayAcknowledgement':
      return {
        due: 'isOne',
        arguable: ['nobody'],
        next: `Set watch for ${watch}; send nothing by DSC`,
        mistakes: [acknowledgeNow(watch), relayNow(watch), answerHere, COAST_ALONE, OWN_ALERT],
        rules: ['acknowledgementEndsRepetition', 'distressTraffic'],
      };
    case 'ownAlertCancellation':
      return {
        due: 'nobody',
        arguable: ['isOne'],
        next: 'Send nothing about the alert unless the ship calls again',
        mistakes: [
          acknowledgeNow(watch),
          relayNow(watch),
          answerHere,
          'Send the same cancellation to all ships',
          OWN_ALERT,
        ],
        rules: ['selfCancel', 'alertCancelled'],
      };
    case 'distressRelay':
      return relayDuty(call, address, watch, answerHere);
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
function requestDuty(call: Call, watch: string, here: string): Duty {
  const complete = COMPLETE[call.kind] as string | undefined;
  const answerHere = `Answer it by voice on ${here}`;
  if (complete !== undefined) {
    return {
      due: 'own',
      next: complete,
      mistakes: [
        answerHere,
        'Acknowledge it by DSC, then call the sender by voice',
        'Nothing: such a call is for the set alone and needs no answer',
        'Send the same call back to its sender',
      ],
      rules: ['individualAcknowledged', 'complete'],
    };
  }
  return {
    due: 'own',
    next: `Acknowledge it by DSC, then set watch for ${watch}`,
    mistakes: [
      `Set watch for ${watch}; send no acknowledgement`,
      answerHere,
      'Acknowledge it by DSC; nothing follows',
      WAIT,
    ],
    rules: ['individualAcknowledged'],
  };
}

/** An acknowledgement of the candidate's own call. */
function answeredDuty(call: Call, isOver: boolean, watch: string, here: string): Duty {
  const declined = 'telecommand1' in call && call.telecommand1 === 'unable';
  const again = 'Send your call once more at once';
  const thank = 'Acknowledge the acknowledgement by DSC';
  const call2 = `Call the station by voice on ${here}`;
  if (isOver) {
    return {
      due: 'isOne',
      arguable: ['nobody'],
      next: declined
        ? 'Nothing for now: the called station cannot comply'
        : 'Nothing: the exchange is complete',
      mistakes: [thank, call2, again, 'Set watch for voice on the distress frequency of the band'],
      rules: declined ? ['unable'] : ['complete'],
    };
  }
  return {
    due: 'isOne',
    arguable: ['nobody'],
    next: `Set watch for ${watch}; send nothing more by DSC`,
    mistakes: [thank, call2, again, 'Nothing: the exchange is complete'],
    rules: ['individualAcknowledged'],
  };
}

/** What a call asks of the operator of the candidate's ship; undefined for kinds without a rule here. */
function dutyOf(call: Call, frequencyHz: number): Duty | undefined {
  const follow = followOf(call, frequencyHz);
  const band = maritimeBand(frequencyHz);
  const here = band === 'VHF' ? 'VHF channel 70' : formatFrequency(frequencyHz);
  const address = addressing(call, { identity: OWN_SHIP.identity, groups: [GROUPS[0].identity] });
  const isHf = band !== 'VHF' && band !== '2 MHz';
  if (call.kind === 'automaticCall' || call.kind === 'automaticAcknowledgement') return undefined;
  const distress = distressDuty(call, isHf, address, follow.text, here);
  if (distress) return distress;
  if (address === 'none') {
    const asks = asksForAcknowledgement(call);
    return {
      due: asks ? 'other' : 'isOne',
      arguable: asks ? [] : ['nobody'],
      next: NOT_YOURS,
      mistakes: [
        'Acknowledge it by DSC in place of the called station',
        `Set watch for ${follow.medium === 'none' ? `voice on ${here}` : follow.text}; send no acknowledgement`,
        `Answer it by voice on ${here}`,
        'Pass it on by DSC to the called station',
      ],
      rules: ['individualAcknowledged'],
    };
  }
  if (address === 'one') {
    return asksForAcknowledgement(call)
      ? requestDuty(call, follow.text, here)
      : answeredDuty(call, follow.medium === 'none', follow.text, here);
  }
  return {
    due: 'nobody',
    next: `Set watch for ${follow.text}; send no acknowledgement`,
    mistakes: [
      `Acknowledge it by DSC, then set watch for ${follow.text}`,
      `Answer it by voice on ${here}`,
      NOT_YOURS,
      relayNow(follow.text),
    ],
    rules: ['notToMany'],
  };
}

const because = (rules: readonly RuleName[]) =>
  rules.map((name) => `${RULES[name].text} (${RULES[name].source})`).join(' ');

/** Every question about what to do. */
export function askProcedure(context: HeardContext): Ask[] {
  const { call, frequencyHz, draw } = context;
  const duty = dutyOf(call, frequencyHz);
  // A call that was read with doubt is never answered, whatever it asks for.
  if (!duty || (duty.due === 'own' && lostText(context) !== undefined)) return [];
  const { due, arguable = [], next, mistakes, rules } = duty;
  const others = (Object.keys(DUE) as Due[]).filter((other) => other !== due && !arguable.includes(other));
  const acknowledgement: Ask = {
    topic: 'acknowledgement',
    text: 'Is an acknowledgement by DSC due?',
    right: DUE[due],
    wrong: draw.shuffle(others).map((other) => DUE[other]),
    because: because(rules),
  };
  const tempting = [...mistakes.slice(0, 2), ...draw.shuffle(mistakes.slice(2))];
  return [
    acknowledgement,
    { topic: 'next', text: 'What do you do next?', right: next, wrong: tempting, because: because(rules) },
  ];
}
