/**
 * A slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { Described, DotphaseError, requireNumber } from '../errors.js';
import { DSC_FREQUENCIES, VHF_DSC_HZ } from '../frequencies/index.js';
import {
  createAttemptNumbering,
  createReceiver,
  type ReceivedCall,
  type Receiver,
  type ReceiverEvent,
} from '../receiver/index.js';
import type { Band } from '../symbols/index.js';
import { AUDIO_CENTRE_HZ, USABLE_SHARE, createTuner, isWithinSlice, type RadioChannel } from './tuner.js';
import type { SliceCall } from './slicecall.js';
import { createTwins } from './twins.js';

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
  /** How far from a channel's middle calls are looked for, hertz, 1 to 250; default 50. */
  readonly searchHz?: number;
  /**
   * Whether to look between the DSC frequencies too: at 100 Bd everywhere below 30 MHz. It takes as many receivers as the
   * slice is 1600 Hz wide.
   */
  readonly anywhere?: boolean;
  /** Told of what happens on each channel. */
  readonly onEvent?: (event: ReceiverEvent, frequencyHz: number) => void;
  /** Given each channel's audio, before the calls in it: by its number in {@link SliceReceiver.channels}. */
  readonly onAudio?: (channel: number, audio: Float32Array) => void;
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

/** Above this no single sideband is sent. */
const HIGHEST_SSB_HZ = 30_000_000;

/** Channels that lie side by side over a whole slice, and how far from their middles each looks. */
const CELL_HZ = 1600;
const CELL = { passHz: 1000, searchHz: CELL_HZ / 2 + 10 } as const;

/** A call within this of a DSC frequency is on it. */
const ON_CHANNEL_HZ = 50;

/** Frequencies that belong to no channel are told to this. */
const ROUNDED_HZ = 10;

function cellsOf({ sampleRate, tunedHz }: { sampleRate: number; tunedHz: number }): RadioChannel[] {
  const most = (USABLE_SHARE * sampleRate) / 2 - CELL.passHz;
  if (most <= 0) return [];
  const steps = Math.ceil((2 * most) / CELL_HZ);
  return Array.from({ length: steps + 1 }, (_, n) => ({
    hz: tunedHz - most + (2 * most * n) / steps,
    mode: 'ssb' as const,
    isWide: true,
  })).filter(({ hz }) => hz > CELL.passHz && hz < HIGHEST_SSB_HZ);
}

/**
 * The channels that are heard in a slice: the DSC channels in it, or with `anywhere` below 30 MHz others that lie side by
 * side over all of it.
 *
 * @returns in the order of their frequencies; none where nothing in the slice is to be heard
 */
export function heardChannelsIn(
  slice: Pick<SliceReceiverOptions, 'sampleRate' | 'tunedHz' | 'bands' | 'anywhere'>,
): RadioChannel[] {
  const { bands, anywhere = false } = slice;
  const wanted = dscChannelsIn(slice, bands);
  if (!anywhere) return wanted;
  const isSsbWanted = !bands || bands.includes('mf-hf');
  return [...(isSsbWanted ? cellsOf(slice) : []), ...wanted.filter(({ mode }) => mode === 'fm')];
}

/** Attempts whose frequency is remembered at most. */
const REMEMBERED = 64;

/** Gives the calls of one attempt the frequency of its first: as measured, they differ by some hertz. */
function createAttemptFrequencies(): (call: SliceCall) => SliceCall {
  const frequencies = new Map<number, number>();
  return (call) => {
    const frequencyHz = frequencies.get(call.attempt.id) ?? call.frequencyHz;
    frequencies.set(call.attempt.id, frequencyHz);
    for (const id of frequencies.keys()) {
      if (frequencies.size <= REMEMBERED) break;
      frequencies.delete(id);
    }
    return { ...call, frequencyHz };
  };
}

/** The frequency a call belongs to. */
function frequencyOf(measuredHz: number, channel: RadioChannel, isAnywhere: boolean): number {
  if (!isAnywhere || channel.mode === 'fm') return channel.hz;
  const near = DSC_CHANNELS.find(({ hz }) => Math.abs(hz - measuredHz) <= ON_CHANNEL_HZ);
  return near?.hz ?? ROUNDED_HZ * Math.round(measuredHz / ROUNDED_HZ);
}

/**
 * Creates a receiver for all DSC channels of a slice.
 *
 * @throws DotphaseError when an option is out of range, or nothing in the slice is to be heard
 */
export function createSliceReceiver(options: SliceReceiverOptions): SliceReceiver {
  const { sampleRate, tunedHz: said, oscillatorPpm = 0, bands, anywhere = false, onEvent, onAudio } = options;
  const searchHz = requireNumber('searchHz', options.searchHz ?? ON_CHANNEL_HZ, 1, 250, 'Hz');
  const tunedHz = said * (1 + oscillatorPpm * 1e-6);
  const slice = { sampleRate, tunedHz };
  const channels = heardChannelsIn({ ...slice, ...(bands && { bands }), anywhere });
  // What is out of range is refused before.
  const tuner = createTuner({ ...slice, channels });
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
      ...(mode === 'ssb' && {
        centreHz: AUDIO_CENTRE_HZ,
        searchHz: anywhere ? CELL.searchHz : searchHz,
      }),
      ...(onEvent && {
        onEvent: (event) => {
          onEvent(event, hz);
        },
      }),
    }),
  );
  const number = createAttemptNumbering();
  const onFrequency = createAttemptFrequencies();
  const twins = createTwins(tunedHz, anywhere);
  let samples = 0;
  const placed = (calls: readonly ReceivedCall[], channel: RadioChannel): SliceCall[] =>
    calls.map((call) => {
      const isSsb = channel.mode === 'ssb';
      const measuredHz = Math.round(isSsb ? channel.hz + call.centreHz - AUDIO_CENTRE_HZ : channel.hz);
      return { ...call, measuredHz, frequencyHz: frequencyOf(measuredHz, channel, anywhere) };
    });
  const hear = (channel: number, audio: Float32Array): SliceCall[] => {
    onAudio?.(channel, audio);
    return placed(receivers[channel].push(audio), channels[channel]);
  };
  /** The calls that are told now, in the attempts of their frequency. */
  const give = (calls: readonly SliceCall[], seconds: number): SliceCall[] =>
    twins
      .sort(calls, seconds)
      .map((call) => onFrequency({ ...call, attempt: number({ ...call, centreHz: call.measuredHz }) }));
  return {
    channels: channels.map((one, channel) => ({ ...one, sampleRate: tuner.sampleRates[channel] })),
    push(i, q) {
      const calls: SliceCall[] = [];
      tuner.push(i, q, (channel, audio) => calls.push(...hear(channel, audio)));
      samples += i.length;
      return give(calls, samples / sampleRate);
    },
    flush() {
      const calls: SliceCall[] = [];
      tuner.flush((channel, audio) => calls.push(...hear(channel, audio)));
      receivers.forEach((receiver, channel) => calls.push(...placed(receiver.flush(), channels[channel])));
      return give(calls, Infinity);
    },
  };
}
