/**
 * Pictures: a recording as a spectrogram with the structure of its calls, the tones' energies and the bits.
 *
 * What is measured (`spectrogram`, `toneEnergies`, `callStructure`) stands apart from what is drawn (`drawPicture`).
 *
 * @example
 * ```ts
 * import { callToAudio, receiveCalls } from 'dotphase';
 * import { drawPicture } from 'dotphase/pictures';
 *
 * const call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
 * const audio = callToAudio(call, { band: 'mf-hf', sampleRate: 12000 });
 * const calls = receiveCalls(audio, { sampleRate: 12000 });
 * const svg = drawPicture(audio, { sampleRate: 12000, calls, title: 'A test call' });
 * console.log(svg.slice(0, 4)); // <svg
 * ```
 *
 * @packageDocumentation
 */
export { drawPicture, type PictureOptions, type PicturedCall } from './picture.js';
export {
  createHoursDrawing,
  type HoursDrawing,
  type HoursLabels,
  type HoursOptions,
  type MarkedCall,
} from './hours.js';
export { spectrogram, type Spectrogram, type SpectrogramOptions } from './spectrogram.js';
export {
  callStructure,
  type CallInAudio,
  type CallStructure,
  type FieldSpan,
  type ReceivedSlot,
} from './structure.js';
export { toneEnergies, type BitGrid, type ToneEnergies } from './tones.js';
export { escapeMarkup } from '../data/index.js';
