/**
 * The audio of each frequency as a WAV file in a folder.
 */
import { closeSync, mkdirSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { DotphaseError, reasonOf } from '../../errors.js';
import { createWavWriter, type WavWriter } from '../../wav/index.js';

interface OpenFile {
  readonly descriptor: number;
  readonly writer: WavWriter;
}

/** WAV files, written as the audio comes. Each is named by its frequency alone: `2187.5kHz.wav`. */
export class WavFiles {
  private readonly files = new Map<number, OpenFile>();

  /**
   * @param folder - made where it is missing
   * @throws DotphaseError when it cannot be made
   */
  constructor(
    private readonly folder: string,
    private readonly sampleRate: number,
  ) {
    this.orRefuse(folder, () => mkdirSync(folder, { recursive: true }));
  }

  /** The next samples of a frequency, hertz. */
  push(frequencyHz: number, samples: Float32Array): void {
    const { descriptor, writer } = this.files.get(frequencyHz) ?? this.open(frequencyHz);
    this.orRefuse(this.nameOf(frequencyHz), () => writeSync(descriptor, writer.push([samples])));
  }

  /** Puts the headers right; gives the names of the files. */
  close(): string[] {
    return [...this.files].map(([frequencyHz, { descriptor, writer }]) => {
      const { tail, header } = writer.end();
      const name = this.nameOf(frequencyHz);
      this.orRefuse(name, () => {
        writeSync(descriptor, tail);
        writeSync(descriptor, header, 0, header.length, 0);
        closeSync(descriptor);
      });
      return name;
    });
  }

  private nameOf(frequencyHz: number): string {
    return join(this.folder, `${frequencyHz / 1000}kHz.wav`);
  }

  private open(frequencyHz: number): OpenFile {
    const name = this.nameOf(frequencyHz);
    const descriptor = this.orRefuse(name, () => openSync(name, 'w'));
    const writer = createWavWriter({ sampleRate: this.sampleRate });
    writeSync(descriptor, writer.header);
    const file = { descriptor, writer };
    this.files.set(frequencyHz, file);
    return file;
  }

  private orRefuse<Result>(path: string, act: () => Result): Result {
    try {
      return act();
    } catch (error) {
      throw new DotphaseError('--wav', path, `a folder that can be written: ${reasonOf(error)}`);
    }
  }
}
