import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import type { Band } from '../../src/symbols/index.js';
import { createReceiver, type ReceivedCall, type ReceiverEvent } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, mix, transmit } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 12_000;

const CALLS = sized(5, 10);

function listen(audio: Float32Array): { calls: ReceivedCall[]; lost: ReceiverEvent[]; begun: number } {
  const events: ReceiverEvent[] = [];
  const receiver = createReceiver({ sampleRate, onEvent: (event) => events.push(event) });
  const calls = [...receiver.push(audio), ...receiver.flush()];
  const ofType = (wanted: ReceiverEvent['type']) => events.filter(({ type }) => type === wanted);
  return { calls, lost: ofType('lost'), begun: ofType('phasing').length };
}

describe('calls that began and were given up', () => {
  it.each<[Band, number, number]>([
    ['mf-hf', 1700, 60],
    ['mf-hf', 2400, 20],
    ['vhf', 1700, 60],
  ])('are none in a file of perfect %s calls around %f Hz', { timeout: 180_000 }, (band, centreHz, snrDb) => {
    const choices = createChoices(5);
    let at = 0;
    const parts = Array.from({ length: CALLS }, (_, i) => {
      const call = encodeCall(randomCall(choices, KINDS[i % KINDS.length])).symbols;
      const part = { audio: transmit(call, { sampleRate, band, centreHz, before: 0.7, after: 0.8 }), at };
      at += part.audio.length / sampleRate;
      return part;
    });
    const audio = impair(mix(sampleRate, parts), sampleRate, 1, [{ kind: 'noise', snrDb }]);
    const { calls, lost, begun } = listen(audio);
    expect(calls).toHaveLength(CALLS);
    expect(lost).toEqual([]);
    // Otherwise the scene would prove nothing.
    expect(begun).toBeGreaterThanOrEqual(CALLS);
  });

  it.each([
    ['beside', 900],
    ['far beside', 2500],
  ])('are told where a weak one lies %s a strong one', (_, centreHz) => {
    const choices = createChoices(6);
    const strong = encodeCall(randomCall(choices, 'distressAlert')).symbols;
    const weak = encodeCall(randomCall(choices, 'distressAlert')).symbols;
    // 20 dB weaker, and broken off 1.2 s after its phasing of 1.6 s.
    const broken = transmit(weak, { sampleRate, centreHz, dots: 20, before: 0, after: 0 }).slice(
      0,
      3 * sampleRate,
    );
    const audio = impair(
      mix(sampleRate, [
        { audio: transmit(strong, { sampleRate, after: 6 }) },
        { audio: broken, gain: 0.1, at: 3.5 },
      ]),
      sampleRate,
      2,
      [{ kind: 'noise', snrDb: 35 }],
    );
    const { calls, lost } = listen(audio);
    expect(calls.map(({ symbols }) => symbols)).toContainEqual(strong);
    const told = [...lost, ...calls].filter((one) => Math.abs(one.centreHz - centreHz) < 20);
    expect(told).toHaveLength(1);
    expect(lost.filter((one) => Math.abs(one.centreHz - centreHz) >= 20)).toEqual([]);
  });
});
