/**
 * The sounds of the documents say what the pages say of them. Counts of slots and bits are worked by hand after ITU-R
 * M.493 Annex 1 §2 and §3 (from memory).
 */
import { describe, expect, it } from 'vitest';
import { receiveCalls } from '../../src/receiver/index.js';
import { readWav } from '../../src/wav/index.js';
import { ALERT, TEST_ACKNOWLEDGEMENT, TEST_CALL } from '../../docs/build/sounds/calls.js';
import { SAMPLE_RATE, SOUND_NAMES, makeSound, soundFile } from '../../docs/build/sounds/sounds.js';

const CALLS: Readonly<Record<string, readonly object[]>> = {
  'test-exchange': [TEST_CALL, TEST_ACKNOWLEDGEMENT],
  // The page says of it that it is too much.
  'channel-high-latitude-disturbed': [],
};
const named = (name: string) => (name.startsWith('distress') ? [ALERT] : [TEST_CALL]);
const whole = SOUND_NAMES.filter((name) => /^(test|distress|channel)-/.test(name));

describe('the sounds', () => {
  it.each(whole)('%s gives for sure the calls that it holds, from the file that plays', (name) => {
    const { sampleRate, channels } = readWav(soundFile(name));
    const sure = receiveCalls(channels[0], { sampleRate }).filter(({ quality }) => quality !== 'doubtful');
    expect(sure.map(({ call }) => call)).toEqual(CALLS[name] ?? named(name));
  });

  // An alert has 26 pairs of slots: 6 of DX are phasing and 8 of RX; the format specifier comes twice in each; of the
  // other characters, 14 of content, EOS, ECC, EOS, EOS in DX, the last two are not repeated. A slot lasts 0.1 s.
  it.each([
    ['dots', 200 / 100],
    ['phasing', (6 + 8) / 10],
    ['format', (2 + 2) / 10],
    ['content', (14 + 14) / 10],
    ['eos', (3 + 1) / 10],
    ['ecc', (1 + 1) / 10],
  ])('the part %s is as long as its slots, those below a second three times', (part, seconds) => {
    const expected = seconds < 1 ? 3 * seconds + 2 * 0.5 : seconds;
    expect(makeSound(`part-${part}`).samples.length / SAMPLE_RATE).toBeCloseTo(expected, 6);
  });

  it('are all as loud as each other, and none is clipped much', () => {
    for (const name of SOUND_NAMES) {
      const [samples] = readWav(soundFile(name)).channels;
      const clipped = samples.filter((value) => Math.abs(value) > 0.965).length;
      expect(clipped / samples.length, name).toBeLessThan(0.001);
    }
  });
});
