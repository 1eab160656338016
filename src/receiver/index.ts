/**
 * Receiver: a stream of audio to received calls, each with how sure it is.
 *
 * @example
 * ```ts
 * import { callToAudio } from 'dotphase';
 * import { createReceiver } from 'dotphase/receiver';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = callToAudio(call, { band: 'mf-hf', sampleRate: 12000 });
 *
 * const receiver = createReceiver({ sampleRate: 12000 });
 * const heard = [];
 * for (let at = 0; at < audio.length; at += 1024) heard.push(...receiver.push(audio.subarray(at, at + 1024)));
 * heard.push(...receiver.flush());
 * for (const { quality, baud, call } of heard) console.log(quality, baud, call.kind); // clean 100 testCall
 * ```
 *
 * @packageDocumentation
 */
export type * from './types.js';
export { describeReceived } from './describe.js';
export { createOwnSound, type OwnSound } from './ownsound.js';
export { createReceiver, receiveCalls } from './receiver.js';
export {
  addToAttempts,
  attemptOpenUntil,
  createAttemptNumbering,
  groupAttempts,
  type AttemptGroup,
  type GroupedCall,
  type SendingFacts,
} from './sendings.js';
export { createReceiverStream, receiveFrom, type ReceiveFromOptions } from './adaptors.js';
