/**
 * The answers of papers by a path of their own: the WAV file is received again, and what it says is compared with what
 * the key has, by tables written here from the standard (ITU-R M.493 Table A1-3, M.541 Annex 4, from memory) and by the
 * procedures of a station.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { decodeCall, formatIdentity, formatPosition, type Call } from '../../src/calls/index.js';
import {
  makePaper,
  type KeyQuestion,
  type Level,
  type Paper,
  type PaperExercise,
} from '../../src/exam/index.js';
import { receiveCalls, type ReceivedCall } from '../../src/receiver/index.js';
import { createStation, stepStation, type StationAction } from '../../src/procedures/index.js';
import { readWav } from '../../src/wav/index.js';
import { sized } from '../size.js';

const OWN = '299123456';
const GROUP = '029912345';

/** M.541 Annex 4 (from memory), kHz: DSC, radiotelephony, direct printing. */
const PARTNERS: readonly (readonly [dsc: number, voice: string, nbdp: string])[] = [
  [2187.5, '2182.0', '2174.5'],
  [4207.5, '4125.0', '4177.5'],
  [6312, '6215.0', '6268.0'],
  [8414.5, '8291.0', '8376.5'],
  [12577, '12290.0', '12520.0'],
  [16804.5, '16420.0', '16695.0'],
];

/** M.493 Table A1-3 (from memory). */
const NATURE_TEXTS: Readonly<Record<string, string>> = {
  fire: 'fire or explosion',
  flooding: 'flooding',
  collision: 'collision',
  grounding: 'grounding',
  listing: 'listing, in danger of capsizing',
  sinking: 'sinking',
  adrift: 'disabled and adrift',
  undesignated: 'undesignated distress',
  abandoning: 'abandoning ship',
  piracy: 'piracy or armed robbery attack',
  manOverboard: 'man overboard',
};

/** Words that tell each kind. */
const KIND_WORDS: Readonly<Record<string, readonly [must: RegExp, mustNot: RegExp]>> = {
  distressAlert: [/distress alert/, /acknowledgement|cancellation/],
  distressAcknowledgement: [/acknowledgement.*distress alert/, /cancellation/],
  ownAlertCancellation: [/cancellation/, /relay/],
  distressRelay: [/distress relay/, /acknowledgement/],
  urgencyCall: [/urgency/, /acknowledgement/],
  safetyCall: [/safety/, /acknowledgement/],
  routineCall: [/routine/, /acknowledgement/],
  testCall: [/test/, /acknowledgement/],
  urgencyAcknowledgement: [/acknowledgement.*urgency/, /$^/],
  safetyAcknowledgement: [/acknowledgement.*safety/, /$^/],
  routineAcknowledgement: [/acknowledgement.*routine/, /$^/],
  testAcknowledgement: [/acknowledgement.*test/, /$^/],
  positionRequest: [/request.*position/, /report/],
  pollingRequest: [/polling request/, /reply/],
  relayAcknowledgement: [/acknowledgement of a distress relay/, /alert/],
  positionReport: [/position report/, /request for/],
  pollingReply: [/reply to polling/, /request/],
  automaticCall: [/call by the automatic service/, /acknowledgement/],
  automaticAcknowledgement: [/acknowledgement by the automatic service/, /$^/],
};

/** M.493 Table A1-3, second telecommands 102, 106, 108 and 107 (from memory). */
const REASON_WORDS: Readonly<Record<string, RegExp>> = {
  busy: /busy/,
  operatorAway: /operator.*unavailable/,
  cannotUseChannel: /channel/,
  disabled: /disabled/,
};

const UNREADABLE = /cannot be read/;

const rightOf = ({ choices, answer }: KeyQuestion): string =>
  choices.find(({ letter }) => letter === answer)?.text ?? '';

/** A received call with its likeliest reading, whatever was doubtful in it. */
type Reading = ReceivedCall & { readonly call: Call };

/** The calls of an exercise as a receiver of the file has them, in the order in which they begin. */
function received({ wav }: PaperExercise): Reading[] {
  const { sampleRate, channels } = readWav(wav);
  return receiveCalls(channels[0], { sampleRate })
    .map((heard) => ({ ...heard, call: decodeCall(heard.symbols, { expansions: heard.expansions }) }))
    .sort((a, b) => a.start - b.start);
}

/** Whether a field of a call came through: its characters by their places in the tables of M.493 (from memory). */
function isReadable(call: Reading, first: number, count: number): boolean {
  return Array.from({ length: count }, (_, i) => call.characters[first + i + 1].symbol).every(
    (symbol) => symbol !== undefined,
  );
}

/** Where position and self-ID stand, from one format specifier on: behind a geographic or station address of five. */
function placeOf(call: Call, field: 'self' | 'casualty' | 'position'): number {
  const address = 'to' in call && call.to !== 'allShips' ? 5 : 0;
  if (field === 'self') return call.kind === 'distressAlert' ? 1 : 2 + address;
  if (field === 'casualty') return 8 + address;
  return call.kind === 'distressAlert' ? 7 : 14 + address;
}

function checkIdentity(question: KeyQuestion, call: Reading, field: 'self' | 'casualty'): void {
  const right = rightOf(question);
  if (!isReadable(call, placeOf(call.call, field), 5)) expect(right).toMatch(UNREADABLE);
  else {
    const identity = (call.call as unknown as Record<string, string>)[field];
    expect(right).toContain(identity === 'unknown' ? 'unknown' : formatIdentity(identity));
  }
}

/** A value that must be text. */
function text(value: unknown): string {
  if (typeof value !== 'string') throw new Error(`no text: ${JSON.stringify(value)}`);
  return value;
}

function checkAddress(right: string, call: Call): void {
  const to = 'to' in call ? call.to : 'nobody';
  if (to === 'allShips') expect(right).toBe('all ships');
  else if (typeof to === 'object' && 'station' in to)
    expect(right).toContain(formatIdentity(text(to.station)));
  else if (typeof to === 'object' && 'group' in to) expect(right).toContain(formatIdentity(text(to.group)));
  else if (typeof to === 'object' && 'area' in to && 'latitude' in to.area) {
    // North-west corner and sides in whole degrees (M.493 §5.3, from memory).
    const { latitude, longitude, south, east } = to.area;
    const numbers = [...right.matchAll(/\d+/g)].map(Number);
    const expected = [latitude, longitude, south, east].map(Math.abs);
    for (const number of expected) expect(numbers).toContain(number);
    expect(right).toMatch(latitude < 0 ? /S/ : /N/);
    expect(right).toMatch(longitude < 0 ? /W/ : /E/);
  } else throw new Error(`no address in ${JSON.stringify(call)}`);
}

function checkFollow(right: string, call: Call, frequencyHz: number): void {
  const partner = PARTNERS.find(([dsc]) => dsc * 1000 === frequencyHz);
  if (/^(test|position|polling)/.test(call.kind)) expect(right).toBe('nothing follows');
  else if ('followOn' in call) {
    if (frequencyHz === 156_525_000) expect(right).toContain('VHF channel 16');
    else expect(right).toContain(`on ${partner?.[call.followOn === 'fec' ? 2 : 1] ?? 'nowhere'} kHz`);
  } else if ('telecommand1' in call && call.telecommand1 === 'unable')
    expect(right).toMatch(/^nothing follows/);
  else if ('message' in call && 'receive' in call.message) {
    const { receive } = call.message;
    if (receive === 'none' || 'unassigned' in receive)
      throw new Error(`no frequency to follow on in ${JSON.stringify(call)}`);
    if ('vhfChannel' in receive) expect(right).toContain(`VHF channel ${receive.vhfChannel} `);
    else if ('channel' in receive) expect(right).toContain(`channel ${receive.channel} `);
    else expect(right).toContain(`${(receive.hz / 1000).toFixed(1)} kHz`);
  } else throw new Error(`nothing is known of what follows a ${call.kind}`);
}

/** What a ship's station does about a call by its procedures. */
function reactionTo(call: Reading, frequencyHz: number): readonly StationAction[] {
  const station = createStation({ identity: OWN, groups: [GROUP] }, 0);
  return stepStation(station, { type: 'received', call: call.call, frequencyHz }, 1000).actions;
}

function checkAcknowledgement(right: string, call: Reading, frequencyHz: number): void {
  const offers = reactionTo(call, frequencyHz).flatMap((action) =>
    action.type === 'offer' ? action.choices.map(({ choice, from }) => ({ choice, from })) : [],
  );
  const mayAnswerNow = offers.some(({ choice }) => choice === 'able' || choice === 'acknowledgeRelay');
  expect(right === 'Yes: from you').toBe(mayAnswerNow);
  const isAnswer =
    [117, 127].every((eos) => call.symbols.at(-2) !== eos) || call.call.kind === 'distressAcknowledgement';
  expect(right.includes('is the acknowledgement of another')).toBe(isAnswer);
  if (call.call.kind === 'distressAlert') expect(right).toMatch(/^Yes: from a coast station/);
}

function checkNext(right: string, call: Reading, frequencyHz: number): void {
  const actions = reactionTo(call, frequencyHz);
  const watch = actions.find((action) => action.type === 'watch');
  if (watch) expect(right).toMatch(/set watch/i);
  // A ship never acknowledges an alert by DSC on HF (RR 32.31, from memory) and leaves it to coast stations elsewhere.
  if (call.call.kind === 'distressAlert')
    expect(right).toMatch(/do not acknowledge|leave the DSC acknowledgement/);
}

function check(question: KeyQuestion, call: Reading, frequencyHz: number): void {
  const right = rightOf(question);
  const typed = call.call;
  switch (question.topic) {
    case 'kind': {
      const [must, mustNot] = KIND_WORDS[typed.kind];
      expect(right).toMatch(must);
      expect(right).not.toMatch(mustNot);
      return;
    }
    case 'from':
      checkIdentity(question, call, 'self');
      return;
    case 'casualty': {
      const isOfSender = typed.kind === 'distressAlert' || typed.kind === 'ownAlertCancellation';
      checkIdentity(question, call, isOfSender ? 'self' : 'casualty');
      return;
    }
    case 'nature':
      if (!isReadable(call, placeOf(typed, 'position') - 1, 1)) expect(right).toMatch(UNREADABLE);
      else expect(right).toBe(NATURE_TEXTS[text('nature' in typed && typed.nature)]);
      return;
    case 'position':
      if (!('position' in typed) || typeof typed.position !== 'object' || 'unassigned' in typed.position) {
        expect(right).toMatch(/not given/);
      } else if (isReadable(call, placeOf(typed, 'position'), 5)) {
        expect(right).toBe(formatPosition(typed.position));
      } else expect(right).toMatch(UNREADABLE);
      return;
    case 'time':
      if (!isReadable(call, placeOf(typed, 'position') + 5, 2)) expect(right).toMatch(UNREADABLE);
      else {
        const time = text('time' in typed && typed.time);
        expect(right).toBe(time === 'none' ? 'time not given' : `${time} UTC`);
      }
      return;
    case 'to':
      checkAddress(right, typed);
      return;
    case 'follow':
      checkFollow(right, typed, frequencyHz);
      return;
    case 'acknowledgement':
      checkAcknowledgement(right, call, frequencyHz);
      return;
    case 'next':
      checkNext(right, call, frequencyHz);
      return;
    case 'telephone':
      expect(right.replace(/\D/g, '')).toBe(text('telephone' in typed && typed.telephone));
      return;
    case 'reason':
      expect(right).toMatch(REASON_WORDS[text('telecommand2' in typed && typed.telecommand2)]);
      return;
    case 'lost':
      expect(call.characters.some(({ symbol }) => symbol === undefined)).toBe(true);
      return;
    default:
      throw new Error(`no table here answers ${question.topic}`);
  }
}

const LEVELS: readonly (readonly [level: Level, exercises: number])[] = [
  [1, sized(2, 3)],
  // As many as there are kinds of calls.
  [2, sized(3, 19)],
  [3, sized(1, 2)],
  [4, 1],
  [5, 1],
];

describe.each(LEVELS)('level %d', (level, exercises) => {
  let paper: Paper;
  const heard = new Map<number, Reading[]>();

  beforeAll(() => {
    const secret = `level ${level} of the answers`;
    paper = makePaper({ level, secret, exercises, sampleRate: 8000, pictures: false });
    for (const exercise of paper.exercises) heard.set(exercise.number, received(exercise));
  });

  it('asks only for what a receiver of the file reads, and has it right', () => {
    for (const { number, questions, frequencyHz } of paper.exercises) {
      for (const question of questions) {
        if (question.topic === 'count') continue;
        const call = heard.get(number)?.at((question.call ?? 1) - 1);
        if (!call) throw new Error(`exercise ${number} has no call for ${question.topic}`);
        check(question, call, frequencyHz);
      }
    }
  });

  it('has as many calls that read whole as the key counts', () => {
    for (const { number, questions, calls } of paper.exercises) {
      const whole = heard.get(number)?.filter(({ quality }) => quality !== 'doubtful') ?? [];
      const asked = questions.find(({ topic }) => topic === 'count');
      if (asked) expect(rightOf(asked)).toBe(String(whole.length));
      expect(calls.filter(({ reading }) => reading === 'whole')).toHaveLength(whole.length);
      expect(heard.get(number)).toHaveLength(calls.filter(({ reading }) => reading !== 'covered').length);
    }
  });

  it('offers four choices that differ, exactly one of them right', () => {
    for (const { questions } of paper.exercises) {
      for (const { choices, answer } of questions) {
        const texts = choices.map(({ text }) => text.toLowerCase().replace(/\s+/g, ' ').trim());
        expect(choices).toHaveLength(4);
        expect(new Set(texts).size).toBe(choices.length);
        expect(choices.map(({ letter }) => letter).join('')).toBe('abcd');
        expect(choices.filter(({ letter }) => letter === answer)).toHaveLength(1);
      }
    }
  });
});
