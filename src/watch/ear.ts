/**
 * What hears an input: its bytes as samples, and the calls in them with their sound.
 */
import { createIqReader, createSliceReceiver } from '../radio/index.js';
import { createReceiver, type ReceivedCall } from '../receiver/index.js';
import { createRawReader } from '../wav/index.js';
import { bandsOf, isSlice, type AudioInput, type InputConfig, type SliceInput } from './config.js';
import { Tape } from './tape.js';

/** A call that was received. */
export interface Received {
  /** Its times are seconds from where the hearing began. */
  readonly call: ReceivedCall & { readonly frequencyHz?: number };
  /** Its sound as a WAV file, where it is still kept. */
  readonly clip: Uint8Array | undefined;
}

/** Some samples of an input: of audio one part, of a slice of spectrum I and Q, equally many. */
export type Samples = readonly Float32Array[];

/** Hears samples that follow each other without a gap. */
export interface Hearing {
  push(samples: Samples): Received[];
  /** Gives the calls that are still open. */
  flush(): Received[];
}

/** Hears one stream. */
export interface Ear {
  /** Parts of its {@link Samples}. */
  readonly parts: number;
  /** The samples that are whole with these bytes. */
  read(bytes: Uint8Array): Samples[];
  /** Begins to hear, at the beginning or behind a gap. */
  begin(): Hearing;
}

function audioEar(input: AudioInput): Ear {
  const { sampleRate, channels = 1, channel = 0, format, centreHz, searchHz } = input;
  const reader = createRawReader({ format, sampleRate, channels, channel });
  return {
    parts: 1,
    read: (bytes) => reader.push(bytes).map((block) => block.channels),
    begin() {
      const receiver = createReceiver({
        sampleRate,
        bands: bandsOf(input),
        ...(centreHz !== undefined && { centreHz }),
        ...(searchHz !== undefined && { searchHz }),
      });
      const tape = new Tape(sampleRate);
      const withSound = (calls: readonly ReceivedCall[]) =>
        calls.map((call) => ({ call, clip: tape.cut(call.start, call.end) }));
      return {
        push([samples]) {
          tape.push(samples);
          return withSound(receiver.push(samples));
        },
        flush: () => withSound(receiver.flush()),
      };
    },
  };
}

function sliceEar({ sampleRate, format, tunedHz, oscillatorPpm, bands, anywhere }: SliceInput): Ear {
  const reader = createIqReader(format);
  return {
    parts: 2,
    read(bytes) {
      const { i, q } = reader.push(bytes);
      return i.length > 0 ? [[i, q]] : [];
    },
    begin() {
      const receiver = createSliceReceiver({
        sampleRate,
        tunedHz,
        ...(oscillatorPpm !== undefined && { oscillatorPpm }),
        ...(bands && { bands }),
        ...(anywhere && { anywhere }),
        onAudio: (channel, audio) => {
          tapes[channel].push(audio);
        },
      });
      const { channels } = receiver;
      const tapes = channels.map((channel) => new Tape(channel.sampleRate));
      const withSound = (calls: ReturnType<typeof receiver.flush>) =>
        calls.map((call) => {
          const offsets = channels.map(({ hz }) => Math.abs(hz - call.measuredHz));
          const nearest = offsets.indexOf(Math.min(...offsets));
          return { call, clip: tapes[nearest].cut(call.start, call.end) };
        });
      return {
        push: ([i, q]) => withSound(receiver.push(i, q)),
        flush: () => withSound(receiver.flush()),
      };
    },
  };
}

/** Opens an input's ear. */
export const earOf = (input: InputConfig): Ear => (isSlice(input) ? sliceEar(input) : audioEar(input));
