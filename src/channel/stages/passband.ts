/** The passband of a single-sideband receiver. */
import * as z from 'zod';
import { BandPass } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import { defineStage } from '../stage.js';

/** A band-pass filter with linear phase. */
export interface PassbandStage {
  kind: 'passband';
  /** Lower −6 dB edge, 0 (none) to 90 000 Hz; 300 Hz unless given. */
  lowHz?: number | undefined;
  /** Upper −6 dB edge, 1 to 96 000 Hz and below half the sample rate; 2700 Hz unless given. */
  highHz?: number | undefined;
  /** Width of each edge from full to the whole attenuation, 20 to 5000 Hz; 200 Hz unless given. */
  transitionHz?: number | undefined;
  /** Attenuation outside, 55 to 100 dB; 60 dB unless given. */
  attenuationDb?: number | undefined;
}

/** A receiver's passband as a stage. */
export const passband = defineStage(
  z.strictObject({
    kind: z.literal('passband'),
    lowHz: number(0, 90_000, 'Hz', 'lower −6 dB edge').default(300),
    highHz: number(1, 96_000, 'Hz', 'upper −6 dB edge').default(2700),
    transitionHz: number(20, 5000, 'Hz', 'width of each edge').default(200),
    attenuationDb: number(55, 100, 'dB', 'attenuation outside').default(60),
  } satisfies Shape<PassbandStage>),
  ({ lowHz, highHz, transitionHz, attenuationDb }, { sampleRate, refuse }) => {
    if (highHz >= sampleRate / 2)
      throw refuse('highHz', highHz, `below half the sample rate, ${sampleRate / 2} Hz`);
    if (lowHz >= highHz) throw refuse('lowHz', lowHz, `below highHz, ${highHz} Hz`);
    return new BandPass(sampleRate, lowHz, highHz, transitionHz, attenuationDb);
  },
);
