import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { frameCall } from '../../src/frames/index.js';
import { MODULATIONS, modulateBits } from '../../src/modem/index.js';
import { receiveCalls, type ReceivedCall } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { send } from '../scenes/decode.js';
import { createChoices } from '../scenes/random.js';
import { between, impair, mix, spelled, transmit } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 8000;
const choices = createChoices(77);
const alert = encodeCall(randomCall(choices, 'distressAlert')).symbols;
const tests = Array.from({ length: 5 }, () => encodeCall(randomCall(choices, 'testCall')).symbols);

function sure(calls: readonly ReceivedCall[]): string[] {
  return spelled(calls.filter(({ quality }) => quality !== 'doubtful'));
}

/** Only what is left of a call from a bit of its phasing on, in a little noise. */
function from(bit: number, snrDb: number): Float32Array {
  const { bits } = frameCall(alert, { dots: 0 });
  const audio = between(modulateBits(bits.subarray(bit), { sampleRate }), sampleRate, 0, 1);
  return impair(audio, sampleRate, 3, [{ kind: 'noise', snrDb }]);
}

describe('finding a call', () => {
  it.each(sized([400, 1337, 2600], [400, 555.5, 1000, 1337, 1700, 2111, 2600]))(
    'with its centre at %f Hz',
    (centreHz) => {
      for (const inverted of [false, true]) {
        const audio = impair(
          transmit(alert, { sampleRate, centreHz, inverted, dots: 20 }),
          sampleRate,
          Math.floor(centreHz),
          [{ kind: 'noise', snrDb: 0 }],
        );
        const calls = receiveCalls(audio, { sampleRate });
        expect(sure(calls)).toEqual([alert.join(' ')]);
        expect(Math.abs(calls[0].centreHz - centreHz)).toBeLessThan(1.5);
        expect(calls[0].inverted).toBe(inverted);
      }
    },
  );

  it('on the wrong sideband', () => {
    const audio = impair(transmit(alert, { sampleRate, dots: 20 }), sampleRate, 1, [
      { kind: 'inversion' },
      { kind: 'noise', snrDb: 0 },
    ]);
    const calls = receiveCalls(audio, { sampleRate });
    expect(sure(calls)).toEqual([alert.join(' ')]);
    expect(calls[0].inverted).toBe(true);
  });

  it('at 1200 Bd on both sidebands', () => {
    for (const inverted of [false, true]) {
      const calls = receiveCalls(transmit(alert, { sampleRate, band: 'vhf', inverted }), { sampleRate });
      expect(sure(calls)).toEqual([alert.join(' ')]);
      expect(calls[0].inverted).toBe(inverted);
    }
  });

  // Fading that takes most of the phasing and leaves the dots (M.493 §3.4: 200 of them before an alert).
  it.each([7001, 7035, 7058])('by the dots before a phasing that faded (seed %i)', (seed) => {
    const { audio, symbols } = send({ channel: 'moderate', snrDb: -5, calls: 'alerts' }, seed);
    expect(sure(receiveCalls(audio, { sampleRate, bands: ['mf-hf'] }))).toEqual([symbols.join(' ')]);
  });

  it('with the centre told, and not where it is not', () => {
    const audio = transmit(alert, { sampleRate, centreHz: 1000, dots: 20 });
    expect(sure(receiveCalls(audio, { sampleRate, centreHz: 1020, searchHz: 50 }))).toEqual([
      alert.join(' '),
    ]);
    expect(receiveCalls(audio, { sampleRate, centreHz: 1700, searchHz: 50 })).toEqual([]);
  });

  it('at 100 and at 1200 Bd one after the other in one audio', () => {
    const audio = mix(sampleRate, [
      { audio: transmit(alert, { sampleRate, band: 'vhf' }) },
      { audio: transmit(tests[0], { sampleRate, dots: 20 }), at: 2 },
      { audio: transmit(tests[1], { sampleRate, band: 'vhf' }), at: 10 },
    ]);
    expect(sure(receiveCalls(audio, { sampleRate }))).toEqual(
      [alert, tests[0], tests[1]].map((symbols) => symbols.join(' ')),
    );
  });

  it('at 100 Bd beside one at 1200 Bd at the same time', () => {
    const audio = mix(sampleRate, [
      { audio: transmit(alert, { sampleRate, band: 'vhf' }), at: 2 },
      { audio: transmit(tests[0], { sampleRate, centreHz: 2600, dots: 20 }), gain: 0.25 },
    ]);
    expect(sure(receiveCalls(audio, { sampleRate })).sort()).toEqual(
      [alert, tests[0]].map((symbols) => symbols.join(' ')).sort(),
    );
  });

  it.each([-300, 300])('with a clock %i ppm out', (ppm) => {
    for (const [i, kind] of KINDS.filter((_, k) => k % 6 === 0).entries()) {
      const symbols = encodeCall(randomCall(createChoices(ppm + i), kind)).symbols;
      const audio = impair(transmit(symbols, { sampleRate, dots: 20 }), sampleRate, i, [
        { kind: 'clock', ppm },
        { kind: 'noise', snrDb: 0 },
      ]);
      expect(sure(receiveCalls(audio, { sampleRate }))).toEqual([symbols.join(' ')]);
    }
  });

  it('drifting by 1 Hz a second', () => {
    const audio = impair(transmit(alert, { sampleRate, dots: 20 }), sampleRate, 2, [
      { kind: 'offset', offsetHz: -4, driftHzPerSecond: 1 },
      { kind: 'noise', snrDb: 0 },
    ]);
    expect(sure(receiveCalls(audio, { sampleRate }))).toEqual([alert.join(' ')]);
  });
});

describe('a call of which the beginning is missing', () => {
  it('begins in the middle of its dots, or has none', () => {
    for (const dots of [0, 2, 20, 76, 1000]) {
      const audio = transmit(alert, { sampleRate, dots, before: 0, after: 1 });
      expect(sure(receiveCalls(audio, { sampleRate })), `${dots} dots`).toEqual([alert.join(' ')]);
    }
  });

  it('begins with its first sample, and ends with its last', () => {
    const audio = transmit(alert, { sampleRate, dots: 0, before: 0, after: 0 });
    expect(sure(receiveCalls(audio, { sampleRate }))).toEqual([alert.join(' ')]);
  });

  it.each([0, 2, 4, 6])('has lost %i slots of its phasing, at 0 dB', (slots) => {
    expect(sure(receiveCalls(from(10 * slots, 0), { sampleRate }))).toEqual([alert.join(' ')]);
  });

  // M.493 §3.2: two DX and one RX, one DX and two RX, or three RX phasing characters suffice (from memory). The slots
  // are 0 DX, 1 RX … 11 RX; 13 and 15 RX stand among the first characters.
  it.each([7, 8, 9, 10, 11])('has lost %i slots of its phasing, at 20 dB', (slots) => {
    expect(sure(receiveCalls(from(10 * slots, 20), { sampleRate }))).toEqual([alert.join(' ')]);
  });

  it('begins anywhere within the phasing', () => {
    for (const bit of [3, 17, 41, 58, 77, 93]) {
      expect(sure(receiveCalls(from(bit, 20), { sampleRate })), `bit ${bit}`).toEqual([alert.join(' ')]);
    }
  });

  it.each([
    ['two DX and one RX', [0, 4, 5]],
    ['one DX and two RX', [2, 9, 15]],
    ['three RX', [1, 7, 13]],
  ])('has only %s of its phasing', (_, kept) => {
    const { bits } = frameCall(alert, { dots: 0 });
    const damaged = bits.slice();
    const spoilt = createChoices(kept[0]);
    for (let slot = 0; slot < 16; slot++) {
      if (kept.includes(slot) || slot === 12 || slot === 14) continue;
      // Two bits of seven changed: the check of the ten-unit code sees it.
      const first = spoilt.integer(0, 3);
      for (const bit of [first, first + 3]) damaged[10 * slot + bit] ^= 1;
    }
    const audio = impair(between(modulateBits(damaged, { sampleRate }), sampleRate, 0.5, 1), sampleRate, 4, [
      { kind: 'noise', snrDb: 20 },
    ]);
    expect(sure(receiveCalls(audio, { sampleRate }))).toEqual([alert.join(' ')]);
  });
});

describe('several calls at once', () => {
  it('500 Hz apart are all read', () => {
    const audio = impair(
      mix(
        sampleRate,
        tests.map((symbols, i) => ({
          audio: transmit(symbols, { sampleRate, centreHz: 500 + 500 * i, dots: 20 }),
          at: 0.3 * i,
          gain: 0.5,
        })),
      ),
      sampleRate,
      6,
      [{ kind: 'noise', snrDb: 10 }],
    );
    expect(sure(receiveCalls(audio, { sampleRate })).sort()).toEqual(
      tests.map((symbols) => symbols.join(' ')).sort(),
    );
  });

  it('500 Hz apart and keyed at the same instant are all read', () => {
    const audio = mix(
      sampleRate,
      tests.map((symbols, i) => ({
        audio: transmit(symbols, { sampleRate, centreHz: 500 + 500 * i, dots: 20 }),
        gain: 0.2,
      })),
    );
    expect(sure(receiveCalls(audio, { sampleRate })).sort()).toEqual(
      tests.map((symbols) => symbols.join(' ')).sort(),
    );
  });

  it.each([-500, 500])('one 10 dB weaker and %i Hz from a strong one is read too', (apart) => {
    for (const at of [0, 0.7, 2.1]) {
      const audio = impair(
        mix(sampleRate, [
          { audio: transmit(tests[0], { sampleRate, dots: 20 }) },
          {
            audio: transmit(tests[1], { sampleRate, centreHz: 1700 + apart, dots: 20 }),
            gain: 10 ** (-10 / 20),
            at,
          },
        ]),
        sampleRate,
        8,
        [{ kind: 'noise', snrDb: 15 }],
      );
      expect(sure(receiveCalls(audio, { sampleRate })).sort()).toEqual(
        [tests[0], tests[1]].map((symbols) => symbols.join(' ')).sort(),
      );
    }
  });

  it('one after the other without a pause are all read', () => {
    const bits = tests.flatMap((symbols) => [...frameCall(symbols, { dots: 20 }).bits]);
    const audio = between(modulateBits(bits, { sampleRate }), sampleRate, 0.5, 1);
    expect(sure(receiveCalls(audio, { sampleRate }))).toEqual(tests.map((symbols) => symbols.join(' ')));
    const vhf = between(modulateBits(bits, { sampleRate, modulation: MODULATIONS.vhf }), sampleRate, 0.5, 1);
    expect(sure(receiveCalls(vhf, { sampleRate }))).toEqual(tests.map((symbols) => symbols.join(' ')));
  });
});
