/** Calls to the own station that ask for an answer: what is told and offered, until when, and how it is answered. */
import { describe, expect, it } from 'vitest';
import type { Call } from '../../src/calls/index.js';
import { acknowledgementOf, choicesFor, dueAt } from '../../src/procedures/index.js';
import { refusal } from '../refusal.js';
import { COAST, MF, MINUTE, OTHER, SHIP, VHF, received as receivedOn } from './calls.js';
import { Host, NOON, choose } from './host.js';

/** 20 dots and (6 + 25) · 20 bits at 1200 Bd, in whole milliseconds. */
const ON_VHF = 533;

const routine = (to: string): Call => ({
  kind: 'routineCall',
  to: { station: to },
  self: OTHER,
  telecommand1: 'f3e',
  telecommand2: 'none',
  message: { receive: { vhfChannel: 72 }, transmit: 'none' },
});
const test = (to: string): Call => ({ kind: 'testCall', to: { station: to }, self: OTHER });

const received = (call: Call, frequencyHz = VHF) => receivedOn(call, frequencyHz);
const id = (host: Host) => host.state.exchanges.at(-1)?.id ?? -1;
const phases = (host: Host) => host.all('phase').map(({ at, to, rule }) => [at, to, rule]);
const told = (host: Host) => host.all('tell').map(({ at, notice, rule }) => [at, notice, rule]);
const choice = (name: string, rule: string) => ({ choice: name, kind: 'incoming', from: 0, rule });

const ABLE = choice('able', 'individualAcknowledged');
const UNABLE = choice('unable', 'unable');
const PROPOSE = choice('propose', 'otherChannel');
const STOP = choice('stop', 'operator');
const AGAIN = choice('again', 'individualAcknowledged');

// M541-8 Annex 1 §4; JP567; M.541 Annex 3 §4 (from memory).
describe('a call that asks for an answer', () => {
  it('is told, and may be answered, refused, answered with another channel or left', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    expect(phases(host)).toEqual([[0, 'open', 'individualAcknowledged']]);
    expect(told(host)).toEqual([
      [0, { type: 'call', call: routine(SHIP), trust: 'sure' }, 'individualAcknowledged'],
    ]);
    expect(host.all('offer')).toMatchObject([
      { exchange: id(host), choices: [ABLE, UNABLE, PROPOSE, STOP], rule: 'individualAcknowledged' },
    ]);
  });

  it('that proposes nothing can only be answered or left: a test has nothing to refuse', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(test(SHIP)));
    expect(host.all('offer')).toMatchObject([{ choices: [ABLE, STOP] }]);
  });

  // Ships: 5 min (common practice, no source); coast stations: 4½ min (M.541 Annex 2, from memory).
  it.each([
    ['a ship', SHIP, {}, 5 * MINUTE],
    ['a coast station', COAST, {}, 4.5 * MINUTE],
    ['a ship that waits two minutes', SHIP, { answerLimitMs: 2 * MINUTE }, 2 * MINUTE],
    ['a ship that would wait an hour', SHIP, { answerLimitMs: 60 * MINUTE }, 5 * MINUTE],
  ])('is left alone in the end by %s, which is told', (_, identity, timing, limit) => {
    const host = new Host({ identity, timing });
    host.give(received(routine(identity)));
    expect(dueAt(host.state)).toBe(NOON + limit);
    expect(host.done.at(-1)?.action).toEqual({
      type: 'timer',
      exchange: id(host),
      at: NOON + limit,
      rule: 'answerLimit',
    });
    host.run(limit);
    expect(phases(host).at(-1)).toEqual([limit, 'expired', 'answerLimit']);
    expect(told(host).at(-1)).toEqual([limit, { type: 'expired' }, 'answerLimit']);
    expect(choicesFor(host.state, id(host))).toEqual([]);
    expect(dueAt(host.state)).toBeUndefined();
    expect(choose(host, 'able')).toMatchObject([
      { type: 'refuse', refusal: { type: 'notOffered', phase: 'expired' }, rule: 'onlyWhatIsOffered' },
    ]);
  });

  it('that comes again is one call, told as such, answered where it last came and later', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(test(SHIP), MF));
    host.run(2 * MINUTE);
    host.give(received(test(SHIP), VHF));
    expect(host.state.exchanges).toMatchObject([
      { received: 2, frequencyHz: VHF, receivedAt: NOON + 2 * MINUTE, expiresAt: NOON + 7 * MINUTE },
    ]);
    expect(told(host).at(-1)).toEqual([2 * MINUTE, { type: 'sameCall' }, 'individualAcknowledged']);
    expect(host.all('offer').at(-1)).toMatchObject({ choices: [ABLE, STOP] });
    choose(host, 'able');
    expect(host.all('transmit')).toMatchObject([{ frequencyHz: VHF }]);
  });

  it('is another call where it says something else', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    host.give(received({ ...routine(SHIP), telecommand2: 'noReason' } as Call));
    expect(host.state.exchanges).toHaveLength(2);
  });

  it('is left by hand, and comes as a new call after that', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    choose(host, 'stop');
    expect(phases(host).at(-1)).toEqual([0, 'closed', 'operator']);
    expect(choicesFor(host.state, id(host))).toEqual([]);
    expect(dueAt(host.state)).toBeUndefined();
    host.give(received(routine(SHIP)));
    expect(host.state.exchanges.map(({ phase }) => phase)).toEqual(['closed', 'open']);
  });
});

describe('the answer', () => {
  const otherChannel = { receive: { vhfChannel: 8 }, transmit: 'none' } as const;

  it.each([
    ['able', {}, { type: 'able' } as const, 'individualAcknowledged', routine(SHIP)],
    ['unable', {}, { type: 'unable', reason: 'noReason' } as const, 'unable', undefined],
    ['unable', { reason: 'disabled' }, { type: 'unable', reason: 'disabled' } as const, 'unable', undefined],
    [
      'propose',
      { message: otherChannel },
      { type: 'propose', message: otherChannel } as const,
      'otherChannel',
      { ...routine(SHIP), message: otherChannel },
    ],
    [
      'propose',
      { message: otherChannel, telecommand1: 'data' },
      { type: 'propose', message: otherChannel, telecommand1: 'data' } as const,
      'otherChannel',
      { ...routine(SHIP), message: otherChannel, telecommand1: 'data' },
    ],
  ])('is %s %j, and both go where it says', (name, more, answer, rule, agreed) => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    host.runTo(10);
    choose(host, name, more);
    const call = acknowledgementOf(routine(SHIP), answer, { self: SHIP });
    expect(host.all('transmit')).toMatchObject([{ at: 10_000, call, frequencyHz: VHF, repeat: 1, rule }]);
    host.runTo(20);
    expect(phases(host).slice(1)).toEqual([
      [10_000, 'answering', rule],
      [10_000 + ON_VHF, 'answered', 'individualAcknowledged'],
    ]);
    expect(host.all('watch')).toMatchObject(
      agreed === undefined
        ? []
        : [{ call: agreed, frequencyHz: VHF, side: 'called', rule: 'individualAcknowledged' }],
    );
    expect(choicesFor(host.state, id(host))).toEqual([AGAIN]);
    expect(dueAt(host.state)).toBeUndefined();
  });

  it('needs channels where it proposes others', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    expect(refusal(() => choose(host, 'propose'))).toMatchObject({
      field: 'message',
      expected: 'the working channels to propose',
    });
  });

  it('to a test leads nowhere by voice (M.493 §8.5, from memory)', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(test(SHIP)));
    choose(host, 'able');
    host.runTo(5);
    expect(phases(host).at(-1)).toEqual([ON_VHF, 'answered', 'individualAcknowledged']);
    expect(host.all('watch')).toEqual([]);
  });

  it('of a coast station waits five seconds from the call (M.541 Annex 2, from memory)', () => {
    const host = new Host({ identity: COAST });
    host.give(received(routine(COAST)));
    host.runTo(2);
    choose(host, 'able');
    expect(choicesFor(host.state, id(host))).toEqual([STOP]);
    expect(dueAt(host.state)).toBe(NOON + 5000);
    host.runTo(6);
    expect(host.all('transmit')).toMatchObject([{ at: 5000 }]);
  });

  it('is taken back by hand while it waits, and broken off on the air', () => {
    const waiting = new Host({ identity: COAST });
    waiting.give(received(routine(COAST)));
    choose(waiting, 'able');
    waiting.runTo(2);
    choose(waiting, 'stop');
    waiting.runTo(60);
    expect(waiting.all('transmit')).toEqual([]);
    expect(phases(waiting).at(-1)).toEqual([2000, 'closed', 'operator']);
    const sending = new Host({ identity: SHIP });
    sending.give(received(test(SHIP), MF));
    choose(sending, 'able');
    sending.runTo(1);
    expect(choicesFor(sending.state, id(sending))).toEqual([STOP]);
    choose(sending, 'stop');
    expect(sending.all('cease')).toMatchObject([{ at: 1000, rule: 'operator' }]);
    sending.runTo(60);
    expect(sending.all('transmit')).toHaveLength(1);
    expect(phases(sending).at(-1)).toEqual([1000, 'closed', 'operator']);
    expect(told(sending)).toHaveLength(1);
  });

  it('is given again as it was', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    choose(host, 'unable', { reason: 'busy' });
    host.runTo(30);
    choose(host, 'again');
    host.runTo(60);
    const [first, second] = host.all('transmit');
    expect(second).toMatchObject({ at: 30_000, call: first.call, rule: 'individualAcknowledged' });
  });

  it('that was cut off is told, and the call is open again', () => {
    const host = new Host({ identity: SHIP });
    host.give(received(routine(SHIP)));
    choose(host, 'able');
    host.give({ type: 'unsent', transmission: host.all('transmit')[0].transmission });
    expect(phases(host).at(-1)).toEqual([0, 'open', 'listenFirst']);
    expect(told(host).at(-1)).toEqual([0, { type: 'acknowledgementUnsent' }, 'listenFirst']);
    expect(host.all('offer').at(-1)).toMatchObject({
      choices: [ABLE, UNABLE, PROPOSE, STOP],
      rule: 'listenFirst',
    });
    expect(host.all('watch')).toEqual([]);
    expect(dueAt(host.state)).toBe(NOON + 5 * MINUTE);
  });
});

// M.493 Annex 1 and M.541 Annex 3 §5 (from memory).
describe('an automatic answer', () => {
  const position = { latitude: 48.5, longitude: -12.25 };
  const asks = {
    ...routine(SHIP),
    telecommand1: 'position',
    message: { receive: 'none', transmit: 'none' },
  } as Call;

  it.each<[string, object, Call, boolean]>([
    ['a test', { test: true }, test(SHIP), true],
    ['a test', { position: true, polling: true }, test(SHIP), false],
    ['a routine call', { test: true, position: true, polling: true }, routine(SHIP), false],
    ['a routine call that asks for the position', { position: true }, asks, true],
    ['a routine call that asks for the position', { test: true, polling: true }, asks, false],
    ['a polling', { polling: true }, { ...test(SHIP), kind: 'pollingRequest' } as Call, true],
    ['a position request', { position: true }, { ...test(SHIP), kind: 'positionRequest' } as Call, true],
    ['a position request', { test: true }, { ...test(SHIP), kind: 'positionRequest' } as Call, false],
  ])('to %s, where %j is allowed: %o', (_, automatic, call, isAnswered) => {
    const host = new Host({ identity: SHIP, automatic });
    host.give({ type: 'position', position, time: '11:40' });
    host.give(received(call));
    expect(host.all('transmit').map(({ rule }) => rule)).toEqual(isAnswered ? ['automatic'] : []);
    expect(host.all('offer')).toHaveLength(isAnswered ? 0 : 1);
  });
});
