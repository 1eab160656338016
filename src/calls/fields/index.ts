/**
 * The fields that calls are made of, each with its reading, writing and allowed symbols
 * (ITU-R M.493 Annex 1 §5–§9, from memory).
 */
export * from './area.js';
export * from './channel.js';
export * from './field.js';
export * from './message.js';
export * from './position.js';
export * from './quadrant.js';
export * from './station.js';
export * from './telephone.js';
export * from './time.js';
