/**
 * Frequency and position messages for people.
 */
import { isNotReceived } from '../values.js';
import { channelPhrase } from './channel.js';
import { describeNamed, type Phrase } from './phrase.js';
import { positionPhrase } from './position.js';
import { timePhrase } from './time.js';

/** A message for people; `station` is the one whose frequencies it holds. */
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

/** The phrase maker of messages whose frequencies belong to `station`. */
export function messagePhrase(station: string): Phrase {
  return { describe: (value) => describeMessage(value, station) };
}
