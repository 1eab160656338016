/**
 * That no wrong answer of a question about a recording is right under any reading: the call that was sent is encoded
 * and decoded again, and each wrong answer is held against what it says, read in every way that people read: an identity
 * with its last 0, a frequency as dial or channel, a position or a time that differs by nothing.
 */
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { CALL_KINDS, decodeCall, encodeCall, type Call } from '../../src/calls/index.js';
import { LEVELS, TOPICS, parsePaperPlan, type KeyQuestion, type Level } from '../../src/exam/index.js';
import { keysOf } from '../../src/exam/keys.js';
import { setQuestions, type SetQuestions } from '../../src/exam/paper.js';
import { askedCalls } from '../../src/exam/questions/index.js';
import { TELEPHONY_CHANNELS, VHF_CHANNELS } from '../../src/frequencies/index.js';
import { sized } from '../size.js';

function sheetsOf(level: Level, number: number, exercises: number): SetQuestions[] {
  const plan = parsePaperPlan({ level, exercises, secret: 'not used: keys follow' });
  const key = new Uint8Array(createHash('sha256').update(`wrong ${level} ${number}`).digest());
  return setQuestions(plan, keysOf(key, 'A', 'calls'));
}

/** The call that a question is about, as a receiver of its characters has it. */
function callOf({ set }: SetQuestions, { call = 1 }: KeyQuestion): Call {
  const sent = askedCalls(set.calls, set.frequencyHz)[call - 1].plan.call;
  return decodeCall(encodeCall(sent).symbols);
}

const digits = (text: string) => text.replace(/\D/g, '');

/** Whether an answer names an identity that a call may have in this field, with or without the 0 behind it. */
function namesIdentity(answer: string, value: unknown): boolean {
  const own = typeof value === 'string' ? value : '';
  return [own, `${own}0`].includes(digits(answer));
}

/** Every frequency that an answer can stand for, hertz: channels and what their two sides send on, and dials. */
function frequenciesIn(answer: string): number[] {
  const named = [...answer.matchAll(/(\d+\.\d+) (kHz|MHz)/g)].map(([, number, unit]) =>
    Math.round(Number(number) * (unit === 'kHz' ? 1e3 : 1e6)),
  );
  const channel = Number(/channel (\d+)/.exec(answer)?.[1]);
  const rows = [
    ...VHF_CHANNELS.filter((row) => row.channel === channel && answer.includes('VHF')),
    ...TELEPHONY_CHANNELS.filter((row) => row.channel === channel && !answer.includes('VHF')),
  ];
  return [...new Set([...named, ...rows.flatMap(({ shipHz, coastHz }) => [shipHz, coastHz])])].sort(
    (a, b) => a - b,
  );
}

const degrees = (text: string) => {
  const [, d, m, ns, D, M, ew] = /^(\d\d)°(\d\d)′([NS]) (\d{3})°(\d\d)′([EW])$/.exec(text) ?? [];
  return [
    (ns === 'S' ? -1 : 1) * (Number(d) * 60 + Number(m)),
    (ew === 'W' ? -1 : 1) * (Number(D) * 60 + Number(M)),
  ];
};

/** What an answer about procedure makes the operator do. */
const deedsOf = (text: string) => ({
  sendsDsc: /^(Acknowledge|Answer)|acknowledge it by DSC|relay it to/.test(text),
  watches: text.includes('set watch'),
  leaves: /send nothing|^Nothing|nothing, the exchange|nothing for now/.test(text),
});

/** Who owes an acknowledgement, by the end of sequence of a call and whom it names (M.493 Tables A1-4.1 to A1-4.10). */
function ownerOf(call: Call): string {
  const eos = encodeCall(call).symbols.at(-2);
  const to =
    'to' in call && typeof call.to === 'object' && 'station' in call.to ? call.to.station : undefined;
  if (eos === 117) return to === '299123456' ? 'Yes: from you' : 'Yes: from the called station';
  if (eos === 122 || call.kind === 'distressAcknowledgement') return 'No: it is the acknowledgement';
  const isFromShip = 'self' in call && typeof call.self === 'string' && !call.self.startsWith('00');
  const isForCoast = call.kind === 'distressAlert' || (call.kind === 'distressRelay' && isFromShip);
  return isForCoast ? 'Yes: from a coast station' : 'No: it acknowledges no other';
}

/** Whether a wrong answer says the same as the right one, or is right of the call by itself. */
function isRightToo(question: KeyQuestion, wrong: string, right: string, call: Call): boolean {
  if (wrong.toLowerCase().trim() === right.toLowerCase().trim()) return true;
  const fields = call as unknown as Readonly<Record<string, unknown>>;
  switch (question.topic) {
    case 'from':
      return namesIdentity(wrong, fields.self);
    case 'casualty':
      return namesIdentity(wrong, fields.casualty ?? fields.self);
    case 'to': {
      const to = fields.to as string | Readonly<Record<string, unknown>> | undefined;
      return typeof to === 'object' && namesIdentity(wrong, to.station ?? to.group);
    }
    case 'telephone':
      return digits(wrong) === fields.telephone;
    case 'position':
      return /\d/.test(wrong) && /\d/.test(right) && degrees(wrong).join() === degrees(right).join();
    case 'time':
      return /\d/.test(wrong) && wrong.startsWith(String(fields.time));
    case 'count':
      return Number(wrong) === Number(right);
    case 'follow': {
      const [a, b] = [frequenciesIn(wrong), frequenciesIn(right)];
      const isSameMode = wrong.slice(0, 12) === right.slice(0, 12);
      // A voice frequency is its own dial; 1.7 kHz between two of them would make one the dial of the other.
      const isSame =
        a.length > 0 && a.length === b.length && a.every((hz, i) => [0, 1700].includes(Math.abs(hz - b[i])));
      return isSameMode && (isSame || (a.length === 0 && b.length === 0));
    }
    case 'acknowledgement':
      // Every answer names one owner: you, the called station, a coast station, or nobody for one of two reasons.
      return !right.startsWith(ownerOf(call)) || wrong.startsWith(ownerOf(call));
    default:
      return false;
  }
}

/** Pairs of answers to "What do you do next?" in which one does all that the other does and nothing against it. */
function isCovered(wrong: string, right: string): boolean {
  const [a, b] = [deedsOf(wrong), deedsOf(right)];
  const isSame = a.sendsDsc === b.sendsDsc && a.watches === b.watches && a.leaves === b.leaves;
  // What tells answers with the same deeds apart is what they say the call is, before the colon.
  return isSame && wrong.split(':')[0] === right.split(':')[0];
}

const ALL = Object.keys(LEVELS).map((level) => Number(level) as Level);

describe('wrong answers', () => {
  it.each(ALL)('are right in no reading at level %d', (level) => {
    let seen = 0;
    for (let i = 0; i < sized(30, 300); i++) {
      for (const exercise of sheetsOf(level, i, 3)) {
        for (const question of exercise.questions) {
          const call = callOf(exercise, question);
          const right = question.choices.find(({ letter }) => letter === question.answer)?.text ?? '';
          for (const { letter, text } of question.choices) {
            if (letter === question.answer) continue;
            seen++;
            expect(isRightToo(question, text, right, call), `${question.text} ${text} beside ${right}`).toBe(
              false,
            );
            if (question.topic === 'next') {
              expect(isCovered(text, right), `${text} beside ${right}`).toBe(false);
            }
          }
        }
      }
    }
    expect(seen).toBeGreaterThan(500);
  });

  it('stand in questions about every kind of call and every topic', () => {
    const kinds = new Set<string>();
    const topics = new Set<string>();
    const isWhole = () => kinds.size === CALL_KINDS.length && topics.size === TOPICS.length;
    for (let i = 0; i < 60 && !isWhole(); i++) {
      for (const level of [2, 5] as const) {
        for (const exercise of sheetsOf(level, 1000 + i, level === 2 ? 19 : 2)) {
          for (const question of exercise.questions) {
            topics.add(question.topic);
            if (question.topic !== 'count') kinds.add(callOf(exercise, question).kind);
          }
        }
      }
    }
    expect([...kinds].sort()).toEqual([...CALL_KINDS].sort());
    expect([...topics].sort()).toEqual([...TOPICS].sort());
  });

  it('and right ones say where their rule stands', () => {
    for (const level of ALL) {
      for (let i = 0; i < 20; i++) {
        for (const { questions } of sheetsOf(level, 2000 + i, 2)) {
          for (const { because, topic } of questions) {
            expect(because, topic).toMatch(
              /M\.493|M\.541|M541-8|FCC80|C25|JP567|NAVCEN|Radio Regulations|common practice/,
            );
          }
        }
      }
    }
  });
});
