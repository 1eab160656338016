/** The person at the set, with their answers given beforehand. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import {
  createPlay,
  parseScenario,
  type SimulationEvent,
  type ScenarioStation,
} from '../../src/simulation/index.js';

interface Question {
  readonly message: string;
  readonly choices?: readonly { name: string; value: unknown; disabled?: string | false }[];
}

const asked: Question[] = [];
let answers: unknown[] = [];
const answer = (question: Question): Promise<unknown> => {
  asked.push(question);
  if (answers.length === 0) throw new Error(`no answer to: ${question.message}`);
  return Promise.resolve(answers.shift());
};
vi.mock('@inquirer/select', () => ({ default: answer }));
vi.mock('@inquirer/input', () => ({ default: answer }));

const { HumanOperator } = await import('../../src/cli/rehearse/humanoperator.js');
const { View } = await import('../../src/cli/rehearse/view.js');
const { screenOf } = await import('../../src/cli/terminal.js');

const SHIP = '299000111';
const OTHER = '299000222';
const COAST = '002990001';
const VHF = 156_525_000;
const START = Date.parse('2031-05-17T12:00:00Z');

const routine: Call = {
  kind: 'routineCall',
  to: { station: SHIP },
  self: OTHER,
  telecommand1: 'f3e',
  telecommand2: 'none',
  message: { receive: { vhfChannel: 72 }, transmit: 'none' },
};

function setUp(own: string, call: Call, more: object = {}) {
  const station = (identity: string): ScenarioStation => ({
    identity,
    name: `Station ${identity}`,
    watch: [VHF],
  });
  const scenario = parseScenario({
    title: 'A part to play',
    start: '2031-05-17T12:00:00Z',
    durationSeconds: 120,
    own,
    stations: [SHIP, OTHER, COAST].map(station),
    events: [{ at: 1, station: (call as { self: string }).self, do: 'call', call, frequencyHz: VHF }],
    ...more,
  });
  const play = createPlay(scenario, { manual: [own] });
  const view = new View(scenario, screenOf(process.stdout), { verbose: false });
  const humanOperator = new HumanOperator(play, view);
  /** Lets time pass and the person answer. */
  const run = async (seconds: number): Promise<SimulationEvent[]> => {
    const all: SimulationEvent[] = [];
    const take = async (happened: readonly SimulationEvent[]): Promise<void> => {
      for (const event of happened) {
        all.push(event);
        await take(await humanOperator.take(event));
      }
    };
    const until = START + seconds * 1000;
    for (;;) {
      const moments = [play.next(), humanOperator.next()].filter((at) => at !== undefined && at <= until);
      if (moments.length === 0) return all;
      await take(play.advance(Math.min(...(moments as number[]))));
      await take(await humanOperator.remind());
    }
  };
  return { play, run };
}

const sentBy = (happened: readonly SimulationEvent[], station: string) =>
  happened.flatMap((each) => (each.type === 'sending' && each.station === station ? [each.call] : []));

beforeEach(() => {
  asked.length = 0;
  answers = [];
});

describe('the person at the set', () => {
  it('complies', async () => {
    answers = ['able'];
    const { run } = setUp(SHIP, routine);
    expect(sentBy(await run(10), SHIP)).toMatchObject([
      { kind: 'routineAcknowledgement', telecommand1: 'f3e' },
    ]);
    expect(asked[0].message).toContain('Routine call from Station 299000222');
    expect(asked[0].choices?.map(({ value }) => value)).toEqual([
      'able',
      'unable',
      'propose',
      'stop',
      'compose',
      'later',
    ]);
  });

  it('refuses with a reason', async () => {
    answers = ['unable', 'operatorAway'];
    const { run } = setUp(SHIP, routine);
    expect(sentBy(await run(10), SHIP)).toMatchObject([
      { telecommand1: 'unable', telecommand2: 'operatorAway' },
    ]);
  });

  it('proposes another channel', async () => {
    answers = ['propose', 'vhf 8'];
    const { run } = setUp(SHIP, routine);
    expect(sentBy(await run(10), SHIP)).toMatchObject([{ message: { receive: { vhfChannel: 8 } } }]);
    const { validate } = asked[1] as unknown as { validate: (text: string) => unknown };
    expect(validate('vhf 8')).toBe(true);
    expect(validate('the usual one')).toContain('expected');
  });

  it('waits and is asked again', async () => {
    answers = ['later', 'able'];
    const { run } = setUp(SHIP, routine);
    const happened = await run(40);
    const heard = happened.find((each) => each.type === 'received' && each.station === SHIP);
    const sent = happened.find((each) => each.type === 'sending' && each.station === SHIP);
    expect(sent && heard && sent.time - heard.time).toBe(20_000);
    expect(asked).toHaveLength(2);
  });

  it('follows the script or leaves it', async () => {
    const own: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
    answers = ['do'];
    expect(sentBy(await setUp(SHIP, own).run(10), SHIP)).toEqual([own]);
    answers = ['later'];
    expect(sentBy(await setUp(SHIP, own).run(10), SHIP)).toEqual([]);
    expect(asked[0].message).toContain('send: Test call from Station 299000111');
  });

  it('cannot choose what it is too early for', async () => {
    const events = [
      { at: 1, station: OTHER, do: 'distress', nature: 'fire', followOn: 'f3e', frequencies: [VHF] },
    ];
    const choicesOf = async (own: string) => {
      asked.length = 0;
      answers = ['stop'];
      await setUp(own, routine, { events }).run(3);
      return new Map(asked[0].choices?.map(({ value, disabled }) => [value, disabled]));
    };
    const ship = await choicesOf(SHIP);
    // A ship is asked whether it consulted a coast station, and whether a relay is necessary (FCC80 §80.1117(a)).
    expect(ship.get('acknowledge')).toBe(false);
    expect(ship.get('relay')).toBe(false);
    const coast = await choicesOf(COAST);
    expect(coast.get('acknowledge')).toBe(false);
    expect(coast.get('relay')).toBe(false);
  });

  it('confirms what a choice needs, or is refused by the rule', async () => {
    const events = [
      { at: 1, station: OTHER, do: 'distress', nature: 'fire', followOn: 'f3e', frequencies: [VHF] },
      { at: 4, station: OTHER, do: 'choose', choice: 'stop' },
    ];
    answers = ['acknowledge', false];
    const refused = await setUp(SHIP, routine, { events }).run(10);
    expect(sentBy(refused, SHIP)).toEqual([]);
    expect(refused.some((each) => each.type === 'action' && each.action.type === 'refuse')).toBe(true);
    expect(asked[1].message).toContain('consult');
    answers = ['acknowledge', true];
    const { run } = setUp(SHIP, routine, { events });
    expect(sentBy(await run(10), SHIP)).toMatchObject([{ kind: 'distressAcknowledgement' }]);
  });

  it('composes a call freely in place of the script', async () => {
    const own: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
    answers = ['compose', 'routineCall', { station: OTHER }, VHF, '72'];
    expect(sentBy(await setUp(SHIP, own).run(5), SHIP)).toEqual([
      {
        kind: 'routineCall',
        to: { station: OTHER },
        self: SHIP,
        telecommand1: 'f3e',
        telecommand2: 'none',
        message: { receive: { vhfChannel: 72 }, transmit: 'none' },
      },
    ]);
    expect(asked.map(({ message }) => message.split(' ').slice(0, 3).join(' '))).toEqual([
      'The script has',
      'What do you',
      'To whom?',
      'On which DSC',
      'Which working frequency',
    ]);
    asked.length = 0;
    const six = [2_187_500, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500];
    answers = ['compose', 'distress', 'sinking', six, 'later'];
    const sent = (await setUp(SHIP, own).run(45)).flatMap((each) => (each.type === 'sending' ? [each] : []));
    expect(sent.map(({ frequencyHz }) => frequencyHz)).toEqual(six);
    expect(sent[0].call).toMatchObject({ kind: 'distressAlert', nature: 'sinking' });
    const last = asked.find(({ message }) => message === 'On which frequency?')?.choices ?? [];
    expect(last.map(({ value }) => value)).toContainEqual(six);
    expect(last.map(({ value }) => value)).toContainEqual([VHF]);
  });

  it('chooses whom to relay to', async () => {
    const events = [
      { at: 1, station: OTHER, do: 'distress', nature: 'fire', followOn: 'f3e', frequencies: [VHF] },
      { at: 5, station: OTHER, do: 'choose', choice: 'stop' },
    ];
    answers = ['relay', 'allShips'];
    const { run } = setUp(COAST, routine, { events });
    expect(sentBy(await run(10), COAST)).toMatchObject([
      { kind: 'distressRelay', to: 'allShips', casualty: OTHER },
    ]);
    expect(asked[1].choices?.map(({ name }) => name)).toEqual([`Station ${COAST}`, 'All ships']);
  });
});
