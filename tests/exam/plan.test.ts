/**
 * Plans of papers: the schema that is published, and a syllabus that says which kinds, which questions and how many.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import {
  LEVELS,
  TOPICS,
  WRITTEN_SUBJECTS,
  makePaper,
  parsePaperPlan,
  type Level,
  type PaperPlan,
} from '../../src/exam/index.js';
import { paperPlanSchema } from '../../src/exam/planschema.js';
import { keysOf } from '../../src/exam/keys.js';
import { setQuestions } from '../../src/exam/paper.js';

const KEY = new Uint8Array(32).fill(5);
const published = JSON.parse(
  readFileSync(new URL('../../src/exam/paper.schema.json', import.meta.url), 'utf8'),
) as Record<string, unknown>;
const validate = new Ajv2020({ strict: false }).compile(published);

const CALL = { kind: 'testCall', to: { station: '299123456' }, self: '002991234' };
const SYLLABUS = {
  title: 'Second week',
  level: 2,
  exercises: [
    { kinds: ['distressAlert'], ask: ['from', 'position', 'nature'] },
    { kinds: ['testCall'], ask: ['kind', 'from', 'next'] },
    { level: 4, ask: ['count', { topic: 'from', call: 2 }] },
  ],
  written: [
    { about: ['relay', 'alert'], questions: 3 },
    { about: ['place'], questions: 2 },
  ],
  typed: true,
  tolerance: { positionMinutes: 1 },
  versions: 2,
};

describe('the schema of plans', () => {
  it('is the published one', () => {
    expect(published).toEqual(JSON.parse(JSON.stringify(paperPlanSchema())));
  });

  it.each<[string, unknown]>([
    ['nothing', {}],
    ['a level', { level: 3, exercises: 4 }],
    ['a syllabus', SYLLABUS],
    ['calls', { exercises: [{ frequencyHz: 156_525_000, calls: [{ call: CALL, damaged: ['self'] }] }] }],
    ['versions of one recording', { versions: 3, vary: 'letters', version: 'C', pictures: false }],
    ['a schema named', { $schema: 'paper.schema.json', written: 5 }],
  ])('takes what is a plan: %s', (_, plan) => {
    expect(validate(plan)).toBe(true);
    expect(() => parsePaperPlan(plan)).not.toThrow();
  });

  it.each<[string, unknown, RegExp]>([
    ['a seed', { seed: 7 }, /^seed: /],
    ['a topic that is none', { exercises: [{ ask: ['colour'] }] }, /^exercises\[0\]\.ask\[0\]: .*topic/],
    ['a kind that is none', { exercises: [{ kinds: ['mayday'] }] }, /^exercises\[0\]\.kinds\[0\]: /],
    ['too many versions', { versions: 9 }, /^versions: /],
    ['a version that is none', { version: 'Z' }, /^version: /],
    ['no questions', { written: 0 }, /^written: /],
    ['a subject that is none', { written: [{ questions: 1, about: ['weather'] }] }, /^written/],
    ['a tolerance without limit', { tolerance: { frequencyHz: 1e6 } }, /^tolerance\.frequencyHz: /],
    ['a property that is none', { exercises: [{ kind: 'testCall' }] }, /^exercises\[0\]/],
  ])('refuses what parsing refuses: %s', (_, plan, message) => {
    expect(validate(plan)).toBe(false);
    expect(() => parsePaperPlan(plan)).toThrow(message);
  });

  it('is among what the package gives out, and takes the syllabus of the guide', () => {
    const require = createRequire(import.meta.url);
    expect(require.resolve('dotphase/paper.schema.json')).toMatch(/src.exam.paper\.schema\.json$/);
    const guide = readFileSync(new URL('../../docs/pages/examining.md', import.meta.url), 'utf8');
    const [, text] = /```json\n([^]*?)```/.exec(guide) ?? [];
    const plan: unknown = JSON.parse(text);
    expect(validate(plan)).toBe(true);
    expect(parsePaperPlan(plan)).toMatchObject({ versions: 2, typed: true });
    // Whoever looks for a topic or a subject finds it there.
    for (const name of [...TOPICS, ...WRITTEN_SUBJECTS]) expect(guide).toContain(`\`${name}\``);
  });

  it('leaves to parsing which of the versions there is', () => {
    expect(() => parsePaperPlan({ versions: 2, version: 'C' })).toThrow(
      /^version: got "C", expected one of the 2/,
    );
  });
});

describe('a syllabus', () => {
  const sheets = (version: string) =>
    setQuestions(parsePaperPlan({ ...SYLLABUS, version }), keysOf(KEY, version, 'calls'));

  it('has the kinds that it names, and asks what it asks and nothing else, in every version', () => {
    for (const version of ['A', 'B']) {
      for (const { index, set, questions } of sheets(version)) {
        const asked = questions.map(({ topic, call }) => (call === undefined ? topic : `${topic} ${call}`));
        expect(asked).toEqual(
          [
            ['from', 'nature', 'position'],
            ['kind', 'from', 'next'],
            ['count', 'from 2'],
          ][index],
        );
        if (index < 2) expect(set.calls[0].call.kind).toBe(['distressAlert', 'testCall'][index]);
      }
    }
  });

  it('has the same in another order and with other calls in another version', () => {
    const [a, b] = ['A', 'B'].map(sheets);
    expect(b.map(({ index }) => index).sort()).toEqual([0, 1, 2]);
    for (const one of a) {
      const other = b.find(({ index }) => index === one.index);
      expect(other?.set.calls).not.toEqual(one.set.calls);
      expect(other?.set.frequencyHz).toBe(one.set.frequencyHz);
    }
  });

  it('is refused where its calls cannot be asked what it asks', () => {
    const plan: PaperPlan = { exercises: [{ kinds: ['testCall'], ask: ['nature', 'kind'] }] };
    expect(() => makePaper(plan)).toThrow(/^exercises\[0\]\.ask: got "nature", expected what calls/);
  });

  it.each(Object.keys(LEVELS).map((level) => Number(level) as Level))(
    'has as many questions in every version of a paper of level %d',
    (level) => {
      const plan: PaperPlan = { level, exercises: 4, versions: 4, secret: 'not used: keys follow' };
      const counts = ['A', 'B', 'C', 'D'].map((version) => {
        const set = setQuestions(parsePaperPlan({ ...plan, version }), keysOf(KEY, version, 'calls'));
        return set.flatMap(({ questions }) => questions.map(({ topic }) => topic)).sort();
      });
      for (const topics of counts) expect(topics).toEqual(counts[0]);
      expect(counts[0].length).toBeGreaterThan(8);
    },
  );

  it('has the same recordings for all versions where that is asked for, with other letters', () => {
    const plan = parsePaperPlan({ level: 2, exercises: 6, versions: 2, vary: 'letters' });
    const [a, b] = ['A', 'B'].map((version) =>
      setQuestions({ ...plan, version }, keysOf(KEY, version, 'letters')),
    );
    expect(b.map(({ set }) => set.calls)).toEqual(a.map(({ set }) => set.calls));
    const letters = (sheet: typeof a) =>
      sheet.flatMap(({ questions }) => questions.map(({ answer }) => answer));
    const right = (sheet: typeof a) =>
      sheet.flatMap(({ questions }) =>
        questions.map(({ choices, answer }) => choices.find(({ letter }) => letter === answer)?.text),
      );
    expect(right(b)).toEqual(right(a));
    expect(letters(b)).not.toEqual(letters(a));
  });
});
