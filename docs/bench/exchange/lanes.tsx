/**
 * The characters of a call in DX and RX as they go out or come in, folded into rows of the width there is.
 */
import {
  BIT_RATE,
  bandOf,
  encodeCall,
  explainFields,
  isReceivedWhole,
  type Call,
  type Frame,
  type ReceivedCall,
} from 'dotphase';
import { useEffect, useState } from 'preact/hooks';
import { airSequence } from '../compose/sound.js';
import { findRuns, type Runs } from '../strip/model.js';

/** A slot as it is drawn. */
export interface DrawnSlot {
  /** Undefined where its check bits disagree. */
  readonly symbol: number | undefined;
  readonly tint: string;
  /** Above the first character of a field. */
  readonly label?: string;
  readonly state: 'due' | 'now' | 'done';
}

const SHORT: Readonly<Record<string, string>> = {
  format: 'format',
  category: 'cat.',
  errorCheck: 'check',
  eos: 'end',
  telecommand1: 'tc 1',
  telecommand2: 'tc 2',
  followOn: 'then',
  position: 'position',
  casualty: 'casualty',
  nature: 'nat.',
};

const BITS = 10;
const PHASING_DX = 6;
const PHASING_RX = 8;

function Slot({ slot, row }: { slot: DrawnSlot | undefined; row: string }) {
  if (!slot) return <span class={`slot ${row} none`} />;
  const { symbol, tint, state } = slot;
  const unread = symbol === undefined && state === 'done';
  return <span class={`slot ${row} ${state} tint-${tint}${unread ? ' unread' : ''}`}>{symbol ?? '·'}</span>;
}

/** Pairs of slots, DX above RX. */
function Lanes({
  slots,
  dots,
  label,
}: {
  slots: readonly DrawnSlot[];
  /** The dot pattern before them, and which share of it is over. */
  dots?: { readonly count: number; readonly share: number } | undefined;
  /** What it shows, for those who do not see it. */
  label: string;
}) {
  const pairs = Array.from({ length: Math.ceil(slots.length / 2) }, (_, i) => [
    slots[2 * i],
    slots.at(2 * i + 1),
  ]);
  return (
    <div class="slots" role="img" aria-label={label}>
      <span class="row-names" aria-hidden="true">
        <span>DX</span>
        <span>RX</span>
      </span>
      {dots && (
        <span class="dot-pattern" style={{ '--share': `${Math.round(100 * dots.share)}%` }}>
          {dots.count} dots
        </span>
      )}
      {pairs.map(([dx, rx], i) => (
        <span key={i} class="pair">
          <span class="label">{dx?.label ?? ''}</span>
          <Slot slot={dx} row="dx" />
          <Slot slot={rx} row="rx" />
        </span>
      ))}
    </div>
  );
}

function labelled(runs: Runs, run: number | undefined, before: number | undefined): { label?: string } {
  if (run === before) return {};
  if (run === undefined) return { label: 'phasing' };
  const { tint, label } = runs.runs[run];
  return { label: SHORT[tint] ?? label };
}

/** The frame of a call and which of its characters stand for what. */
export function framed(call: Call, frequencyHz: number, repeat = 1): { frame: Frame; runs: Runs } {
  const { symbols, expansions } = encodeCall(call);
  const frame = airSequence(call, bandOf(frequencyHz), repeat);
  const count = frame.sendings[0].slots.filter(
    ({ position, character }) => position === 'DX' && character !== undefined,
  ).length;
  return { frame, runs: findRuns(explainFields(symbols), expansions, count) };
}

/** How far a frame has gone out after so many seconds. */
export interface Progress {
  /** Which of its sendings is on the air, from 0. */
  readonly sending: number;
  /** Which share of its dots is over. */
  readonly dots: number;
  /** How many of its slots have begun. */
  readonly slots: number;
}

function progressOf(frame: Frame, seconds: number): Progress {
  let bit = seconds * BIT_RATE[frame.band];
  const last = frame.sendings.length - 1;
  for (const [i, { dots, slots }] of frame.sendings.entries()) {
    const length = dots + BITS * slots.length;
    if (bit < length || i === last) {
      return {
        sending: i,
        dots: dots === 0 ? 1 : Math.min(1, Math.max(0, bit / dots)),
        slots: Math.max(0, Math.min(slots.length, Math.ceil((bit - dots) / BITS))),
      };
    }
    bit -= length;
  }
  return { sending: last, dots: 1, slots: frame.sendings[last].slots.length };
}

/** Seconds since a moment, told anew as often as the screen is drawn while `isRunning`. */
export function useSeconds(since: number, isRunning: boolean): number {
  const [seconds, setSeconds] = useState(() => (Date.now() - since) / 1000);
  useEffect(() => {
    setSeconds((Date.now() - since) / 1000);
    if (!isRunning) return undefined;
    let frame = 0;
    const follow = () => {
      setSeconds((Date.now() - since) / 1000);
      frame = requestAnimationFrame(follow);
    };
    frame = requestAnimationFrame(follow);
    return () => {
      cancelAnimationFrame(frame);
    };
  }, [since, isRunning]);
  return seconds;
}

/** A call as it goes out. */
export function SentLanes({
  call,
  frequencyHz,
  repeat,
  seconds,
}: {
  call: Call;
  frequencyHz: number;
  repeat: number;
  /** On the air so far. */
  seconds: number;
}) {
  const { frame, runs } = framed(call, frequencyHz, repeat);
  const { sending, dots, slots: begun } = progressOf(frame, seconds);
  const { dots: count, slots } = frame.sendings[sending];
  const isOver = seconds >= frame.duration;
  const runOf = (character: number | undefined) =>
    character === undefined ? undefined : runs.ofCharacter[character];
  const drawn = slots.map((slot, i): DrawnSlot => {
    const run = runOf(slot.character);
    const before = i < 2 ? -1 : runOf(slots[i - 2].character);
    return {
      symbol: slot.symbol,
      tint: run === undefined ? 'phasing' : runs.runs[run].tint,
      state: isOver || i < begun - 1 ? 'done' : i < begun ? 'now' : 'due',
      ...labelled(runs, run, before),
    };
  });
  const share = isOver ? 1 : dots;
  return (
    <Lanes
      slots={drawn}
      dots={count > 0 ? { count, share } : undefined}
      label={`${count} dots and ${slots.length} characters in DX and RX, ${isOver ? 'sent' : `${begun} of them so far`}`}
    />
  );
}

/** A call as it comes in: what the tones say, before anything is decided. */
export function ReadingLanes({ slots }: { slots: readonly (number | undefined)[] }) {
  const drawn = slots.map((symbol, i): DrawnSlot => {
    const character = (i >> 1) - (i % 2 === 0 ? PHASING_DX : PHASING_RX);
    return {
      symbol,
      tint: character < 0 ? 'phasing' : 'symbols',
      state: i === slots.length - 1 ? 'now' : 'done',
      ...(i === 0 && { label: 'phasing' }),
      ...(i === 2 * PHASING_DX && { label: 'characters' }),
    };
  });
  return <Lanes slots={drawn} label={`${slots.length} characters in DX and RX so far`} />;
}

/** A call that was received: each slot as it came in where that was followed, else what each character read as. */
export function ReceivedLanes({
  received,
  slots,
}: {
  received: ReceivedCall;
  slots: readonly (number | undefined)[] | undefined;
}) {
  const { symbols, certainty, expansions, characters, call } = received;
  const runs = findRuns(explainFields(symbols, certainty), expansions, characters.length);
  const length = 2 * (PHASING_DX + characters.length);
  const followed = slots && slots.length >= length - 2 ? slots.slice(0, length) : undefined;
  const read =
    followed ??
    Array.from({ length: length - 2 * PHASING_DX }, (_, i) => {
      const reading = characters.at(i >> 1);
      return i % 2 === 0 ? reading?.dx : reading?.rx;
    });
  const runAt = (i: number): number | undefined => {
    const delay = i % 2 === 0 ? PHASING_DX : PHASING_RX;
    const character = followed ? (i >> 1) - delay : i >> 1;
    return character < 0 ? undefined : runs.ofCharacter.at(character);
  };
  const drawn = read.map((symbol, i): DrawnSlot => {
    const run = runAt(i);
    return {
      symbol,
      tint: run === undefined ? 'phasing' : runs.runs[run].tint,
      state: 'done',
      ...labelled(runs, run, i < 2 ? -1 : runAt(i - 2)),
    };
  });
  const whole = isReceivedWhole(call) ? '' : ', not all of them received';
  return (
    <Lanes
      slots={drawn}
      label={`${characters.length} characters as they were received in DX and RX${whole}`}
    />
  );
}
