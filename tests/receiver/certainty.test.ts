import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { SHORT_DOTS, airSlots, frameCall } from '../../src/frames/index.js';
import { MODULATIONS, modulateBits } from '../../src/modem/index.js';
import { receiveCalls, type ReceivedCall } from '../../src/receiver/index.js';
import { BITS_PER_SYMBOL } from '../../src/symbols/index.js';
import { SAMPLE_RATE, send } from '../scenes/decode.js';
import { between, impair, transmit } from '../scenes/transmission.js';

const sampleRate = 12_000;
const alert = encodeCall({
  kind: 'distressAlert',
  self: '299123456',
  nature: 'sinking',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '12:34',
  followOn: 'j3e',
}).symbols;
const slots = airSlots(alert);

/** Symbols 0 to 12: format 112, self 5, nature, position 5, time 2, follow-on, EOS, ECC. */
const EOS = alert.length - 2;
const ECC = alert.length - 1;

const band = (baud: number) => (baud === 100 ? ('mf-hf' as const) : ('vhf' as const));

/** The audio of the alert up to a bit behind its dots, after half a second of silence. */
function cutAfter(bits: number, baud = 100): Float32Array {
  const frame = frameCall(alert, { dots: SHORT_DOTS });
  const kept = frame.bits.subarray(0, SHORT_DOTS + bits);
  return between(modulateBits(kept, { sampleRate, modulation: MODULATIONS[band(baud)] }), sampleRate, 0.5, 0);
}

/** Bits behind the dots to the end of the first sending of a symbol. */
function firstSendingEnds(symbol: number): number {
  const slot = slots.findIndex(({ position, character }) => position === 'DX' && character === symbol + 1);
  return (slot + 1) * BITS_PER_SYMBOL;
}

function only(calls: readonly ReceivedCall[]): ReceivedCall {
  expect(calls).toHaveLength(1);
  return calls[0];
}

/** Nothing behind symbol `last` is known and the call is not sure. */
function expectCutAfter(call: ReceivedCall, last: number): void {
  expect(call.certainty).toHaveLength(call.symbols.length);
  expect(call.symbols.slice(0, last + 1)).toEqual(alert.slice(0, last + 1));
  for (const certainty of call.certainty.slice(0, last + 1)) expect(certainty).toBeGreaterThan(0.9);
  expect(call.certainty.slice(last + 1)).toEqual(call.symbols.slice(last + 1).map(() => 0));
  expect(call.errorProbability).toBe(1);
  expect(call.quality).toBe('doubtful');
}

describe('certainty of a whole call', () => {
  it.each([100, 1200])('is near 1 for every character at %i Bd', (baud) => {
    const call = only(receiveCalls(transmit(alert, { sampleRate, band: band(baud) }), { sampleRate }));
    expect(call.quality).toBe('clean');
    expect(call.certainty).toHaveLength(alert.length);
    expect(Math.min(...call.certainty)).toBeGreaterThan(1 - 1e-6);
    expect(call.errorProbability).toBeGreaterThanOrEqual(1 - Math.min(...call.certainty));
  });

  it('is not less than the call as a whole has', () => {
    const noisy = impair(transmit(alert, { sampleRate }), sampleRate, 7, [{ kind: 'noise', snrDb: -12.5 }]);
    for (const call of receiveCalls(noisy, { sampleRate, bands: ['mf-hf'] })) {
      expect(Math.min(...call.certainty)).toBeGreaterThanOrEqual(1 - call.errorProbability - 1e-12);
    }
  });
});

describe('a call that breaks off', () => {
  it.each([
    [100, 8],
    [100, 12],
    [100, 15],
    [1200, 9],
    [1200, 13],
  ])('where the recording ends, at %i Bd behind symbol %i, has no certainty beyond it', (baud, last) => {
    // A little of the next character is not enough of it.
    expectCutAfter(only(receiveCalls(cutAfter(firstSendingEnds(last) + 4, baud), { sampleRate })), last);
  });

  it.each([100, 1200])('into digital silence at %i Bd has no certainty beyond it', (baud) => {
    const audio = between(cutAfter(firstSendingEnds(9), baud), sampleRate, 0, 9);
    expectCutAfter(only(receiveCalls(audio, { sampleRate })), 9);
  });

  it.each([-3, 10, 25])('into noise, at %i dB, has no certain error check and no certain time', (snrDb) => {
    const audio = impair(between(cutAfter(firstSendingEnds(9)), sampleRate, 0, 9), sampleRate, 3, [
      { kind: 'noise', snrDb },
    ]);
    const call = only(receiveCalls(audio, { sampleRate, bands: ['mf-hf'] }));
    expect(call.symbols.slice(0, 8)).toEqual(alert.slice(0, 8));
    expect(Math.min(...call.certainty.slice(0, 8))).toBeGreaterThan(0.9);
    for (const place of [11, 12, 13, ECC]) expect(call.certainty[place], `${place}`).toBeLessThan(0.9);
    expect(call.certainty[EOS]).toBe(0);
    expect(call.errorProbability).toBe(1);
  });
});

describe('a recording with a gap of zeros', () => {
  it.each([100, 1200])('at %i Bd says nothing of the characters that lie wholly in it', (baud) => {
    const audio = transmit(alert, { sampleRate, band: band(baud), dots: SHORT_DOTS });
    const samplesPerBit = sampleRate / baud;
    const [from, to] = [14, 26].map(
      (slot) => 0.5 * sampleRate + (SHORT_DOTS + slot * BITS_PER_SYMBOL) * samplesPerBit,
    );
    audio.fill(0, from, to);
    // Both sendings of a character lie five slots apart.
    const lost = (character: number) =>
      slots.every((slot, i) => slot.character !== character || (i >= 14 && i < 26));
    const call = only(receiveCalls(audio, { sampleRate }));
    call.symbols.forEach((_, place) => {
      if (lost(place + 1) && (place > 0 || lost(0))) expect(call.certainty[place], `${place}`).toBe(0);
      else if (place !== 0) expect(call.certainty[place], `${place}`).toBeGreaterThan(0.9);
    });
    expect(call.certainty.filter((certainty) => certainty === 0).length).toBeGreaterThan(1);
    expect(call.quality).toBe('doubtful');
  });
});

describe('a character that both sendings read as another', () => {
  it('is not certain', () => {
    const spoilt = alert.map((symbol, i) => (i === ECC ? symbol ^ 1 : symbol));
    const { bits } = frameCall(spoilt, { dots: SHORT_DOTS });
    const audio = between(modulateBits(bits, { sampleRate }), sampleRate, 0.5, 1);
    const call = only(receiveCalls(audio, { sampleRate }));
    const changed = call.symbols.flatMap((symbol, i) => (symbol === spoilt[i] ? [] : [i]));
    for (const place of changed) expect(call.certainty[place]).toBeLessThanOrEqual(0.5);
    // The error check does not hold for what was sent.
    expect(changed.length).toBeGreaterThan(0);
    expect(call.quality).toBe('doubtful');
  });
});

describe('a call that broke off or faded in noise', () => {
  // Calls in which characters that were not sent, or stood in another's place, once had a certainty near 1.
  it.each([
    ['disturbed', 150],
    ['moderate', 226],
    ['white', 246],
    ['white', 428],
    ['disturbed', 444],
    ['moderate', 526],
    ['white', 579],
  ] as const)('gives no wrong character as certain: %s, seed %i', (channel, seed) => {
    const { audio, symbols } = send(
      { channel, snrDb: [-14, 0], calls: 'all', cutShare: 1 / 3 },
      1_000_000 + seed,
    );
    const wrong = receiveCalls(audio, { sampleRate: SAMPLE_RATE, bands: ['mf-hf'] }).flatMap((call) =>
      call.symbols.filter((symbol, i) => call.certainty[i] >= 0.9 && symbol !== symbols[i]),
    );
    expect(wrong).toEqual([]);
  });
});

it('stays doubtful where its error check is wrong, however often it is sent', () => {
  const wrong = [...alert.slice(0, -1), alert[ECC] ^ 1];
  const audio = transmit(wrong, { sampleRate });
  const twice = between(audio, sampleRate, 0.5, 2);
  const all = new Float32Array(2 * twice.length);
  all.set(twice);
  all.set(twice, twice.length);
  const calls = receiveCalls(impair(all, sampleRate, 5, [{ kind: 'noise', snrDb: 25 }]), { sampleRate });
  expect(calls.map(({ quality }) => quality)).toEqual(['doubtful', 'doubtful']);
});
