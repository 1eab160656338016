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
 * Checks that a chosen channel is one of so many.
 *
 * @throws DotphaseError if there is no such channel
 */
export function requireChannel(choice: ChannelChoice, count: number): void {
  if (typeof choice !== 'number' || choice < count) return;
  throw new DotphaseError('channel', choice, `a channel below ${count}: there are ${count}, counted from 0`);
}

/**
 * The channels that are wanted of those there are.
 *
 * @throws DotphaseError if there is no such channel
 */
export function chosenChannels(channels: Float32Array[], choice: ChannelChoice): Float32Array[] {
  if (choice === 'each') return channels;
  if (choice === 'mix') return [mixOf(channels)];
  requireChannel(choice, channels.length);
  return [channels[choice]];
}
