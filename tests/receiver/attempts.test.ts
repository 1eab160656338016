import { describe, expect, it } from 'vitest';
import { encodeCall, type DistressAlert } from '../../src/calls/index.js';
import { frameCall } from '../../src/frames/index.js';
import { modulateBits } from '../../src/modem/index.js';
import { createReceiver, receiveCalls, type ReceiverEvent } from '../../src/receiver/index.js';
import { LOOK_ALIKES, runLookAlikeJob } from '../scenes/lookalikes.js';
import { between, impair } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 8000;
const ALERT: DistressAlert = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'sinking',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
/** A minute later, a mile further on. */
const LATER: DistressAlert = { ...ALERT, position: { latitude: 48.25, longitude: -12.75 }, time: '09:31' };

const symbols = encodeCall(ALERT).symbols;

/** Alerts in a row without a gap, with 200 dots before the first or before each. */
function row(alerts: readonly DistressAlert[], dotsBefore: 'first' | 'each'): Uint8Array {
  return Uint8Array.from(
    alerts.flatMap((alert, i) => [
      ...frameCall(encodeCall(alert), { dots: i === 0 || dotsBefore === 'each' ? 200 : 0 }).bits,
    ]),
  );
}

function weak(bits: Uint8Array, snrDb: number, seed: number): Float32Array {
  const audio = between(modulateBits(bits, { sampleRate, centreHz: 1712 }), sampleRate, 0.5, 1);
  return impair(audio, sampleRate, seed, [
    { kind: 'clock', ppm: 80 },
    { kind: 'noise', snrDb },
  ]);
}

const five = (dotsBefore: 'first' | 'each') => row(new Array<DistressAlert>(5).fill(ALERT), dotsBefore);

function receive(audio: Float32Array, onEvent: (event: ReceiverEvent) => void = () => undefined) {
  const calls = receiveCalls(audio, { sampleRate, bands: ['mf-hf'], onEvent });
  return { calls, sure: calls.filter(({ quality }) => quality !== 'doubtful') };
}

describe('an attempt whose sendings are too weak to be found each by itself', { timeout: 120_000 }, () => {
  it.each(['first', 'each'] as const)('is read as a whole with dots before the %s', (dotsBefore) => {
    for (const seed of sized([1], [1, 2])) {
      const { sure } = receive(weak(five(dotsBefore), -16, seed));
      expect(sure.length).toBeGreaterThan(0);
      for (const call of sure) expect(call.symbols).toEqual(symbols);
      const last = sure[sure.length - 1];
      expect(last.sendings).toBeGreaterThan(2);
      expect(last.quality).toBe('recovered');
      expect(Math.abs(last.centreHz - 1712 * (1 + 80e-6))).toBeLessThan(0.5);
    }
  });

  it('is read where two sendings were left before the recording began', () => {
    const { bits } = { bits: five('first') };
    const { sure } = receive(weak(bits.subarray(200 + 2 * 520 + 130), -13.5, 3));
    expect(sure.map((call) => call.symbols)).toContainEqual(symbols);
  });

  it('gives the same calls however the audio is cut', () => {
    const audio = weak(five('first'), -15, 5);
    const whole = receive(audio).calls;
    expect(whole.length).toBeGreaterThan(0);
    const receiver = createReceiver({ sampleRate, bands: ['mf-hf'] });
    const calls = [];
    for (let at = 0; at < audio.length; at += 3777) calls.push(...receiver.push(audio.slice(at, at + 3777)));
    calls.push(...receiver.flush());
    expect(calls).toEqual(whole);
  });

  it('takes the place of doubtful calls given before, and an event tells of each', () => {
    const replaced = sized([2], [1, 2, 3, 4]).flatMap((seed) => {
      const events: ReceiverEvent[] = [];
      const { calls } = receive(weak(five('each'), -14.5, seed), (event) => events.push(event));
      const own = events.filter((event) => event.type === 'replaced');
      for (const event of own) {
        const before = calls.find(({ start }) => start === event.time);
        const after = calls.find(({ start }) => start === event.by);
        expect(before?.quality).toBe('doubtful');
        expect(after?.quality).toBe('recovered');
        expect(after?.sendings).toBeGreaterThan(1);
        expect(calls.indexOf(before as never)).toBeLessThan(calls.indexOf(after as never));
      }
      return own;
    });
    // Otherwise the scene would prove nothing.
    expect(replaced.length).toBeGreaterThan(0);
  });
});

describe('sendings that differ', { timeout: 120_000 }, () => {
  it.each(sized([-16, -11], [-16, -14, -11]))('stay apart at %i dB: what is sure was sent', (snrDb) => {
    const sent = [ALERT, LATER].map((alert) => encodeCall(alert).symbols.join());
    for (const [seed, alerts] of [
      [ALERT, ALERT, ALERT, LATER, LATER],
      [ALERT, LATER, ALERT, LATER, ALERT],
    ].entries()) {
      const { sure } = receive(weak(row(alerts, 'first'), snrDb, 10 + seed));
      expect(sure.length).toBeGreaterThan(0);
      for (const call of sure) {
        expect(sent).toContain(call.symbols.join());
        // Placed at the sending that said so, and read from no more than said so.
        const place = Math.round((call.start * (1 + 80e-6) - 0.5 - 2) / 5.2);
        expect(encodeCall(alerts[place]).symbols).toEqual(call.symbols);
        const same = alerts.filter((alert) => encodeCall(alert).symbols.join() === call.symbols.join());
        expect(call.sendings).toBeLessThanOrEqual(same.length);
      }
    }
  });
});

describe('what repeats and is no attempt', { timeout: 120_000 }, () => {
  it.each(sized(['page520', 'phasingWeak'], ['page520', 'page720', 'phasingWeak', 'keyedCarrier']))(
    '%s makes no call',
    (name) => {
      expect(LOOK_ALIKES[name].sampleRate).toBe(12_000);
      const { sure, doubtful } = runLookAlikeJob({ name, seconds: 40, seed: 3 });
      expect([sure, doubtful]).toEqual([0, 0]);
    },
  );
});
