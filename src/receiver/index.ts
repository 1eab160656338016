/**
 * Receiver: a stream of audio to received calls, each with how sure it is.
 *
 * @packageDocumentation
 */
export type * from './types.js';
export { createReceiver, receiveCalls } from './receiver.js';
export { createReceiverStream, receiveFrom } from './adaptors.js';
