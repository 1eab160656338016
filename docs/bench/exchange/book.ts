/**
 * The address book of the page, and the own identities to choose from: kept in this browser.
 */
import { DotphaseError, formatIdentity, type Identity } from 'dotphase';
import { DISTRESS_FREQUENCIES, VHF_DSC_HZ } from 'dotphase/frequencies';
import {
  addressBookFromCsv,
  addressBookFromJson,
  addressBookToCsv,
  addressBookToJson,
  createAddressBook,
  type AddressBook,
  type NewAddressBookEntry,
} from 'dotphase/records';
import { BEHAVIOURS, type Behaviour } from 'dotphase/simulation';
import { useState } from 'preact/hooks';
import { keep, kept } from '../parts/kept.js';

/** How a station of the book behaves as a virtual one. */
export interface Conduct {
  readonly conduct: Behaviour;
  /** Seconds until its operator answers. */
  readonly delay: number;
  /** Nautical miles from the own station. */
  readonly distance: number;
}

/** A station of the book. */
export interface Station extends Conduct {
  readonly identity: Identity;
  readonly name: string;
  readonly frequencies: readonly number[];
}

const USUAL: Conduct = { conduct: 'answers', delay: 6, distance: 25 };

const SAFETY = [VHF_DSC_HZ, ...DISTRESS_FREQUENCIES.map(({ dscHz }) => dscHz)].filter(
  (hz, i, all) => all.indexOf(hz) === i,
);

/** An invented scenario: MID 299 is allotted to nobody. */
const FIRST_BOOK: readonly NewAddressBookEntry[] = [
  { name: 'Halcyon Bank Radio', identity: '002991234', frequencies: [...SAFETY, 2_189_500, 4_208_000] },
  { name: 'Sea Holly', identity: '299456789', frequencies: [...SAFETY, 2_177_000] },
  { name: 'Long Fetch', identity: '299000444', frequencies: [...SAFETY, 2_177_000] },
];
const FIRST_OWN: readonly NewAddressBookEntry[] = [
  { name: 'Grey Petrel', identity: '299123456' },
  { name: 'Outer Skerry Radio', identity: '002994321' },
];

const BOOK = 'address book';
const OWN = 'own identities';
const CONDUCTS = 'virtual stations';

const readBook = (text: string) => addressBookFromJson(text);

function conductsFrom(text: string): Record<string, Conduct> {
  const found = JSON.parse(text) as Record<string, Partial<Conduct> | undefined>;
  return Object.fromEntries(
    Object.entries(found).map(([identity, each]) => [
      identity,
      {
        conduct:
          each?.conduct !== undefined && BEHAVIOURS.includes(each.conduct) ? each.conduct : USUAL.conduct,
        delay: withinRange(each?.delay, 0, 300) ?? USUAL.delay,
        distance: withinRange(each?.distance, 0, MOST_MILES) ?? USUAL.distance,
      },
    ]),
  );
}

/** The farthest that a virtual station may be, nautical miles. */
export const MOST_MILES = 5000;

function withinRange(value: unknown, low: number, high: number): number | undefined {
  return typeof value === 'number' && value >= low && value <= high ? value : undefined;
}

/** A text of CSV or JSON as a book. Throws a DotphaseError naming what is bad. */
export function bookFrom(text: string): AddressBook {
  return /^\s*[{[]/.test(text) ? addressBookFromJson(text) : addressBookFromCsv(text);
}

export interface Book {
  readonly stations: readonly Station[];
  readonly own: readonly NewAddressBookEntry[];
  /** The name of an identity with its digits, or its digits alone. */
  readonly describe: (identity: Identity) => string;
  readonly text: () => string;
  /** Puts stations in the place of all. Throws a DotphaseError naming what is bad. */
  readonly setStations: (entries: readonly NewAddressBookEntry[]) => void;
  readonly setOwn: (entries: readonly NewAddressBookEntry[]) => void;
  readonly setConduct: (identity: Identity, part: Partial<Conduct>) => void;
}

export function useBook(): Book {
  const [book, setBook] = useState(() => kept(BOOK, readBook) ?? createAddressBook(FIRST_BOOK));
  const [own, setOwn] = useState(() => kept(OWN, readBook) ?? createAddressBook(FIRST_OWN));
  const [conducts, setConducts] = useState(() => kept(CONDUCTS, conductsFrom) ?? {});
  const all = [...own.entries, ...book.entries];
  return {
    stations: book.entries.map((entry) => ({ ...USUAL, ...entry, ...conducts[entry.identity] })),
    own: own.entries,
    describe: (identity) => {
      const name = all.find((entry) => entry.identity === identity)?.name;
      return name === undefined ? formatIdentity(identity) : `${name} (${formatIdentity(identity)})`;
    },
    text: () => addressBookToCsv(book),
    setStations(entries) {
      const next = createAddressBook(entries);
      setBook(next);
      keep(BOOK, addressBookToJson(next));
    },
    setOwn(entries) {
      if (entries.length === 0) {
        throw new DotphaseError('own identities', 'none', 'at least one identity');
      }
      const next = createAddressBook(entries);
      setOwn(next);
      keep(OWN, addressBookToJson(next));
    },
    setConduct(identity, part) {
      setConducts((before) => {
        const next = { ...before, [identity]: { ...USUAL, ...before[identity], ...part } };
        keep(CONDUCTS, JSON.stringify(next));
        return next;
      });
    },
  };
}
