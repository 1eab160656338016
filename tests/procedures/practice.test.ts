/** Facts of the trade as check values: common practice, no source, each. */
import { expect, it } from 'vitest';
import { encodeCall, type Call } from '../../src/calls/index.js';
import { followUpRequest, followUp, outlineCall, suggestFrequencies } from '../../src/frequencies/index.js';
import { frameCall } from '../../src/frames/index.js';
import { DEFAULT_TIMING, choicesFor } from '../../src/procedures/index.js';
import { Host } from './host.js';

const SHIP = '299000111';
const OTHER = '299000222';
const COAST = '002990001';
const MF = 2_187_500;
const SIX = [MF, 4_207_500, 6_312_000, 8_414_500, 12_577_000, 16_804_500];
const talk = {
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: 'none', transmit: 'none' },
} as const;

function attemptOn(frequencies: number[]): number {
  const host = new Host({ identity: SHIP });
  host.give({ type: 'distress', nature: 'fire', followOn: 'j3e', frequencies });
  host.run(120_000);
  return host.all('phase').find(({ to }) => to === 'waiting')?.at ?? Infinity;
}

// Common practice, no source: about 30 s; JP567 makes it 36.0 s.
it('an attempt on one frequency lasts about half a minute, six frequencies less than one', () => {
  expect(attemptOn([MF])).toBeGreaterThan(25_000);
  expect(attemptOn([MF])).toBeLessThan(40_000);
  expect(attemptOn(SIX)).toBeLessThan(60_000);
});

// Common practice, no source.
it('a test call is off the air within 10 s', () => {
  for (const station of [COAST, OTHER]) {
    const call: Call = { kind: 'testCall', to: { station }, self: SHIP };
    expect(frameCall(encodeCall(call)).duration).toBeLessThan(10);
  }
});

// Common practice, no source.
it('about 60 s are allowed for the acknowledgement, then the call is sent again', () => {
  expect(DEFAULT_TIMING.acknowledgementWaitMs).toBe(60_000);
  const host = new Host({ identity: SHIP });
  const call: Call = { kind: 'testCall', to: { station: COAST }, self: SHIP };
  host.give({ type: 'call', call, frequencyHz: MF });
  host.run(66_000);
  expect(choicesFor(host.state, 1).map(({ choice }) => choice)).not.toContain('resend');
  host.run(67_000);
  expect(choicesFor(host.state, 1).map(({ choice }) => choice)).toContain('resend');
});

// Common practice, no source: voice on 2182 unless another is chosen, and that choice stays the operator's.
it('an urgency call by MF goes out on 2187.5 kHz with voice on 2182 kHz unless another is chosen', () => {
  const area = { area: { latitude: 50, longitude: -14, south: 3, east: 4 } };
  const call: Call = { kind: 'urgencyCall', to: area, self: SHIP, ...talk };
  const [suggested] = suggestFrequencies(outlineCall(call), '2 MHz');
  expect(suggested.frequency.hz).toBe(MF);
  expect(followUp(followUpRequest(call, MF)).receiveHz).toBe(2_182_000);
  const chosen: Call = { ...call, message: { receive: { hz: 2_048_000 }, transmit: 'none' } };
  expect(followUp(followUpRequest(chosen, MF)).receiveHz).toBe(2_048_000);
});

// Common practice, no source.
it('routine calls from ship to ship by MF go out on 2177 kHz', () => {
  const call: Call = { kind: 'routineCall', to: { station: OTHER }, self: SHIP, ...talk };
  expect(suggestFrequencies(outlineCall(call), '2 MHz').map(({ frequency }) => frequency.hz)).toEqual([
    2_177_000,
  ]);
});

// Common practice, no source: on 8415 kHz, with a ship-to-ship voice frequency near 8294; the operator chooses both.
it('a group call at 8 MHz goes out on 8415 kHz with voice on 8294 kHz as the operator chose', () => {
  const message = { receive: { hz: 8_294_000 }, transmit: 'none' } as const;
  const call: Call = { kind: 'routineCall', to: { group: '029900010' }, self: SHIP, ...talk, message };
  const host = new Host({ identity: SHIP });
  host.give({ type: 'call', call, frequencyHz: 8_415_000 });
  host.run(15_000);
  expect(host.all('transmit')).toMatchObject([
    { frequencyHz: 8_415_000, call: { to: { group: '029900010' } } },
  ]);
  expect(host.followUps().map(({ transmitHz }) => transmitHz)).toEqual([8_294_000]);
});
