/** The chosen ones of decoded channels. */
import { DotphaseError } from '../errors.js';
import type { ChannelChoice } from '../wav/index.js';

function mixOf(channels: readonly Float32Array[]): Float32Array {
  const mix = new Float32Array(channels[0].length);
  for (const samples of channels) {
    for (let i = 0; i < mix.length; i++) mix[i] += samples[i] / channels.length;
  }
  return mix;
}

/**
 * The channels that are wanted of those there are.
 *
 * @throws DotphaseError if there is no such channel
 */
export function chosenChannels(channels: Float32Array[], choice: ChannelChoice): Float32Array[] {
  if (choice === 'each') return channels;
  if (choice === 'mix') return [mixOf(channels)];
  if (choice < channels.length) return [channels[choice]];
  const expected = `a channel below ${channels.length}: there are ${channels.length}, counted from 0`;
  throw new DotphaseError('channel', choice, expected);
}
