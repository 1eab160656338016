/**
 * Frequency and position messages for people.
 */
import { isNotReceived } from '../values.js';
import { channelPhrase } from './channel.js';
import { describeNamed, type Phrase } from './phrase.js';
import { positionPhrase } from './position.js';
import { timePhrase } from './time.js';

/** A message for people, its frequencies being those of `station`. */
function describeMessage(value: unknown, station: string): string {
  const message = value as Record<string, unknown>;
  if ('position' in message) {
    const position = describeNamed('position', positionPhrase, message.position);
    return message.time === undefined
      ? position
      : `${position}, ${describeNamed('time', timePhrase, message.time)}`;
  }
  if (message.receive === 'none' && message.transmit === 'none') return 'no channel proposed';
  const receive = describeNamed('a channel', channelPhrase, message.receive);
  const transmit = describeNamed('a channel', channelPhrase, message.transmit);
  const isSame = receive === transmit && !isNotReceived(message.receive);
  if (message.transmit === 'none' || isSame) return `on ${receive}`;
  if (message.receive === 'none') return `${station} to transmit on ${transmit}`;
  return `${station} to receive on ${receive} and transmit on ${transmit}`;
}

/** A message whose frequencies are those of a station, which is called so. */
export function messagePhrase(station: string): Phrase {
  return { describe: (value) => describeMessage(value, station) };
}
