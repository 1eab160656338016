/**
 * A real set on the sound card: calls out of the speaker, what it sends into the input, and the own station's
 * procedures between them.
 */
import { BIT_RATE, bandOf, callToAudio, encodeCall, type ReceivedCall } from 'dotphase';
import { VHF_DSC_HZ } from 'dotphase/frequencies';
import {
  createStation,
  dueAt,
  stepStation,
  type StationAction,
  type StationEvent,
  type StationState,
} from 'dotphase/procedures';
import { createOwnSound } from 'dotphase/receiver';
import type { SimulationEvent } from 'dotphase/simulation';
import { openCapture, type Capture } from '../audio/capture.js';
import { playHeld, type Playing } from '../audio/player.js';
import { PLAYED_RATE } from '../compose/sound.js';
import { ALL_BANDS, openEar, type Ear } from '../listen/ear.js';
import type { Link, LinkEvents, OwnStation } from './link.js';

export interface CableOptions extends LinkEvents {
  readonly own: OwnStation;
  readonly inputId: string | undefined;
  /** Peak amplitude of what is sent, 0 to 1. */
  readonly amplitude: () => number;
  /** The DSC frequency that 100 Bd audio comes from, hertz. */
  readonly listenHz: () => number;
}

/** The own sound may come back so late through speaker, air and microphone, seconds. */
const ECHO_SECONDS = 0.35;

interface OnAir {
  readonly action: Transmit;
  playing?: Playing;
  isCeased: boolean;
}

type Transmit = Extract<StationAction, { type: 'transmit' }>;
type Detail<E> = E extends SimulationEvent ? Omit<E, 'time' | 'station'> : never;

/**
 * Opens the sound card for an exchange.
 *
 * @throws Error or DOMException where the input cannot be opened
 */
export async function openCable(options: CableOptions): Promise<Link> {
  const { own, onEvent, onState, onReading, onLevel, onTrouble } = options;
  let state: StationState = createStation(own, Date.now());
  let timer: ReturnType<typeof setTimeout> | undefined;
  let waiting: Transmit[] = [];
  let onAir: OnAir | undefined;
  /** Until when what comes in is the own sound, milliseconds. */
  let deafUntil = 0;
  const link = { isClosed: false };
  /** When the own station was last on the air, milliseconds. */
  let sounded: { readonly from: number; readonly to: number }[] = [];
  /** Whether something that began at a second of the input is the own sound, late as it may be. */
  const isEcho = (seconds: number) => {
    const at = startedAt + 1000 * seconds;
    return sounded.some(({ from, to }) => at >= from && at < to);
  };
  const ownSound = createOwnSound();

  const report = (detail: Detail<SimulationEvent>) => {
    onEvent({ time: Date.now(), station: own.identity, ...detail });
  };

  /** Reports what changes nothing in the procedures. */
  const reportAlone = (detail: Detail<SimulationEvent>) => {
    report(detail);
    onState(state);
  };

  function give(event: StationEvent): void {
    if (link.isClosed) return;
    const step = stepStation(state, event, Date.now());
    state = step.state;
    for (const action of step.actions) carryOut(action);
    clearTimeout(timer);
    const due = dueAt(state);
    if (due !== undefined) {
      timer = setTimeout(
        () => {
          give({ type: 'tick' });
        },
        Math.max(0, due - Date.now()),
      );
    }
    onState(state);
  }

  function carryOut(action: StationAction): void {
    switch (action.type) {
      case 'transmit':
        waiting.push(action);
        void sendNext();
        return;
      case 'cease':
        cease(action.transmission);
        return;
      case 'timer':
        return;
      default:
        report({ type: 'action', action });
    }
  }

  const mustStop = ({ isCeased }: OnAir) => isCeased || link.isClosed;

  /** One output serves both radios, so that what is to go out at the same time goes one after the other. */
  async function sendNext(): Promise<void> {
    if (onAir || link.isClosed) return;
    const action = waiting.shift();
    if (!action) return;
    const { call, frequencyHz, repeat, exchange, transmission, rule } = action;
    const current: OnAir = { action, isCeased: false };
    onAir = current;
    const samples = callToAudio(call, {
      band: bandOf(frequencyHz),
      sampleRate: PLAYED_RATE,
      repeat,
      level: options.amplitude(),
    }) as Float32Array<ArrayBuffer>;
    const seconds = samples.length / PLAYED_RATE;
    let isWhole = false;
    try {
      const playing = await playHeld(samples, PLAYED_RATE);
      current.playing = playing;
      if (mustStop(current)) playing.stop();
      deafUntil = Infinity;
      const from = Date.now();
      ownSound.add(encodeCall(call).symbols, from, from + 1000 * seconds);
      sounded = [...sounded, { from: from - 200, to: from + 1000 * (seconds + ECHO_SECONDS) }].slice(-10);
      reportAlone({ type: 'sending', exchange, call, frequencyHz, repeat, seconds, rule });
      isWhole = !(await playing.over).wasStopped;
    } catch (error) {
      onTrouble(
        `The sound cannot be played: ${error instanceof Error ? error.message : String(error)}`,
        false,
      );
    }
    deafUntil = Date.now() + 1000 * ECHO_SECONDS;
    onAir = undefined;
    if (!isWhole) report({ type: 'ceased', exchange, call, frequencyHz });
    give({ type: isWhole ? 'sent' : 'unsent', transmission });
    void sendNext();
  }

  function cease(transmission: number): void {
    if (onAir?.action.transmission === transmission) {
      onAir.isCeased = true;
      onAir.playing?.stop();
      return;
    }
    if (!waiting.some((each) => each.transmission === transmission)) return;
    waiting = waiting.filter((each) => each.transmission !== transmission);
    setTimeout(() => {
      give({ type: 'unsent', transmission });
    });
  }

  function hear(received: ReceivedCall): void {
    if (ownSound.isOwn(received, startedAt + 1000 * received.start)) return;
    const frequencyHz = received.baud === BIT_RATE.vhf ? VHF_DSC_HZ : options.listenHz();
    report({ type: 'received', frequencyHz, received });
    const { call, quality } = received;
    give({ type: 'received', call, frequencyHz, endedAt: startedAt + received.end * 1000, quality });
  }

  const ears: Ear[] = [];
  const capture: Capture = await openCapture(
    options.inputId,
    (samples) => {
      let peak = 0;
      for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
      onLevel(peak);
      // A set that sends hears nothing; here what is heard would be the own call.
      if (Date.now() < deafUntil) samples.fill(0);
      for (const ear of ears) ear.push(samples);
    },
    () => {
      onTrouble('The input has gone: it was unplugged or given to another program.', true);
    },
  );
  const startedAt = Date.now();
  const ear = openEar({
    sampleRate: capture.sampleRate,
    bands: ALL_BANDS,
    onCall: hear,
    onReading,
    onEvent(event) {
      // What began while the own call sounded was that call.
      if (event.type === 'lost' && !isEcho(event.time)) {
        const frequencyHz = event.baud === BIT_RATE.vhf ? VHF_DSC_HZ : options.listenHz();
        reportAlone({ type: 'lost', frequencyHz, reason: event.reason });
      }
    },
    onFailure(reason) {
      onTrouble(`The receiver has failed: ${reason}`, true);
    },
  });
  ears.push(ear);
  onState(state);

  return {
    startedAt,
    act: give,
    close() {
      link.isClosed = true;
      clearTimeout(timer);
      waiting = [];
      onAir?.playing?.stop();
      capture.close();
      ear.close();
    },
  };
}
