/**
 * A slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { Described, DotphaseError } from '../errors.js';
import { DSC_FREQUENCIES, VHF_DSC_HZ } from '../frequencies/index.js';
import {
  createAttemptNumbering,
  createReceiver,
  type ReceivedCall,
  type Receiver,
  type ReceiverEvent,
} from '../receiver/index.js';
import type { Band } from '../symbols/index.js';
import { AUDIO_CENTRE_HZ, createTuner, isWithinSlice, type RadioChannel } from './tuner.js';

/** Which slice, and what is looked for in it. */
export interface SliceReceiverOptions {
  /** Complex samples a second, 8 000 to 10 000 000. */
  readonly sampleRate: number;
  /** The frequency in the slice's middle, hertz, as the receiver says it. */
  readonly tunedHz: number;
  /** How much higher than it says the receiver was tuned, parts per million; default 0. */
  readonly oscillatorPpm?: number;
  /** Which modulations to look for; default both. */
  readonly bands?: readonly Band[];
  /** Told of what happens on each channel. */
  readonly onEvent?: (event: ReceiverEvent, frequencyHz: number) => void;
  /** Given each channel's audio, before the calls in it: by its number in {@link SliceReceiver.channels}. */
  readonly onAudio?: (channel: number, audio: Float32Array) => void;
}

/** A call, and the DSC frequency it was heard on. */
export interface SliceCall extends ReceivedCall {
  /** Assigned frequency of the channel, hertz. */
  readonly frequencyHz: number;
}

/** Takes complex samples and gives calls as they end. */
export interface SliceReceiver {
  /** Those that are heard, in the order of their frequencies, and samples a second of their audio. */
  readonly channels: readonly (RadioChannel & { readonly sampleRate: number })[];
  /**
   * Takes samples, any number. The calls' times are seconds from the first sample; their attempts are numbered over all
   * channels.
   *
   * @throws DotphaseError where there are not as many of `q` as of `i`
   */
  push(i: Float32Array, q: Float32Array): SliceCall[];
  /** Ends the slice and gives the calls that were still open. */
  flush(): SliceCall[];
}

/** Every channel that DSC is sent on. */
const DSC_CHANNELS: readonly RadioChannel[] = DSC_FREQUENCIES.map(({ hz }) => ({
  hz,
  mode: hz === VHF_DSC_HZ ? ('fm' as const) : ('ssb' as const),
})).sort((a, b) => a.hz - b.hz);

const bandOfMode = (mode: RadioChannel['mode']): Band => (mode === 'fm' ? 'vhf' : 'mf-hf');

/**
 * The channels that DSC is sent on (M.541, Radio Regulations) and that lie wholly in a slice, in the order of their
 * frequencies.
 *
 * @param bands - which modulations are wanted; default both
 */
export function dscChannelsIn(
  slice: Pick<SliceReceiverOptions, 'sampleRate' | 'tunedHz'>,
  bands: readonly Band[] = ['mf-hf', 'vhf'],
): RadioChannel[] {
  return DSC_CHANNELS.filter((one) => bands.includes(bandOfMode(one.mode)) && isWithinSlice(one, slice));
}

/**
 * Creates a receiver for all DSC channels of a slice.
 *
 * @throws DotphaseError when an option is out of range, or no DSC frequency lies in the slice
 */
export function createSliceReceiver(options: SliceReceiverOptions): SliceReceiver {
  const {
    sampleRate,
    tunedHz: said,
    oscillatorPpm = 0,
    bands = ['mf-hf', 'vhf'],
    onEvent,
    onAudio,
  } = options;
  const tunedHz = said * (1 + oscillatorPpm * 1e-6);
  const channels = dscChannelsIn({ sampleRate, tunedHz }, bands);
  // What is out of range is refused before.
  const tuner = createTuner({ sampleRate, tunedHz, channels });
  if (channels.length === 0) {
    throw new DotphaseError(
      'tunedHz',
      new Described(`${said / 1000} kHz at ${sampleRate} samples a second`),
      'a slice with a DSC frequency in it',
    );
  }
  const receivers = channels.map(({ hz, mode }, channel): Receiver =>
    createReceiver({
      sampleRate: tuner.sampleRates[channel],
      bands: [bandOfMode(mode)],
      ...(mode === 'ssb' && { centreHz: AUDIO_CENTRE_HZ }),
      ...(onEvent && {
        onEvent: (event) => {
          onEvent(event, hz);
        },
      }),
    }),
  );
  const number = createAttemptNumbering();
  const placed = (calls: readonly ReceivedCall[], { hz }: RadioChannel): SliceCall[] =>
    calls.map((call) => ({ ...call, attempt: number(call, hz), frequencyHz: hz }));
  const hear = (channel: number, audio: Float32Array): SliceCall[] => {
    onAudio?.(channel, audio);
    return placed(receivers[channel].push(audio), channels[channel]);
  };
  return {
    channels: channels.map((one, channel) => ({ ...one, sampleRate: tuner.sampleRates[channel] })),
    push(i, q) {
      const calls: SliceCall[] = [];
      tuner.push(i, q, (channel, audio) => calls.push(...hear(channel, audio)));
      return calls;
    },
    flush() {
      const calls: SliceCall[] = [];
      tuner.flush((channel, audio) => calls.push(...hear(channel, audio)));
      receivers.forEach((receiver, channel) => calls.push(...placed(receiver.flush(), channels[channel])));
      return calls;
    },
  };
}
