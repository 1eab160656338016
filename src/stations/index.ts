/**
 * Stations: the frequencies they use, whom they know, where they are, how they exchange calls and what they logged.
 *
 * The durable log stands by itself in `dotphase/stations/sqlite`; everything here runs in a browser.
 *
 * @example
 * ```ts
 * import { SCENARIOS, followUp, followUpRequest, playScenario } from 'dotphase/stations';
 *
 * const alert = {
 *   kind: 'distressAlert',
 *   self: '299123456',
 *   nature: 'sinking',
 *   position: 'none',
 *   time: 'none',
 *   followOn: 'j3e',
 * } as const;
 * console.log(followUp(followUpRequest(alert, 8_414_500)).text); // voice (J3E) on 8291.0 kHz
 *
 * const happenings = playScenario(SCENARIOS['second-attempt']);
 * console.log(happenings.length > 0); // true
 * ```
 *
 * @packageDocumentation
 */
export * from './addressbook/index.js';
export * from './frequencies/index.js';
export * from './log/index.js';
export * from './navigation/index.js';
export * from './procedures/index.js';
export * from './virtual/index.js';
