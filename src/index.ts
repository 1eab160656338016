/**
 * dotphase: maritime digital selective calling by ITU-R M.493.
 *
 * Data walks call → characters → slots → bits → audio, and back. Each step is a room with its own subpath:
 * `dotphase/symbols`, `dotphase/calls`, `dotphase/frames`, `dotphase/modem`, `dotphase/receiver`.
 *
 * @example
 * ```ts
 * import { encodeCall, frameCall, modulate, receiveCalls } from 'dotphase';
 *
 * const symbols = encodeCall({ kind: 'testCall', to: { station: '002991234' }, self: '299123456' });
 * const { bits } = frameCall(symbols, { band: 'mf-hf' });
 * const audio = modulate(bits, { sampleRate: 12000 });
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
export * from './receiver/index.js';
