import type { Call } from 'dotphase';
import type { StationState } from 'dotphase/procedures';
import { createPlay, type Behaviour, type SimulationEvent } from 'dotphase/simulation';
import { describe, expect, it } from 'vitest';
import { airTimes, exchangeOfReceived, momentsOf } from '../../docs/bench/exchange/ofexchange.js';
import { seaOf } from '../../docs/bench/exchange/sea.js';
import type { Moment } from '../../docs/bench/exchange/session.js';

const VHF = 156_525_000;
const SHIP = '299123456';
const COAST = '002991234';
const STRANGER = '299765432';

const OWN_CALL: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
const STRANGERS_CALL: Call = { kind: 'testCall', to: { station: '299111111' }, self: STRANGER };

/**
 * The own ship calls the coast station; another ship calls a third one after so many seconds.
 * Steps of 50 ms, as the page plays them.
 */
function play(conduct: Behaviour, strangerAfter: readonly number[], untilSeconds: number) {
  const stations = [
    { identity: COAST, name: 'Halcyon Bank Radio', frequencies: [VHF], conduct, delay: 2, distance: 5 },
    {
      identity: STRANGER,
      name: 'Quiet Ledger',
      frequencies: [VHF],
      conduct: 'silent',
      delay: 2,
      distance: 5,
    },
  ] as const;
  const sea = seaOf({ identity: SHIP }, stations, { snrDb: 20, fading: 'none' }, [VHF], 3);
  const playing = createPlay(sea, { manual: [SHIP, STRANGER] });
  const start = playing.now;
  const moments: Moment[] = [];
  const take = (all: readonly SimulationEvent[]) => {
    const events = all.filter(({ station }) => station === SHIP);
    for (const [at, event] of events.entries()) {
      const id = moments.length;
      if (event.type !== 'received') {
        moments.push({ ...event, id });
        continue;
      }
      const exchange = exchangeOfReceived(events, at);
      const time = start + 1000 * event.received.start;
      moments.push({ ...event, id, time, ...(exchange !== undefined && { exchange }) });
    }
  };
  take(playing.act(SHIP, { type: 'call', call: OWN_CALL, frequencyHz: VHF }));
  const due = [...strangerAfter];
  for (let at = start; at <= start + 1000 * untilSeconds; at += 50) {
    take(playing.advance(at));
    if (due.length > 0 && at >= start + 1000 * due[0]) {
      due.shift();
      take(playing.act(STRANGER, { type: 'call', call: STRANGERS_CALL, frequencyHz: VHF }));
    }
  }
  const state: StationState = playing.state(SHIP);
  const exchange = state.exchanges[0];
  return { moments, exchange };
}

describe('what belongs to an exchange', () => {
  it('is not a call between others that came in before the wait ended', () => {
    const { moments, exchange } = play('silent', [20], 75);
    expect(moments.filter(({ type }) => type === 'received')).toHaveLength(1);
    expect(exchange.phase).toBe('unanswered');
    expect(momentsOf(moments, exchange).received).toBeUndefined();
  });

  it('is on the lanes the own call and its acknowledgement, not what others send before and after', () => {
    const { moments, exchange } = play('answers', [0.6, 20, 40], 50);
    expect(moments.filter(({ type }) => type === 'received')).toHaveLength(4);
    expect(exchange.phase).toBe('answered');
    const times = airTimes(moments, exchange);
    expect(times.map(({ lane }) => lane)).toEqual([0, 1]);
    // A test call on channel 70: 20 dots; DX 6 of phasing, format twice, address 5, category, self 5, telecommands 2,
    // message 6, EOS, ECC, EOS, EOS; as many RX; ten bits each at 1200 Bd (M.493 §3, §8.5, from memory).
    // A received call is timed from its phasing on.
    const lengths = times.map(({ from, to }) => (to - from) / 1000);
    expect(lengths[0]).toBeCloseTo((20 + 2 * 31 * 10) / 1200, 3);
    expect(lengths[1]).toBeCloseTo((2 * 31 * 10) / 1200, 3);
    const { received } = momentsOf(moments, exchange);
    expect(received?.received.call).toMatchObject({ kind: 'testAcknowledgement', self: COAST });
  });
});
