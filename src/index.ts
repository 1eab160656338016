/**
 * dotphase: maritime digital selective calling by ITU-R M.493.
 *
 * Data walks call → characters → slots → bits → audio, and back. Each step is a room with its own subpath:
 * `dotphase/symbols`, `dotphase/calls`, `dotphase/frames`, `dotphase/modem`, `dotphase/receiver`.
 *
 * @packageDocumentation
 */
export * from './errors.js';
export * from './symbols/index.js';
export * from './calls/index.js';
export * from './frames/index.js';
export * from './modem/index.js';
export * from './receiver/index.js';
