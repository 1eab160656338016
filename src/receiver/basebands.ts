/**
 * Pieces of the working stream brought down to a baseband, for reading what lies there.
 */
import { createBaseband, type Baseband } from '../dsp/index.js';
import { WORKING_RATE, type BandParameters } from './bandparameters.js';
import { cutClicks } from './clicks.js';
import type { WorkingStream } from './workingstream.js';

/** Bits of audio taken before and after a sequence for the filters. */
export const MARGIN_BITS = 2;

/** A piece of the stream. */
export interface Piece {
  readonly baseband: Baseband;
  /** Working sample at which it begins. */
  readonly origin: number;
}

/** Where pieces come from. */
export interface Basebands {
  /** Working samples that count as heard: behind them there is silence, however much has been pushed. */
  heard: number;
  /** So many bits from a working sample on, with a margin; the clicks of an FM receiver cut off where asked for. */
  piece(
    parameters: BandParameters,
    start: number,
    bits: number,
    centreHz: number,
    isWithoutClicks?: boolean,
  ): Piece;
}

export function createBasebands(stream: WorkingStream): Basebands {
  const filters = new Map<BandParameters, ReturnType<typeof createBaseband>>();
  return {
    heard: 0,
    piece(parameters, start, bits, centreHz, isWithoutClicks = false) {
      const margin = MARGIN_BITS * parameters.bitSamples;
      const origin = Math.floor((start - margin) / parameters.decimation) * parameters.decimation;
      const audio = stream.slice(origin, Math.ceil(start + bits * parameters.bitSamples + margin));
      audio.fill(0, Math.max(0, this.heard - origin));
      const toBaseband =
        filters.get(parameters) ?? createBaseband({ sampleRate: WORKING_RATE, ...parameters });
      filters.set(parameters, toBaseband);
      return { baseband: toBaseband(isWithoutClicks ? cutClicks(audio) : audio, centreHz), origin };
    },
  };
}
