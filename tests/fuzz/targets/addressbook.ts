/** Address books as JSON and as CSV, and back. */
import {
  addressBookFromCsv,
  addressBookFromJson,
  addressBookToCsv,
  addressBookToJson,
  createAddressBook,
  type AddressBook,
} from '../../../src/records/index.js';
import { requireSafeCsv } from '../csv.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { Material } from '../material.js';
import { bytesOf, hold, orRefused, same, type Target } from '../target.js';

const BOOK = {
  stations: [
    { name: 'Petrel Bank Radio', identity: '002990001', frequencies: [2_187_500, 156_525_000], note: '=1+1' },
    { name: '@Kittiwake', identity: '299000001', frequencies: [], note: 'a\r\nb "c"' },
    { name: 'Fleet', identity: '029900001', note: '\t-x' },
  ],
};
const BOOKS: readonly unknown[] = [BOOK];

function requireRoundTrip(book: AddressBook): void {
  const csv = addressBookToCsv(book);
  requireSafeCsv(csv);
  same(addressBookFromCsv(csv).entries, book.entries, 'the book read from its CSV');
  same(addressBookFromJson(addressBookToJson(book)).entries, book.entries, 'the book read from its JSON');
  for (const { name, identity } of book.entries) {
    same(book.resolve(name), identity, 'the identity of a name');
    hold(book.describe(identity).includes(name), () => `no ${name} in what describes ${identity}`);
  }
}

export const bookJson: Target = {
  name: 'book-json',
  seeds: () => jsonSeeds(BOOKS),
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 32,
  run(input) {
    const data = hostileJson(input, BOOKS);
    const text = JSON.stringify(data) as string | undefined;
    const book = text === undefined ? undefined : orRefused(() => addressBookFromJson(text));
    if (book) requireRoundTrip(book);
    orRefused(() => createAddressBook(data as []));
  },
};

export const bookCsv: Target = {
  name: 'book-csv',
  seeds: () => [
    bytesOf(addressBookToCsv(createAddressBook(BOOK.stations))),
    bytesOf('name;identity\nA;299 000 002\n'),
  ],
  words: [
    'name',
    'identity',
    'kind',
    'frequencies',
    'note',
    ',',
    ';',
    '\t',
    '"',
    '\r\n',
    "'",
    '=',
    'kHz',
    '299 000 003',
    '00 299 0003',
    'MHz',
  ],
  maxBytes: 4096,
  limitMs: (bytes) => 200 + bytes,
  limitMiB: 32,
  run(input) {
    const text = new Material(input).text();
    const book = orRefused(() => addressBookFromCsv(text));
    if (book) requireRoundTrip(book);
  },
};
