/**
 * A station that answers over a cable: audio in, the audio of its acknowledgements out, in step with each other.
 */
import type { Call, Identity } from '../calls/index.js';
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import { createReceiver, type ReceivedCall } from '../receiver/index.js';
import { type SecondTelecommandName, BIT_RATE, type Band } from '../symbols/index.js';
import { VHF_DSC_HZ, maritimeBand } from '../frequencies/index.js';
import type { PositionForCall } from '../navigation/index.js';
import {
  choicesFor,
  createStation,
  dueAt,
  isCoastStation,
  stepStation,
  type ChooseEvent,
  type StationAction,
  type StationEvent,
  type StationState,
} from '../procedures/index.js';
import { joinSamples } from '../dsp/index.js';
import { callAudio } from './sound.js';

/** What an answering station tells. `time` is whole milliseconds since 1970 UTC by its clock of samples. */
export type AnsweringEvent = { readonly time: number } &
  /** A call was heard, whoever it is for. */
  (
    | { readonly type: 'received'; readonly received: ReceivedCall; readonly frequencyHz: number }
    /** An acknowledgement goes out. */
    | {
        readonly type: 'answering';
        readonly identity: Identity;
        readonly call: Call;
        readonly frequencyHz: number;
        /** Seconds that it takes. */
        readonly seconds: number;
      }
    /** The procedures of one of the identities told something or went on. */
    | { readonly type: 'action'; readonly identity: Identity; readonly action: StationAction }
  );

/** The settings of an answering station. */
export interface AnsweringOptions {
  /** The identities it plays, 1 to 20. */
  readonly identities: readonly Identity[];
  /** Samples per second in and out, an integer, 8000–192000. */
  readonly sampleRate: number;
  /** When the first sample is, milliseconds since 1970 UTC. */
  readonly start: number;
  /** From the end of a call to its acknowledgement, 0–300 s; default 2. Later where the rules ask for it. */
  readonly delaySeconds?: number;
  /** The DSC frequency that 100 Bd audio comes from, hertz; default 2187.5 kHz. 1200 Bd is VHF channel 70. */
  readonly frequencyHz?: number;
  /** Which modulations to look for; default both. */
  readonly bands?: readonly Band[];
  /** Where it says it is, or what tells it at each call; default nowhere. */
  readonly position?: PositionForCall | (() => PositionForCall);
  /** Refuses what can be refused, for this reason; default: complies. */
  readonly unable?: SecondTelecommandName;
  /**
   * Acknowledges distress alerts, for training on a cable or a dummy load: coast stations after the times of the
   * procedures, ships (not on HF) as if they were directed to. Default false: never.
   */
  readonly trainingAcknowledge?: boolean;
  /** Peak amplitude of the acknowledgements, 0–1; default 0.5. */
  readonly level?: number;
  /** Told of everything as it happens. */
  readonly onEvent?: (event: AnsweringEvent) => void;
}

/** An answering station. */
export interface AnsweringStation {
  /** Takes the next samples, full scale ±1, and gives as many: silence, or an acknowledgement. */
  push(samples: Float32Array): Float32Array;
  /** Ends the input, and gives what is still to be sent. */
  flush(): Float32Array;
}

const MF_HZ = 2_187_500;

/** Seconds of audio handled in one go: how exactly an acknowledgement keeps its time when a call ends late. */
const PIECE_SECONDS = 0.05;

/** At the end of the input nothing is waited for longer than this, seconds. */
const LONGEST_WAIT_SECONDS = 600;

interface Played {
  readonly identity: Identity;
  state: StationState;
}

interface Pending {
  /** Milliseconds. */
  readonly at: number;
  readonly run: () => void;
}

function requireOptions(options: AnsweringOptions): void {
  requireInteger('sampleRate', options.sampleRate, 8000, 192_000);
  requireNumber('start', options.start, 0, 8.64e15, 'ms');
  requireNumber('delaySeconds', options.delaySeconds ?? 0, 0, 300, 's');
  requireNumber('level', options.level ?? 0, 0, 1);
  const identities: unknown = options.identities;
  if (!Array.isArray(identities) || identities.length < 1 || identities.length > 20) {
    throw new DotphaseError('identities', identities, 'a list of 1 to 20 identities');
  }
  const { frequencyHz = MF_HZ } = options;
  if (maritimeBand(frequencyHz) === undefined || maritimeBand(frequencyHz) === 'VHF') {
    throw new DotphaseError('frequencyHz', frequencyHz, 'a maritime frequency of MF or HF in hertz');
  }
}

/**
 * Makes an answering station. It answers calls that are addressed to its identities and ask for it, never a call
 * that was read with doubt, and distress alerts only where it is told to.
 *
 * @throws DotphaseError when an option is wrong
 */
export function createAnsweringStation(options: AnsweringOptions): AnsweringStation {
  requireOptions(options);
  const { sampleRate, start, delaySeconds = 2, frequencyHz: mfHz = MF_HZ, position, unable } = options;
  const { trainingAcknowledge = false, level = 0.5 } = options;
  const receiver = createReceiver({ sampleRate, ...(options.bands && { bands: options.bands }) });
  const stations = [...new Set(options.identities)].map((identity): Played => ({
    identity,
    state: createStation({ identity }, start),
  }));
  let pending: Pending[] = [];
  /** What is on the air: its first sample, its audio and whose it is. */
  let sending: { readonly first: number; readonly audio: Float32Array } | undefined;
  /** Samples handled so far. */
  let handled = 0;
  let now = start;

  type Detail<E> = E extends AnsweringEvent ? Omit<E, 'time'> : never;
  const tell = (detail: Detail<AnsweringEvent>): void => {
    options.onEvent?.({ time: Math.round(now), ...detail });
  };

  const timeOf = (sample: number) => start + (sample * 1000) / sampleRate;
  const sampleOf = (time: number) => Math.round(((time - start) * sampleRate) / 1000);

  function schedule(at: number, run: () => void): void {
    pending.push({ at: Math.max(at, now), run });
  }

  function give(station: Played, event: StationEvent): void {
    const { state, actions } = stepStation(station.state, event, now);
    station.state = state;
    for (const action of actions) {
      tell({ type: 'action', identity: station.identity, action });
      if (action.type === 'transmit') transmit(station, action);
      if (action.type === 'offer') decide(station, action);
      if (action.type === 'timer') {
        schedule(action.at, () => {
          if ((dueAt(station.state) ?? Infinity) <= now) give(station, { type: 'tick' });
        });
      }
    }
  }

  /** When the output is free, milliseconds. */
  let freeAt = start;

  /** One output serves all identities and both radios: while it is in use, every frequency is occupied. */
  function occupy(busy: boolean): void {
    for (const station of stations) {
      for (const frequencyHz of [mfHz, VHF_DSC_HZ]) give(station, { type: 'channel', frequencyHz, busy });
    }
  }

  function transmit(station: Played, action: Extract<StationAction, { type: 'transmit' }>): void {
    const { call, frequencyHz, repeat, transmission } = action;
    if (freeAt > now) {
      schedule(freeAt, () => {
        give(station, { type: 'unsent', transmission });
      });
      return;
    }
    const audio = callAudio(call, { sampleRate, frequencyHz, repeat, level });
    const seconds = audio.length / sampleRate;
    sending = { first: sampleOf(now), audio };
    freeAt = now + seconds * 1000;
    tell({ type: 'answering', identity: station.identity, call, frequencyHz, seconds });
    schedule(now, () => {
      occupy(true);
    });
    schedule(freeAt, () => {
      give(station, { type: 'sent', transmission });
      occupy(false);
    });
  }

  let lastEnd = start;

  function decide(station: Played, { exchange: id }: Extract<StationAction, { type: 'offer' }>): void {
    const exchange = station.state.exchanges.find((each) => each.id === id);
    if (!exchange) return;
    const open = choicesFor(station.state, id).map(({ choice }) => choice);
    let choose: ChooseEvent | undefined;
    if (exchange.kind === 'incoming' && exchange.phase === 'open') {
      const refuses = unable !== undefined && open.includes('unable');
      choose = refuses
        ? { type: 'choose', exchange: id, choice: 'unable', reason: unable }
        : { type: 'choose', exchange: id, choice: 'able' };
    } else if (exchange.kind === 'alert' && trainingAcknowledge) {
      const choice = open.find((each) => each === 'acknowledge' || each === 'acknowledgeRelay');
      if (choice)
        choose = { type: 'choose', exchange: id, choice, directed: !isCoastStation(station.identity) };
    }
    if (!choose) return;
    const chosen = choose;
    schedule(lastEnd + delaySeconds * 1000, () => {
      const isOpen = choicesFor(station.state, id).some(({ choice }) => choice === chosen.choice);
      if (isOpen) give(station, chosen);
    });
  }

  function hear(received: ReceivedCall): void {
    const frequencyHz = received.baud === BIT_RATE.vhf ? VHF_DSC_HZ : mfHz;
    lastEnd = start + received.end * 1000;
    tell({ type: 'received', received, frequencyHz });
    const { call, quality } = received;
    for (const station of stations) {
      if (typeof position === 'function') give(station, { type: 'position', ...position() });
      give(station, { type: 'received', call, frequencyHz, endedAt: lastEnd, quality });
    }
  }

  /** Does what is planned up to a moment, in order. */
  function runUntil(time: number): void {
    for (;;) {
      const first = pending.reduce<Pending | undefined>(
        (best, each) => (best && best.at <= each.at ? best : each),
        undefined,
      );
      if (!first || first.at > time) break;
      pending = pending.filter((each) => each !== first);
      now = Math.max(now, first.at);
      first.run();
    }
    now = Math.max(now, time);
  }

  /** Lets the clock run over a piece, in which calls ended, and gives what goes out meanwhile. */
  function pass(length: number, calls: readonly ReceivedCall[]): Float32Array {
    const begin = handled;
    const out = new Float32Array(length);
    const write = () => {
      if (!sending) return;
      const { first, audio } = sending;
      const from = Math.max(begin, first);
      const to = Math.min(begin + length, first + audio.length);
      for (let n = from; n < to; n++) out[n - begin] = audio[n - first];
    };
    // What ends within the piece is written before another may take its place, what begins there afterwards.
    write();
    runUntil(timeOf(begin + length));
    handled += length;
    calls.forEach(hear);
    write();
    return out;
  }

  const isBusy = () =>
    freeAt > now ||
    stations.some(({ state }) =>
      Object.values(state.radios).some(({ current, queue }) => current !== undefined || queue.length > 0),
    ) ||
    pending.some(({ at }) => at <= now + delaySeconds * 1000);

  if (typeof position === 'object') {
    for (const station of stations) give(station, { type: 'position', ...position });
  }

  const piece = Math.max(1, Math.round(PIECE_SECONDS * sampleRate));

  return {
    push(samples) {
      const out = new Float32Array(samples.length);
      for (let at = 0; at < samples.length; at += piece) {
        const part = samples.subarray(at, at + piece);
        out.set(pass(part.length, receiver.push(part)), at);
      }
      return out;
    },
    flush() {
      const pieces = [pass(0, receiver.flush())];
      const end = handled + LONGEST_WAIT_SECONDS * sampleRate;
      while (isBusy() && handled < end) pieces.push(pass(piece, []));
      return joinSamples(pieces);
    },
  };
}
