/**
 * A slice of spectrum to measured calls: every DSC channel in it, each with a meter of its own.
 */
import { Described, DotphaseError } from '../errors.js';
import {
  AUDIO_CENTRE_HZ,
  createTuner,
  dscChannelsIn,
  isWithinSlice,
  type RadioChannel,
} from '../radio/index.js';
import { createMeter, moved, type MeteredCall } from './meter.js';

/** Which slice. */
export interface SliceMeterOptions {
  /** Complex samples a second, 8 000 to 10 000 000. */
  readonly sampleRate: number;
  /** The frequency in the slice's middle, hertz, as the receiver says it. */
  readonly tunedHz: number;
  /** How much higher than it says the receiver was tuned, parts per million; default 0. */
  readonly oscillatorPpm?: number;
  /** Seconds that the recording began before the first sample; default 0. */
  readonly from?: number;
}

/** Measures the calls of a slice. */
export interface SliceMeter {
  /** Takes samples, as many of each, and gives the calls whose surroundings have come; each tells its frequency. */
  push(i: Float32Array, q: Float32Array): MeteredCall[];
  /** Ends the slice and gives the calls that were still open. */
  flush(): MeteredCall[];
}

/** All of a VHF channel, where the slice holds it. */
function widest(
  channel: RadioChannel,
  slice: { readonly sampleRate: number; readonly tunedHz: number },
): RadioChannel {
  const wide = { ...channel, isWide: true };
  return channel.mode === 'fm' && isWithinSlice(wide, slice) ? wide : channel;
}

/**
 * Opens a meter for all DSC channels of a slice.
 *
 * @throws DotphaseError when an option is out of range, or no DSC frequency lies in the slice
 */
export function createSliceMeter(options: SliceMeterOptions): SliceMeter {
  const { sampleRate, tunedHz: said, oscillatorPpm = 0, from = 0 } = options;
  const slice = { sampleRate, tunedHz: said * (1 + oscillatorPpm * 1e-6) };
  const channels = dscChannelsIn(slice).map((channel) => widest(channel, slice));
  // What is out of range is refused before.
  const tuner = createTuner({ ...slice, channels });
  if (channels.length === 0)
    throw new DotphaseError(
      'tunedHz',
      new Described(`${said / 1000} kHz at ${sampleRate} samples a second`),
      'a slice with a DSC frequency in it',
    );
  const meters = channels.map((radio, channel) =>
    createMeter({
      sampleRate: tuner.sampleRates[channel],
      radio,
      ...(radio.mode === 'fm'
        ? { bands: ['vhf'] as const }
        : { bands: ['mf-hf'] as const, centreHz: AUDIO_CENTRE_HZ }),
    }),
  );
  const later = ({ received, measured }: MeteredCall): MeteredCall => ({
    received: { ...received, start: received.start + from, end: received.end + from },
    measured: measured && moved(measured, from),
  });
  return {
    push(i, q) {
      const calls: MeteredCall[] = [];
      tuner.push(i, q, (channel, audio) => calls.push(...meters[channel].push(audio)));
      return calls.map(later);
    },
    flush() {
      const calls: MeteredCall[] = [];
      tuner.flush((channel, audio) => calls.push(...meters[channel].push(audio)));
      for (const meter of meters) calls.push(...meter.flush());
      return calls.map(later);
    },
  };
}
