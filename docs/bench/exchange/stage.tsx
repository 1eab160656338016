/**
 * The exchange that is going on: the call as it goes out, what follows by voice, the wait, the answer as it comes in.
 */
import { VHF_DSC_HZ, formatFrequency } from 'dotphase/frequencies';
import { describeCall, describeReceived, isReceivedWhole, type Call, type Identity } from 'dotphase';
import { CALLS_IN_A_ROW, type ChooseEvent, type Exchange, type StationState } from 'dotphase/procedures';
import { TransmitCaution } from '../parts/cautions.js';
import { Reading } from '../strip/reading.js';
import type { Question } from '../parts/ask.js';
import type { Station } from './book.js';
import { Choices } from './choices.js';
import { ReadingLanes, ReceivedLanes, SentLanes, framed, useSeconds } from './lanes.js';
import { momentsOf, type Announcement, type Received, type Sending } from './ofexchange.js';
import { callOf, followUpText, priorityOf, sayPhase } from './say.js';
import type { Moment } from './session.js';
import type { LiveReading } from '../listen/livereader.js';

function OnAir({ sending, isCeased }: { sending: Sending; isCeased: boolean }) {
  const { time, seconds, call, frequencyHz, repeat } = sending;
  const elapsed = useSeconds(time, !isCeased && Date.now() < time + 1000 * seconds);
  const isOver = isCeased || elapsed >= seconds;
  const shown = Math.min(elapsed, seconds);
  return (
    <>
      <p class="on-air">
        <b class={isOver ? '' : 'sounding'}>{isCeased ? 'Broken off' : isOver ? 'Sent' : 'On the air'}</b>{' '}
        <span class="count">
          {isOver && !isCeased
            ? `${seconds.toFixed(1)} s`
            : `${shown.toFixed(1)} s of ${seconds.toFixed(1)} s`}
        </span>{' '}
        on {formatFrequency(frequencyHz)}
        {repeat > 1 && `, ${repeat} times in a row`}
      </p>
      <SentLanes call={call} frequencyHz={frequencyHz} repeat={repeat} seconds={isCeased ? shown : elapsed} />
    </>
  );
}

function Clock({ from, until, label }: { from: number; until: number; label: string }) {
  const total = Math.round((until - from) / 1000);
  const elapsed = useSeconds(from, true);
  const shown = Math.min(total, Math.max(0, elapsed));
  return (
    <div class="clock">
      <p>
        {label}: <b class="count">{Math.floor(shown)} s</b> of {total} s
      </p>
      <progress max={total} value={shown} aria-label={`${label}, seconds`} />
    </div>
  );
}

function Wait({ exchange }: { exchange: Exchange }) {
  if (exchange.kind === 'outgoing' && exchange.phase === 'awaiting' && exchange.waitUntil !== undefined) {
    return (
      <Clock
        key={exchange.waitUntil}
        from={exchange.sentAt ?? exchange.since}
        until={exchange.waitUntil}
        label="Listening for the acknowledgement"
      />
    );
  }
  if (exchange.kind === 'distress' && exchange.phase === 'waiting' && exchange.nextAt !== undefined) {
    return (
      <Clock
        key={exchange.nextAt}
        from={exchange.since}
        until={exchange.nextAt}
        label="Listening; the alert goes out again"
      />
    );
  }
  return null;
}

function Came({
  received,
  said,
  describe,
}: {
  received: Received;
  /** The sentence that stands above it already. */
  said: string;
  describe: (identity: Identity) => string;
}) {
  const { received: call, slots } = received;
  // That more expansions followed stands in the receiver's own sentence.
  const text = call.moreFollowed ? describeReceived(call) : describeCall(call.call, { station: describe });
  return (
    <div class="came">
      <p class="on-air">
        <b>Received</b> <span class={`badge ${call.quality}`}>{call.quality}</span>{' '}
        {new Date(received.time).toISOString().slice(11, 19)} UTC on {formatFrequency(received.frequencyHz)}
      </p>
      <ReceivedLanes received={call} slots={slots} />
      {text !== said && <p class="sentence">{text}</p>}
      <details>
        <summary>Every character, and what it says</summary>
        <Reading received={call} />
      </details>
    </div>
  );
}

export function ComingIn({ reading }: { reading: LiveReading }) {
  return (
    <div class="came">
      <p class="on-air">
        <b class="sounding">A call comes in</b>{' '}
        <span class="count">
          {reading.slots.length > 0
            ? `${reading.slots.length} characters at ${reading.baud} Bd`
            : `at ${reading.baud} Bd, none of its characters certain yet`}
        </span>
      </p>
      <ReadingLanes slots={reading.slots} />
      <p class="reading">
        Characters that the tones say for certain; · is not read. The call is decided at its end.
      </p>
    </div>
  );
}

/** What an announcement is about. */
export function heardPriority({ received }: Announcement): ReturnType<typeof priorityOf> {
  const { call } = received.received;
  return isReceivedWhole(call) ? priorityOf(call) : 'routine';
}

/** An announcement as it was heard. */
export function Announced({
  announcement,
  describe,
}: {
  announcement: Announcement;
  describe: (identity: Identity) => string;
}) {
  const { received, watch } = announcement;
  const priority = heardPriority(announcement);
  const sentence = describeCall(received.received.call, { station: describe });
  return (
    <div class="stage">
      <p class={`phase ${priority}`} role="status">
        Heard: a call to many, which nobody acknowledges by DSC
      </p>
      <p class="sentence">{sentence}</p>
      {priority !== 'routine' && <TransmitCaution priority={priority} />}
      <Came received={received} said={sentence} describe={describe} />
      {watch !== undefined && <p class="voice">{watch}</p>}
    </div>
  );
}

/** What is about to go out, before the first exchange. */
export function Before({
  call,
  frequencies,
  isOpen,
  reading,
  describe,
}: {
  call: Call | undefined;
  /** DSC frequencies, hertz. */
  frequencies: readonly number[];
  isOpen: boolean;
  reading: LiveReading | undefined;
  describe: (identity: Identity) => string;
}) {
  if (reading) return <ComingIn reading={reading} />;
  if (!call) return <p class="empty">Some field needs another look before this is a call.</p>;
  const [frequencyHz] = frequencies;
  const isRow = call.kind === 'distressAlert' && frequencies.length === 1;
  const repeat = isRow ? CALLS_IN_A_ROW : 1;
  const { frame } = framed(call, frequencyHz, repeat);
  return (
    <div class="stage before">
      <p class="phase">
        {isOpen
          ? 'This station listens. What comes in appears here character by character.'
          : 'Ready: this goes out when you press Call.'}
      </p>
      <p class="sentence">{describeCall(call, { station: describe })}</p>
      <p class="on-air">
        <b>{frame.duration.toFixed(2)} s</b> on {frequencies.map((hz) => formatFrequency(hz)).join(', ')}
        {repeat > 1 && `, ${repeat} calls in a row`}
        {frequencies.length > 1 && ', one call on each'}
      </p>
      <SentLanes call={call} frequencyHz={frequencyHz} repeat={repeat} seconds={0} />
      <p class="voice">{followUpText(call, frequencyHz)}</p>
    </div>
  );
}

export function Stage({
  exchange,
  state,
  moments,
  reading,
  describe,
  stations,
  onChoose,
  onAsk,
}: {
  exchange: Exchange;
  state: StationState;
  moments: readonly Moment[];
  /** A call that is coming in. */
  reading: LiveReading | undefined;
  describe: (identity: Identity) => string;
  /** The address book. */
  stations: readonly Station[];
  onChoose: (event: ChooseEvent) => void;
  onAsk: (question: Question) => void;
}) {
  const { sending, isCeased, received, watch, say } = momentsOf(moments, exchange);
  const call = callOf(exchange);
  const priority = call && priorityOf(call);
  const isAnswering = exchange.kind === 'incoming' || exchange.kind === 'alert';
  const band = (sending ?? received)?.frequencyHz === VHF_DSC_HZ ? 'vhf' : 'mf-hf';
  const voice =
    watch ?? (sending && exchange.kind !== 'incoming' ? followUpText(sending.call, sending.frequencyHz) : '');
  const sentence = call ? describeCall(call, { station: describe }) : '';
  const came = received && <Came key={received.id} received={received} said={sentence} describe={describe} />;
  return (
    <div class="stage">
      <p class={`phase ${priority ?? ''}`} role="status">
        {sayPhase(exchange)}
      </p>
      {call && <p class="sentence">{sentence}</p>}
      {priority !== undefined && priority !== 'routine' && <TransmitCaution priority={priority} />}
      {isAnswering && came}
      {sending && <OnAir key={sending.id} sending={sending} isCeased={isCeased} />}
      {voice !== '' && (
        <p class="voice">
          {voice}
          {say !== undefined && <q>{say}</q>}
        </p>
      )}
      <Wait exchange={exchange} />
      {reading && <ComingIn reading={reading} />}
      {!isAnswering && came}
      <Choices
        exchange={exchange}
        state={state}
        band={band}
        stations={stations}
        onChoose={onChoose}
        onAsk={onAsk}
      />
    </div>
  );
}
