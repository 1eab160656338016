/**
 * The characters of a call while it comes in: what the tones say in each slot, before the receiver has decided
 * anything.
 */
import { MODULATIONS, bitsToSymbol, type ReceivedCall, type ReceiverEvent } from 'dotphase';
import { toneEnergies } from 'dotphase/pictures';

/** A call that is coming in. */
export interface LiveReading {
  readonly id: number;
  /** Seconds of the stream at which its first phasing character began. */
  readonly start: number;
  readonly baud: number;
  readonly centreHz: number;
  /** The slots so far, DX and RX in turn from the first phasing character; undefined where check bits disagree. */
  readonly slots: readonly (number | undefined)[];
  /** Whether it is over: read or given up. */
  readonly isOver: boolean;
}

export interface LiveReader {
  push(samples: Float32Array): void;
  event(event: ReceiverEvent): void;
  call(call: ReceivedCall): void;
}

const BITS = 10;
/** The longest call with its expansions, slots. */
const MOST_SLOTS = 400;
/** Phasing is noticed when it is over, so that its beginning must still be there, seconds. */
const KEPT_SECONDS = 4;
/** Two that begin so close are the same signal, heard at centres a little apart, seconds. */
const SAME_SECONDS = 0.25;

interface Track extends Omit<LiveReading, 'slots' | 'isOver'> {
  readonly inverted: boolean;
  readonly slots: (number | undefined)[];
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
  let nextId = 1;

  /** The samples from `from` to `to`, counted from the beginning of the stream. */
  function samplesOf(from: number, to: number): Float32Array {
    const out = new Float32Array(to - from);
    for (let n = Math.max(from, taken - kept.length); n < to; n++) out[n - from] = kept[n % kept.length];
    return out;
  }

  function read(track: Track): void {
    const { start, baud, centreHz, inverted, slots } = track;
    const shift = Object.values(MODULATIONS).find((each) => each.baud === baud)?.shiftHz ?? 0;
    const up = ((inverted ? -1 : 1) * shift) / 2;
    const before = slots.length;
    while (slots.length < MOST_SLOTS) {
      const begin = start + (slots.length * BITS) / baud;
      const from = Math.floor(begin * sampleRate);
      const to = Math.ceil((begin + BITS / baud) * sampleRate) + 1;
      if (to > taken) break;
      const grid = {
        start: begin - from / sampleRate,
        bitRate: baud,
        bHz: centreHz + up,
        yHz: centreHz - up,
      };
      slots.push(bitsToSymbol(toneEnergies(samplesOf(from, to), sampleRate, grid, 0, BITS).bits, 0));
    }
    if (slots.length > before) tell(track, false);
  }

  function tell({ id, start, baud, centreHz, slots }: Track, isOver: boolean): void {
    onReading({ id, start, baud, centreHz, slots: [...slots], isOver });
  }

  function close(is: (track: Track) => boolean): void {
    for (const track of tracks.filter(is)) tell(track, true);
    tracks = tracks.filter((track) => !is(track));
  }

  return {
    push(samples) {
      for (const sample of samples) kept[taken++ % kept.length] = sample;
      tracks.forEach(read);
      close(({ slots }) => slots.length >= MOST_SLOTS);
    },
    event(event) {
      const { time, baud, centreHz, inverted } = event;
      if (event.type === 'lost') {
        close(
          (track) => Math.abs(track.start - time) < SAME_SECONDS && Math.abs(track.centreHz - centreHz) < 1,
        );
      }
      if (event.type === 'phasing') {
        tracks.push({ id: nextId++, start: time, baud, centreHz, inverted, slots: [] });
      }
    },
    call({ start, end }) {
      close((track) => track.start > start - SAME_SECONDS && track.start < end);
    },
  };
}
