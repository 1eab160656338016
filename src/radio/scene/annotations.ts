/**
 * What lies where in a made-up slice, as SigMF annotates it.
 */
import { decodeCall, describeCall } from '../../calls/index.js';
import { frameCall } from '../../frames/index.js';
import { MODULATIONS } from '../../modem/index.js';
import type { SigmfAnnotation } from '../sigmf.js';
import { HALF_WIDTH, bandAt, charactersOf, type SceneCall, type SliceScene } from './scene.js';

/** A call in a sentence, as far as its characters are one. */
function textOf(call: SceneCall): string {
  const characters = charactersOf(call);
  const { symbols } = 'symbols' in characters ? characters : { symbols: characters };
  return describeCall(call.call ?? decodeCall(symbols, { ignoreErrorCheck: true }));
}

/**
 * The calls of a scene with their samples and their edges.
 *
 * @param scene - as `checkSliceScene` gives it
 */
export function sceneAnnotations({ calls = [], sampleRate, seconds }: SliceScene): SigmfAnnotation[] {
  const length = Math.round(seconds * sampleRate);
  return calls.map((call) => {
    const { frequencyHz, atSeconds, repeat = 1 } = call;
    const band = bandAt(frequencyHz);
    const { bits } = frameCall(charactersOf(call), { band, repeat });
    const start = Math.round(atSeconds * sampleRate);
    const samples = Math.ceil((bits.length * sampleRate) / MODULATIONS[band].baud);
    return {
      start,
      samples: Math.min(samples, length - start),
      lowerHz: frequencyHz - HALF_WIDTH[band],
      upperHz: frequencyHz + HALF_WIDTH[band],
      text: textOf(call),
    };
  });
}
