/**
 * Address books as JSON, their own form, and as CSV for spreadsheets.
 */
import { formatIdentity, parseIdentity } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { checked, csvRow, parseCsv } from '../../data/index.js';
import { formatFrequency, parseFrequency } from '../../frequencies/index.js';
import { createAddressBook, type AddressBook, type NewAddressBookEntry } from './book.js';
import { fileSchema } from './schema.js';

/**
 * Reads an address book from JSON text; its form is {@link addressBookSchema}.
 *
 * @throws DotphaseError when it is no JSON, or naming the first field that is bad
 */
export function addressBookFromJson(text: string): AddressBook {
  let data: unknown;
  try {
    data = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new DotphaseError(
      'address book',
      text,
      `JSON (${error instanceof Error ? error.message : 'unreadable'})`,
    );
  }
  const { stations } = checked(fileSchema, data, 'address book');
  return createAddressBook(stations as NewAddressBookEntry[]);
}

/** An address book as JSON text, indented, ending in a line break. */
export function addressBookToJson({ entries }: AddressBook): string {
  return `${JSON.stringify({ stations: entries }, undefined, 2)}\n`;
}

const COLUMNS = ['name', 'identity', 'kind', 'frequencies', 'note'];

/**
 * An address book as CSV (RFC 4180) with a header. Identities are grouped, so that a spreadsheet keeps their leading
 * zeros; frequencies carry their unit and are separated by semicolons. Text that a spreadsheet would take for
 * a formula gets an apostrophe before it.
 */
export function addressBookToCsv({ entries }: AddressBook): string {
  const rows = entries.map(({ name, identity, kind, frequencies, note }) =>
    csvRow([name, formatIdentity(identity), kind, frequencies.map(formatFrequency).join('; '), note]),
  );
  return [csvRow(COLUMNS), ...rows].join('');
}

/** Names the row and column in what `read` refuses. */
function inCell<T>(row: number, column: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    throw new DotphaseError(`row ${row + 2}, ${column}`, error.value, error.expected);
  }
}

function readRow(cells: Readonly<Record<string, string>>, row: number): NewAddressBookEntry {
  const { name = '', identity = '', kind = '', frequencies = '', note = '' } = cells;
  const listed = frequencies.split(';').filter((text) => text.trim() !== '');
  return {
    name: name.trim(),
    identity: inCell(row, 'identity', () => parseIdentity(identity)),
    frequencies: inCell(row, 'frequencies', () => listed.map(parseFrequency)),
    ...(kind.trim() === '' ? {} : { kind: kind.trim() as NonNullable<NewAddressBookEntry['kind']> }),
    ...(note === '' ? {} : { note }),
  };
}

/**
 * Reads an address book from CSV text as {@link addressBookToCsv} writes it. The header names the columns in any order;
 * `name` and `identity` are needed, `kind`, `frequencies` and `note` may be missing.
 *
 * @throws DotphaseError naming the row and column that is bad
 */
export function addressBookFromCsv(text: string): AddressBook {
  return createAddressBook(parseCsv(text, COLUMNS).map(readRow));
}
