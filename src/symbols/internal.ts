/**
 * What the rooms of the library need of the symbols and users do not: the codes without their plain words.
 */
export * from './codes.js';
