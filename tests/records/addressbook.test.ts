import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from '../property.js';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { refusal } from '../refusal.js';
import { DotphaseError } from '../../src/errors.js';
import {
  addressBookFromCsv,
  addressBookFromJson,
  addressBookSchema,
  addressBookToCsv,
  addressBookToJson,
  createAddressBook,
  type NewAddressBookEntry,
} from '../../src/records/index.js';

const SHIP: NewAddressBookEntry = { name: 'Tern of Halsey', identity: '299123456' };
const RADIO: NewAddressBookEntry = {
  name: 'Petrel Bank Radio',
  identity: '002991234',
  frequencies: [2_189_500, 156_525_000],
  note: 'watch by day',
};
const BOOK = createAddressBook([SHIP, RADIO]);

describe('an address book', () => {
  it('knows each station by name and by identity', () => {
    expect(BOOK.byIdentity('002991234')).toEqual({ ...RADIO, kind: 'coastStation' });
    expect(BOOK.byName(' petrel  BANK radio')?.identity).toBe('002991234');
    expect(BOOK.byIdentity('299000000')).toBeUndefined();
    expect(BOOK.byName('nobody')).toBeUndefined();
    expect(BOOK.entries).toEqual([
      { ...SHIP, kind: 'ship', frequencies: [] },
      { ...RADIO, kind: 'coastStation' },
    ]);
  });

  it('takes a name or digits where an identity is typed', () => {
    expect(BOOK.resolve('tern of halsey')).toBe('299123456');
    expect(BOOK.resolve('00 299 9999')).toBe('002999999');
    for (const typed of ['Tern', '12345', '', undefined, 7] as unknown[]) {
      expect(() => BOOK.resolve(typed as string)).toThrow(
        /station: .*a name in the address book or nine digits/,
      );
    }
  });

  it('shows an identity with its name', () => {
    expect(BOOK.describe('002991234')).toBe('Petrel Bank Radio (coast station 00 299 1234)');
    expect(BOOK.describe('299000000')).toBe('ship 299 000 000');
    expect(() => BOOK.describe('2990')).toThrow(DotphaseError);
  });

  it('gives another book for each change', () => {
    const renamed = BOOK.with({ ...SHIP, name: 'Tern' });
    expect(renamed.byIdentity('299123456')?.name).toBe('Tern');
    expect(renamed.byName('Tern of Halsey')).toBeUndefined();
    expect(renamed.entries).toHaveLength(2);
    expect(BOOK.byName('Tern of Halsey')?.identity).toBe('299123456');
    expect(BOOK.without('299123456').entries.map(({ name }) => name)).toEqual(['Petrel Bank Radio']);
    expect(() => BOOK.with({ name: 'PETREL BANK RADIO', identity: '299000001' })).toThrow(/each name once/);
  });

  it.each([
    [{ identity: '29912345' }, 'stations[1].identity'],
    [{ identity: '299123456' }, 'stations[1].identity'],
    [{ name: 'TERN OF  HALSEY' }, 'stations[1].name'],
    [{ name: '' }, 'stations[1].name'],
    [{ name: ' Tern' }, 'stations[1].name'],
    [{ name: 'x'.repeat(61) }, 'stations[1].name'],
    [{ name: '299 000 111' }, 'stations[1].name'],
    [{ name: 'a\nb' }, 'stations[1].name'],
    [{ name: 'a\u202eb' }, 'stations[1].name'],
    [{ kind: 'ship' }, 'stations[1].kind'],
    [{ kind: 'lighthouse' }, 'stations[1].kind'],
    [{ kind: 'ship', identity: 'abc' }, 'stations[1].identity'],
    [{ frequencies: [2187.5] }, 'stations[1].frequencies[0]'],
    [{ frequencies: [2_177_000, 2_177_000] }, 'stations[1].frequencies'],
    [{ frequencies: '2177' }, 'stations[1].frequencies'],
    [{ note: 'x'.repeat(501) }, 'stations[1].note'],
    [{ telephone: '1' }, 'stations[1].telephone'],
  ])('refuses %j, naming %s', (change, field) => {
    const entries = [SHIP, { ...RADIO, ...change }] as NewAddressBookEntry[];
    expect(() => createAddressBook(entries)).toThrow(
      expect.objectContaining({ name: 'DotphaseError', field }) as Error,
    );
  });
});

const name = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 12 })
  .map((text) => text.trim())
  .filter((text) => refusal(() => createAddressBook([{ name: text, identity: '299000000' }])) === undefined);
const entry: fc.Arbitrary<NewAddressBookEntry> = fc.record(
  {
    name: fc.oneof(
      name,
      fc.constantFrom("'=x", '=1+1', '+x', '-x', '@x', "''@x", 'a,b', 'a;b', 'a"b', '\uff1d1'),
    ),
    identity: fc.integer({ min: 0, max: 999_999_999 }).map((number) => String(number).padStart(9, '0')),
    frequencies: fc.uniqueArray(fc.integer({ min: 400_000, max: 200_000_000 }), { maxLength: 4 }),
    note: fc.oneof(fc.string({ minLength: 1 }), fc.constantFrom('\t=1', '=1\n2', '\n', "'", 'a;=1', 'a\t=1')),
  },
  { requiredKeys: ['name', 'identity'] },
);
const book = fc
  .uniqueArray(entry, {
    selector: (each) => each.name.normalize('NFKC').toLowerCase().trim().replace(/\s+/g, ' '),
    maxLength: 4,
  })
  .map((entries) => [...new Map(entries.map((each) => [each.identity, each])).values()])
  .map((entries) => createAddressBook(entries));

describe('as JSON', () => {
  it('reads what it writes', () => {
    fc.assert(
      fc.property(book, (given) => {
        expect(addressBookFromJson(addressBookToJson(given)).entries).toEqual(given.entries);
      }),
    );
  });

  it('says what is wrong', () => {
    expect(() => addressBookFromJson('{')).toThrow(/address book: .* JSON/);
    expect(() => addressBookFromJson('[]')).toThrow(/address book: .* an object with a list of stations/);
    expect(() => addressBookFromJson('{"stations":{}}')).toThrow(
      /address book\.stations: .* a list of stations/,
    );
    expect(() => addressBookFromJson('{"stations":[{"name":"a"}]}')).toThrow(
      /address book\.stations\[0\]\.identity: got undefined, expected nine digits/,
    );
    expect(() => addressBookFromJson('{"stations":[],"owner":"x"}')).toThrow(
      /address book\.owner: .* no such field/,
    );
    expect(addressBookFromJson('\ufeff{"$schema":"x","stations":[]}').entries).toEqual([]);
  });

  const published = JSON.parse(
    readFileSync(new URL('../../src/records/addressbook/addressbook.schema.json', import.meta.url), 'utf8'),
  ) as Record<string, unknown>;

  it('has its published schema', () => {
    expect(published).toEqual(addressBookSchema());
  });

  it('is judged alike by a general JSON Schema validator', () => {
    const validate = new Ajv2020().compile(published);
    const seen = new Set<string>();
    const odd = fc.oneof(
      fc.string(),
      fc.integer(),
      fc.constant(null),
      fc.constantFrom('ship', 'radio', '002991234'),
    );
    const stations = fc.array(
      fc.oneof(
        fc.record(
          { name: fc.constantFrom('a', 'b ', ''), identity: odd, kind: odd, frequencies: fc.array(odd) },
          { requiredKeys: ['name'] },
        ),
        fc.constantFrom(RADIO, { ...RADIO, extra: 1 }, { ...RADIO, kind: 'ship' }),
        odd,
      ),
      { maxLength: 1 },
    );
    fc.assert(
      fc.property(fc.record({ stations }), (data) => {
        const error = refusal(() => addressBookFromJson(JSON.stringify(data)));
        const isValid = validate(data);
        seen.add(`${isValid}, ${error === undefined}`);
        if (error === undefined) expect(isValid).toBe(true);
        // A schema cannot say that a kind goes with an identity, or that names differ by more than blanks.
        else if (isValid) expect(error.field).toMatch(/kind$/);
      }),
      { numRuns: 1000 },
    );
    expect([...seen].sort()).toEqual(['false, false', 'true, false', 'true, true']);
    expect(validate({ stations: [SHIP, { ...RADIO, kind: 'coastStation' }] })).toBe(true);
    for (const change of [{ identity: '12' }, { name: 'a\u202eb' }, { frequencies: [1, 1] }, { kind: 'x' }]) {
      expect(validate({ stations: [{ ...RADIO, ...change }] }), JSON.stringify(change)).toBe(false);
    }
  });
});

describe('as CSV', () => {
  it('keeps leading zeros and units', () => {
    expect(addressBookToCsv(BOOK).split('\r\n')).toEqual([
      'name,identity,kind,frequencies,note',
      'Tern of Halsey,299 123 456,ship,,',
      'Petrel Bank Radio,00 299 1234,coastStation,2189.5 kHz; 156.525 MHz,watch by day',
      '',
    ]);
  });

  it('reads what it writes', () => {
    fc.assert(
      fc.property(book, (given) => {
        expect(addressBookFromCsv(addressBookToCsv(given)).entries).toEqual(given.entries);
      }),
    );
  });

  // Cells that spreadsheets run as formulas: =, +, -, @, tab, carriage return (OWASP, "CSV Injection").
  it('makes no formulas', () => {
    fc.assert(
      fc.property(book, (given) => {
        const cells = Papa.parse<string[]>(addressBookToCsv(given)).data.flat();
        for (const cell of cells) expect(cell).not.toMatch(/^[=+\-@\t\r\uff1d]/);
      }),
    );
    const text = addressBookToCsv(createAddressBook([{ name: '=HYPERLINK("x")', identity: '299000001' }]));
    expect(text).toContain(`"'=HYPERLINK(""x"")"`);
  });

  it('reads what a spreadsheet makes of it', () => {
    const text = '\ufeffIdentity;Name;Frequencies\r\n002991234;Petrel Bank Radio;2189.5;\r\n';
    expect(() => addressBookFromCsv(text)).toThrow(/row 2: .* 3 cells/);
    expect(addressBookFromCsv(text.replace('2189.5;', '2189.5')).entries).toEqual([
      { name: 'Petrel Bank Radio', identity: '002991234', kind: 'coastStation', frequencies: [2_189_500] },
    ]);
  });

  it.each([
    ['', /CSV: .* a header line/],
    ['name,address\na,b', /column 2: .*"address"/],
    ['name,name\na,b', /column 2: .*"name"/],
    ['name,identity\na,2991234', /row 2, identity: .*nine digits/],
    ['name,identity,frequencies\na,299123456,ch 99', /row 2, frequencies: .*kHz/],
    ['name,identity\n"a,299123456', /row 2: .*CSV/],
    ['name\na', /row 2, identity/],
    ['name,identity,kind\na,299123456,coastStation', /stations\[0\]\.kind/],
  ])('refuses %j', (text, message) => {
    expect(() => addressBookFromCsv(text)).toThrow(message);
  });
});
