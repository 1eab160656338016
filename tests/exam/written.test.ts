/**
 * Written questions: that each rule and frequency is asked about, and that of the answers beside the right one none is
 * right as well. What is right is worked out here again: by what the table of procedures rules in each situation, and by
 * frequencies typed from FCC80 §80.359 and §80.1077 and from AP17.
 */
import { describe, expect, it } from 'vitest';
import { parsePaperPlan } from '../../src/exam/index.js';
import { createDraw } from '../../src/exam/draw/draw.js';
import { keysOf } from '../../src/exam/keys.js';
import { setWritten } from '../../src/exam/paper.js';
import { mayStandTogether, type WrittenLine, type WrittenSet } from '../../src/exam/written/set.js';
import { WRITTEN_SETS, WRITTEN_SUBJECTS, drawWritten } from '../../src/exam/written/index.js';
import { VHF_CHANNELS } from '../../src/frequencies/index.js';
import {
  REPETITION_MS,
  repeatOf,
  rulingOn,
  type Deed,
  type Ruling,
  type Situation,
} from '../../src/procedures/index.js';
import { RULES } from '../../src/procedures/texts/index.js';

const KEY = new Uint8Array(32).fill(7);

const setsOf = (subject: string): readonly WrittenSet[] =>
  WRITTEN_SETS.filter(({ name }) => name === subject);
const setOf = (subject: string): WrittenSet => setsOf(subject)[0];

/** Every line of a set with every other whose answer may stand beside its own. */
function pairsOf(set: WrittenSet): (readonly [WrittenLine, WrittenLine])[] {
  return set.lines.flatMap((line) =>
    set.lines.filter((other) => mayStandTogether(set, line, other)).map((other) => [line, other] as const),
  );
}

describe('written questions', () => {
  it('ask about every rule of procedure, and say which and where it stands', () => {
    const lines = WRITTEN_SETS.flatMap((set) => set.lines);
    const asked = new Set(lines.flatMap(({ rules }) => rules));
    expect(Object.keys(RULES).filter((name) => !asked.has(name as keyof typeof RULES))).toEqual([]);
    for (const { rules, because } of lines) {
      for (const name of rules) {
        expect(because).toContain(RULES[name].text);
        expect(because).toContain(RULES[name].source);
      }
      expect(because).toMatch(/\(.{4,}\)\.?$/);
    }
  });

  it('stand in sets that can all be asked about, each line of them', () => {
    for (const subject of WRITTEN_SUBJECTS) {
      const texts = new Set<string>();
      for (let i = 0; i < 40; i++) {
        const draw = createDraw(KEY, `${subject} ${i}`);
        for (const { text, line, answers } of drawWritten(draw, draw, [subject], 8, new Set())) {
          texts.add(text);
          expect(new Set(answers).size).toBe(4);
          expect(answers).toContain(line.answer);
        }
      }
      const all = setsOf(subject).flatMap(({ lines, ask }) =>
        lines.map(({ situation }) => `${situation} ${ask}`),
      );
      expect([...texts].sort()).toEqual([...new Set(all)].sort());
    }
  });

  it('offer beside the right answer only what never stands for the same', () => {
    for (const set of WRITTEN_SETS) {
      const keys = set.lines.map(({ key }) => key);
      expect(new Set(keys).size, set.name).toBe(keys.length);
      for (const pair of set.apart ?? []) for (const key of pair) expect(keys, set.name).toContain(key);
    }
    for (let i = 0; i < 300; i++) {
      const draw = createDraw(KEY, `together ${i}`);
      for (const { line, answers, text } of drawWritten(draw, draw, WRITTEN_SUBJECTS, 13, new Set())) {
        const set = WRITTEN_SETS.find((each) => each.lines.includes(line));
        if (!set) throw new Error(`no set has ${text}`);
        for (const answer of answers.filter((each) => each !== line.answer)) {
          const others = set.lines.filter((each) => each.answer === answer);
          expect(
            others.every((other) => mayStandTogether(set, line, other)),
            `${text} ${answer}`,
          ).toBe(true);
        }
      }
    }
  });

  it('are on a paper once each as long as there are others', () => {
    const plan = parsePaperPlan({ exercises: 1, written: 40 });
    const { questions = [] } = setWritten(plan, keysOf(KEY, 'A', 'calls')) ?? {};
    expect(questions).toHaveLength(40);
    expect(new Set(questions.map(({ text }) => text)).size).toBe(40);
    expect(new Set(questions.map(({ topic }) => topic))).toEqual(new Set(WRITTEN_SUBJECTS));
  });

  it('are about the same in every version of a paper, in other situations', () => {
    const plan = parsePaperPlan({ exercises: 1, written: 13 });
    const [a, b] = ['A', 'B'].map(
      (letter) => setWritten(plan, keysOf(KEY, letter, 'calls'))?.questions ?? [],
    );
    expect(b.map(({ topic }) => topic)).toEqual(a.map(({ topic }) => topic));
    expect(b.filter(({ text }, i) => text === a[i].text).length).toBeLessThan(7);
  });
});

/** A situation of a ship that hears an alert on HF, but for what is said. */
const at = (part: Partial<Situation>): Situation => ({
  role: 'ship',
  received: 'alert',
  addressed: 'all',
  reach: 'HF',
  from: 'ship',
  acknowledged: 'nobody',
  sure: true,
  ...part,
});
const MINUTE = 60_000;

/** What the lines of a set are about, and when the answer of each is right, by the table of procedures. */
type Check = Readonly<
  Record<
    string,
    {
      readonly when: Situation;
      readonly isRight: (ruled: (deed: Deed) => Ruling, when: Situation) => boolean;
    }
  >
>;

const CHECKS: Readonly<Record<string, Check>> = {
  alert: {
    coastVhf: {
      when: at({ role: 'coastStation', reach: 'VHF' }),
      isRight: (ruled) => ruled('acknowledge').verdict === 'must' && ruled('acknowledge').from === undefined,
    },
    coastMf: {
      when: at({ role: 'coastStation', reach: 'MF' }),
      isRight: (ruled) =>
        ruled('acknowledge').verdict === 'must' &&
        ruled('acknowledge').from === MINUTE &&
        ruled('acknowledge').until === 2.75 * MINUTE,
    },
    shipHf: {
      when: at({}),
      isRight: (ruled, { role, sure }) =>
        ruled('acknowledge').verdict === 'mustNot' && role === 'ship' && sure,
    },
    shipVhf: {
      when: at({ reach: 'VHF' }),
      isRight: (ruled) =>
        ruled('acknowledge').verdict === 'may' && ruled('acknowledge').needs === 'consulted',
    },
    // The table has who acknowledged since the alert last came: nobody has.
    again: {
      when: at({ role: 'coastStation', reach: 'VHF' }),
      isRight: (ruled, { reach }) => ruled('acknowledge').verdict === 'must' && reach === 'VHF',
    },
    others: {
      when: at({ role: 'coastStation', reach: 'MF', acknowledged: 'coastStation' }),
      isRight: (ruled, { acknowledged }) =>
        ruled('acknowledge').verdict === 'mustNot' && acknowledged === 'coastStation',
    },
    doubt: {
      when: at({ role: 'coastStation', reach: 'VHF', sure: false }),
      isRight: (ruled, { sure }) => ruled('acknowledge').verdict === 'mustNot' && !sure,
    },
  },
  relay: {
    hf: {
      when: at({}),
      isRight: (ruled) => ruled('relay').verdict === 'must' && ruled('relay').to === 'coastStation',
    },
    mf: {
      when: at({ reach: 'MF' }),
      isRight: (ruled) => ruled('relay').verdict === 'may' && ruled('relay').needs === 'necessary',
    },
    relayed: {
      when: at({ received: 'relay' }),
      isRight: (ruled, { received }) => ruled('relay').verdict === 'mustNot' && received === 'relay',
    },
    coast: {
      when: at({ role: 'coastStation' }),
      isRight: (ruled) => ruled('relay').verdict === 'may' && ruled('relay').needs === undefined,
    },
    acknowledged: {
      when: at({ acknowledged: 'coastStation' }),
      isRight: (ruled, { acknowledged }) =>
        ruled('relay').verdict === 'mustNot' && acknowledged === 'coastStation',
    },
    cancelled: {
      when: at({ received: 'cancellation' }),
      isRight: (ruled, { received }) => ruled('relay').verdict === 'mustNot' && received === 'cancellation',
    },
  },
  answer: {
    relayToMe: {
      when: at({ received: 'relay', addressed: 'me', from: 'coastStation' }),
      isRight: (ruled) => ruled('acknowledgeRelay').verdict === 'must',
    },
    relayToCoast: {
      when: at({ role: 'coastStation', received: 'relay', reach: 'VHF' }),
      isRight: (ruled) => ruled('acknowledgeRelay').verdict === 'must',
    },
    relayToAll: {
      when: at({ received: 'relay', from: 'coastStation' }),
      isRight: (ruled) =>
        ruled('acknowledgeRelay').verdict === 'mustNot' && ruled('acknowledgeByVoice').verdict === 'must',
    },
    test: {
      when: at({ received: 'request', addressed: 'me' }),
      isRight: (ruled) => ruled('answer').verdict === 'must',
    },
    many: {
      when: at({ received: 'announcement' }),
      isRight: (ruled, { received }) =>
        ruled('answer').verdict === 'mustNot' &&
        ruled('watch').verdict === 'must' &&
        received === 'announcement',
    },
    acknowledgement: {
      when: at({ received: 'acknowledgement', addressed: 'me' }),
      isRight: (ruled, { received }) =>
        ruled('answer').verdict === 'mustNot' && received === 'acknowledgement',
    },
    other: {
      when: at({ received: 'request', addressed: 'other' }),
      isRight: (ruled, { addressed }) => ruled('answer').verdict === 'mustNot' && addressed === 'other',
    },
  },
  wait: {
    coastRoutine: {
      when: at({ role: 'coastStation', received: 'request', addressed: 'me' }),
      isRight: (ruled) => ruled('answer').from === 5000 && ruled('answer').until === 4.5 * MINUTE,
    },
    coastVhf: {
      when: at({ role: 'coastStation', reach: 'VHF' }),
      isRight: (ruled) => ruled('acknowledge').verdict === 'must' && ruled('acknowledge').from === undefined,
    },
    coastHf: {
      when: at({ role: 'coastStation' }),
      isRight: (ruled) =>
        ruled('acknowledge').from === MINUTE && ruled('acknowledge').until === 2.75 * MINUTE,
    },
    shipHf: {
      when: at({}),
      isRight: (ruled, { role, received }) =>
        ruled('acknowledge').verdict === 'mustNot' && role === 'ship' && received === 'alert',
    },
    shipRoutine: {
      when: at({ received: 'request', addressed: 'me' }),
      isRight: (ruled) => ruled('answer').verdict === 'must' && ruled('answer').until === 5 * MINUTE,
    },
    doubtful: {
      when: at({ role: 'coastStation', reach: 'VHF', sure: false }),
      isRight: (ruled, { sure }) => ruled('acknowledge').verdict === 'mustNot' && !sure,
    },
    other: {
      when: at({ received: 'request', addressed: 'other' }),
      isRight: (ruled, { addressed }) => ruled('answer').verdict === 'mustNot' && addressed === 'other',
    },
  },
};

describe('no wrong answer is right', () => {
  it.each(Object.keys(CHECKS))('about %s, by the table of procedures', (subject) => {
    const check = CHECKS[subject];
    const set = setOf(subject);
    const ruled = (situation: Situation) => (deed: Deed) => rulingOn(deed, situation);
    for (const [key, { when, isRight }] of Object.entries(check)) {
      expect(isRight(ruled(when), when), key).toBe(true);
    }
    for (const [line, other] of pairsOf(set)) {
      if (!(line.key in check) || !(other.key in check)) continue;
      const { when } = check[line.key];
      expect(check[other.key].isRight(ruled(when), when), `${other.key} for ${line.key}`).toBe(false);
    }
  });

  it('about repetition: its numbers are those of the table, and no two the same', () => {
    const waits: Readonly<Record<string, number>> = {
      shipFirst: Number(repeatOf('ship', 'routine', 1).wait),
      shipFurther: Number(repeatOf('ship', 'routine', 2).wait),
      coastFirst: Number(repeatOf('coastStation', 'routine', 1).wait),
      coastSecond: Number(repeatOf('coastStation', 'routine', 2).wait),
    };
    const set = setOf('repeat');
    const milliseconds = (text: string) => {
      const [, number, unit] = /^(\d+) (seconds|minutes) after it$/.exec(text) ?? [];
      return Number(number) * (unit === 'minutes' ? MINUTE : 1000);
    };
    for (const [key, wait] of Object.entries(waits)) {
      expect(milliseconds(set.lines.find((line) => line.key === key)?.answer ?? ''), key).toBe(wait);
    }
    expect(REPETITION_MS).toEqual([3.5 * MINUTE, 4.5 * MINUTE]);
    expect(set.lines[0].answer).toContain('3.5 to 4.5 minutes');
  });

  it('about all else: lines that stand together follow from rules that have nothing in common', () => {
    for (const set of WRITTEN_SETS.filter(({ name }) =>
      ['operator', 'sending', 'set', 'relay', 'answer'].includes(name),
    )) {
      for (const [line, other] of pairsOf(set)) {
        // A relay to all and one to a station follow from two rules each, and share that of distress traffic with none.
        const shared = line.rules.filter((rule) => other.rules.includes(rule));
        expect(shared, `${line.key} and ${other.key} of ${set.name}`).toEqual([]);
      }
    }
  });
});

/** kHz: DSC distress, voice, direct printing (FCC80 §80.1077); routine ship and coast (§80.359); ship to ship (AP17). */
const BANDS: Readonly<Record<string, readonly [number, number, number, number, number, number]>> = {
  '4 MHz': [4207.5, 4125, 4177.5, 4208, 4219.5, 4146],
  '6 MHz': [6312, 6215, 6268, 6312.5, 6331, 6224],
  '8 MHz': [8414.5, 8291, 8376.5, 8415, 8436.5, 8294],
  '12 MHz': [12577, 12290, 12520, 12577.5, 12657, 12353],
  '16 MHz': [16804.5, 16420, 16695, 16805, 16903, 16528],
};
const MF = [2187.5, 2182, 2174.5, 2189.5, 2177] as const;

const kilohertz = (text: string) => {
  const [, number] = /^(\d+\.\d+) kHz$/.exec(text) ?? [];
  return Number(number);
};
const ROLE_KEYS = ['dsc', 'voice', 'printing', 'toCoast', 'toShip', 'simplex'];

describe('frequencies', () => {
  const bands = [...Object.entries(BANDS), ['2 MHz', MF]] as const;

  it('stand for what they are for', () => {
    const places = Object.fromEntries(
      bands.map(([band, list]) => {
        const set = setsOf('place').find(({ ask }) => ask.includes(` ${band} `));
        const found = Object.fromEntries(set?.lines.map(({ key, answer }) => [key, kilohertz(answer)]) ?? []);
        const keys = band === '2 MHz' ? ['dsc', 'voice', 'printing', 'toCoast', 'betweenShips'] : ROLE_KEYS;
        expect(found, band).toEqual(Object.fromEntries(keys.map((key, i) => [key, list[i]])));
        return [band, found];
      }),
    );
    expect(Object.keys(places)).toHaveLength(6);
    const uses = setOf('use').lines.map(({ situation, answer }) => [situation.replace(/\.$/, ''), answer]);
    expect(uses).toHaveLength(35);
    const words = [
      'DSC: distress',
      'Voice: distress',
      'Direct printing',
      'from ships to coast',
      'from coast stations to ships',
      'between ships',
    ];
    for (const [text, answer] of uses) {
      const hz = kilohertz(text);
      const role = bands.map(([, list]) => list.findIndex((each) => each === hz)).find((i) => i >= 0) ?? -1;
      expect(answer, text).toContain(words[role]);
    }
  });

  it('are dialled 1.7 kHz lower where they are assigned, and as they are where they are carriers', () => {
    for (const [band, list] of bands) {
      const set = setsOf('dial').find(({ lines }) =>
        lines[0].situation.includes(`${list[0].toFixed(1)} kHz`),
      );
      const dials = set?.lines.map(({ answer }) => kilohertz(answer)) ?? [];
      const expected = [list[0] - 1.7, list[1], list[3] - 1.7, list[4] - 1.7];
      expect(
        dials.map((each) => each.toFixed(1)),
        band,
      ).toEqual(expected.map((each) => each.toFixed(1)));
    }
  });

  it('come back on their pair, and safety calls where they came', () => {
    for (const [band, list] of Object.entries(BANDS)) {
      const set = setsOf('pair').find(({ lines }) => lines[0].answer === `${list[0].toFixed(1)} kHz`);
      for (const { situation, answer } of set?.lines ?? []) {
        const [, sent] = /on (\d+\.\d) kHz/.exec(situation) ?? [];
        if (situation.startsWith('A test call')) expect(kilohertz(answer), band).toBe(list[0]);
        else {
          const step = situation.includes('from a ship') ? Number(sent) - list[3] : Number(sent) - list[4];
          const other = situation.includes('from a ship') ? list[4] : list[3];
          expect([0, 0.5, 1]).toContain(step);
          expect(kilohertz(answer), situation).toBe(other + step);
        }
      }
      expect(set?.lines).toHaveLength(7);
    }
  });

  it('are never offered as two names of one: by dial, by carrier or by channel', () => {
    for (const name of ['place', 'dial', 'pair']) {
      for (const set of setsOf(name)) {
        for (const [line, other] of pairsOf(set)) {
          const apart = Math.abs(kilohertz(line.answer) - kilohertz(other.answer));
          // Read as dial or as assigned frequency, one is not the other.
          expect(Math.abs(apart - 1.7), `${line.answer} and ${other.answer}`).toBeGreaterThan(0.05);
          expect(apart).toBeGreaterThan(0.4);
        }
      }
    }
    for (const { situation, answer } of setOf('vhf').lines) {
      const channel = Number(/\d+/.exec(situation)?.[0]);
      const use = VHF_CHANNELS.find((row) => row.channel === channel)?.use ?? '';
      expect(answer.toLowerCase()).toBe(use.toLowerCase());
    }
  });
});
