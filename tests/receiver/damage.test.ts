import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { LONG_DOTS, SHORT_DOTS, airSlots, frameCall } from '../../src/frames/index.js';
import { modulateBits } from '../../src/modem/index.js';
import { receiveCalls, type ReceivedCall } from '../../src/receiver/index.js';
import { BITS_PER_SYMBOL, symbolToBits } from '../../src/symbols/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { between, impair, spelled } from '../scenes/transmission.js';
import { sized } from '../size.js';

const sampleRate = 8000;
const choices = createChoices(99);
const alert = encodeCall(randomCall(choices, 'distressAlert')).symbols;
const slots = airSlots(alert);

function receive(bits: ArrayLike<number>, snrDb = 20): ReceivedCall[] {
  const audio = between(modulateBits(bits, { sampleRate }), sampleRate, 0.5, 1.5);
  return receiveCalls(impair(audio, sampleRate, 1, [{ kind: 'noise', snrDb }]), {
    sampleRate,
    bands: ['mf-hf'],
  });
}

function sure(calls: readonly ReceivedCall[]): string[] {
  return spelled(calls.filter(({ quality }) => quality !== 'doubtful'));
}

/** The bits of the alert with those of some slots replaced by another symbol or by noise-like bits. */
function damaged(isHit: (slot: (typeof slots)[number]) => boolean, seed: number): Uint8Array {
  const { bits } = frameCall(alert, { dots: SHORT_DOTS });
  const spoilt = createChoices(seed);
  slots.forEach((slot, i) => {
    if (!isHit(slot)) return;
    const at = SHORT_DOTS + i * BITS_PER_SYMBOL;
    for (let bit = 0; bit < BITS_PER_SYMBOL; bit++) bits[at + bit] = spoilt.integer(0, 1);
  });
  return bits;
}

describe('a damaged call', () => {
  it('is read where characters are lost in DX or in RX', () => {
    for (const position of ['DX', 'RX'] as const) {
      for (const character of [1, 9, 16]) {
        const calls = receive(
          damaged((slot) => slot.position === position && slot.character === character, character),
        );
        expect(sure(calls), `${position} ${character}`).toEqual([alert.join(' ')]);
        const reading = calls[0].characters[character];
        expect(position === 'DX' ? reading.rx : reading.dx).toBe([alert[0], ...alert][character]);
      }
    }
  });

  it('is read where every other character is lost in DX and the rest in RX', () => {
    const calls = receive(
      damaged(
        ({ position, character }) => character !== undefined && (position === 'DX') === (character % 2 === 0),
        5,
      ),
    );
    expect(sure(calls)).toEqual([alert.join(' ')]);
  });

  it('is never read wrong where a character is lost in both', () => {
    for (let character = 0; character < alert.length + 1; character += 4) {
      const calls = receive(damaged((slot) => slot.character === character, 100 + character));
      for (const symbols of sure(calls)) expect(symbols).toBe(alert.join(' '));
    }
  });

  it('is never read as sure where a character was changed in both sendings and the error check tells', () => {
    for (let character = 2; character < alert.length + 1; character += 3) {
      const { bits } = frameCall(alert, { dots: SHORT_DOTS });
      const other = [alert[0], ...alert][character] ^ (1 + (character % 3));
      slots.forEach((slot, i) => {
        if (slot.character === character) bits.set(symbolToBits(other), SHORT_DOTS + i * BITS_PER_SYMBOL);
      });
      expect(sure(receive(bits)), `character ${character}`).toEqual([]);
    }
  });

  it.each(KINDS.map((kind, i) => [kind, i] as const))(
    'of the kind %s with a wrong error check is not sure',
    (kind, i) => {
      const symbols = encodeCall(randomCall(createChoices(i), kind)).symbols;
      symbols[symbols.length - 1] ^= 1 << (i % 7);
      expect(sure(receive(frameCall(symbols, { dots: SHORT_DOTS }).bits))).toEqual([]);
    },
  );

  it('that breaks off is not sure', () => {
    const { bits } = frameCall(alert, { dots: SHORT_DOTS });
    for (const left of [0.3, 0.6, 0.85]) {
      expect(sure(receive(bits.subarray(0, left * bits.length))), `${left}`).toEqual([]);
    }
  });

  it('is read without its last two characters', () => {
    const { bits } = frameCall(alert, { dots: SHORT_DOTS });
    // What follows the error check's own sending in DX: its repetition and two ends of sequence.
    expect(sure(receive(bits.subarray(0, bits.length - 2 * BITS_PER_SYMBOL)))).toEqual([alert.join(' ')]);
  });

  it('whose phasing is followed by random characters is not sure', () => {
    const random = createChoices(1234);
    for (let trial = 0; trial < sized(1, 3); trial++) {
      const content = Array.from({ length: 40 }, () => random.integer(0, 127));
      const { bits } = frameCall([...content, 0], { dots: SHORT_DOTS });
      expect(sure(receive(bits))).toEqual([]);
    }
  });
});

describe('an attempt of five', () => {
  it.each([
    ['first', 20],
    ['each', 20],
    ['first', -3],
  ] as const)('with dots before %s sending, at %i dB, gives each call', (dotsBefore, snrDb) => {
    const { bits } = frameCall(alert, { repeat: 5, dotsBefore, dots: LONG_DOTS });
    const calls = receive(bits, snrDb);
    expect(sure(calls)).toEqual(Array.from({ length: 5 }, () => alert.join(' ')));
    const starts = calls.map(({ start }) => start);
    // 26 characters in DX, as many in RX, ten bits each (M.493 Table A1-4.1): 5.2 s, and 2 s of dots.
    const period = 5.2 + (dotsBefore === 'each' ? 2 : 0);
    starts.forEach((start, i) => {
      expect(start).toBeCloseTo(2.5 + period * i, 1);
    });
  });

  it('too weak for one sending is read from all', () => {
    const { bits } = frameCall(alert, { repeat: 5 });
    const calls = receive(bits, -12.5).filter(({ quality }) => quality !== 'doubtful');
    expect(calls.length).toBeGreaterThan(0);
    for (const call of calls) expect(call.symbols).toEqual(alert);
    expect(Math.max(...calls.map(({ sendings }) => sendings))).toBeGreaterThan(1);
  });

  it('of different calls is never added up to one of them wrongly', () => {
    const random = createChoices(55);
    const different = Array.from(
      { length: 5 },
      () => encodeCall(randomCall(random, 'distressAlert')).symbols,
    );
    const bits = different.flatMap((symbols) => [...frameCall(symbols, { dots: 0 }).bits]);
    const known = different.map((symbols) => symbols.join(' '));
    expect(sure(receive(bits, -8))).toEqual(known);
    const weak = sure(receive(bits, -11));
    expect(weak).toEqual(known.filter((symbols) => weak.includes(symbols)));
  });
});
