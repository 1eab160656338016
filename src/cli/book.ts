/**
 * `dotphase book`: an address book of names and identities.
 */
import { existsSync } from 'node:fs';
import { Option, type Command } from 'commander';
import { describeIdentity, parseIdentity } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { formatFrequency, parseFrequency } from '../frequencies/index.js';
import {
  addressBookSchema,
  addressBookToCsv,
  addressBookToJson,
  createAddressBook,
  type AddressBook,
  type NewAddressBookEntry,
} from '../records/index.js';
import { EXIT } from './exit.js';
import { readBook, writeWhole } from './profile/book.js';
import { columnsOf, pad, screenOf } from './terminal.js';

interface BookFlags {
  readonly add?: string;
  readonly frequency?: readonly number[];
  readonly note?: string;
  readonly remove?: string;
  readonly csv?: true;
  readonly json?: true;
  readonly schema?: true;
}

const HELP = `
A file is read by what stands in it, JSON or CSV, and written in the form that
its name ends in, .csv or .json. Other commands take it as --book; then names
may be typed for identities, and are shown.

Examples:
  A station more, with the frequencies it is usually called on:
    dotphase book stations.json --add "Petrel Bank Radio=00 299 1234" \\
      --frequency 2187.5 --frequency 8414.5
  For a spreadsheet, and back:
    dotphase book stations.json --csv > stations.csv
    dotphase book stations.csv --json > stations.json`;

/** Adds `book` to the program. */
export function addBook(program: Command): void {
  program
    .command('book')
    .summary('lists, changes and exports an address book')
    .description('Lists an address book of names and identities, changes it or exports it.')
    .argument('[file]', 'address book, JSON or CSV; made by --add where it is missing')
    .option('--add <name=identity>', 'put a station in, in place of any with the same identity')
    .option(
      '--frequency <frequency>',
      'with --add: where it is usually called; may be given again',
      (text: string, before: readonly number[] | undefined) => [...(before ?? []), parseFrequency(text)],
    )
    .option('--note <text>', 'with --add: anything else')
    .option('--remove <station>', 'take a station out, by name or identity')
    .addOption(new Option('--csv', 'print it as comma-separated values').conflicts('json'))
    .option('--json', 'print it as JSON')
    .option('--schema', 'print the JSON Schema of address books')
    .addHelpText('after', HELP)
    .action(book);
}

function entryOf(add: string, { frequency, note }: BookFlags): NewAddressBookEntry {
  const split = add.lastIndexOf('=');
  if (split < 0) throw new DotphaseError('--add', add, 'name=identity');
  return {
    name: add.slice(0, split).trim(),
    identity: parseIdentity(add.slice(split + 1)),
    ...(frequency && { frequencies: frequency }),
    ...(note !== undefined && { note }),
  };
}

/** The book with what the flags change. */
function changed(book: AddressBook, flags: BookFlags): AddressBook {
  const { add, remove } = flags;
  const rest = remove === undefined ? book : book.without(known(book, remove));
  return add === undefined ? rest : rest.with(entryOf(add, flags));
}

function known(book: AddressBook, typed: string): string {
  const identity = book.resolve(typed);
  if (!book.byIdentity(identity)) throw new DotphaseError('--remove', typed, 'a station in the address book');
  return identity;
}

function* lines({ entries }: AddressBook): Generator<string> {
  const longest = Math.max(0, ...entries.map(({ name }) => columnsOf(name)));
  const { colours } = screenOf(process.stdout);
  for (const { name, identity, frequencies, note } of entries) {
    const facts = [
      describeIdentity(identity),
      ...frequencies.map(formatFrequency),
      ...(note === undefined ? [] : [note]),
    ];
    yield `${colours.bold(pad(name, longest))}  ${facts.join(', ')}\n`;
  }
}

async function book(file: string | undefined, flags: BookFlags): Promise<void> {
  if (flags.schema) {
    process.stdout.write(`${JSON.stringify(addressBookSchema(), undefined, 2)}\n`);
    return;
  }
  if (file === undefined) throw new DotphaseError('file', NOTHING, 'the file of an address book');
  const { add, remove, frequency, note } = flags;
  if (add === undefined && (frequency !== undefined || note !== undefined)) {
    throw new DotphaseError(frequency ? '--frequency' : '--note', note ?? frequency, '--add beside it');
  }
  const isNew = add !== undefined && !existsSync(file);
  const after = changed(isNew ? createAddressBook() : await readBook(file), flags);
  if (add !== undefined || remove !== undefined) {
    await writeWhole(file, /\.csv$/i.test(file) ? addressBookToCsv(after) : addressBookToJson(after));
  }
  const pieces = flags.csv
    ? [addressBookToCsv(after)]
    : flags.json
      ? [addressBookToJson(after)]
      : lines(after);
  for (const piece of pieces) process.stdout.write(piece);
  if (after.entries.length > 0) return;
  if (!flags.csv && !flags.json) process.stdout.write('The address book is empty.\n');
  process.exitCode = EXIT.nothing;
}
