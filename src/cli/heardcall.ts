/**
 * A received call as the commands hand it on.
 */
import type { ReceivedCall } from '../receiver/index.js';

/** A call and where it was heard. */
export interface HeardCall extends ReceivedCall {
  readonly file: string;
  /** The channel of the file, from 0, or `'mix'`. */
  readonly channel: number | 'mix';
  /** The DSC frequency, hertz, where the recording holds several. */
  readonly frequencyHz?: number;
  /** And the middle of the call's tones as measured, hertz. */
  readonly measuredHz?: number;
}
