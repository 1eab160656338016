/**
 * Recordings of a slice of spectrum to received calls: every DSC channel in it, each with a receiver of its own.
 */
import { Described, DotphaseError, NOTHING } from '../../errors.js';
import { DSC_FREQUENCIES, VHF_DSC_HZ } from '../../frequencies/index.js';
import {
  AUDIO_CENTRE_HZ,
  createTuner,
  isWithinSlice,
  readIqBlocks,
  type IqBlock,
  type IqFormat,
  type RadioChannel,
  type Tuner,
} from '../../radio/index.js';
import {
  createReceiver,
  type ReceivedCall,
  type Receiver,
  type ReceiverEvent,
} from '../../receiver/index.js';
import type { Band } from '../../symbols/index.js';
import { Attempts } from '../attempts.js';
import type { HeardCall } from '../heardcall.js';
import { blocksOf, bytesOf, type BlockSettings } from './blocks.js';
import { isSigmf, samplesOf, sigmfOf } from './sigmf.js';

/** What is known of slices. */
export interface SliceSettings {
  /** The frequency in the slice's middle, hertz, where the recording does not tell it. */
  readonly tunedHz?: number;
  /** How much higher than it says the receiver was tuned, parts per million. */
  readonly oscillatorPpm?: number;
  /** Set where the input is samples without a container. */
  readonly raw?: { readonly format: IqFormat; readonly sampleRate: number };
}

/** How a slice is decoded. */
interface SliceDecoding {
  readonly bands: readonly Band[];
  /** For audio alone. */
  readonly centreHz?: number;
  readonly channel: BlockSettings['channel'];
  /** Whether the receivers' events are wanted. */
  readonly events?: boolean;
  readonly slice: SliceSettings;
}

type SliceMessage =
  | { readonly type: 'call'; readonly call: HeardCall }
  | { readonly type: 'over'; readonly attempt: number }
  | {
      readonly type: 'event';
      readonly event: ReceiverEvent;
      readonly channel: number;
      readonly frequencyHz: number;
    }
  | { readonly type: 'warning'; readonly text: string }
  | { readonly type: 'progress'; readonly bytes: number; readonly seconds: number };

/** Every channel that DSC is sent on. */
const CHANNELS: readonly RadioChannel[] = [
  ...DSC_FREQUENCIES.filter(({ hz }) => hz !== VHF_DSC_HZ).map(({ hz }) => ({ hz, mode: 'ssb' as const })),
  { hz: VHF_DSC_HZ, mode: 'fm' },
];

/** A slice on one frequency. */
interface Piece {
  /** Samples of the recording before it. */
  readonly start: number;
  /** Seconds from the recording's beginning, by its clock where that is told. */
  readonly begin: number;
  readonly tunedHz: number | undefined;
}

interface Recording {
  readonly blocks: AsyncIterable<IqBlock & { readonly sampleRate: number }>;
  readonly pieces: readonly Piece[];
}

async function* rawBlocks(
  file: string,
  format: IqFormat,
  sampleRate: number,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  for await (const block of readIqBlocks(bytesOf(file, onBytes), format)) yield { ...block, sampleRate };
}

async function* audioBlocks(
  file: string,
  tell: (message: SliceMessage) => void,
  onBytes: (bytes: number) => void,
): Recording['blocks'] {
  for await (const { sampleRate, channels } of blocksOf(file, { channel: 'each' }, tell, onBytes)) {
    if (channels.length !== 2) {
      throw new DotphaseError(
        '--iq',
        new Described(`a file with ${channels.length} ${channels.length === 1 ? 'channel' : 'channels'}`),
        'two channels, I and Q; without --iq it is read as audio',
      );
    }
    const [i, q] = channels;
    yield { i, q, sampleRate };
  }
}

async function open(
  file: string,
  { raw, tunedHz }: SliceSettings,
  tell: (message: SliceMessage) => void,
  onBytes: (bytes: number) => void,
): Promise<Recording> {
  if (isSigmf(file)) {
    const { format, sampleRate, captures } = await sigmfOf(file);
    const [{ began: first }] = captures;
    return {
      blocks: rawBlocks(samplesOf(file), format, sampleRate, onBytes),
      pieces: captures.map(({ start, tunedHz: told, began }) => ({
        start,
        begin: first !== undefined && began !== undefined ? (began - first) / 1000 : start / sampleRate,
        tunedHz: tunedHz ?? told,
      })),
    };
  }
  if (tunedHz === undefined)
    throw new DotphaseError('--tuned', NOTHING, "the frequency in the slice's middle, as in --tuned 8430");
  const pieces = [{ start: 0, begin: 0, tunedHz }];
  if (raw) return { blocks: rawBlocks(file, raw.format, raw.sampleRate, onBytes), pieces };
  return { blocks: audioBlocks(file, tell, onBytes), pieces };
}

/** Takes a call, and the number and frequency of its channel. */
type Give = (call: ReceivedCall, channel: number, hz: number) => void;

/** The receivers of one piece. */
class Listening {
  readonly #tuner: Tuner;
  readonly #channels: readonly RadioChannel[];
  readonly #receivers: readonly Receiver[];
  readonly #give: Give;

  constructor(
    sampleRate: number,
    { begin, tunedHz: said }: Piece,
    settings: SliceDecoding,
    tell: (message: SliceMessage) => void,
    give: Give,
  ) {
    if (said === undefined)
      throw new DotphaseError(
        '--tuned',
        NOTHING,
        "the frequency in the slice's middle, for the recording does not tell it",
      );
    const tunedHz = said * (1 + (settings.slice.oscillatorPpm ?? 0) * 1e-6);
    const wanted = ({ mode }: RadioChannel) => settings.bands.includes(mode === 'fm' ? 'vhf' : 'mf-hf');
    this.#channels = CHANNELS.filter((one) => wanted(one) && isWithinSlice(one, { sampleRate, tunedHz }));
    if (this.#channels.length === 0) {
      throw new DotphaseError(
        '--tuned',
        new Described(`${said / 1000} kHz at ${sampleRate} samples a second`),
        'a slice with a DSC frequency in it',
      );
    }
    this.#tuner = createTuner({ sampleRate, tunedHz, channels: this.#channels });
    this.#receivers = this.#channels.map(({ hz, mode }, channel) =>
      createReceiver({
        sampleRate: this.#tuner.sampleRates[channel],
        ...(mode === 'fm' ? { bands: ['vhf'] } : { bands: ['mf-hf'], centreHz: AUDIO_CENTRE_HZ }),
        ...(settings.events && {
          onEvent: (event) => {
            tell({
              type: 'event',
              event: { ...event, time: event.time + begin },
              channel,
              frequencyHz: hz,
            });
          },
        }),
      }),
    );
    this.#give = give;
  }

  push(i: Float32Array, q: Float32Array): void {
    this.#tuner.push(i, q, (channel, audio) => {
      this.#hear(channel, this.#receivers[channel].push(audio));
    });
  }

  end(): void {
    this.#tuner.flush((channel, audio) => {
      this.#hear(channel, this.#receivers[channel].push(audio));
    });
    this.#receivers.forEach((receiver, channel) => {
      this.#hear(channel, receiver.flush());
    });
  }

  #hear(channel: number, calls: readonly ReceivedCall[]): void {
    for (const call of calls) this.#give(call, channel, this.#channels[channel].hz);
  }
}

/**
 * Decodes a recording of a slice and tells its calls as they end, and how many seconds it was.
 *
 * @throws DotphaseError where it can't be read or holds no DSC channel; what was received until then has been told
 */
export async function decodeSlice(
  file: string,
  settings: SliceDecoding,
  tell: (message: SliceMessage) => void,
): Promise<number> {
  const { centreHz, channel, slice } = settings;
  if (centreHz !== undefined)
    throw new DotphaseError(
      '--centre',
      centreHz,
      "nothing with a slice of spectrum: calls lie about their channel's middle",
    );
  if (channel !== 'best')
    throw new DotphaseError(
      '--channel',
      channel,
      'nothing with a slice of spectrum: its channels are I and Q',
    );
  let seconds = 0;
  const { blocks, pieces } = await open(file, slice, tell, (bytes) => {
    tell({ type: 'progress', bytes, seconds });
  });
  const attempts = new Attempts();
  let listening: Listening | undefined;
  let next = 0;
  let samples = 0;
  const begin = (sampleRate: number) => {
    const piece = pieces[next++];
    listening?.end();
    listening = new Listening(sampleRate, piece, settings, tell, (received, channel, frequencyHz) => {
      const [start, end] = [received.start + piece.begin, received.end + piece.begin];
      const call = {
        ...received,
        start,
        end,
        file,
        channel: CHANNELS.findIndex(({ hz }) => hz === frequencyHz),
      };
      tell({ type: 'call', call: { ...attempts.add(call), channel, frequencyHz } });
    });
  };
  try {
    for await (const { i, q, sampleRate } of blocks) {
      for (let at = 0; at < i.length;) {
        if (next < pieces.length && samples === pieces[next].start) begin(sampleRate);
        const until = next < pieces.length ? Math.min(i.length, at + pieces[next].start - samples) : i.length;
        listening?.push(i.subarray(at, until), q.subarray(at, until));
        samples += until - at;
        at = until;
      }
      seconds = samples / sampleRate;
      for (const attempt of attempts.over(seconds)) tell({ type: 'over', attempt });
    }
  } finally {
    listening?.end();
    for (const attempt of attempts.over(Infinity)) tell({ type: 'over', attempt });
  }
  return seconds;
}
