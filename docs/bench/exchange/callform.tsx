/**
 * What to call: the call, to whom, as whom, on which frequency, and where to go on by voice.
 */
import { parseIdentity, type TableKind } from 'dotphase';
import {
  DISTRESS_FREQUENCIES,
  DSC_FREQUENCIES,
  VHF_DSC_HZ,
  dscFrequencyAt,
  formatFrequency,
  outlineCall,
  suggestFrequencies,
} from 'dotphase/frequencies';
import { addressForms, draftFields, type Composed, type Draft } from '../compose/draft.js';
import { ADDRESS_TEXTS, AreaFields, ContentFields, sayFrequency } from '../compose/form.js';
import { KIND_GROUPS } from '../compose/kinds.js';
import { RadioRow, SelectField, TextField } from '../parts/fields.js';
import { sayIdentity } from '../parts/identity.js';
import type { Book } from './book.js';
import { followUpText } from './say.js';

/** Calls that a station sends of its own accord; answers have their own procedures. */
const SENT: ReadonlySet<TableKind> = new Set<TableKind>([
  'testCall',
  'positionRequest',
  'pollingRequest',
  'routineCall',
  'automaticCall',
  'urgencyCall',
  'safetyCall',
  'distressAlert',
  'distressRelay',
]);

/** The frequencies of an attempt: one of them by its hertz, or several. */
export type Attempt = 'one' | 'six' | 'seven';

const SIX = DISTRESS_FREQUENCIES.map(({ dscHz }) => dscHz).filter((hz) => hz !== VHF_DSC_HZ);

/** The DSC frequencies that a call goes out on, hertz. */
export function frequenciesOf(draft: Draft, attempt: Attempt): readonly number[] {
  if (draft.kind !== 'distressAlert' || attempt === 'one') return [draft.dscHz];
  return attempt === 'six' ? SIX : [VHF_DSC_HZ, ...SIX];
}

const OTHER = 'other';

/** The digits as typed, nine of them; empty where it is no identity. */
function digits(text: string): string {
  try {
    return parseIdentity(text);
  } catch {
    return '';
  }
}

function StationField({
  label,
  otherLabel,
  entries,
  value,
  complaint,
  onValue,
}: {
  label: string;
  otherLabel: string;
  entries: readonly { readonly name: string; readonly identity: string }[];
  value: string;
  complaint: string | undefined;
  onValue: (identity: string) => void;
}) {
  const known = entries.find(({ identity }) => identity === digits(value));
  return (
    <>
      <SelectField
        label={label}
        value={known?.identity ?? OTHER}
        onValue={(identity) => {
          onValue(identity === OTHER ? '' : identity);
        }}
        choices={[
          ...entries.map(({ identity, name }) => ({ value: identity, text: name })),
          { value: OTHER, text: 'Another identity…' },
        ]}
        reading={known && sayIdentity(known.identity)}
      />
      {!known && (
        <TextField
          label={otherLabel}
          numeric
          value={value}
          onValue={onValue}
          reading={sayIdentity(value)}
          complaint={complaint}
        />
      )}
    </>
  );
}

function Frequencies({
  draft,
  attempt,
  composed,
  book,
  onDraft,
  onAttempt,
}: Pick<CallFormProps, 'draft' | 'attempt' | 'composed' | 'book' | 'onDraft' | 'onAttempt'>) {
  const called = book.stations.find(({ identity }) => identity === digits(draft.station));
  const suited = composed.call
    ? suggestFrequencies(outlineCall(composed.call)).map(({ frequency }) => frequency)
    : [];
  const isCalled = draftFields(draft.kind).has('to') && draft.addressForm === 'station';
  const listens = (hz: number) => isCalled && (called?.frequencies.includes(hz) ?? false);
  const first = suited.filter(({ hz }) => listens(hz));
  const others = DSC_FREQUENCIES.filter((row) => !suited.includes(row));
  const choices = (rows: typeof DSC_FREQUENCIES) =>
    rows.map((row) => ({ value: String(row.hz), text: sayFrequency(row) }));
  return (
    <>
      {draft.kind === 'distressAlert' && (
        <RadioRow<Attempt>
          legend="The attempt goes out on"
          value={attempt}
          onValue={onAttempt}
          choices={[
            { value: 'one', text: 'One frequency, five calls' },
            { value: 'six', text: 'All six of MF and HF' },
            { value: 'seven', text: 'All six and VHF' },
          ]}
        />
      )}
      {(draft.kind !== 'distressAlert' || attempt === 'one') && (
        <SelectField
          label="DSC frequency"
          value={String(draft.dscHz)}
          onValue={(hz) => {
            onDraft({ dscHz: Number(hz) });
          }}
          groups={[
            { title: `${called?.name ?? ''} listens there`, choices: choices(first) },
            { title: 'For this call', choices: choices(suited.filter((row) => !first.includes(row))) },
            { title: 'Other DSC frequencies', choices: choices(others) },
          ].filter((group) => group.choices.length > 0)}
          reading={composed.call && followUpText(composed.call, draft.dscHz)}
        />
      )}
      {isCalled && called && !called.frequencies.includes(draft.dscHz) && (
        <p class="notice">
          By the address book {called.name} does not listen on {formatFrequency(draft.dscHz)}
          {dscFrequencyAt(draft.dscHz)?.scope === 'regional' ? ', a regional frequency' : ''}.
        </p>
      )}
    </>
  );
}

export interface CallFormProps {
  readonly draft: Draft;
  readonly attempt: Attempt;
  readonly composed: Composed;
  readonly book: Book;
  readonly onDraft: (part: Partial<Draft>) => void;
  readonly onAttempt: (attempt: Attempt) => void;
}

export function CallForm(props: CallFormProps) {
  const { draft, composed, book, onDraft } = props;
  const { complaints } = composed;
  const forms = addressForms(draft.kind);
  const hasAddress = draftFields(draft.kind).has('to');
  return (
    <>
      <SelectField<TableKind>
        label="Call"
        value={draft.kind}
        onValue={(kind) => {
          onDraft({ kind });
        }}
        groups={KIND_GROUPS.map(({ title, kinds }) => ({
          title,
          choices: kinds
            .filter(({ kind }) => SENT.has(kind))
            .map(({ kind, name }) => ({ value: kind, text: name[0].toUpperCase() + name.slice(1) })),
        }))}
      />
      {hasAddress && forms.length > 1 && (
        <RadioRow
          legend="For whom"
          value={draft.addressForm}
          onValue={(addressForm) => {
            onDraft({ addressForm });
          }}
          choices={forms.map((value) => ({ value, text: ADDRESS_TEXTS[value] }))}
        />
      )}
      {hasAddress && draft.addressForm === 'station' && (
        <StationField
          label="To"
          otherLabel="Identity of the called station"
          entries={book.stations}
          value={draft.station}
          complaint={complaints.station}
          onValue={(station) => {
            onDraft({ station });
          }}
        />
      )}
      {hasAddress && draft.addressForm === 'group' && (
        <TextField
          label="To: identity of the group"
          numeric
          value={draft.group}
          onValue={(group) => {
            onDraft({ group });
          }}
          reading={sayIdentity(draft.group)}
          complaint={complaints.group}
        />
      )}
      {hasAddress && draft.addressForm === 'area' && (
        <AreaFields
          area={draft.area}
          complaints={complaints}
          onArea={(area) => {
            onDraft({ area });
          }}
        />
      )}
      <Frequencies {...props} />
      <ContentFields draft={draft} complaints={complaints} change={onDraft} />
    </>
  );
}

export { StationField };
