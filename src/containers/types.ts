/** What every reader of audio files here takes and gives. */
import type { ChannelChoice } from '../wav/index.js';
import type { AudioKind } from './kinds.js';

/** Something wrong in an audio file that did not stop the reading. */
export interface AudioFileWarning {
  /** One sentence for people. */
  readonly text: string;
}

/** How to read an audio file. */
export interface AudioFileOptions {
  /** Which channels to give; all of them (`each`) by default. */
  readonly channel?: ChannelChoice | undefined;
  /**
   * Give only what lies from so many seconds on, to the frame: `Math.floor(from * sampleRate)` is the first. In a source
   * that can leave bytes out, such as a file on disk, WAV, AIFF and FLAC with a seek table are not read before it. FLAC
   * without one is read there, but not decoded. Default 0.
   */
  readonly from?: number | undefined;
  /** Length of the whole file in bytes, if known. */
  readonly totalBytes?: number | undefined;
  /** Called with each warning as it arises. */
  readonly onWarning?: ((warning: AudioFileWarning) => void) | undefined;
}

/** What is known at the end of an audio file. */
export interface AudioFileEnd {
  readonly kind: AudioKind;
  /** How many frames (one sample of each channel) were given. */
  readonly frames: number;
  /** Every warning, in the order they arose. */
  readonly warnings: readonly AudioFileWarning[];
}

/** What is wanted of a file. */
export interface Wanted {
  readonly channel: ChannelChoice;
  /** Seconds that are left out. */
  readonly from: number;
}

/** What a reader of one kind gives at its end. */
export interface ReadFrames {
  readonly frames: number;
}

/** Takes a warning. */
export type Warn = (text: string) => void;
