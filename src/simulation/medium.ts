/**
 * A virtual medium: every transmission is audio, every path has its own delay, level and fading, every listener its
 * own noise and its own receiver. What is sent at the same time on a frequency adds up.
 */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import {
  createReceiver as createDotphaseReceiver,
  type ReceivedCall,
  type Receiver,
  type ReceiverOptions,
} from '../receiver/index.js';
import { bandOf, formatFrequency } from '../frequencies/index.js';
import { radioOf } from '../procedures/index.js';
import { Listening } from './listening.js';
import { arriving, type PathConditions } from './path.js';
import { seedFor } from '../dsp/index.js';
import { TRANSMIT_AMPLITUDE } from './sound.js';

/** What a virtual medium is made of. */
export interface MediumOptions {
  /** Samples per second, 8000–48000; default 8000. */
  readonly sampleRate?: number;
  /** Chooses noise and fading, 0 to 2⁵³ − 1; default 0. */
  readonly seed?: number;
  /**
   * How a signal gets from one station to another on a frequency, or undefined where it does not. Asked once for
   * each listener of a transmission. Default: everyone hears everyone without loss.
   */
  readonly path?: (from: string, to: string, frequencyHz: number) => PathConditions | undefined;
  /** Makes the receivers; default: those of the `receiver` room. */
  readonly createReceiver?: (options: ReceiverOptions) => Receiver;
}

/** One station on one frequency. */
export interface ListenerOptions {
  /** The station's name on this medium, for example its identity. */
  readonly station: string;
  /** DSC frequency, assigned, hertz. */
  readonly frequencyHz: number;
  /**
   * Noise in 3 kHz, dB relative to a transmission that arrives without loss: −100 to 40; default −25. On a path with
   * `levelDb` the signal-to-noise ratio is their difference.
   */
  readonly noiseDb?: number;
  /** Whether calls are decoded; default true. */
  readonly decode?: boolean;
  /**
   * Takes what is heard together with what the station itself sends there, and as `heard` what its receiver hears
   * alone, from the beginning of the medium without a gap.
   */
  readonly onAudio?: (samples: Float32Array, heard: Float32Array) => void;
}

/** What a station heard. */
export type MediumReport =
  | {
      readonly type: 'received';
      readonly station: string;
      readonly frequencyHz: number;
      /** `start` and `end` are seconds since the medium began. */
      readonly received: ReceivedCall;
    }
  | {
      /** Something that looked like a call could not be read. */
      readonly type: 'lost';
      readonly station: string;
      readonly frequencyHz: number;
      readonly reason: string;
    };

/** A transmission on its way. */
export interface MediumTransmission {
  readonly id: number;
  /** Milliseconds since the medium began. */
  readonly start: number;
  /** When it is over. */
  readonly end: number;
}

/** A virtual medium. Times are milliseconds since it began. */
export interface Medium {
  readonly sampleRate: number;
  /** How far it has come. */
  readonly now: number;
  /**
   * A station begins to listen on a frequency.
   *
   * @throws DotphaseError when an option is wrong or the station listens there already
   */
  listen(options: ListenerOptions): void;
  /**
   * A station sends. While it does, it hears nothing on that radio (VHF, or MF and HF).
   *
   * @param station - its name
   * @param frequencyHz - DSC frequency, hertz
   * @param samples - at the medium's sample rate, for example from `callToAudio`
   * @param at - when it begins, not before `now`; default now
   * @throws DotphaseError when the station is sending on that radio already
   */
  transmit(station: string, frequencyHz: number, samples: Float32Array, at?: number): MediumTransmission;
  /** Breaks a transmission off; nothing happens where it is over. `at` is not before `now`; default now. */
  cease(id: number, at?: number): void;
  /** Whether a station hears others on a frequency at a moment, now or later. */
  isBusy(station: string, frequencyHz: number, at?: number): boolean;
  /** When there is something to do: the next call to `advance` should go no further. Undefined when all is quiet. */
  next(): number | undefined;
  /** Lets time pass up to a moment, and gives what was heard until then. */
  advance(to: number): MediumReport[];
}

/** Milliseconds of audio between two looks at what was received. */
const STEP_MS = 250;

const DEFAULT_NOISE_DB = -25;
/** The centre of the tones may be so far off: both stations' tolerances (M.493 §1.3, from memory) and some more. */
const SEARCH_HZ = 60;

/** A transmission that is not over yet. */
interface OnAir extends MediumTransmission {
  end: number;
  readonly station: string;
  readonly frequencyHz: number;
  /** Who hears it, and how strong. */
  readonly heardBy: ReadonlyMap<string, PathConditions>;
}

interface Listener {
  readonly station: string;
  readonly frequencyHz: number;
  readonly noiseDb: number;
  readonly listening: Listening;
}

/** Makes a virtual medium. */
export function createMedium(options: MediumOptions = {}): Medium {
  const sampleRate = requireInteger('sampleRate', options.sampleRate ?? 8000, 8000, 48_000);
  const seed = requireInteger('seed', options.seed ?? 0, 0, Number.MAX_SAFE_INTEGER);
  const pathOf = options.path ?? (() => ({}));
  const createReceiver = options.createReceiver ?? createDotphaseReceiver;
  const sentDb = 20 * Math.log10(TRANSMIT_AMPLITUDE / Math.SQRT2);
  const listeners: Listener[] = [];
  let onAir: OnAir[] = [];
  let now = 0;
  let nextId = 1;

  const sampleAt = (ms: number) => Math.round((ms * sampleRate) / 1000);

  function requireTime(field: string, at: number | undefined): number {
    return requireNumber(field, at ?? now, now, 1e12, 'ms, not in the past');
  }

  return {
    sampleRate,
    get now() {
      return now;
    },

    listen({ station, frequencyHz, noiseDb = DEFAULT_NOISE_DB, decode = true, onAudio }) {
      formatFrequency(frequencyHz);
      requireNumber('noiseDb', noiseDb, -100, 40, 'dB');
      if (listeners.some((other) => other.station === station && other.frequencyHz === frequencyHz)) {
        throw new DotphaseError('station', station, 'a station that does not listen there already');
      }
      const listening = new Listening({
        sampleRate,
        noiseDb: sentDb + noiseDb,
        seed: seedFor(seed, `noise ${station} ${frequencyHz}`),
        createReceiver: decode
          ? (onEvent) =>
              createReceiver({
                sampleRate,
                bands: [bandOf(frequencyHz)],
                centreHz: 1700,
                searchHz: SEARCH_HZ,
                onEvent,
              })
          : undefined,
        onAudio,
      });
      listening.advance(sampleAt(now));
      listeners.push({ station, frequencyHz, noiseDb, listening });
    },

    transmit(station, frequencyHz, samples, at) {
      const start = requireTime('at', at);
      formatFrequency(frequencyHz);
      const radio = radioOf(frequencyHz);
      const already = onAir.some(
        (other) => other.station === station && radioOf(other.frequencyHz) === radio && other.end > start,
      );
      if (already) throw new DotphaseError('station', station, `a station that is not sending on ${radio}`);
      const id = nextId++;
      const first = sampleAt(start);
      const end = start + (samples.length * 1000) / sampleRate;
      const heardBy = new Map<string, PathConditions>();
      for (const listener of listeners) {
        if (listener.station === station) {
          if (radioOf(listener.frequencyHz) !== radio) continue;
          const own = listener.frequencyHz === frequencyHz ? samples : undefined;
          listener.listening.deafen(id, first, sampleAt(end), own);
          continue;
        }
        if (listener.frequencyHz !== frequencyHz) continue;
        const path = pathOf(station, listener.station, frequencyHz);
        if (!path) continue;
        heardBy.set(listener.station, path);
        const pathSeed = seedFor(seed, `path ${station} ${listener.station} ${id}`);
        const heard = arriving(samples, path, sampleRate, pathSeed);
        listener.listening.hear({ transmission: id, start: first, samples: heard });
      }
      onAir.push({ id, start, end, station, frequencyHz, heardBy });
      return { id, start, end };
    },

    cease(id, at) {
      const end = requireTime('at', at);
      const transmission = onAir.find((each) => each.id === id && each.end > end);
      if (!transmission) return;
      transmission.end = end;
      for (const { station, listening } of listeners) {
        const delayMs = transmission.heardBy.get(station)?.delayMs ?? 0;
        listening.cut(id, sampleAt(end + delayMs));
      }
    },

    isBusy(station, frequencyHz, at = now) {
      const listener = listeners.find((each) => each.station === station && each.frequencyHz === frequencyHz);
      if (!listener) return false;
      return onAir.some((each) => {
        const path = each.heardBy.get(station);
        const isOn = each.frequencyHz === frequencyHz && each.start <= at && each.end > at;
        return path !== undefined && isOn && (path.levelDb ?? 0) > listener.noiseDb;
      });
    },

    next() {
      const isAwake = listeners.some(({ listening }) => listening.isAwake);
      return isAwake ? (Math.floor(now / STEP_MS) + 1) * STEP_MS : undefined;
    },

    advance(to) {
      now = requireTime('to', to);
      onAir = onAir.filter(({ end }) => end > now);
      return listeners.flatMap(({ station, frequencyHz, listening }): MediumReport[] => {
        const { calls, lost } = listening.advance(sampleAt(now));
        return [
          ...calls.map((received) => ({ type: 'received' as const, station, frequencyHz, received })),
          ...lost.map((reason) => ({ type: 'lost' as const, station, frequencyHz, reason })),
        ];
      });
    },
  };
}
