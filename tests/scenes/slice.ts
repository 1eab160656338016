/** Slices of spectrum with calls in them, whole in memory. */
import { joinSamples } from '../../src/dsp/index.js';
import type { FramedCharacters } from '../../src/frames/index.js';
import { sliceBlocks, type IqBlock, type SliceScene } from '../../src/radio/index.js';

/** A slice to be made; its length in samples is `seconds` times `sampleRate`. */
export type SliceOptions = Pick<SliceScene, 'sampleRate' | 'tunedHz' | 'seconds'>;

/** A call in it. */
export interface SliceCall {
  readonly symbols: FramedCharacters;
  /** Middle of its tones. */
  readonly hz: number;
  /** Seconds to its first dot. */
  readonly at: number;
  /** Of its carrier, full scale 1. */
  readonly amplitude: number;
}

/** All samples of a scene. */
export function wholeSlice(scene: SliceScene): IqBlock {
  const blocks = [...sliceBlocks(scene)];
  return { i: joinSamples(blocks.map(({ i }) => i)), q: joinSamples(blocks.map(({ q }) => q)) };
}

/** Calls and complex white noise of the given power density, full scale squared in 3 kHz, dB. */
export function createSlice(
  options: SliceOptions,
  calls: readonly SliceCall[],
  noiseDb: number,
  seed: number,
): IqBlock {
  const { sampleRate, tunedHz, seconds } = options;
  return wholeSlice({
    ...{ sampleRate, tunedHz, seconds, noiseDb, seed },
    calls: calls.map(({ symbols, hz, at, amplitude }) => ({
      ...('symbols' in symbols ? { symbols: symbols.symbols, expansions: symbols.expansions } : { symbols }),
      frequencyHz: hz,
      atSeconds: at,
      levelDb: 20 * Math.log10(amplitude),
    })),
  });
}
