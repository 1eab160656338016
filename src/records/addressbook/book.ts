/**
 * Names for identities.
 */
import { describeIdentity, identityKind, parseIdentity, type IdentityKind } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { checked } from '../../data/index.js';
import { entriesSchema } from './schema.js';

/** A station in an address book. Plain JSON data. */
export interface AddressBookEntry {
  /** 1 to 60 characters, not nine digits. */
  readonly name: string;
  /** Nine digits. */
  readonly identity: string;
  /** What the identity stands for; follows from its first digits. */
  readonly kind: IdentityKind;
  /** Where the station is usually called, assigned frequencies in hertz, each once. */
  readonly frequencies: readonly number[];
  /** Anything else, 1 to 500 characters; an empty one is left out. */
  readonly note?: string;
}

/** What an entry is made of: the kind is worked out where absent, the frequencies are none. */
export type NewAddressBookEntry = Pick<AddressBookEntry, 'name' | 'identity' | 'note'> &
  Partial<Pick<AddressBookEntry, 'kind' | 'frequencies'>>;

/** Names and identities of stations. A book does not change: `with` and `without` give another one. */
export interface AddressBook {
  /** All entries in the order they came. */
  readonly entries: readonly AddressBookEntry[];
  /** The entry of an identity, if there is one. */
  byIdentity(identity: string): AddressBookEntry | undefined;
  /** The entry of a name, whatever its capitals and inner spaces, if there is one. */
  byName(name: string): AddressBookEntry | undefined;
  /**
   * The nine digits that a person meant: a name in the book, or the digits themselves with or without spaces.
   *
   * @throws DotphaseError when it is neither
   */
  resolve(typed: string): string;
  /** An identity for people: `Petrel Bank Radio (coast station 00 299 1234)`, or without a name if it has none. */
  describe(identity: string): string;
  /**
   * This book with an entry more, in place of any with the same identity.
   *
   * @throws DotphaseError when the entry is bad or another station has its name
   */
  with(entry: NewAddressBookEntry): AddressBook;
  /** This book without the entry of an identity. */
  without(identity: string): AddressBook;
}

/** What makes two names the same. */
function nameKey(name: string): string {
  return name.normalize('NFKC').toLowerCase().trim().replace(/\s+/g, ' ');
}

function index(
  entries: readonly AddressBookEntry[],
  field: 'name' | 'identity',
): Map<string, AddressBookEntry> {
  const map = new Map<string, AddressBookEntry>();
  entries.forEach((entry, i) => {
    const key = field === 'name' ? nameKey(entry.name) : entry.identity;
    if (map.has(key)) throw new DotphaseError(`stations[${i}].${field}`, entry[field], `each ${field} once`);
    map.set(key, entry);
  });
  return map;
}

/**
 * Makes an address book.
 *
 * @param entries - at most 10000
 * @throws DotphaseError naming the first entry and field that is bad or stands twice
 */
export function createAddressBook(entries: readonly NewAddressBookEntry[] = []): AddressBook {
  const complete = checked(entriesSchema, entries, 'stations').map(
    ({ name, identity, frequencies = [], note }): AddressBookEntry => ({
      name,
      identity,
      kind: identityKind(identity),
      frequencies,
      ...(note === undefined || note === '' ? {} : { note }),
    }),
  );
  const identities = index(complete, 'identity');
  const names = index(complete, 'name');
  const byName = (name: string) => names.get(nameKey(name));
  return {
    entries: complete,
    byIdentity: (identity) => identities.get(identity),
    byName,
    resolve(typed) {
      const given: unknown = typed;
      const named = typeof given === 'string' ? byName(given) : undefined;
      if (named) return named.identity;
      try {
        return parseIdentity(typed);
      } catch {
        throw new DotphaseError('station', typed, 'a name in the address book or nine digits');
      }
    },
    describe(identity) {
      const text = describeIdentity(identity);
      const entry = identities.get(identity);
      return entry ? `${entry.name} (${text})` : text;
    },
    with(entry) {
      return createAddressBook([...complete.filter(({ identity }) => identity !== entry.identity), entry]);
    },
    without(identity) {
      return createAddressBook(complete.filter((entry) => entry.identity !== identity));
    },
  };
}
