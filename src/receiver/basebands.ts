/**
 * Pieces of the working stream brought down to a baseband, for reading what lies there.
 */
import {
  createBasebandFilter,
  type Baseband,
  type BasebandFilter,
  type KnownBaseband,
} from '../dsp/index.js';
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
  /** Samples of the baseband that more audio behind it does not change. */
  readonly settled: number;
}

/** Where pieces come from. */
export interface Basebands {
  /** Working samples that count as heard: behind them there is silence, however much has been pushed. */
  heard: number;
  /** So many bits from a working sample on, with a margin. */
  piece(parameters: BandParameters, start: number, bits: number, centreHz: number): Piece;
  /** The same, the clicks of an FM receiver cut off. */
  pieceWithoutClicks(parameters: BandParameters, start: number, bits: number, centreHz: number): Piece;
  /** What `piece` gives, where a shorter piece from the same sample at the same centre is at hand. */
  longerPiece(shorter: Piece, parameters: BandParameters, start: number, bits: number): Piece;
}

export function createBasebands(stream: WorkingStream): Basebands {
  const filters = new Map<BandParameters, BasebandFilter>();
  const filterOf = (parameters: BandParameters) => {
    const filter =
      filters.get(parameters) ?? createBasebandFilter({ sampleRate: WORKING_RATE, ...parameters });
    filters.set(parameters, filter);
    return filter;
  };

  function cut(heard: number, { bitSamples, decimation }: BandParameters, start: number, bits: number) {
    const margin = MARGIN_BITS * bitSamples;
    const origin = Math.floor((start - margin) / decimation) * decimation;
    const audio = stream.slice(origin, Math.ceil(start + bits * bitSamples + margin));
    const there = Math.max(0, heard - origin);
    audio.fill(0, there);
    return { audio, origin, there: Math.min(there, audio.length) };
  }

  function bringDown(
    parameters: BandParameters,
    { audio, origin, there }: ReturnType<typeof cut>,
    centreHz: number,
    known?: KnownBaseband,
  ): Piece {
    const filter = filterOf(parameters);
    const settled = Math.max(0, Math.floor((there - filter.reach) / parameters.decimation));
    return { baseband: filter.apply(audio, centreHz, known), origin, settled };
  }

  return {
    heard: 0,
    piece(parameters, start, bits, centreHz) {
      return bringDown(parameters, cut(this.heard, parameters, start, bits), centreHz);
    },
    pieceWithoutClicks(parameters, start, bits, centreHz) {
      const { audio, ...place } = cut(this.heard, parameters, start, bits);
      return bringDown(parameters, { audio: cutClicks(audio), ...place }, centreHz);
    },
    longerPiece(shorter, parameters, start, bits) {
      const { baseband, settled: count } = shorter;
      const longer = cut(this.heard, parameters, start, bits);
      return bringDown(parameters, longer, baseband.centreHz, { baseband, count });
    },
  };
}
