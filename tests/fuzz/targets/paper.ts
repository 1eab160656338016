/** Plans of papers; small ones made; keys; tables of answers; the tables that go out. */
import {
  classCsv,
  classResults,
  markAnswers,
  marksCsv,
  parsePaperKey,
  parsePaperPlan,
  questionsStatisticsCsv,
  resultsSheet,
} from '../../../src/exam/index.js';
import { SENDABLE } from '../good.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { Material } from '../material.js';
import { bytesOf, hold, orRefused, same, type Target } from '../target.js';
import { requireSafeCsv } from '../csv.js';

const PLANS: readonly unknown[] = [
  { secret: 'k7qf-2m4x-0rzt-9wbe', level: 1, exercises: 3 },
  {
    secret: 'k7qf-2m4x-0rzt-9wbe',
    versions: 3,
    version: 'B',
    vary: 'letters',
    written: [{ questions: 2, about: ['relay', 'dial'] }],
    typed: true,
    tolerance: { frequencyHz: 100 },
    exercises: [{ ask: ['kind', { topic: 'from', call: 2 }] }],
  },
  { title: 'A', secret: 'k7qf-2m4x-0rzt-9wbe', exercises: [{ kinds: ['testCall'] }, { level: 5 }] },
  ...SENDABLE.slice(0, 12).map((call, i) => ({
    exercises: [
      {
        calls: [
          {
            call,
            levelDb: -3,
            startSeconds: 1,
            damaged: i % 2 ? ['self'] : [],
            path: [{ kind: 'offset', offsetHz: 3 }],
          },
        ],
        frequencyHz: 2_187_500,
        conditions: [{ kind: 'noise', snrDb: 20 }],
        situation: 'At night.',
      },
    ],
  })),
];

export const plans: Target = {
  name: 'plans',
  seeds: () => jsonSeeds(PLANS),
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 32,
  run(input) {
    const plan = orRefused(() => parsePaperPlan(hostileJson(input, PLANS) as object));
    if (plan) same(parsePaperPlan(plan), plan, 'a plan checked again');
  },
};

const KEY = {
  title: 'A paper',
  number: '4821 0937 5512',
  questions: ['Q1.1', 'Q1.2', 'Q2.1'].map((id, i) => ({
    id,
    text: `=Which ${i}?`,
    choices: ['a', 'b', 'c'].map((letter) => ({ letter, text: `${'=+-@'[i]}${letter}` })),
    answer: 'abc'[i],
    because: '@because',
  })),
};
/** A key with answers to be typed. */
const TYPED_KEY = {
  ...KEY,
  version: 'B',
  questions: [
    ...KEY.questions,
    ...[
      { form: 'identity', identity: '299204518' },
      { form: 'position', position: { latitude: 45.5, longitude: -30.25 }, withinMinutes: 1 },
      { form: 'time', time: '23:59', withinMinutes: 2 },
      { form: 'frequency', hz: 2_182_000, withinHz: 50 },
    ].map((typed, i) => ({ id: `Q3.${i + 1}`, text: '+Which?', choices: [], typed, because: '=because' })),
  ],
};
const KEYS: readonly unknown[] = [KEY, TYPED_KEY];

export const keys: Target = {
  name: 'keys',
  seeds: () => jsonSeeds(KEYS),
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 32,
  run(input) {
    const key = orRefused(() => parsePaperKey(hostileJson(input, KEYS)));
    if (!key) return;
    const table = `candidate,${key.questions.map(({ id }) => id).join(',')}\r\n=7,${key.questions.map(() => 'a').join(',')}\r\n`;
    const marks = orRefused(() => markAnswers(key, table));
    if (marks) requireSafeCsv(marksCsv(marks));
  },
};

export const answers: Target = {
  name: 'answers',
  seeds: () =>
    [
      'candidate,Q1.1,Q1.2,Q2.1\r\n17,a,b,c\r\n18,,B),"a."\r\n',
      '\uFEFFcandidate;Q2.1;1.1;q 1.2\n=cmd;a;b;c\n',
      'candidate\tQ1.1\tQ1.2\tQ2.1\n"x""y"\ta\t\t\n',
    ].map(bytesOf),
  words: ['candidate', 'Q1.1', 'Q1.2', 'Q2.1', ',', ';', '\t', '\r\n', '"', "'", '=', '\uFEFF'],
  maxBytes: 4096,
  limitMs: (bytes) => 100 + bytes,
  limitMiB: 32,
  run(input) {
    const text = new Material(input).text();
    const marks = orRefused(() => markAnswers(parsePaperKey(KEY), text));
    if (!marks) return;
    for (const { marks: got, of, percent } of marks) {
      hold(
        got >= 0 && got <= of && percent === Math.round((1000 * got) / of) / 10,
        () => `${got} of ${of}: ${percent} %`,
      );
    }
    requireSafeCsv(marksCsv(marks));
    const results = classResults(parsePaperKey(KEY), text, { pass: 50 });
    for (const { answers: given, blank, candidates } of results.questions) {
      const told = given.reduce((sum, answer) => sum + answer.candidates.length, blank.length);
      hold(told === candidates, () => `${told} answers of ${candidates} candidates`);
    }
    requireSafeCsv(classCsv(results));
    requireSafeCsv(questionsStatisticsCsv(results));
    hold(!/<(?:script|img|svg|a)\b/i.test(resultsSheet(results)), () => 'markup of a candidate');
  },
};
