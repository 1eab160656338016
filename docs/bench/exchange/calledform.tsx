/**
 * Lets a virtual station call the own station.
 */
import { bandOf, type Identity } from 'dotphase';
import { DSC_FREQUENCIES, formatFrequency } from 'dotphase/frequencies';
import { sayFrequency } from '../compose/form.js';
import { kindText } from '../compose/kinds.js';
import { TransmitCaution } from '../parts/cautions.js';
import { RadioRow, SelectField } from '../parts/fields.js';
import type { Station } from './book.js';
import { calledFrequencies, calledKinds, isForMany, type CalledSettings } from './called.js';
import { isReached } from './sea.js';

/** The settings as they can be: the caller stands in the book, calls with what it may, where it listens. */
export function settledCalled(
  settings: CalledSettings,
  stations: readonly Station[],
  own: Identity,
): CalledSettings | undefined {
  const others = stations.filter(({ identity, frequencies }) => identity !== own && frequencies.length > 0);
  const station = others.find(({ identity }) => identity === settings.caller) ?? others.at(0);
  if (!station) return undefined;
  const caller = station.identity;
  const kinds = calledKinds(caller);
  const kind = kinds.includes(settings.kind) ? settings.kind : kinds[0];
  const audience = isForMany(kind) ? settings.audience : 'own';
  const places = calledFrequencies(station, { kind, audience }, own);
  return { caller, kind, audience, dscHz: places.includes(settings.dscHz) ? settings.dscHz : places[0] };
}

function sayHertz(hz: number): string {
  const row = DSC_FREQUENCIES.find((each) => each.hz === hz);
  return row ? sayFrequency(row) : formatFrequency(hz);
}

export function CalledForm({
  settings,
  stations,
  own,
  isBusy,
  isHeard,
  onSettings,
  onCalled,
}: {
  /** As {@link settledCalled} gives them. */
  settings: CalledSettings;
  stations: readonly Station[];
  own: Identity;
  isBusy: boolean;
  /** Whether the call sounds. */
  isHeard: boolean;
  onSettings: (part: Partial<CalledSettings>) => void;
  onCalled: () => void;
}) {
  const { caller, kind, audience, dscHz } = settings;
  const station = stations.find(({ identity }) => identity === caller);
  if (!station) return null;
  const { priority } = kindText(kind);
  const isGrave = priority === 'distress' || priority === 'urgency';
  const isHeardHere = isReached(station, dscHz) && station.conduct !== 'outOfRange';
  return (
    <>
      <SelectField
        label="Calling station"
        value={caller}
        onValue={(identity) => {
          onSettings({ caller: identity });
        }}
        choices={stations
          .filter(({ identity, frequencies }) => identity !== own && frequencies.length > 0)
          .map(({ identity, name }) => ({ value: identity, text: name }))}
      />
      <SelectField
        label="Calls with"
        value={kind}
        onValue={(next) => {
          onSettings({ kind: next });
        }}
        choices={calledKinds(caller).map((value) => {
          const { name } = kindText(value);
          return { value, text: name[0].toUpperCase() + name.slice(1) };
        })}
      />
      {isForMany(kind) && (
        <RadioRow
          legend="For whom"
          value={audience}
          onValue={(next) => {
            onSettings({ audience: next });
          }}
          choices={[
            { value: 'own', text: 'This station alone' },
            {
              value: 'many',
              text: bandOf(dscHz) === 'vhf' ? 'All ships' : 'Everyone in the area around',
            },
          ]}
        />
      )}
      <SelectField
        label="Calls on"
        value={String(dscHz)}
        onValue={(hz) => {
          onSettings({ dscHz: Number(hz) });
        }}
        choices={calledFrequencies(station, settings, own).map((hz) => ({
          value: String(hz),
          text: sayHertz(hz),
        }))}
        complaint={
          isHeardHere
            ? undefined
            : `${station.name} is out of range there: set its distance in the address book.`
        }
      />
      {isGrave && isHeard && <TransmitCaution priority={priority} />}
      <p class="actions">
        <button type="button" disabled={isBusy || !isHeardHere} onClick={onCalled}>
          Receive this call
        </button>
      </p>
    </>
  );
}
