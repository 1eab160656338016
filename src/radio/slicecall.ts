/**
 * A call of a slice.
 */
import type { ReceivedCall } from '../receiver/index.js';

/** A call, and where it was heard. */
export interface SliceCall extends ReceivedCall {
  /**
   * The DSC frequency, hertz: the channel's assigned frequency. Of a call that lies on none, with `anywhere`, the middle
   * of its tones as measured, to 10 Hz, one for all sendings of an attempt.
   */
  readonly frequencyHz: number;
  /**
   * The middle of its tones as measured, hertz: right to 1 or 2 Hz, but for the receiver's oscillator; ships' sets may be
   * 10 Hz off (M.493 Annex 1 §1.3). Of channel 70 the assigned frequency.
   */
  readonly measuredHz: number;
}
