import { beforeAll, describe, expect, it } from 'vitest';
import { checkCall, type Call, type TableKind } from '../../src/calls/index.js';
import { CALL_KINDS } from '../../src/calls/index.js';
import { frequencyFor, makeCall, variantsOf } from '../../src/exam/draw/calls.js';
import { createDraw } from '../../src/exam/draw/draw.js';
import { drawContents } from '../../src/exam/draw/contents.js';
import { makePaper, paperFiles, type Paper, type PaperPlan } from '../../src/exam/index.js';
import { keyOfSecret } from '../../src/exam/secret.js';
import { type MaritimeBand } from '../../src/frequencies/index.js';
import { radioOf } from '../../src/procedures/index.js';
import { sized } from '../size.js';

const SECRET = 'k7qf-2m4x-0rzt-9wbe';
const KEY = keyOfSecret(SECRET);

const bytes = (paper: Paper) =>
  paperFiles(paper).map(({ name, content }) => [
    name,
    typeof content === 'string' ? content : Buffer.from(content),
  ]);

const ALERT: Call = {
  kind: 'distressAlert',
  self: '299204518',
  nature: 'fire',
  position: { latitude: 45.5, longitude: -30.25 },
  time: '10:20',
  followOn: 'f3e',
};

/** A paper on VHF, whose calls take half a second. */
const vhf = (more: object): PaperPlan => ({
  sampleRate: 8000,
  pictures: false,
  exercises: [{ frequencyHz: 156_525_000, calls: [{ call: ALERT, ...more }] }],
});

describe('a paper', () => {
  const EASY = { level: 1, secret: SECRET, exercises: sized(1, 2), sampleRate: 8000 } as const;
  const HARD = { level: 5, secret: SECRET, exercises: 1, sampleRate: 8000 } as const;
  let easy: Paper;
  let positionLost: Paper['exercises'][number];
  beforeAll(() => {
    easy = makePaper(EASY);
    [positionLost] = makePaper(vhf({ damaged: ['position'] })).exercises;
  });

  it.each([
    ['easy', () => easy],
    ['hard', () => makePaper(HARD)],
  ])('is the same to the byte for the plan that stands beside it (%s)', (_, make) => {
    const first = make();
    // The plan has nothing left to draw.
    const again = JSON.parse(JSON.stringify(first.plan)) as PaperPlan;
    expect(bytes(makePaper(again))).toEqual(bytes(first));
  });

  it('is the same to the byte for the same secret', () => {
    expect(bytes(makePaper(EASY))).toEqual(bytes(easy));
  });

  it('is another one for another secret, and each time where none is given', () => {
    const plan = { level: 1, exercises: 1, pictures: false, sampleRate: 8000 } as const;
    const papers = [{}, {}, { secret: SECRET }].map((more) => makePaper({ ...plan, ...more }));
    expect(new Set(papers.map(({ number }) => number)).size).toBe(3);
    expect(new Set(papers.map(({ exercises }) => exercises[0].wav.join())).size).toBe(3);
    for (const { number } of papers) expect(number).toMatch(/^\d{4} \d{4} \d{4}$/);
    const [{ number, secret }] = papers;
    expect(makePaper({ ...plan, secret }).number).toBe(number);
  });

  it('shows its secret on nothing that candidates get', () => {
    const paper = makePaper({ ...vhf({}), pictures: true, secret: SECRET });
    const tells = paperFiles(paper).flatMap(({ name, content }) =>
      Buffer.from(content as string).includes(SECRET) ? [name] : [],
    );
    expect(tells).toEqual(['answers.html', 'answers.json', 'plan.json']);
    const sheets = paperFiles(paper).filter(({ name }) => /^questions\.[hj]|^candidates/.test(name));
    expect(
      sheets.filter(({ content }) => String(content).replaceAll('\u00A0', ' ').includes(paper.number)),
    ).toHaveLength(3);
  });

  it.each(['2026', 'short', '2026202620262026', 'a'.repeat(40), 12])('takes no secret like %j', (secret) => {
    expect(() => makePaper({ ...vhf({}), secret } as PaperPlan)).toThrow(/^secret: .*that nobody guesses/);
  });

  it('says what has taken the place of a seed', () => {
    expect(() => makePaper({ seed: 7 } as PaperPlan)).toThrow(/^seed: .*a secret in its place/);
  });

  it('reads five plain calls in one recording of 100 Bd', () => {
    const calls = Array.from({ length: 5 }, (_, i): { call: Call } => ({
      call: { ...ALERT, followOn: 'j3e', self: `29920451${i}` },
    }));
    const exercises = [{ frequencyHz: 2_187_500, calls }];
    const [exercise] = makePaper({ exercises, sampleRate: 8000, pictures: false, secret: SECRET }).exercises;
    // Five times 200 dots and 52 characters of ten bits, 7.2 s each, and pauses (M.493 §3, from memory).
    expect(exercise.seconds).toBeGreaterThan(5 * 7.2);
    expect(exercise.calls.map(({ reading }) => reading)).toEqual(Array(5).fill('whole'));
    expect(new Set(exercise.questions.map(({ call }) => call))).toEqual(new Set([1, 2, 3, 4, 5]));
  });

  it('tells of each exercise as it is done, and names its files', () => {
    const told: string[] = [];
    const paper = makePaper({ ...vhf({}), pictures: true }, ({ file }) => told.push(file));
    expect(told).toEqual(['01.wav']);
    expect(paperFiles(paper).map(({ name }) => name)).toEqual([
      '01.wav',
      'questions.html',
      'questions.json',
      'questions.csv',
      'answers.html',
      'answers.json',
      'answers.csv',
      'candidates.csv',
      'plan.json',
    ]);
  });

  it('loses the characters of a damaged field and nothing else', () => {
    const { calls, questions } = positionLost;
    expect(calls[0]).toMatchObject({ reading: 'damaged', lost: 'position' });
    // The position stands behind format specifier twice, self-ID and nature, in characters 8 to 12 (M.493 §8.1).
    const lost = (calls[0].received ?? []).flatMap(([dx, rx], i) => (dx === null && rx === null ? [i] : []));
    expect(lost).toHaveLength(2);
    expect(lost.every((i) => i >= 8 && i <= 12)).toBe(true);
    const right = (topic: string) => {
      const question = questions.find((each) => each.topic === topic);
      return question?.choices.find(({ letter }) => letter === question.answer)?.text;
    };
    expect(right('position')).toMatch(/cannot be read/);
    expect(right('lost')).toBe('the position');
    expect(right('nature')).toBe('fire or explosion');
  });

  it('offers for a lost position only what agrees with its readable characters, and no choice less', () => {
    const { calls, questions } = positionLost;
    const asked = questions.find(({ topic }) => topic === 'position');
    const read = (calls[0].received ?? []).slice(8, 13).map(([dx, rx]) => dx ?? rx);
    const positions = (asked?.choices ?? []).slice(0, -1).map(({ text }) => {
      const [, north, northMinutes, side, east, eastMinutes, eastSide] =
        /^(\d\d)°(\d\d)′([NS]) (\d{3})°(\d\d)′([EW])$/.exec(text) ?? [];
      // Quadrant, degrees and minutes, two digits a character (M.493 §8.1.2, from memory).
      const digits = `${['NE', 'NW', 'SE', 'SW'].indexOf(side + eastSide)}${north}${northMinutes}${east}${eastMinutes}`;
      return (digits.match(/../g) ?? []).map(Number);
    });
    expect(positions).toHaveLength(3);
    for (const characters of positions) {
      expect(characters).toEqual(read.map((symbol, i) => symbol ?? characters[i]));
      expect(characters).not.toEqual(calls[0].symbols.slice(7, 12));
    }
    const numbers = questions.filter(({ topic }) => ['from', 'nature', 'position', 'time'].includes(topic));
    expect(new Set(numbers.map(({ choices }) => choices.length))).toEqual(new Set([4]));
  });

  it.each(['self', 'nature', 'time', 'followOn'])('asks about a call whose %s is lost', (field) => {
    const { calls, questions } = makePaper(vhf({ damaged: [field] })).exercises[0];
    expect(calls[0]).toMatchObject({ reading: 'damaged' });
    expect(questions.length).toBeGreaterThan(4);
  });

  it('cannot be had where the noise is too strong, or where what is to be hidden is plain', () => {
    const exercise = { frequencyHz: 156_525_000, seed: 3 };
    const deaf: PaperPlan = {
      exercises: [{ ...exercise, calls: [{ call: ALERT }], conditions: [{ kind: 'noise', snrDb: -30 }] }],
    };
    expect(() => makePaper(deaf)).toThrow(/^exercises\[0\]: .*was not read/);
    const plain: PaperPlan = {
      exercises: [{ ...exercise, calls: [{ call: ALERT, readable: false }, { call: ALERT }] }],
    };
    expect(() => makePaper(plain)).toThrow(/^exercises\[0\]: .*was read, though it was to be unreadable/);
  });
});

describe('drawn calls', () => {
  const BANDS: readonly MaritimeBand[] = ['VHF', '2 MHz', '8 MHz', '16 MHz'];

  it.each(CALL_KINDS)(
    '%s keeps the rules of its kind on every band, and can be asked about',
    (kind: TableKind) => {
      for (const band of BANDS) {
        for (const variant of variantsOf(kind)) {
          const [contents] = drawContents(createDraw(KEY, `${kind} ${variant.to} ${band}`), band);
          const call = makeCall(variant, contents, band);
          const frequencyHz = frequencyFor(call, band);
          const problems = checkCall(call, { band: radioOf(frequencyHz), frequencyHz }).filter(
            // The digits 299 are not allocated, on purpose.
            ({ rule, level }) => level === 'error' || !rule.includes('identification digits are allocated'),
          );
          expect({ call, problems }).toEqual({ call, problems: [] });
          expect(call.kind).toBe(kind);
        }
      }
    },
  );

  it('lie in open sea, in all four quadrants', () => {
    const positions = Array.from({ length: 50 }, (_, i) => drawContents(createDraw(KEY, `sea ${i}`), 'VHF'))
      .flat()
      .map(({ position }) => position)
      .filter((position) => typeof position === 'object' && 'latitude' in position);
    const quadrants = positions.map(
      ({ latitude, longitude }) => `${Math.sign(latitude)}${Math.sign(longitude)}`,
    );
    expect(new Set(quadrants).size).toBe(4);
  });
});

describe('questions', () => {
  /** A call as if it was received whole. */
  const heard = (call: Call) => {
    const paper = makePaper({
      exercises: [{ frequencyHz: 156_525_000, calls: [{ call }] }],
      sampleRate: 8000,
      pictures: false,
      secret: SECRET,
    });
    return paper.exercises[0].questions;
  };

  it('suit what the call carries', () => {
    // What follows is asked where it happens to differ between the versions.
    const topics = (call: Call) =>
      heard(call)
        .map(({ topic }) => topic)
        .filter((topic) => topic !== 'follow');
    expect(topics(ALERT)).toEqual([
      'kind',
      'from',
      'casualty',
      'nature',
      'position',
      'time',
      'acknowledgement',
      'next',
    ]);
    expect(topics({ kind: 'testCall', to: { station: '299123456' }, self: '002991234' })).toEqual([
      'kind',
      'from',
      'acknowledgement',
      'next',
    ]);
  });

  it('say that a relay to the own ship is acknowledged by it, a ship’s to all by coast stations, a coast station’s by none', () => {
    const { self: casualty, nature, position, time, followOn } = ALERT;
    const relay = (to: 'allShips' | { station: string }, self = '002991234'): Call => ({
      kind: 'distressRelay',
      to,
      self,
      casualty,
      nature,
      position,
      time,
      followOn,
    });
    const due = (call: Call) => {
      const question = heard(call).find(({ topic }) => topic === 'acknowledgement');
      return question?.choices.find(({ letter }) => letter === question.answer)?.text;
    };
    expect(due(relay({ station: '299123456' }))).toBe('Yes: from you');
    expect(due(relay({ station: '299204518' }))).toBe('Yes: from the called station, which is not you');
    expect(due(relay('allShips'))).toMatch(/^No: it acknowledges no other/);
    expect(due(relay('allShips', '299204518'))).toBe('Yes: from a coast station, to the ship that sent it');
  });
});
