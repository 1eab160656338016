/**
 * Names of stations and their identities.
 */
export * from './book.js';
export * from './files.js';
export { addressBookSchema } from './schema.js';
