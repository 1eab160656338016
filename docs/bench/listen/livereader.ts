/**
 * The characters of a call while it comes in: what the tones say in each slot, before the receiver has decided
 * anything.
 */
import { ENDS_OF_SEQUENCE, MODULATIONS, type ReceivedCall, type ReceiverEvent } from 'dotphase';
import { toneEnergies, type ToneEnergies } from 'dotphase/pictures';
import { levelsByPhasing, overlapOf, readSlot, type SlotLevels } from './slotreading.js';

/** A slot as it sounded. */
export interface LiveSlot {
  readonly symbol: number | undefined;
  /** Energy of the tone of B in each of its ten bits; 1 is that of a tone as strong as those of the phasing. */
  readonly b: readonly number[];
  /** Energy of the tone of Y. */
  readonly y: readonly number[];
}

/** A call that is coming in. */
export interface LiveReading {
  readonly id: number;
  /** Seconds of the stream at which its first phasing character began. */
  readonly start: number;
  readonly baud: number;
  readonly centreHz: number;
  /**
   * The slots so far, DX and RX in turn from the first phasing character to the last that was read; undefined where
   * one could not be read for certain.
   */
  readonly slots: readonly (number | undefined)[];
  /** The latest slots as they sounded, the last of them the latest, whether read or not. */
  readonly latest: readonly LiveSlot[];
  /** Whether it is over: read or given up. */
  readonly isOver: boolean;
}

export interface LiveReader {
  push(samples: Float32Array): void;
  event(event: ReceiverEvent): void;
  call(call: ReceivedCall): void;
}

const BITS = 10;
/** Slots whose sound is shown. */
const SHOWN_SLOTS = 4;
/** DX and RX slots of the phasing. */
const PHASING_SLOTS = 16;
/** The longest call with its expansions, slots. */
const MOST_SLOTS = 400;
/** After so many slots in a row that could not be read a call is followed no longer. */
const MOST_UNREAD = 30;
/** Phasing is noticed when it is over, so that its beginning must still be there, seconds. */
const KEPT_SECONDS = 4;
/** Two that begin so close are the same signal, heard at centres a little apart, seconds. */
const SAME_SECONDS = 0.25;

/** Which of the calls that come in is shown, once `next` was read of one of them. */
export function shownReading(before: LiveReading | undefined, next: LiveReading): LiveReading | undefined {
  if (next.isOver) return before?.id === next.id ? undefined : before;
  if (!before || before.id === next.id) return next;
  const read = ({ slots }: LiveReading) => slots.filter((symbol) => symbol !== undefined).length;
  const end = before.start + (before.slots.length * BITS) / before.baud;
  // A signal may be followed twice, at centres a little apart; another call begins behind what was read.
  return next.start >= end || read(next) >= read(before) ? next : before;
}

/** One worker follows several channels: no two readings of it have the same number. */
let nextId = 1;

interface Track extends Omit<LiveReading, 'slots' | 'latest' | 'isOver'> {
  readonly inverted: boolean;
  readonly slots: (number | undefined)[];
  /** The energies of its phasing, until all of it is there. */
  phasing: ToneEnergies[];
  levels: SlotLevels | undefined;
  latest: readonly LiveSlot[];
  /** Whether its end of sequence has passed: nothing more is read. */
  isEnded: boolean;
}

const shiftOf = (baud: number) => Object.values(MODULATIONS).find((each) => each.baud === baud)?.shiftHz ?? 0;

/** From the DX slot of an end of sequence to its other slots: twice in DX, once in RX (M.493 §2, from memory). */
const REPEATED_END = [4, 5, 6];
/** From the DX slot of an end of sequence to the last slot of the sequence. */
const BEHIND_END = 7;

/** The last slot of a sequence that ends within these slots, by an end of sequence that was read more than once. */
function endOf(slots: readonly (number | undefined)[]): number | undefined {
  for (let i = PHASING_SLOTS; i + BEHIND_END < slots.length; i += 2) {
    const isEnd = (symbol: number | undefined) =>
      symbol !== undefined && ENDS_OF_SEQUENCE.bySymbol(symbol) !== undefined && symbol === slots[i];
    if (isEnd(slots[i]) && REPEATED_END.some((offset) => isEnd(slots[i + offset]))) return i + BEHIND_END;
  }
  return undefined;
}

function isSilent(slots: Track['slots']): boolean {
  return slots.length > MOST_UNREAD && slots.slice(-MOST_UNREAD).every((symbol) => symbol === undefined);
}

/**
 * Follows a receiver's events.
 *
 * @param onReading - told whenever a slot was read
 */
export function createLiveReader(sampleRate: number, onReading: (reading: LiveReading) => void): LiveReader {
  const kept = new Float32Array(Math.round(KEPT_SECONDS * sampleRate));
  /** Samples taken so far. */
  let taken = 0;
  let tracks: Track[] = [];

  /** The samples from `from` to `to`, counted from the beginning of the stream. */
  function samplesOf(from: number, to: number): Float32Array {
    const out = new Float32Array(to - from);
    for (let n = Math.max(from, taken - kept.length); n < to; n++) out[n - from] = kept[n % kept.length];
    return out;
  }

  function read(track: Track): void {
    const { start, baud, centreHz, inverted, slots } = track;
    if (track.isEnded) return;
    const up = ((inverted ? -1 : 1) * shiftOf(baud)) / 2;
    const before = slots.length;
    while (slots.length + track.phasing.length < MOST_SLOTS) {
      const begin = start + ((slots.length + track.phasing.length) * BITS) / baud;
      const from = Math.floor(begin * sampleRate);
      const to = Math.ceil((begin + BITS / baud) * sampleRate) + 1;
      if (to > taken) break;
      const grid = {
        start: begin - from / sampleRate,
        bitRate: baud,
        bHz: centreHz + up,
        yHz: centreHz - up,
      };
      if (!take(track, toneEnergies(samplesOf(from, to), sampleRate, grid, 0, BITS))) break;
    }
    if (slots.length > before) tell(track, false);
  }

  /** Takes the next slot. Gives whether more may follow. */
  function take(track: Track, energies: ToneEnergies): boolean {
    const { slots, phasing, levels } = track;
    if (levels) {
      const symbol = readSlot(energies, levels);
      // Expansions may follow an end of sequence; what does not read is no more of the call.
      const end = symbol === undefined ? endOf(slots) : undefined;
      if (end === undefined) add(track, energies, levels);
      track.isEnded = end !== undefined;
      return !track.isEnded;
    }
    phasing.push(energies);
    if (phasing.length < PHASING_SLOTS) return true;
    const found = levelsByPhasing(phasing, overlapOf(shiftOf(track.baud), track.baud));
    if (found) for (const each of phasing) add(track, each, found);
    Object.assign(track, { phasing: [], levels: found, isEnded: !found });
    return !track.isEnded;
  }

  function add(track: Track, energies: ToneEnergies, levels: SlotLevels): void {
    const symbol = readSlot(energies, levels);
    track.slots.push(symbol);
    const share = (energy: number) => energy / (levels.signal + levels.noise);
    const slot = { symbol, b: [...energies.b].map(share), y: [...energies.y].map(share) };
    track.latest = [...track.latest, slot].slice(-SHOWN_SLOTS);
  }

  function tell({ id, start, baud, centreHz, slots, latest }: Track, isOver: boolean): void {
    const last = slots.findLastIndex((symbol) => symbol !== undefined);
    onReading({ id, start, baud, centreHz, slots: slots.slice(0, last + 1), latest, isOver });
  }

  function close(is: (track: Track) => boolean): void {
    for (const track of tracks.filter(is)) tell(track, true);
    tracks = tracks.filter((track) => !is(track));
  }

  return {
    push(samples) {
      for (const sample of samples) kept[taken++ % kept.length] = sample;
      tracks.forEach(read);
      close(({ slots }) => slots.length >= MOST_SLOTS || isSilent(slots));
    },
    event(event) {
      const { time, baud, centreHz, inverted } = event;
      if (event.type === 'lost') {
        close(
          (track) => Math.abs(track.start - time) < SAME_SECONDS && Math.abs(track.centreHz - centreHz) < 1,
        );
      }
      if (event.type === 'phasing') {
        const about = { id: nextId++, start: time, baud, centreHz, inverted };
        tracks.push({ ...about, slots: [], phasing: [], levels: undefined, latest: [], isEnded: false });
      }
    },
    call({ start, end }) {
      close((track) => track.start > start - SAME_SECONDS && track.start < end);
    },
  };
}
