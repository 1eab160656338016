/**
 * What a receiver is told and what it hands over.
 */
import type { DecodedCall } from '../calls/index.js';
import type { CharacterReading } from '../frames/index.js';
import type { Band } from '../symbols/index.js';

/** How much a received call can be trusted. */
export type Quality = 'clean' | 'recovered' | 'doubtful';

/** Which attempt a call belongs to. */
export interface Attempt {
  /** From 1 upwards, in the order in which the attempts of a stream were first received. */
  readonly id: number;
  /** Which of its sendings that were received this one is, from 1. */
  readonly sending: number;
}

/** One received call. */
export interface ReceivedCall {
  /** Seconds from the first sample ever pushed to the first phasing character. */
  start: number;
  /** Seconds to the end of the last character. */
  end: number;
  /** Bits per second: 100 or 1200. */
  baud: number;
  /** Hertz midway between the tones as received. */
  centreHz: number;
  /** Whether the tones are swapped (lower sideband). */
  inverted: boolean;
  /** One format specifier through EOS and ECC, in order, each once. */
  symbols: number[];
  /**
   * For each of `symbols`, in the same order, the probability that it is what was sent, 0–1: 0 for a character of
   * which nothing was received.
   */
  certainty: number[];
  /** The expansion sequences that follow, each from its specifier through its error check. */
  expansions: number[][];
  /**
   * Whether more expansions followed than stand in `expansions`: beyond the longest run that the standard allows, or one
   * that began but could not be read whole with an error check that agrees.
   */
  moreFollowed: boolean;
  /**
   * `clean`: every character read directly and the error check agrees; `recovered`: decided with the help of
   * soft information, the probability of error below 1e-4; `doubtful`: anything less.
   */
  quality: Quality;
  /** Estimated probability that `symbols` differs from what was sent, 0–1: 1 where a character was not received. */
  errorProbability: number;
  /** The typed call; what was not received of it has no value there. `describeReceived` says it in a sentence. */
  call: DecodedCall;
  /** Signal-to-noise ratio in 3 kHz, estimated, dB. */
  snrDb: number;
  /** Which attempt the call belongs to: an alert is sent five times in a row; see {@link Attempt}. */
  attempt: Attempt;
  /** How many sendings of the same call were added up to read it. */
  sendings: number;
  /** What each information character read as: both format specifiers, body, EOS, ECC, EOS, EOS. */
  characters: CharacterReading[];
}

/** What a receiver tells while it listens, for people who want to see near misses. */
export type ReceiverEvent =
  /** Something began that is like the phasing of a call. */
  | { type: 'signal'; time: number; centreHz: number; baud: number; inverted: boolean }
  /** Its phasing was reached: a call is being received. */
  | { type: 'phasing'; time: number; centreHz: number; baud: number; inverted: boolean }
  /**
   * No call came of it, and why. Not told of what a decoded call explains: its own repetition in itself, and its side
   * lobes at other centres. A weaker call of its own, hidden under a strong one at another centre, is told.
   */
  | { type: 'lost'; time: number; centreHz: number; baud: number; inverted: boolean; reason: string }
  /**
   * A call that was given as `doubtful` before, its `start` being `time`, is replaced by one given now, read from
   * several sendings: the latest of them begins at `by`.
   */
  | { type: 'replaced'; time: number; centreHz: number; baud: number; inverted: boolean; by: number };

/** What a receiver is told. */
export interface ReceiverOptions {
  /** Samples per second, 8000–192000. */
  sampleRate: number;
  /** Which modulations to look for; default both. */
  bands?: readonly Band[];
  /** Where the centre of the tones is expected, in hertz; default: anywhere from 400 to 2600 Hz. */
  centreHz?: number;
  /** With `centreHz`: how far off it may be, in hertz; default 50. */
  searchHz?: number;
  /** Called as things happen. */
  onEvent?: (event: ReceiverEvent) => void;
}

/** A receiver that eats a stream of samples and yields calls as they end. */
export interface Receiver {
  /**
   * Takes the next samples, any number of them, and gives the calls that ended in them. Full scale is ±1, but any
   * scale up to ±2³² is read; what is beyond, infinite or not a number counts as silence. However the audio is cut
   * into pushes, the calls are the same.
   *
   * @throws DotphaseError where `samples` is no Float32Array, or the receiver was flushed
   */
  push(samples: Float32Array): ReceivedCall[];
  /** Ends the stream and gives the calls that were still open; a second time none. */
  flush(): ReceivedCall[];
}
