import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import type { ChannelStage } from '../../src/channel/index.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, spelled, transmit } from '../scenes/transmission.js';

const sampleRate = 8000;
const symbols = encodeCall(randomCall(createChoices(123), 'distressRelay')).symbols;
const call = transmit(symbols, { sampleRate, dots: 20 });
/** The middle of the call, seconds. */
const MIDDLE = 3.5;

function sure(audio: Float32Array): string[] {
  return spelled(
    receiveCalls(audio, { sampleRate, bands: ['mf-hf'] }).filter(({ quality }) => quality !== 'doubtful'),
  );
}

describe('levels and what spoils them', () => {
  const noise: ChannelStage = { kind: 'noise', snrDb: 0 };

  it.each<[string, ChannelStage[]]>([
    ['at −60 dB of full scale', [noise, { kind: 'gain', gainDb: -60 }]],
    ['at −120 dB of full scale', [noise, { kind: 'gain', gainDb: -120 }]],
    ['beyond full scale', [noise, { kind: 'gain', gainDb: 40 }]],
    ['with a DC offset of 0.3', [noise, { kind: 'dc', offset: 0.3 }]],
    ['20 dB louder from its middle on', [noise, { kind: 'gain', gainDb: 20, startSeconds: MIDDLE }]],
    ['20 dB softer from its middle on', [noise, { kind: 'gain', gainDb: -20, startSeconds: MIDDLE }]],
    [
      '20 dB louder for half a second',
      [noise, { kind: 'gain', gainDb: 20, startSeconds: 3, stopSeconds: 3.5 }],
    ],
    [
      'clipped by 12 dB',
      [
        { kind: 'noise', snrDb: 6 },
        { kind: 'clip', overDb: 12 },
      ],
    ],
    ['in eight bits', [noise, { kind: 'quantise', bits: 8 }]],
    [
      'under crashes of static',
      [
        { kind: 'noise', snrDb: 6 },
        { kind: 'impulses', levelDb: 10, ratePerSecond: 3 },
      ],
    ],
    [
      'with gain control that pumps',
      [noise, { kind: 'impulses', levelDb: 10, ratePerSecond: 1 }, { kind: 'agc' }],
    ],
    [
      'beside a carrier as strong',
      [
        { kind: 'noise', snrDb: 6 },
        { kind: 'carrier', frequencyHz: 1450, levelDb: 0 },
      ],
    ],
    [
      'under somebody talking',
      [
        { kind: 'noise', snrDb: 10 },
        { kind: 'voice', levelDb: 0 },
      ],
    ],
    ['silent for 0.3 s', [noise, { kind: 'gain', gainDb: -200, startSeconds: 3, stopSeconds: 3.3 }]],
  ])('a call is read %s', (_, stages) => {
    expect(sure(impair(call, sampleRate, 1, stages))).toEqual([symbols.join(' ')]);
  });

  it('a call at full scale is read beside digital silence', () => {
    expect(sure(transmit(symbols, { sampleRate, level: 1 }))).toEqual([symbols.join(' ')]);
  });

  it('a call is read though every hundredth sample is no number', () => {
    const audio = impair(call, sampleRate, 1, [{ kind: 'noise', snrDb: 10 }]);
    const broken = audio.map((sample, n) =>
      n % 100 === 0 ? [NaN, Infinity, -Infinity][(n / 100) % 3] : sample,
    );
    const [received] = receiveCalls(broken, { sampleRate });
    expect(received.symbols).toEqual(symbols);
    expect(Number.isFinite(received.errorProbability + received.snrDb + received.centreHz)).toBe(true);
  });

  it('a call is read though a sample a second is as large as a number gets', () => {
    const audio = impair(call, sampleRate, 1, [{ kind: 'noise', snrDb: 6 }]);
    const broken = audio.map((sample, n) => (n % sampleRate === 0 ? 3e38 : sample));
    expect(sure(broken)).toEqual([symbols.join(' ')]);
  });

  it('a call is read after ten seconds that were no numbers', () => {
    const audio = new Float32Array(10 * sampleRate + call.length).fill(NaN);
    audio.set(call, 10 * sampleRate);
    expect(sure(audio)).toEqual([symbols.join(' ')]);
  });

  it.each<[string, (n: number) => number]>([
    ['silence', () => 0],
    ['no numbers', () => NaN],
    ['infinities', (n) => (n % 2 ? Infinity : -Infinity)],
    ['a constant', () => 1],
    ['the largest numbers there are', (n) => (n % 7 < 3 ? 3e38 : -3e38)],
    ['the smallest numbers there are', (n) => (n % 7 < 3 ? 1e-45 : -1e-45)],
    ['a square wave', (n) => (n % 10 < 5 ? 1 : -1)],
  ])('%s are no call', (_, sample) => {
    expect(
      receiveCalls(
        Float32Array.from({ length: 12 * sampleRate }, (_, n) => sample(n)),
        { sampleRate },
      ),
    ).toEqual([]);
  });

  it('nothing is no call', () => {
    expect(receiveCalls(new Float32Array(0), { sampleRate })).toEqual([]);
    expect(receiveCalls(new Float32Array(1), { sampleRate })).toEqual([]);
  });
});
