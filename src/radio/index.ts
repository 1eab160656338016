/**
 * Radio: a slice of spectrum, as receivers on a computer record it (I and Q), to the calls on the DSC channels in it
 * (`createSliceReceiver`) or their audio (`createTuner`): what is sent on a channel's assigned frequency comes out at
 * 1700 Hz. And the way back, for tests and practice: calls, carriers, noise and a receiver's faults to a slice
 * (`sliceBlocks`).
 *
 * @example
 * ```ts
 * import { createTuner } from 'dotphase/radio';
 *
 * const tuner = createTuner({
 *   sampleRate: 48_000,
 *   tunedHz: 8_420_000,
 *   channels: [{ hz: 8_414_500, mode: 'ssb' }],
 * });
 * const turn = (2 * Math.PI * (8_414_500 - 8_420_000)) / 48_000;
 * const i = Float32Array.from({ length: 48_000 }, (_, n) => Math.cos(turn * n));
 * const q = Float32Array.from({ length: 48_000 }, (_, n) => Math.sin(turn * n));
 * let samples = 0;
 * tuner.push(i, q, (channel, audio) => (samples += audio.length));
 * console.log(tuner.sampleRates[0], samples > 5000); // 12000 true
 * ```
 *
 * @packageDocumentation
 */
export { carrierDeviation, deviationGain } from './discriminator.js';
export {
  IQ_BYTES,
  IQ_FORMATS,
  createIqReader,
  createIqWriter,
  readIqBlocks,
  type IqBlock,
  type IqFormat,
  type IqReader,
  type IqWriter,
} from './formats.js';
export type { SliceCall } from './slicecall.js';
export {
  createSliceReceiver,
  dscChannelsIn,
  heardChannelsIn,
  type SliceReceiver,
  type SliceReceiverOptions,
} from './slicereceiver.js';
export { oscillatorErrorOf, type OscillatorError, type PlacedCall } from './oscillator.js';
export {
  createPieceCutter,
  slicePiecesFrom,
  slicePiecesOf,
  type PieceBlock,
  type SlicePiece,
} from './pieces.js';
export { sceneAnnotations } from './scene/annotations.js';
export { sliceBlocks } from './scene/blocks.js';
export {
  checkSliceScene,
  sliceSchema,
  type SceneCall,
  type SceneCarrier,
  type SceneLevel,
  type SceneReceiver,
  type SliceScene,
} from './scene/scene.js';
export {
  formatSigmf,
  parseSigmf,
  type SigmfAnnotation,
  type SigmfCapture,
  type SigmfRecording,
} from './sigmf.js';
export {
  AUDIO_CENTRE_HZ,
  SLICE_RATES,
  createTuner,
  isWithinSlice,
  type RadioChannel,
  type Tuner,
  type TunerOptions,
} from './tuner.js';
