import { bandOf, createReceiver, encodeCall, frameCall, type Call } from 'dotphase';
import { createPlay, type SimulationEvent } from 'dotphase/simulation';
import { describe, expect, it } from 'vitest';
import { createMonitor } from '../../docs/bench/exchange/monitor.js';
import { seaOf } from '../../docs/bench/exchange/sea.js';
import { createLiveReader, shownReading, type LiveReading } from '../../docs/bench/listen/livereader.js';
import { ALERT, TEST_CALL, scene } from './sounds.js';

const VHF = 156_525_000;
const MF = 2_187_500;
const SHIP = '299123456';
const COAST = '002991234';

const OWN_CALL: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };

type Slots = LiveReading['slots'];

/** Every slot of a call's one sending, phasing first. */
function slotsSent(call: Call, hz: number): readonly number[] {
  return frameCall(encodeCall(call), { band: bandOf(hz) }).sendings[0].slots.map(({ symbol }) => symbol);
}

/** What was shown of the answer to a test call, and the slots that the virtual station sent. */
function answered(hz: number, snrDb: number, seed: number, stepMs: number) {
  const station = {
    identity: COAST,
    name: 'Halcyon Bank Radio',
    frequencies: [hz],
    conduct: 'answers',
    delay: 1 + seed / 7,
    distance: 3 * seed,
  } as const;
  const sea = seaOf({ identity: SHIP }, [station], { snrDb, fading: 'none' }, [hz], seed);
  let reading: LiveReading | undefined;
  const shown: Slots[] = [];
  const monitor = createMonitor(bandOf(hz), 8000, (next) => {
    reading = shownReading(reading, next);
    if (reading) shown.push(reading.slots);
  });
  const play = createPlay(sea, {
    manual: [SHIP],
    onAudio(frequencyHz, _, heard) {
      if (frequencyHz === hz) monitor.push(heard);
    },
  });
  const events: SimulationEvent[] = [];
  events.push(...play.act(SHIP, { type: 'call', call: OWN_CALL, frequencyHz: hz }));
  const start = play.now;
  const isReceived = () => events.some(({ type, station: at }) => type === 'received' && at === SHIP);
  for (let at = start; at < start + 30_000 && !isReceived(); at += stepMs) events.push(...play.advance(at));
  const answer = events.find(({ type, station: at }) => type === 'sending' && at === COAST);
  if (answer?.type !== 'sending' || !isReceived()) throw new Error(`no answer with seed ${seed}`);
  return { shown, sent: slotsSent(answer.call, hz) };
}

/** Over many answers: how many slots stood in the last picture of each, and how many in any picture were not sent. */
function tally(hz: number, snrDb: number, stepMs = 50) {
  let [right, wrong, sent] = [0, 0, 0];
  for (let seed = 1; seed <= 5; seed++) {
    const call = answered(hz, snrDb, seed, stepMs);
    sent += call.sent.length;
    right += call.shown.at(-1)?.filter((symbol) => symbol !== undefined).length ?? 0;
    for (const slots of call.shown) {
      wrong += slots.filter((symbol, i) => symbol !== undefined && symbol !== call.sent[i]).length;
    }
  }
  return { share: right / sent, wrong };
}

describe('the characters of an answer while it comes in', () => {
  it.each([
    [VHF, 20],
    [MF, 20],
    [MF, 0],
  ])('are all that were sent, and nothing of the noise behind them: %i Hz at %i dB', (hz, snrDb) => {
    expect(tally(hz, snrDb)).toEqual({ share: 1, wrong: 0 });
  });

  // Below the threshold of FM the tones of VHF say little: what they do not say for certain is left out.
  it.each([
    [VHF, 10, 0.9],
    [VHF, 3, 0],
    [MF, -5, 0.8],
  ])('are none that were not sent, however noisy: %i Hz at %i dB', (hz, snrDb, least) => {
    const { share, wrong } = tally(hz, snrDb);
    expect(wrong).toBe(0);
    expect(share).toBeGreaterThanOrEqual(least);
  });

  it('are not those of the own call, though the clock stood still while that sounded', () => {
    // A call of half a second goes by between two looks at the clock.
    expect(tally(VHF, 20, 900)).toEqual({ share: 1, wrong: 0 });
  });
});

describe('calls one after the other', () => {
  it('are shown each by itself, and each ends where its sequence does', () => {
    const calls = [TEST_CALL, ALERT];
    const samples = scene(calls, 'vhf', 0.02);
    const readings = new Map<number, Slots>();
    let reading: LiveReading | undefined;
    const shownIds: number[] = [];
    const reader = createLiveReader(48_000, (next) => {
      if (!next.isOver) readings.set(next.id, next.slots);
      reading = shownReading(reading, next);
      if (reading && shownIds.at(-1) !== reading.id) shownIds.push(reading.id);
    });
    const receiver = createReceiver({
      sampleRate: 48_000,
      bands: ['vhf'],
      onEvent: (event) => {
        reader.event(event);
      },
    });
    for (let n = 0; n < samples.length; n += 960) {
      const piece = samples.subarray(n, n + 960);
      const heard = receiver.push(piece);
      reader.push(piece);
      for (const call of heard) reader.call(call);
    }
    expect([...readings.values()]).toEqual(calls.map((call) => slotsSent(call, VHF)));
    expect(shownIds).toEqual([...readings.keys()]);
  });
});
