/**
 * A watch: inputs that never end → receivers → a log. Needs Node, and SQLite as `dotphase/records/sqlite` does.
 *
 * @example
 * ```ts
 * import { checkWatch, runWatch } from 'dotphase/watch';
 *
 * const config = checkWatch({
 *   log: 'calls.db',
 *   inputs: [
 *     {
 *       name: 'mf',
 *       // Half a minute of silence; a sound card's recorder goes on for ever.
 *       command: ['head', '-c', '720000', '/dev/zero'],
 *       format: 's16',
 *       sampleRate: 12000,
 *       frequencyHz: 2_187_500,
 *       recorded: '2031-05-17T09:30:00Z',
 *     },
 *   ],
 * });
 * const happened: string[] = [];
 * await runWatch(config, {
 *   clock: Date.now,
 *   signal: new AbortController().signal,
 *   onEvent: (event) => {
 *     if (event.type === 'input') happened.push(event.event.kind);
 *     if (event.type === 'call') happened.push(event.entry.text);
 *   },
 * });
 * console.log(happened.join(' ')); // started ended
 * ```
 *
 * @packageDocumentation
 */
export {
  checkWatch,
  watchSchema,
  type AudioInput,
  type InputConfig,
  type SliceInput,
  type WatchConfig,
} from './config.js';
export type { WatchEvent } from './listener.js';
export type { SpanLevel } from './levels.js';
export { runWatch, type WatchOptions } from './watch.js';
