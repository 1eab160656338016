/**
 * The address book: stations with their frequencies, and how they behave as virtual ones.
 */
import { DotphaseError, formatIdentity, parseIdentity } from 'dotphase';
import { formatFrequency, parseFrequency } from 'dotphase/frequencies';
import type { NewAddressBookEntry } from 'dotphase/records';
import { useState } from 'preact/hooks';
import { SelectField, TextField } from '../parts/fields.js';
import { saveFile } from '../parts/save.js';
import { MOST_MILES, bookFrom, type Book, type Station } from './book.js';
import { CONDUCTS } from './sea.js';

function sayFrequencies(frequencies: readonly number[]): string {
  return frequencies.map((hz) => formatFrequency(hz)).join('; ');
}

/** Runs something and gives what was wrong with it, if anything. */
function complaintOf(act: () => void): string {
  try {
    act();
    return '';
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    return `${error.field}: expected ${error.expected}.`;
  }
}

function NewStation({ onAdd, isOwn }: { onAdd: (entry: NewAddressBookEntry) => void; isOwn: boolean }) {
  const [name, setName] = useState('');
  const [identity, setIdentity] = useState('');
  const [frequencies, setFrequencies] = useState('2187.5; ch 70');
  const [complaint, setComplaint] = useState('');
  return (
    <form
      class="new-station"
      onSubmit={(event) => {
        event.preventDefault();
        setComplaint(
          complaintOf(() => {
            onAdd({
              name: name.trim(),
              identity: parseIdentity(identity),
              ...(!isOwn && {
                frequencies: frequencies
                  .split(';')
                  .filter((text) => text.trim() !== '')
                  .map((text) => parseFrequency(text)),
              }),
            });
            setName('');
            setIdentity('');
          }),
        );
      }}
    >
      <TextField label="Name" value={name} onValue={setName} />
      <TextField label="Identity" numeric value={identity} onValue={setIdentity} />
      {!isOwn && (
        <TextField label="Listens on, separated by ;" value={frequencies} onValue={setFrequencies} />
      )}
      <p class="actions">
        <button type="submit">Add</button>
      </p>
      {complaint !== '' && (
        <p class="complaint" role="alert">
          {complaint}
        </p>
      )}
    </form>
  );
}

function StationRow({ station, book }: { station: Station; book: Book }) {
  const { identity, name, frequencies, conduct, delay, distance } = station;
  const number =
    (part: 'delay' | 'distance', most: number) => (event: { currentTarget: HTMLInputElement }) => {
      const value = Number(event.currentTarget.value);
      if (event.currentTarget.value !== '' && value >= 0 && value <= most)
        book.setConduct(identity, { [part]: value });
    };
  return (
    <li class="book-entry">
      <p>
        <b>{name}</b> <span class="digits">{formatIdentity(identity)}</span>
        <span class="listens">{sayFrequencies(frequencies) || 'no frequency'}</span>
      </p>
      <div class="conduct">
        <SelectField
          label={`${name}, as a virtual station,`}
          value={conduct}
          onValue={(next) => {
            book.setConduct(identity, { conduct: next });
          }}
          choices={CONDUCTS}
        />
        <label class="small">
          <span>after</span>
          <input
            type="number"
            min="0"
            max="300"
            value={delay}
            aria-label={`Seconds until ${name} answers`}
            onChange={number('delay', 300)}
          />
          <span>s, from</span>
          <input
            type="number"
            min="0"
            max={MOST_MILES}
            value={distance}
            aria-label={`Nautical miles to ${name}`}
            onChange={number('distance', MOST_MILES)}
          />
          <span>NM away</span>
        </label>
        <button
          type="button"
          class="quiet"
          aria-label={`Remove ${name}`}
          onClick={() => {
            book.setStations(book.stations.filter((each) => each.identity !== identity));
          }}
        >
          Remove
        </button>
      </div>
    </li>
  );
}

export function BookView({ book }: { book: Book }) {
  const [complaint, setComplaint] = useState('');
  return (
    <div class="book">
      <h2>Stations to call</h2>
      <ul>
        {book.stations.map((station) => (
          <StationRow key={station.identity} station={station} book={book} />
        ))}
      </ul>
      <NewStation
        isOwn={false}
        onAdd={(entry) => {
          book.setStations([...book.stations, entry]);
        }}
      />
      <div class="actions">
        <button
          type="button"
          onClick={() => {
            saveFile('address-book.csv', book.text(), 'text/csv');
          }}
        >
          Save as CSV
        </button>
        <label class="file-button">
          Load CSV or JSON
          <input
            type="file"
            accept=".csv,.json,text/csv,application/json"
            onChange={(event) => {
              const file = event.currentTarget.files?.item(0);
              event.currentTarget.value = '';
              if (!file) return;
              void file.text().then((text) => {
                setComplaint(
                  complaintOf(() => {
                    book.setStations(bookFrom(text).entries);
                  }),
                );
              });
            }}
          />
        </label>
      </div>
      {complaint !== '' && (
        <p class="complaint" role="alert">
          {complaint}
        </p>
      )}
      <h2>Own identities</h2>
      <ul>
        {book.own.map(({ identity, name }) => (
          <li key={identity} class="book-entry own-entry">
            <p>
              <b>{name}</b> <span class="digits">{formatIdentity(identity)}</span>
            </p>
            <button
              type="button"
              class="quiet"
              disabled={book.own.length === 1}
              aria-label={`Remove own identity ${name}`}
              onClick={() => {
                book.setOwn(book.own.filter((each) => each.identity !== identity));
              }}
            >
              Remove
            </button>
          </li>
        ))}
      </ul>
      <NewStation
        isOwn
        onAdd={(entry) => {
          book.setOwn([...book.own, entry]);
        }}
      />
    </div>
  );
}
