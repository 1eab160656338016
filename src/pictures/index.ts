/**
 * Pictures: a recording as a spectrogram with the structure of its calls, the tones' energies and the bits.
 *
 * What is measured (`spectrogram`, `toneEnergies`, `callStructure`) stands apart from what is drawn (`drawPicture`).
 *
 * @packageDocumentation
 */
export { drawPicture, type PictureOptions, type PicturedCall } from './picture.js';
export { spectrogram, type Spectrogram, type SpectrogramOptions } from './spectrogram.js';
export {
  callStructure,
  type CallInAudio,
  type CallStructure,
  type FieldSpan,
  type ReceivedSlot,
} from './structure.js';
export { toneEnergies, type BitGrid, type ToneEnergies } from './tones.js';
export { escapeMarkup } from './svg.js';
