import { describe, expect, it } from 'vitest';
import { encodeCall } from '../../src/calls/index.js';
import { createReceiver, receiveCalls } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { SIGNAL_LEVEL_DB, impair, spelled, transmit } from '../scenes/transmission.js';
import { createChannel } from '../../src/channel/index.js';
import { sized } from '../size.js';

const sampleRate = 8000;

/** Calls at 100 Bd and at 1200 Bd, and minutes of noise; every kind of call once at least. */
const [SLOW, FAST, MINUTES] = sized([KINDS.length, KINDS.length, 2], [200, 40, 10]);

describe('calls in white noise', () => {
  it(`${SLOW} calls of all kinds at 0 dB in 3 kHz, ±20 Hz and ±100 ppm out: all read, none wrong`, () => {
    const choices = createChoices(200);
    for (let i = 0; i < SLOW; i++) {
      const symbols = encodeCall(randomCall(choices, KINDS[i % KINDS.length])).symbols;
      const audio = impair(transmit(symbols, { sampleRate, dots: 20, after: 0.6 }), sampleRate, i, [
        { kind: 'offset', offsetHz: choices.uniform(-20, 20) },
        { kind: 'clock', ppm: choices.uniform(-100, 100) },
        { kind: 'noise', snrDb: 0 },
      ]);
      const sure = receiveCalls(audio, { sampleRate, bands: ['mf-hf'], centreHz: 1700 }).filter(
        ({ quality }) => quality !== 'doubtful',
      );
      expect(spelled(sure), `call ${i}`).toEqual([symbols.join(' ')]);
    }
  }, 600_000);

  it(`${FAST} calls at 1200 Bd at 12 dB in 3 kHz: all read, none wrong`, () => {
    const choices = createChoices(40);
    for (let i = 0; i < FAST; i++) {
      const symbols = encodeCall(randomCall(choices, KINDS[i % KINDS.length])).symbols;
      const audio = impair(transmit(symbols, { sampleRate, band: 'vhf', after: 0.3 }), sampleRate, i, [
        { kind: 'clock', ppm: choices.uniform(-100, 100) },
        { kind: 'noise', snrDb: 12 },
      ]);
      const sure = receiveCalls(audio, { sampleRate, bands: ['vhf'] }).filter(
        ({ quality }) => quality !== 'doubtful',
      );
      expect(spelled(sure), `call ${i}`).toEqual([symbols.join(' ')]);
    }
  });

  it(`${MINUTES} minutes of noise make no call`, () => {
    const noise = createChannel({
      sampleRate,
      seed: 5,
      signalLevelDb: SIGNAL_LEVEL_DB,
      stages: [{ kind: 'noise', snrDb: 0 }],
    });
    const receiver = createReceiver({ sampleRate });
    const silence = new Float32Array(sampleRate);
    for (let second = 0; second < 60 * MINUTES; second++)
      expect(receiver.push(noise.push(silence))).toEqual([]);
    expect(receiver.flush()).toEqual([]);
  });
});
