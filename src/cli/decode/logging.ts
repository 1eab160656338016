/**
 * What is logged of recordings.
 */
import { resolve } from 'node:path';
import type { AttemptLogger, LogEntry } from '../../records/index.js';
import type { HeardStore } from '../../records/sqlite/index.js';
import type { DecodeSettings } from '../decoding.js';
import { warn } from '../exit.js';
import type { HeardCall } from '../heardcall.js';
import { STANDARD_STREAM } from '../input.js';
import { frequencyHeard } from '../judgement.js';
import type { LogFile } from '../log/file.js';
import { momentIn, type Origin } from '../origin.js';
import { samplesStatus } from './sigmf.js';

/** A recording that is being decoded. */
export interface Reading {
  readonly file: string;
  readonly origin: Origin;
  /** What it is known by in the log, once that is told. */
  fingerprint: string | undefined;
  readonly add: AttemptLogger<HeardCall>;
  failed: boolean;
}

/** What is logged of recordings. */
export class Logging {
  /** What tells apart readings that look for different things. */
  readonly #reading: string;

  constructor(
    private readonly log: LogFile,
    { fingerprint: _, events: __, ...settings }: DecodeSettings,
  ) {
    this.#reading = JSON.stringify(settings);
  }

  /** Whether a file was read to its end before. */
  hasRead(file: string): boolean {
    const known = this.#file(file);
    return known !== undefined && this.log.use((store) => store.hasRead(known)) === true;
  }

  /** A recording that the log knows adds only what it did not add before. */
  recognise(reading: Reading, recording: string | undefined): void {
    reading.fingerprint = recording;
    if (recording === undefined) return;
    const known = this.log.write((calls) => calls.list({ recording, limit: 1 }));
    if (known?.length === 1)
      warn(`${reading.file}: calls of this recording are in the log already; they are not logged again`);
  }

  /** What logs a call, now or later. */
  entry(reading: Reading, heard: HeardCall): (store: HeardStore) => LogEntry {
    const { file, origin, fingerprint: recording } = reading;
    const began = momentIn(origin, heard.start);
    const isLive = file === STANDARD_STREAM;
    const context = {
      // Live audio has just ended.
      time: began ?? Date.now() - (heard.end - heard.start) * 1000,
      timeSource: began !== undefined ? 'recorded' : isLive ? 'live' : 'decoded',
      frequencyHz: frequencyHeard(heard, origin.frequencyHz),
      ...(!isLive && { file: resolve(file) }),
      ...(recording !== undefined && { recording, offset: heard.start }),
    } as const;
    return ({ calls }) => reading.add(calls, heard, context);
  }

  /** What notes that a recording was read to its end, unless something could not be logged. */
  end({ file, origin, fingerprint }: Reading, seconds: number): (store: HeardStore) => void {
    const known = this.#file(file);
    const { recorded, frequencyHz } = origin;
    return (store) => {
      if (!known || this.log.failed) return;
      store.noteRecording({
        ...known,
        seconds,
        ...(fingerprint !== undefined && { recording: fingerprint }),
        ...(recorded !== undefined && recorded >= 0 && { began: Math.round(recorded) }),
        ...(frequencyHz !== undefined && { frequencyHz: Math.round(frequencyHz) }),
      });
    };
  }

  #file(file: string) {
    const status = samplesStatus(file);
    if (!status?.isFile()) return undefined;
    const { size, mtimeMs: modifiedAt } = status;
    return { path: resolve(file), reading: this.#reading, size, modifiedAt };
  }
}
