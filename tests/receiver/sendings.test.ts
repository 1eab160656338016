import { describe, expect, it } from 'vitest';
import { encodeCall, type DistressAlert } from '../../src/calls/index.js';
import type { Band } from '../../src/symbols/index.js';
import {
  addToAttempts,
  createAttemptNumbering,
  groupAttempts,
  receiveCalls,
  type AttemptGroup,
  type ReceivedCall,
} from '../../src/receiver/index.js';
import { impair, mix, transmit } from '../scenes/transmission.js';

const sampleRate = 8000;
const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
const OTHER: DistressAlert = { ...ALERT, self: '299765432' };

function attempt(call: DistressAlert, dotsBefore: 'first' | 'each', band: Band = 'mf-hf'): Float32Array {
  return transmit(encodeCall(call).symbols, { sampleRate, band, repeat: 5, dotsBefore, before: 0, after: 0 });
}

function receive(
  parts: readonly { audio: Float32Array; at: number }[],
  band: Band = 'mf-hf',
): ReceivedCall[] {
  const end = Math.max(...parts.map(({ audio, at }) => at + audio.length / sampleRate)) + 1;
  const audio = mix(sampleRate, [{ audio: new Float32Array(Math.round(end * sampleRate)) }, ...parts]);
  const noisy = impair(audio, sampleRate, 4, [{ kind: 'noise', snrDb: 25 }]);
  return receiveCalls(noisy, { sampleRate, bands: [band], centreHz: 1700, searchHz: 100 });
}

const attempts = (calls: readonly ReceivedCall[]) =>
  calls.map((call) => [call.attempt.id, call.attempt.sending]);

describe('sendings of one attempt', () => {
  it.each<[string, 'first' | 'each', Band, number]>([
    // Five calls of 7.2 s with 200 dots before each, of 5.2 s without.
    ['7.2', 'each', 'mf-hf', 7.2],
    ['5.2', 'first', 'mf-hf', 5.2],
    // 540 bits with their 20 dots at 1200 Bd.
    ['0.45', 'each', 'vhf', 0.45],
  ])('%s s apart are numbered', (_, dotsBefore, band, apart) => {
    const calls = receive([{ audio: attempt(ALERT, dotsBefore, band), at: 1 }], band);
    expect(attempts(calls)).toEqual([1, 2, 3, 4, 5].map((sending) => [1, sending]));
    calls.slice(1).forEach((call, i) => {
      expect(call.start - calls[i].start).toBeCloseTo(apart, 1);
    });
  });

  it(
    'are one attempt however many of its middle are missed, and another one after minutes',
    { timeout: 30_000 },
    () => {
      const whole = attempt(ALERT, 'each');
      const holed = whole.slice();
      holed.fill(0, 7.2 * sampleRate, 4 * 7.2 * sampleRate);
      // Attempts are repeated after 3.5 to 4.5 minutes (ITU-R M.541).
      const calls = receive([
        { audio: holed, at: 1 },
        { audio: whole, at: 1 + 210 },
      ]);
      expect(attempts(calls)).toEqual([
        [1, 1],
        [1, 2],
        [2, 1],
        [2, 2],
        [2, 3],
        [2, 4],
        [2, 5],
      ]);
    },
  );

  it('of two ships are two attempts', () => {
    const one = transmit(encodeCall(ALERT).symbols, { sampleRate, before: 0, after: 0 });
    const other = transmit(encodeCall(OTHER).symbols, { sampleRate, before: 0, after: 0 });
    const calls = receive([
      { audio: one, at: 1 },
      { audio: other, at: 9 },
      { audio: one, at: 17 },
      { audio: other, at: 25 },
    ]);
    expect(attempts(calls)).toEqual([
      [1, 1],
      [2, 1],
      [1, 2],
      [2, 2],
    ]);
    const groups = groupAttempts(calls);
    expect(groups.map(({ id, sendings }) => [id, sendings.length])).toEqual([
      [1, 2],
      [2, 2],
    ]);
  });
});

describe('groups of sendings', () => {
  const facts = { symbols: [1, 2, 3], baud: 100, inverted: false, centreHz: 1700 };
  const number = createAttemptNumbering();
  const calls = [0.1, 0.001, 0.01].map((errorProbability, i) => {
    const call = { ...facts, start: 3 + 7.2 * i, end: 8.2 + 7.2 * i, errorProbability };
    return { ...call, attempt: number(call) };
  });

  it('tell from when to when they went, and which is the surest', () => {
    expect(groupAttempts(calls)).toEqual([{ id: 1, start: 3, end: 22.6, sendings: calls, best: calls[1] }]);
  });

  it('grow as calls come, and leave those before as they were', () => {
    let groups: AttemptGroup<(typeof calls)[number]>[] = [];
    const steps = calls.map((call) => (groups = addToAttempts(groups, call)));
    expect(steps.map(([group]) => group.sendings.length)).toEqual([1, 2, 3]);
    expect(steps.at(-1)).toEqual(groupAttempts(calls));
  });

  it.each([
    ['other characters', { symbols: [1, 2, 4] }],
    ['another bit rate', { baud: 1200 }],
    ['swapped tones', { inverted: true }],
    ['another centre', { centreHz: 1760 }],
    ['the same time', { start: 5 }],
  ])('are other ones with %s', (_, change) => {
    const own = createAttemptNumbering();
    expect(own({ ...facts, start: 3, end: 8.2 })).toEqual({ id: 1, sending: 1 });
    expect(own({ ...facts, start: 10.2, end: 15.4, ...change })).toEqual({ id: 2, sending: 1 });
  });

  it('are other ones on another channel', () => {
    const own = createAttemptNumbering();
    expect(own({ ...facts, start: 3, end: 8.2 }, 0).id).toBe(1);
    expect(own({ ...facts, start: 3, end: 8.2 }, 1).id).toBe(2);
    expect(own({ ...facts, start: 10.2, end: 15.4 }, 0)).toEqual({ id: 1, sending: 2 });
    expect(own({ ...facts, start: 10.2, end: 15.4 }, 1)).toEqual({ id: 2, sending: 2 });
  });
});
