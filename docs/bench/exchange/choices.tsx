/**
 * What the procedures allow next, each with its rule. The person chooses.
 */
import { SECOND_TELECOMMANDS, type Message, type SecondTelecommandName } from 'dotphase';
import { parseWorkingChannel } from 'dotphase/frequencies';
import {
  choicesFor,
  type Choice,
  type ChooseEvent,
  type Exchange,
  type RuleName,
  type StationState,
} from 'dotphase/procedures';
import { RULES, describeChoice } from 'dotphase/procedures/texts';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { composeArea, type AreaDraft } from '../compose/draft.js';
import { AreaFields } from '../compose/form.js';
import { areaDraftOf } from '../compose/fromcall.js';
import { SelectField, TextField } from '../parts/fields.js';
import type { Question } from '../parts/ask.js';
import type { Station } from './book.js';
import { useSeconds } from './lanes.js';
import { addresseesOf, areaOfCasualty } from './relay.js';

const REASONS = SECOND_TELECOMMANDS.words
  .filter(({ symbol }) => symbol <= 109)
  .map(({ name, text }) => ({ value: name, text }));

export function RuleLine({ rule }: { rule: RuleName }) {
  const { text, source } = RULES[rule];
  return (
    <span class="rule">
      {text} <cite>{source}</cite>
    </span>
  );
}

/** The working channel that a person typed, for both directions; undefined where it is none. */
export function channelMessage(text: string, band: 'mf-hf' | 'vhf'): Message | undefined {
  try {
    const channel = parseWorkingChannel(text, band);
    return channel === 'none' ? undefined : { receive: channel, transmit: channel };
  } catch {
    return undefined;
  }
}

const NO_AREA: AreaDraft = {
  latitude: '',
  northSouth: 'N',
  longitude: '',
  eastWest: 'W',
  south: '',
  east: '',
};

const CONFIRMATIONS: Readonly<Record<NonNullable<Choice['needs']>, Omit<Question, 'onYes'>>> = {
  consulted: {
    title: 'Was a coast station or rescue centre consulted?',
    text: 'A ship acknowledges an alert by DSC only after consultation with, or on the advice of, a coast station or rescue centre.',
    yes: 'It was: acknowledge',
    no: 'It was not',
  },
  necessary: {
    title: 'Can the casualty not alert by itself?',
    text: 'A ship relays only where the casualty cannot alert by itself and the master finds further help necessary.',
    yes: 'So it is: relay',
    no: 'It is not so',
  },
};

function nameOf(choice: Choice, exchange: Exchange): string {
  return choice.choice === 'resend' && exchange.kind === 'outgoing' ? 'Call again' : describeChoice(choice);
}

function ChoiceRow({
  choice,
  exchange,
  now,
  isReady,
  onChoose,
  children,
}: {
  choice: Choice;
  exchange: Exchange;
  now: number;
  /** Whether all that is chosen with it is there. */
  isReady: boolean;
  onChoose: (choice: Choice) => void;
  /** What is chosen with it. */
  children?: ComponentChildren;
}) {
  const { from, rule } = choice;
  // An acknowledgement is put off until its time by the procedure itself.
  const isEarly = choice.choice !== 'acknowledge' && (from === undefined || from > now);
  const wait = from !== undefined && from > now ? ` in ${Math.ceil((from - now) / 1000)} s` : '';
  const isMain = choice.choice === 'resend' || choice.choice === 'able';
  return (
    <li>
      <button
        type="button"
        class={isMain ? 'main' : choice.choice === 'cancel' ? 'grave' : ''}
        disabled={isEarly || !isReady}
        onClick={() => {
          onChoose(choice);
        }}
      >
        {nameOf(choice, exchange)}
        {wait}
      </button>
      <RuleLine rule={rule} />
      {children}
    </li>
  );
}

export function Choices({
  exchange,
  state,
  band,
  stations,
  onChoose,
  onAsk,
}: {
  exchange: Exchange;
  state: StationState;
  band: 'mf-hf' | 'vhf';
  /** Whom a relay may go to. */
  stations: readonly Station[];
  onChoose: (event: ChooseEvent) => void;
  onAsk: (question: Question) => void;
}) {
  const [reason, setReason] = useState<SecondTelecommandName>('busy');
  const [channel, setChannel] = useState(band === 'vhf' ? '72' : '4146 kHz');
  const [named, setNamed] = useState('');
  const [typed, setTyped] = useState<AreaDraft>();
  const choices = choicesFor(state, exchange.id);
  const seconds = useSeconds(
    state.now,
    choices.some(({ from }) => from !== undefined && from > state.now),
  );
  const message = channelMessage(channel, band);
  if (choices.length === 0) return null;
  const names = choices.map(({ choice }) => choice);
  const relay = choices.find(({ choice }) => choice === 'relay');
  const addressees = relay && exchange.kind === 'alert' ? addresseesOf(state, exchange, relay, stations) : [];
  const addressee = addressees.find(({ text }) => text === named) ?? addressees.at(0);
  const isTyped = addressee !== undefined && addressee.to === undefined;
  const around = exchange.kind === 'alert' ? areaOfCasualty(exchange) : undefined;
  const areaDraft = typed ?? (around ? areaDraftOf(around) : NO_AREA);
  const { area, complaints } = composeArea(areaDraft);
  const relayTo = isTyped ? area && { area } : addressee?.to;
  const choose = ({ choice, needs }: Choice) => {
    const event: ChooseEvent = {
      type: 'choose',
      exchange: exchange.id,
      choice,
      ...(choice === 'unable' && { reason }),
      ...(choice === 'propose' && message && { message }),
      ...(choice === 'relay' && relayTo && { to: relayTo }),
    };
    if (needs === undefined) {
      onChoose(event);
      return;
    }
    onAsk({
      ...CONFIRMATIONS[needs],
      onYes: () => {
        onChoose({ ...event, ...(needs === 'consulted' ? { directed: true } : { necessary: true }) });
      },
    });
  };
  return (
    <div class="choices">
      <h2>What may come next</h2>
      <ul>
        {choices
          .filter(({ choice }) => choice !== 'propose' || message !== undefined)
          .map((choice) => (
            <ChoiceRow
              key={choice.choice}
              choice={choice}
              exchange={exchange}
              now={state.now + 1000 * seconds}
              isReady={choice !== relay || relayTo !== undefined}
              onChoose={choose}
            >
              {choice === relay && (
                <div class="setup">
                  <SelectField
                    label="Relay to"
                    value={addressee?.text ?? ''}
                    onValue={setNamed}
                    choices={addressees.map(({ text }) => ({ value: text, text }))}
                    complaint={
                      addressee ? undefined : 'No coast station stands in the address book: add one there.'
                    }
                  />
                  {isTyped && <AreaFields area={areaDraft} complaints={complaints} onArea={setTyped} />}
                </div>
              )}
            </ChoiceRow>
          ))}
      </ul>
      {(names.includes('unable') || names.includes('propose')) && (
        <div class="pair">
          <SelectField label="Unable because" value={reason} onValue={setReason} choices={REASONS} />
          <TextField
            label="Another channel to propose"
            value={channel}
            onValue={setChannel}
            complaint={message ? undefined : 'Expected a channel such as 4146 kHz, vhf 72 or channel 1205.'}
          />
        </div>
      )}
    </div>
  );
}
