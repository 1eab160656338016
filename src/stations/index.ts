/**
 * Stations: the frequencies they use, whom they know, where they are, how they exchange calls and what they logged.
 *
 * The durable log stands by itself in `dotphase/stations/sqlite`; everything here runs in a browser.
 *
 * @packageDocumentation
 */
export * from './addressbook/index.js';
export * from './frequencies/index.js';
export * from './log/index.js';
export * from './navigation/index.js';
export * from './procedures/index.js';
export * from './virtual/index.js';
