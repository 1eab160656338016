/**
 * An exchange on the wall: the latest call of either station, and both stations' time on the air to scale.
 */
import type { Identity } from 'dotphase';
import type { Exchange } from 'dotphase/procedures';
import { TimeLanes } from '../wall/timelanes.js';
import type { LiveReading } from '../listen/livereader.js';
import { ReadingLanes, ReceivedLanes, SentLanes, useSeconds } from './lanes.js';
import { sayPhase } from './say.js';
import type { Moment } from './session.js';
import {
  airTimeOf,
  airTimes,
  momentsOf,
  type Announcement,
  type Received,
  type Sending,
} from './ofexchange.js';

function Sent({ sending, isCeased }: { sending: Sending; isCeased: boolean }) {
  const { time, seconds, call, frequencyHz, repeat } = sending;
  const elapsed = useSeconds(time, !isCeased && Date.now() < time + 1000 * seconds);
  return <SentLanes call={call} frequencyHz={frequencyHz} repeat={repeat} seconds={elapsed} />;
}

/** Who sent a call, without the digits. */
function senderName(
  { received: { call } }: Received,
  describe: (identity: Identity) => string,
): string | undefined {
  return 'self' in call && typeof call.self === 'string'
    ? describe(call.self).replace(/ \(.*/, '')
    : undefined;
}

/** Who is at the other end, by the call that came or the one that went out. */
function otherName(
  exchange: Exchange,
  received: Received | undefined,
  describe: (identity: Identity) => string,
): string {
  const sender = received && senderName(received, describe);
  if (sender !== undefined) return sender;
  const { kind } = exchange;
  const call = kind === 'outgoing' ? exchange.call : undefined;
  if (call && 'to' in call && typeof call.to === 'object' && 'station' in call.to) {
    const { station } = call.to;
    if (typeof station === 'string') return describe(station).replace(/ \(.*/, '');
  }
  return 'others';
}

/** What the exchange does, with the seconds that it has waited. */
function Waited({ exchange }: { exchange: Exchange }) {
  const until =
    exchange.kind === 'outgoing' && exchange.phase === 'awaiting' ? exchange.waitUntil : undefined;
  const from = exchange.kind === 'outgoing' ? (exchange.sentAt ?? exchange.since) : exchange.since;
  const seconds = useSeconds(from, until !== undefined);
  const count =
    until === undefined
      ? ''
      : `: ${Math.max(0, Math.floor(seconds))} s of ${Math.round((until - from) / 1000)} s`;
  return (
    <>
      {sayPhase(exchange)}
      {count}
    </>
  );
}

export function ExchangeWall({
  exchange,
  announcement,
  moments,
  reading,
  own,
  describe,
}: {
  exchange: Exchange | undefined;
  /** A call to many that came in after all else. */
  announcement: Announcement | undefined;
  moments: readonly Moment[];
  reading: LiveReading | undefined;
  own: string;
  describe: (identity: Identity) => string;
}) {
  if (announcement && !reading) {
    const { received, watch } = announcement;
    return (
      <>
        <ReceivedLanes received={received.received} slots={received.slots} />
        <p class="wall-phase">
          Heard, not acknowledged by DSC
          {watch !== undefined && `. ${watch}`}
        </p>
        <TimeLanes
          names={[own, senderName(received, describe) ?? 'others']}
          times={[airTimeOf(received)]}
          isRunning={false}
        />
      </>
    );
  }
  if (!exchange) {
    return reading ? <ReadingLanes slots={reading.slots} /> : <p class="wall-empty">No exchange yet.</p>;
  }
  const { sending, isCeased, received, watch } = momentsOf(moments, exchange);
  const isFirstReceived = exchange.kind === 'incoming' || exchange.kind === 'alert';
  const came = reading ? (
    <ReadingLanes slots={reading.slots} />
  ) : (
    received && <ReceivedLanes received={received.received} slots={received.slots} />
  );
  const running = ['sending', 'awaiting', 'waiting', 'answering', 'cancelling', 'open'];
  return (
    <>
      {isFirstReceived && came}
      {sending && <Sent key={sending.id} sending={sending} isCeased={isCeased} />}
      {!isFirstReceived && came}
      <p class="wall-phase">
        <Waited exchange={exchange} />
        {watch !== undefined && `. ${watch}`}
      </p>
      <TimeLanes
        names={[own, otherName(exchange, received, describe)]}
        times={airTimes(moments, exchange)}
        isRunning={running.includes(exchange.phase)}
      />
    </>
  );
}
