/** A station that answers over a cable: the audio that comes back for the audio that goes in. */
import { describe, expect, it } from 'vitest';
import type { Call, DistressAlert } from '../../src/calls/index.js';
import { DotphaseError } from '../../src/errors.js';
import type { Band } from '../../src/symbols/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import {
  createAnsweringStation,
  type AnsweringEvent,
  type AnsweringOptions,
} from '../../src/simulation/index.js';
import { callAudio } from '../../src/simulation/sound.js';

const SHIP = '299000111';
const COAST = '002990001';
const MF = 2_187_500;
const VHF = 156_525_000;
const RATE = 12_000;
const START = Date.UTC(2031, 4, 17, 12);

const test: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const alert: DistressAlert = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'fire',
  position: 'none',
  time: 'none',
  followOn: 'f3e',
};

/** Calls on the air at so many seconds, then silence to the end. */
function track(
  seconds: number,
  sent: readonly (readonly [number, Call])[],
  frequencyHz: number,
): Float32Array {
  const samples = new Float32Array(seconds * RATE);
  for (const [at, call] of sent) samples.set(callAudio(call, { sampleRate: RATE, frequencyHz }), at * RATE);
  return samples;
}

function answerTo(input: Float32Array, options: Partial<AnsweringOptions> = {}, block = 4321) {
  const events: AnsweringEvent[] = [];
  const bands: Band[] = options.bands ? [...options.bands] : ['vhf'];
  const station = createAnsweringStation({
    identities: [COAST],
    sampleRate: RATE,
    start: START,
    bands,
    onEvent: (event) => events.push(event),
    ...options,
  });
  const pieces: Float32Array[] = [];
  for (let at = 0; at < input.length; at += block) pieces.push(station.push(input.subarray(at, at + block)));
  const inStep = pieces.reduce((sum, piece) => sum + piece.length, 0);
  pieces.push(station.flush());
  const out = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    out.set(piece, at);
    at += piece.length;
  }
  return { out, inStep, events, answers: receiveCalls(out, { sampleRate: RATE, bands, centreHz: 1700 }) };
}

/** Seconds of the first sample that is not silence. */
const onset = (samples: Float32Array) => samples.findIndex((sample) => sample !== 0) / RATE;

describe('a station over a cable', () => {
  it('answers a test call after the delay, in step with what it hears', () => {
    const { out, inStep, answers } = answerTo(track(9, [[0.5, test]], VHF), { delaySeconds: 6 });
    expect(inStep).toBe(9 * RATE);
    expect(out.length).toBe(9 * RATE);
    expect(answers.map(({ call }) => call)).toEqual([
      { kind: 'testAcknowledgement', to: { station: SHIP }, self: COAST },
    ]);
    // 20 dots and (6 + 25) · 20 bits at 1200 Bd: 0.5333 s after its beginning the call is over.
    expect(onset(out)).toBeCloseTo(0.5 + 640 / 1200 + 6, 2);
  });

  it('answers as a coast station no sooner than 5 s after the call (M.541 Annex 2, from memory)', () => {
    const { out } = answerTo(track(8, [[0.5, test]], VHF), { delaySeconds: 0 });
    expect(onset(out)).toBeCloseTo(0.5 + 640 / 1200 + 5, 2);
  });

  it('finishes its answer when the input ends first', () => {
    const { out, inStep, answers } = answerTo(track(1.3, [[0.5, test]], VHF), { delaySeconds: 7 });
    expect(inStep).toBe(Math.floor(1.3 * RATE));
    expect(out.length).toBeGreaterThan(inStep);
    expect(answers).toHaveLength(1);
    expect(onset(out)).toBeCloseTo(0.5 + 640 / 1200 + 7, 2);
  });

  it('gives the same however the input is cut', () => {
    const input = track(4, [[0.5, test]], VHF);
    expect(answerTo(input, {}, 100).out).toEqual(answerTo(input, {}, 48_000).out);
  });

  it('answers on MF what comes at 100 Bd', () => {
    const bands = ['mf-hf'] as const;
    const { answers, events } = answerTo(track(18, [[0.5, test]], MF), { bands });
    expect(answers.map(({ call }) => call.kind)).toEqual(['testAcknowledgement']);
    expect(events.find((event) => event.type === 'answering')).toMatchObject({ frequencyHz: MF });
  });

  it('complies, refuses and reports where it is', () => {
    const routine: Call = {
      kind: 'routineCall',
      to: { station: COAST },
      self: SHIP,
      telecommand1: 'f3e',
      telecommand2: 'none',
      message: { receive: { vhfChannel: 26 }, transmit: 'none' },
    };
    const request: Call = { kind: 'positionRequest', to: { station: COAST }, self: SHIP };
    const input = track(
      11,
      [
        [0.5, routine],
        [6, request],
      ],
      VHF,
    );
    const position = { position: { latitude: 48.5, longitude: -12.25 }, time: '11:40' } as const;
    const able = answerTo(input, { position }).answers.map(({ call }) => call);
    expect(able).toMatchObject([
      { kind: 'routineAcknowledgement', telecommand1: 'f3e', message: { receive: { vhfChannel: 26 } } },
      { kind: 'positionReport', ...position },
    ]);
    const unable = answerTo(input, { unable: 'noOperator' }).answers.map(({ call }) => call);
    expect(unable).toMatchObject([
      { kind: 'routineAcknowledgement', telecommand1: 'unable', telecommand2: 'noOperator' },
      { kind: 'positionReport', position: 'none' },
    ]);
  });

  it('never sends while sending: two identities take turns', () => {
    const other = '002990002';
    const input = track(
      8,
      [
        [0.5, test],
        [1.1, { ...test, to: { station: other } }],
      ],
      VHF,
    );
    // The answer to the second call would be due while the first one's is on the air.
    const { answers } = answerTo(input, { identities: [COAST, other], delaySeconds: 1 });
    expect(answers.map(({ call }) => 'self' in call && call.self)).toEqual([COAST, other]);
    expect(answers[1].start).toBeGreaterThan(answers[0].end - 0.05);
  });

  it('answers nobody else’s calls, and not itself', () => {
    const calls: Call[] = [
      { ...test, to: { station: '002990009' } },
      { kind: 'testAcknowledgement', to: { station: COAST }, self: SHIP },
      { kind: 'testCall', to: { station: COAST }, self: COAST },
    ];
    const input = track(
      8,
      calls.map((call, i) => [0.5 + 2 * i, call]),
      VHF,
    );
    const { out, events } = answerTo(input);
    expect(events.filter(({ type }) => type === 'received')).toHaveLength(3);
    expect(onset(out)).toBeLessThan(0);
  });

  it('never acknowledges a distress alert, unless told to for training', () => {
    const input = track(6, [[0.5, alert]], VHF);
    expect(onset(answerTo(input).out)).toBeLessThan(0);
    const { answers } = answerTo(input, { trainingAcknowledge: true });
    expect(answers.map(({ call }) => call)).toMatchObject([
      { kind: 'distressAcknowledgement', self: COAST, casualty: SHIP },
    ]);
  });

  it('keeps a coast station’s minute on MF in training too, and a ship silent on HF', () => {
    const input = track(9, [[0.5, { ...alert, followOn: 'j3e' }]], MF);
    const bands = ['mf-hf'] as const;
    const { out, events } = answerTo(input, { trainingAcknowledge: true, bands });
    const heard = events.find((event) => event.type === 'received');
    const answer = events.find((event) => event.type === 'answering');
    if (!heard || !answer) throw new Error('an answer was expected');
    expect(answer.time - heard.time).toBeCloseTo(60_000, -2);
    expect(onset(out)).toBeGreaterThan(60);
    const ship = { trainingAcknowledge: true, bands, identities: ['299000222'] };
    expect(onset(answerTo(input, { ...ship, frequencyHz: 8_414_500 }).out)).toBeLessThan(0);
    expect(onset(answerTo(input, ship).out)).toBeGreaterThan(0);
  });

  it.each<[string, Partial<AnsweringOptions>]>([
    ['identities', { identities: [] }],
    ['settings.identity', { identities: ['12'] }],
    ['sampleRate', { sampleRate: 4000 }],
    ['delaySeconds', { delaySeconds: -1 }],
    ['frequencyHz', { frequencyHz: VHF }],
    ['level', { level: 2 }],
  ])('names what is wrong: %s', (field, options) => {
    const act = () => answerTo(new Float32Array(0), options);
    expect(act).toThrow(DotphaseError);
    expect(act).toThrow(expect.objectContaining({ field }) as Error);
  });
});
