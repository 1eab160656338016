/** Channel descriptions, and audio through the channels they describe. */
import { createChannel, parseChannel } from '../../../src/channel/index.js';
import { createChoices } from '../../scenes/random.js';
import { CHANNELS } from '../good.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { hold, orRefused, type Target } from '../target.js';

const SAMPLES = 2000;
const choices = createChoices(1487);
const AUDIO = Float32Array.from(
  { length: SAMPLES },
  (_, n) => 0.4 * Math.sin(n) + choices.uniform(-0.1, 0.1),
);

export const channel: Target = {
  name: 'channel',
  seeds: () => jsonSeeds(CHANNELS),
  share: 2,
  maxBytes: 2048,
  // A chain may have 64 stages, whatever its length in bytes.
  limitMs: (bytes) => 2000 + bytes,
  limitMiB: 192,
  run(input) {
    const description = orRefused(() => parseChannel(hostileJson(input, CHANNELS)));
    if (!description) return;
    const output = orRefused(() => {
      const made = createChannel({ ...description, sampleRate: 8000, sources: { other: AUDIO } });
      return [made.push(AUDIO.slice()), made.push(AUDIO.slice(0, 1)), made.flush()];
    });
    for (const block of output ?? []) {
      hold(block.every(Number.isFinite), () => 'a sample that is no finite number comes out of a channel');
    }
  },
};
