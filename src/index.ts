/**
 * dotphase: maritime digital selective calling by ITU-R M.493.
 *
 * One call each way: {@link callToAudio} and {@link receiveCalls}. Below them the same steps by hand: call →
 * characters → frame → audio, and back. Each step is a room with its own subpath: `dotphase/symbols`,
 * `dotphase/calls`, `dotphase/frames`, `dotphase/modem`, `dotphase/transmitter`, `dotphase/receiver`.
 *
 * @example
 * ```ts
 * import { callToAudio, receiveCalls } from 'dotphase';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = callToAudio(call, { band: 'mf-hf', sampleRate: 12000 });
 * for (const { quality, call } of receiveCalls(audio, { sampleRate: 12000 })) {
 *   console.log(quality, call.kind); // clean testCall
 * }
 * ```
 *
 * @packageDocumentation
 */
export { DotphaseError, requireInteger, requireNumber, requireRecord } from './errors.js';
export * from './symbols/index.js';
export * from './calls/index.js';
export * from './frames/index.js';
export * from './modem/index.js';
export * from './transmitter/index.js';
export * from './receiver/index.js';
