/**
 * The chunks of a WAV file, RIFF (Multimedia Programming Interface and Data Specifications 1.0, 1991), RF64
 * (EBU Tech 3306) and BW64 (ITU-R BS.2088), as the bytes come (all from memory).
 *
 * A chunk is four characters, a 32-bit size and that many bytes, then a pad byte if they are odd in number. Nothing
 * is held but the header being read, at most 40 bytes.
 */
import type { WavWarning, WavWarningKind } from './audio.js';
import { refusal, textOf, viewOf } from './bytes.js';
import type { LongSizes } from './extent.js';
import { DS64_BYTES, dataExtent, parseLongSizes, riffEnd } from './extent.js';
import type { WavFormat } from './format.js';
import { FORMAT_BYTES, FORMAT_LEAST_BYTES, parseFormat } from './format.js';

/** What the samples are and where they stand. */
export interface DataChunk {
  readonly format: WavFormat;
  /** Offset of the first sample. */
  readonly start: number;
  /** Bytes of samples the header promises; `Infinity` if it does not say. */
  readonly bytes: number;
}

/** Who listens to the parser. */
export interface ContainerEvents {
  /** The header of the data chunk was read. Comes once, before any samples. */
  data(chunk: DataChunk): void;
  /** Bytes of samples, in order. */
  samples(bytes: Uint8Array): void;
  warning(warning: WavWarning): void;
}

/** What the parser may be told about the file. */
export interface ContainerOptions {
  /** Length of the whole file, in bytes. */
  readonly totalBytes?: number | undefined;
  /** Take everything from the first sample to the end of the file for samples. */
  readonly toEnd?: boolean | undefined;
}

/** Chunks common enough to recognise where a pad byte should have stood. */
const FAMILIAR = new Set(['fmt ', 'data', 'fact', 'LIST', 'bext', 'JUNK']);

/** Reads a container pushed in pieces of any length. */
export class ContainerParser {
  readonly #events: ContainerEvents;
  readonly #options: ContainerOptions;

  /** Offset of the next byte. */
  #at = 0;
  /** What the next bytes are. */
  #state: 'header' | 'skip' | 'samples' | 'unread' = 'header';

  /** The header being read: so many bytes are here, so many are wanted, and then this happens. */
  readonly #held = new Uint8Array(FORMAT_BYTES);
  #heldBytes = 0;
  #wanted = 12;
  #then = (): void => {
    this.#readRiff();
  };
  /** Names the header being read, for the error if the file ends within it. */
  #expecting = 'a RIFF, RF64 or BW64 header of 12 bytes';

  /** Bytes left of the body being skipped or of the samples. */
  #left = 0;
  /** Whether a pad byte follows that body or those samples. */
  #odd = false;

  #riffSize = 0;
  #has64 = false;
  #long: LongSizes | undefined;
  #format: WavFormat | undefined;
  #data: DataChunk | undefined;
  /** What the header says about the samples that cannot be true. */
  #lie: string | undefined;
  /** Offset behind the last chunk that made sense. */
  #understood = 0;

  constructor(events: ContainerEvents, options: ContainerOptions) {
    this.#events = events;
    this.#options = options;
  }

  push(chunk: Uint8Array): void {
    for (let i = 0; i < chunk.length;) {
      const bytes = chunk.subarray(i, i + this.#appetite());
      i += bytes.length;
      this.#at += bytes.length;
      this.#take(bytes);
    }
  }

  /** How many of the next bytes are samples; 0 outside them. */
  get samplesLeft(): number {
    return this.#state === 'samples' ? this.#left : 0;
  }

  /** Takes so many of the samples for read, `samplesLeft` or fewer. */
  skip(bytes: number): void {
    if (bytes === 0) return;
    this.#at += bytes;
    this.#left -= bytes;
    if (this.#left === 0) this.#nextChunk();
  }

  /** The stream is over. */
  end(): DataChunk {
    const data = this.#data;
    if (data === undefined) {
      const held = this.#state === 'header' ? this.#heldBytes : 0;
      const value = held > 0 ? `${held} bytes, then the end of the file` : 'the end of the file';
      throw refusal(this.#at - held, value, this.#expecting);
    }
    this.#judgeSizes(data);
    return data;
  }

  /** Says which sizes turned out to be wrong. */
  #judgeSizes({ start, bytes }: DataChunk): void {
    if (this.#lie !== undefined && this.#at > start) this.#warn('data-size', start - 4, this.#lie);
    if (bytes === Infinity) return;
    const samplesEnd = start + bytes;
    if (this.#at < samplesEnd) {
      const text = `The data chunk promises ${bytes} bytes of samples; ${this.#at - start} are there and were read.`;
      this.#warn('data-cut-short', this.#at, text);
      return;
    }
    const end = this.#riffEnd();
    if (end !== undefined && (end < samplesEnd || end > this.#at + 1)) {
      const text = `The RIFF header says the file ends at byte ${end}; its samples end at ${samplesEnd}, the file at ${this.#at}.`;
      this.#warn('riff-size', 4, text);
    }
    const unread = this.#at - this.#understood;
    if (unread > this.#understood % 2) {
      const text = `${unread} bytes from byte ${this.#understood} on belong to no chunk and were not read.`;
      this.#warn('unread-bytes', this.#understood, text);
    }
  }

  /** How many bytes can be taken in one piece. */
  #appetite(): number {
    if (this.#state === 'header') return this.#wanted - this.#heldBytes;
    return this.#state === 'unread' ? Infinity : this.#left;
  }

  #take(bytes: Uint8Array): void {
    if (this.#state === 'unread') return;
    if (this.#state === 'header') {
      this.#held.set(bytes, this.#heldBytes);
      this.#heldBytes += bytes.length;
      if (this.#heldBytes === this.#wanted) this.#then();
      return;
    }
    if (this.#state === 'samples') this.#events.samples(bytes);
    this.#left -= bytes.length;
    if (this.#left === 0) this.#nextChunk();
  }

  /** Where the RIFF chunk ends, if its header knows and can be believed. */
  #riffEnd(): number | undefined {
    return this.#lie === undefined ? riffEnd(this.#riffSize, this.#long) : undefined;
  }

  #warn(kind: WavWarningKind, byte: number, text: string): void {
    this.#events.warning({ kind, byte, text });
  }

  /** Waits for `wanted` bytes, `held` of which are here already. */
  #hold(wanted: number, expecting: string, then: () => void, held = 0): void {
    this.#state = 'header';
    this.#heldBytes = held;
    this.#wanted = wanted;
    this.#expecting = expecting;
    this.#then = then;
  }

  #readRiff(): void {
    const id = textOf(this.#held.subarray(0, 4));
    if (id !== 'RIFF' && id !== 'RF64' && id !== 'BW64') throw refusal(0, id, "'RIFF', 'RF64' or 'BW64'");
    const type = textOf(this.#held.subarray(8, 12));
    if (type !== 'WAVE') throw refusal(8, type, "'WAVE'");
    this.#has64 = id !== 'RIFF';
    this.#riffSize = viewOf(this.#held).getUint32(4, true);
    this.#nextChunk();
  }

  #nextChunk(): void {
    const end = this.#riffEnd();
    if (this.#data !== undefined && end !== undefined && this.#at + (this.#odd ? 1 : 0) >= end) {
      this.#state = 'unread';
      return;
    }
    const expecting = this.#format === undefined ? 'a fmt chunk' : 'a data chunk';
    const readChunk = (): void => {
      this.#readChunk();
    };
    if (!this.#odd) {
      this.#hold(8, expecting, readChunk);
      return;
    }
    this.#hold(5, expecting, () => {
      const padded = !FAMILIAR.has(textOf(this.#held.subarray(0, 4)));
      if (padded) this.#held.copyWithin(0, 1, 5);
      else this.#warn('pad-byte', this.#at - 5, `The pad byte due at byte ${this.#at - 5} is missing.`);
      this.#hold(8, expecting, readChunk, padded ? 4 : 5);
    });
  }

  #readChunk(): void {
    const start = this.#at - 8;
    const id = textOf(this.#held.subarray(0, 4));
    const size = viewOf(this.#held).getUint32(4, true);
    if (!/^[ -~]{4}$/.test(id)) {
      if (this.#data === undefined) throw refusal(start, id, 'the four printable characters of a chunk name');
      this.#state = 'unread';
    } else if (id === 'fmt ' && this.#format === undefined) this.#beginFormat(start, size);
    else if (id === 'ds64' && this.#has64 && this.#long === undefined) this.#beginLongSizes(start, size);
    else if (id === 'data' && this.#data === undefined) this.#beginData(start, size);
    else {
      if (id === 'fmt ' || id === 'data') {
        this.#warn('repeated-chunk', start, `A second ${id.trim()} chunk, at byte ${start}, was not used.`);
      }
      this.#beginBody('skip', size);
    }
  }

  #beginFormat(start: number, size: number): void {
    if (size < FORMAT_LEAST_BYTES) {
      throw refusal(start + 4, size, `a fmt chunk of ${FORMAT_LEAST_BYTES} bytes or more`);
    }
    const wanted = Math.min(size, FORMAT_BYTES);
    this.#hold(wanted, `${wanted} bytes of a fmt chunk`, () => {
      const { format, doubt } = parseFormat(this.#held.subarray(0, wanted), start + 8);
      this.#format = format;
      if (doubt !== undefined) this.#warn('container-width', start + 20, doubt);
      this.#beginBody('skip', size, wanted);
    });
  }

  #beginLongSizes(start: number, size: number): void {
    if (size < DS64_BYTES) throw refusal(start + 4, size, `a ds64 chunk of ${DS64_BYTES} bytes or more`);
    this.#hold(DS64_BYTES, `${DS64_BYTES} bytes of a ds64 chunk`, () => {
      this.#long = parseLongSizes(this.#held);
      this.#beginBody('skip', size, DS64_BYTES);
    });
  }

  #beginData(start: number, size: number): void {
    if (this.#format === undefined) throw refusal(start, 'data', 'a fmt chunk before the data chunk');
    const extent = this.#options.toEnd
      ? { bytes: Infinity }
      : dataExtent({
          data: size,
          riff: this.#riffSize,
          long: this.#long,
          dataStart: this.#at,
          totalBytes: this.#options.totalBytes,
        });
    this.#data = { format: this.#format, start: this.#at, bytes: extent.bytes };
    this.#lie = extent.lie;
    this.#events.data(this.#data);
    this.#beginBody('samples', extent.bytes);
  }

  /** Goes through the body of a chunk, `done` bytes of which were read. */
  #beginBody(state: 'skip' | 'samples', size: number, done = 0): void {
    this.#state = state;
    this.#left = size - done;
    this.#odd = size % 2 === 1;
    this.#understood = this.#at + this.#left;
    if (this.#left === 0) this.#nextChunk();
  }
}
