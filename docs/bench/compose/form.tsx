/**
 * The form of Compose: the fields that the chosen kind of call has, in the order they are sent.
 */
import {
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  NATURES,
  SECOND_TELECOMMANDS,
  type TableKind,
  type Vocabulary,
} from 'dotphase';
import {
  DSC_FREQUENCIES,
  TELEPHONY_CHANNELS,
  VHF_CHANNELS,
  formatFrequency,
  maritimeBand,
  outlineCall,
  suggestFrequencies,
  type DscFrequency,
} from 'dotphase/frequencies';
import { Group, RadioRow, SelectField, Small, SmallSelect, TextField, Tick } from '../parts/fields.js';
import { sayIdentity } from '../parts/identity.js';
import {
  addressForms,
  draftFields,
  offersExpansions,
  type AddressForm,
  type AreaDraft,
  type ChannelDraft,
  type Complaints,
  type Composed,
  type Draft,
  type PositionDraft,
} from './draft.js';
import { KIND_GROUPS, kindText } from './kinds.js';

export interface PartProps {
  readonly draft: Draft;
  readonly complaints: Complaints;
  readonly change: (part: Partial<Draft>) => void;
}

function words<Name extends string>(vocabulary: Vocabulary<Name>): { value: Name; text: string }[] {
  return vocabulary.words.map(({ name, text }) => ({ value: name, text }));
}

export const ADDRESS_TEXTS: Readonly<Record<AddressForm, string>> = {
  station: 'One station',
  group: 'A group',
  area: 'Everyone in an area',
  allShips: 'All ships',
};

const NORTH_SOUTH = [
  { value: 'N', text: 'N' },
  { value: 'S', text: 'S' },
] as const;
const EAST_WEST = [
  { value: 'E', text: 'E' },
  { value: 'W', text: 'W' },
] as const;

export function KindFields({ draft, change }: Omit<PartProps, 'complaints'>) {
  return (
    <SelectField<TableKind>
      label="What do you want to do?"
      value={draft.kind}
      onValue={(kind) => {
        change({ kind });
      }}
      groups={KIND_GROUPS.map(({ title, kinds }) => ({
        title,
        choices: kinds.map(({ kind, wish }) => ({ value: kind, text: wish })),
      }))}
      reading={`In the trade: ${kindText(draft.kind).name}`}
    />
  );
}

export function AreaFields({
  area,
  complaints,
  onArea,
}: {
  area: AreaDraft;
  complaints: Complaints;
  onArea: (area: AreaDraft) => void;
}) {
  const set = (part: Partial<AreaDraft>) => {
    onArea({ ...area, ...part });
  };
  const wrong = (name: string) => complaints[name] !== undefined;
  return (
    <>
      <Group
        legend="North-west corner, whole degrees"
        complaint={complaints.areaLatitude ?? complaints.areaLongitude}
      >
        {(describedBy) => (
          <>
            <Small
              label="Latitude, degrees"
              unit="°"
              size={2}
              value={area.latitude}
              onValue={(latitude) => {
                set({ latitude });
              }}
              invalid={wrong('areaLatitude')}
              describedBy={describedBy}
            />
            <SmallSelect
              label="North or south"
              value={area.northSouth}
              values={NORTH_SOUTH}
              onValue={(northSouth) => {
                set({ northSouth });
              }}
            />
            <Small
              label="Longitude, degrees"
              unit="°"
              size={3}
              value={area.longitude}
              onValue={(longitude) => {
                set({ longitude });
              }}
              invalid={wrong('areaLongitude')}
              describedBy={describedBy}
            />
            <SmallSelect
              label="East or west"
              value={area.eastWest}
              values={EAST_WEST}
              onValue={(eastWest) => {
                set({ eastWest });
              }}
            />
          </>
        )}
      </Group>
      <Group
        legend="From there"
        complaint={complaints.areaSouth ?? complaints.areaEast}
        reading="degrees southwards and eastwards"
      >
        {(describedBy) => (
          <>
            <Small
              label="Degrees southwards"
              unit="° south"
              size={2}
              value={area.south}
              onValue={(south) => {
                set({ south });
              }}
              invalid={wrong('areaSouth')}
              describedBy={describedBy}
            />
            <Small
              label="Degrees eastwards"
              unit="° east"
              size={2}
              value={area.east}
              onValue={(east) => {
                set({ east });
              }}
              invalid={wrong('areaEast')}
              describedBy={describedBy}
            />
          </>
        )}
      </Group>
    </>
  );
}

function AddressFields(props: PartProps) {
  const { draft, complaints, change } = props;
  const forms = addressForms(draft.kind);
  return (
    <>
      {forms.length > 1 && (
        <RadioRow
          legend="For whom"
          value={draft.addressForm}
          onValue={(addressForm) => {
            change({ addressForm });
          }}
          choices={forms.map((value) => ({ value, text: ADDRESS_TEXTS[value] }))}
        />
      )}
      {draft.addressForm === 'station' && (
        <TextField
          label="To: identity of the called station"
          numeric
          value={draft.station}
          onValue={(station) => {
            change({ station });
          }}
          reading={sayIdentity(draft.station)}
          complaint={complaints.station}
        />
      )}
      {draft.addressForm === 'group' && (
        <TextField
          label="To: identity of the group"
          numeric
          value={draft.group}
          onValue={(group) => {
            change({ group });
          }}
          reading={sayIdentity(draft.group)}
          complaint={complaints.group}
        />
      )}
      {draft.addressForm === 'area' && (
        <AreaFields
          area={draft.area}
          complaints={complaints}
          onArea={(area) => {
            change({ area });
          }}
        />
      )}
    </>
  );
}

function PositionFields({ draft, complaints, change }: PartProps) {
  const { position } = draft;
  const set = (part: Partial<PositionDraft>) => {
    change({ position: { ...position, ...part } });
  };
  return (
    <>
      <Tick
        label="The position is known"
        checked={position.known}
        onValue={(known) => {
          set({ known });
        }}
      />
      {position.known && (
        <>
          <Group legend="Latitude" complaint={complaints.latitude}>
            {(describedBy) => (
              <>
                <Small
                  label="Latitude, degrees"
                  unit="°"
                  size={2}
                  value={position.latitudeDegrees}
                  onValue={(latitudeDegrees) => {
                    set({ latitudeDegrees });
                  }}
                  invalid={complaints.latitude !== undefined}
                  describedBy={describedBy}
                />
                <Small
                  label="Latitude, minutes"
                  unit="′"
                  size={draft.isFine ? 6 : 2}
                  value={position.latitudeMinutes}
                  onValue={(latitudeMinutes) => {
                    set({ latitudeMinutes });
                  }}
                  invalid={complaints.latitude !== undefined}
                  describedBy={describedBy}
                />
                <SmallSelect
                  label="North or south"
                  value={position.northSouth}
                  values={NORTH_SOUTH}
                  onValue={(northSouth) => {
                    set({ northSouth });
                  }}
                />
              </>
            )}
          </Group>
          <Group legend="Longitude" complaint={complaints.longitude}>
            {(describedBy) => (
              <>
                <Small
                  label="Longitude, degrees"
                  unit="°"
                  size={3}
                  value={position.longitudeDegrees}
                  onValue={(longitudeDegrees) => {
                    set({ longitudeDegrees });
                  }}
                  invalid={complaints.longitude !== undefined}
                  describedBy={describedBy}
                />
                <Small
                  label="Longitude, minutes"
                  unit="′"
                  size={draft.isFine ? 6 : 2}
                  value={position.longitudeMinutes}
                  onValue={(longitudeMinutes) => {
                    set({ longitudeMinutes });
                  }}
                  invalid={complaints.longitude !== undefined}
                  describedBy={describedBy}
                />
                <SmallSelect
                  label="East or west"
                  value={position.eastWest}
                  values={EAST_WEST}
                  onValue={(eastWest) => {
                    set({ eastWest });
                  }}
                />
              </>
            )}
          </Group>
        </>
      )}
    </>
  );
}

function TimeFields({ draft, complaints, change }: PartProps) {
  return (
    <>
      <Tick
        label="The time of the position is known"
        checked={draft.timeKnown}
        onValue={(timeKnown) => {
          change({ timeKnown });
        }}
      />
      {draft.timeKnown && (
        <TextField
          label="Time of the position, UTC"
          numeric
          size={5}
          value={draft.time}
          onValue={(time) => {
            change({ time });
          }}
          complaint={complaints.time}
        />
      )}
    </>
  );
}

const CHANNEL_FORMS = [
  { value: 'none', text: 'none' },
  { value: 'frequency', text: 'a frequency, kHz' },
  { value: 'channel', text: 'an MF/HF channel' },
  { value: 'vhf', text: 'a VHF channel' },
] as const;

const SIDES = [
  { value: 'both', text: 'as the channel is' },
  { value: 'ship', text: 'ship frequency alone' },
  { value: 'coast', text: 'coast frequency alone' },
] as const;

/** What a proposed channel is, where the tables of stations know it. */
function sayChannel({ form, text }: ChannelDraft): string {
  const number = Number(text);
  if (form === 'frequency' && number > 0) {
    const band = maritimeBand(1000 * number);
    return band === undefined ? 'in no maritime band' : `${band} band`;
  }
  const row =
    form === 'vhf'
      ? VHF_CHANNELS.find(({ channel }) => channel === number)
      : TELEPHONY_CHANNELS.find(({ channel }) => channel === number);
  if (form === 'none' || form === 'frequency') return '';
  if (!row) return 'not known here';
  return row.shipHz === row.coastHz
    ? formatFrequency(row.shipHz)
    : `ships send on ${formatFrequency(row.shipHz)}, coast stations on ${formatFrequency(row.coastHz)}`;
}

function ChannelFields({
  label,
  name,
  draft,
  complaints,
  change,
}: {
  label: string;
  name: 'receive' | 'transmit';
  draft: Draft;
  complaints: Complaints;
  change: (part: Partial<Draft>) => void;
}) {
  const channel = draft[name];
  const set = (part: Partial<ChannelDraft>) => {
    change({ [name]: { ...channel, ...part } });
  };
  return (
    <div class="pair">
      <SelectField
        label={label}
        value={channel.form}
        onValue={(form) => {
          set({ form });
        }}
        choices={CHANNEL_FORMS}
      />
      {channel.form !== 'none' && (
        <TextField
          label={channel.form === 'frequency' ? 'Frequency, kHz' : 'Channel'}
          numeric
          value={channel.text}
          onValue={(text) => {
            set({ text });
          }}
          reading={sayChannel(channel)}
          complaint={complaints[name]}
        />
      )}
      {channel.form === 'vhf' && (
        <SelectField
          label="Used"
          value={channel.simplex}
          onValue={(simplex) => {
            set({ simplex });
          }}
          choices={SIDES}
        />
      )}
    </div>
  );
}

/** The station whose frequencies the message of a kind of call names. */
function whose(kind: TableKind): string {
  return kind.endsWith('Acknowledgement') ? 'The station that acknowledges' : 'The called station';
}

function MessageFields(props: PartProps) {
  const { draft, change } = props;
  return (
    <>
      <RadioRow
        legend="The call carries"
        value={draft.messageForm}
        onValue={(messageForm) => {
          change({ messageForm });
        }}
        choices={[
          { value: 'channels', text: 'A channel to meet on' },
          { value: 'position', text: 'The caller’s position' },
        ]}
      />
      {draft.messageForm === 'position' ? (
        <>
          <PositionFields {...props} />
          <TimeFields {...props} />
        </>
      ) : (
        <>
          <ChannelFields label={`${whose(draft.kind)} is to receive on`} name="receive" {...props} />
          <ChannelFields label="…and to transmit on" name="transmit" {...props} />
        </>
      )}
    </>
  );
}

function ExpansionFields({ draft, complaints, change }: PartProps) {
  const set = (name: 'speed' | 'course' | 'persons' | 'name') => (text: string) => {
    change({ [name]: text });
  };
  return (
    <details class="more">
      <summary>Say it more precisely (expansions)</summary>
      <p class="reading">
        What follows the call in sequences of its own. How they are framed is remembered with doubt.
      </p>
      {draft.position.known && (
        <Tick
          label="Position to a ten-thousandth of a minute"
          checked={draft.isFine}
          onValue={(isFine) => {
            change({ isFine });
          }}
        />
      )}
      <div class="pair">
        <TextField
          label="Speed, knots"
          numeric
          value={draft.speed}
          onValue={set('speed')}
          complaint={complaints.speed}
        />
        <TextField
          label="Course, degrees"
          numeric
          value={draft.course}
          onValue={set('course')}
          complaint={complaints.course}
        />
        <TextField
          label="Persons on board"
          numeric
          value={draft.persons}
          onValue={set('persons')}
          complaint={complaints.persons}
        />
        <TextField
          label="Name or call sign"
          value={draft.name}
          onValue={set('name')}
          complaint={complaints.name}
        />
      </div>
    </details>
  );
}

/** Every field of the kind. */
export function CallFields(props: PartProps) {
  const { draft, complaints, change } = props;
  const fields = draftFields(draft.kind);
  return (
    <>
      {fields.has('to') && <AddressFields {...props} />}
      {fields.has('self') && (
        <TextField
          label="From: own identity (self-ID)"
          numeric
          value={draft.self}
          onValue={(self) => {
            change({ self });
          }}
          reading={sayIdentity(draft.self)}
          complaint={complaints.self}
        />
      )}
      <ContentFields {...props} />
    </>
  );
}

/** Every field of the kind but who calls whom. */
export function ContentFields(props: PartProps) {
  const { draft, complaints, change } = props;
  const fields = draftFields(draft.kind);
  const isAboutCasualty = fields.has('casualty');
  return (
    <>
      {isAboutCasualty && (
        <>
          <Tick
            label="The identity of the vessel in distress is known"
            checked={draft.casualtyKnown}
            onValue={(casualtyKnown) => {
              change({ casualtyKnown });
            }}
          />
          {draft.casualtyKnown && (
            <TextField
              label="Vessel in distress"
              numeric
              value={draft.casualty}
              onValue={(casualty) => {
                change({ casualty });
              }}
              reading={sayIdentity(draft.casualty)}
              complaint={complaints.casualty}
            />
          )}
        </>
      )}
      {fields.has('nature') && (
        <SelectField
          label="Nature of distress"
          value={draft.nature}
          onValue={(nature) => {
            change({ nature });
          }}
          choices={words(NATURES)}
        />
      )}
      {fields.has('position') && <PositionFields {...props} />}
      {fields.has('time') && <TimeFields {...props} />}
      {fields.has('followOn') && (
        <SelectField
          label="Communication that follows"
          value={draft.followOn}
          onValue={(followOn) => {
            change({ followOn });
          }}
          choices={words(FOLLOW_ONS)}
        />
      )}
      {fields.has('telecommand1') && (
        <SelectField
          label="How to communicate (telecommand 1)"
          value={draft.telecommand1}
          onValue={(telecommand1) => {
            change({ telecommand1 });
          }}
          choices={words(FIRST_TELECOMMANDS)}
        />
      )}
      {fields.has('telecommand2') && (
        <SelectField
          label="Further information (telecommand 2)"
          value={draft.telecommand2}
          onValue={(telecommand2) => {
            change({ telecommand2 });
          }}
          choices={words(SECOND_TELECOMMANDS)}
        />
      )}
      {fields.has('message') && <MessageFields {...props} />}
      {fields.has('telephone') && (
        <TextField
          label="Telephone number"
          numeric
          value={draft.telephone}
          onValue={(telephone) => {
            change({ telephone });
          }}
          complaint={complaints.telephone}
        />
      )}
      {offersExpansions(draft.kind) && <ExpansionFields {...props} />}
    </>
  );
}

export function sayFrequency({ hz, band }: DscFrequency): string {
  return band === 'VHF' ? `VHF channel 70 (${formatFrequency(hz)})` : formatFrequency(hz);
}

/** Where the call is sent: the frequencies for it first. */
export function FrequencyField({
  draft,
  composed,
  change,
  reading,
}: {
  draft: Draft;
  composed: Composed;
  change: (part: Partial<Draft>) => void;
  reading: string;
}) {
  const suited = composed.call
    ? suggestFrequencies(outlineCall(composed.call)).map(({ frequency }) => frequency)
    : [];
  const others = DSC_FREQUENCIES.filter((row) => !suited.includes(row));
  const choices = (rows: readonly DscFrequency[]) =>
    rows.map((row) => ({ value: String(row.hz), text: sayFrequency(row) }));
  return (
    <SelectField
      label="Sent on (DSC frequency)"
      value={String(draft.dscHz)}
      onValue={(hz) => {
        change({ dscHz: Number(hz) });
      }}
      groups={[
        { title: 'For this call', choices: choices(suited) },
        { title: suited.length > 0 ? 'Other DSC frequencies' : 'DSC frequencies', choices: choices(others) },
      ].filter((group) => group.choices.length > 0)}
      reading={reading}
    />
  );
}
