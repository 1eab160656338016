/**
 * Names of stations and their identities.
 */
export {
  createAddressBook,
  type AddressBook,
  type AddressBookEntry,
  type NewAddressBookEntry,
} from './book.js';
export { addressBookFromCsv, addressBookFromJson, addressBookToCsv, addressBookToJson } from './files.js';
export { addressBookSchema } from './schema.js';
