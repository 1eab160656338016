/**
 * What only the carrier tells: on VHF deviation, modulation index, pre-emphasis and carrier error; on MF and HF how far
 * the assigned frequency is off (ITU-R M.493 Annex 1 §1.3, from memory).
 */
import { AUDIO_CENTRE_HZ, carrierDeviation, deviationGain, type RadioChannel } from '../radio/index.js';
import { together, type Figure } from './figure.js';
import type { FigureName, Figures, MeasuredCall } from './measurecall.js';

/** Full scale of {@link deviationAudio}, hertz. */
const DEVIATION_SCALE_HZ = 10_000;

/** The frequency of a carrier as audio that can be measured like any other, its mean over a call taken out. */
interface DeviationAudio {
  readonly audio: Float32Array;
  /** Hertz from the channel's middle. */
  readonly carrierErrorHz: Figure;
}

/** Pieces of a call whose means tell how sure the mean of all is. */
const PIECES = 8;

/**
 * @param audio - of a channel with frequency modulation, as a tuner gives it
 * @param from - seconds of the audio at which the carrier is surely there
 * @param to - seconds until which it is
 */
export function deviationAudio(
  audio: Float32Array,
  sampleRate: number,
  from: number,
  to: number,
): DeviationAudio {
  const deviation = carrierDeviation(audio, sampleRate);
  const edge = (seconds: number) => Math.max(1, Math.min(audio.length, Math.round(seconds * sampleRate)));
  const part = deviation.subarray(edge(from), edge(to));
  const length = Math.floor(part.length / PIECES);
  // Under a soft window the tones come to nothing.
  const window = Float64Array.from({ length }, (_, n) => 1 - Math.cos((2 * Math.PI * (n + 0.5)) / length));
  const means = Array.from({ length: PIECES }, (_, i) => {
    let sum = 0;
    for (let n = 0; n < length; n++) sum += window[n] * part[i * length + n];
    return sum / Math.max(1, length);
  });
  const value = means.reduce((sum, mean) => sum + mean, 0) / PIECES;
  const square = means.reduce((sum, mean) => sum + (mean - value) ** 2, 0) / (PIECES - 1);
  const centred = deviation.map((hz) => (hz - value) / DEVIATION_SCALE_HZ);
  muteWithoutCarrier(centred, edge(from), edge(to));
  return {
    audio: centred,
    carrierErrorHz: { value, uncertainty: Math.sqrt(square / PIECES) },
  };
}

/** Without a carrier the frequency is noise over the whole channel: what leaps beyond the call's own peak by this ratio. */
const LEAP = 1.6;

/** Before and behind a call a channel without a carrier is louder than the call; there it becomes silence. */
function muteWithoutCarrier(deviation: Float32Array, from: number, to: number): void {
  let peak = 0;
  // A click in the call is no peak of it.
  const sizes = deviation.slice(from, to).map(Math.abs).sort();
  if (sizes.length > 0) peak = sizes[Math.floor(0.998 * (sizes.length - 1))];
  const leaps = (sample: number) => Math.abs(sample) > LEAP * peak;
  const before = deviation.subarray(0, from).findLastIndex(leaps);
  if (before >= 0) deviation.fill(0, 0, before + 1);
  const behind = deviation.subarray(to).findIndex(leaps);
  if (behind >= 0) deviation.fill(0, to + behind);
}

/** The channel's filter rounds the steps from tone to tone: of known sets the amplitudes came out off by up to this share. */
const FILTER_SHARE = 0.003;

/** Figures of audio that a carrier's frequency is not. */
const OF_AUDIO: readonly FigureName[] = ['levelDb', 'noiseFloorDb', 'riseMs', 'fallMs', 'occupiedHz'];

const scaled = ({ value, uncertainty }: Figure, factor: number): Figure => ({
  value: value * factor,
  uncertainty: uncertainty * factor,
});

const PER_NEPER_DB = 20 / Math.LN10;
/** 6 dB an octave is a deviation that grows with the frequency. */
const PROPORTIONAL_DB = 20 * Math.log10(2);

/** The figures of a call that was measured on {@link deviationAudio}, with those of the carrier. */
export function withDeviation(
  call: MeasuredCall,
  sampleRate: number,
  carrierErrorHz: Figure,
  channel: RadioChannel,
): MeasuredCall {
  const { toneBHz, toneYHz } = call.figures;
  const figures = Object.fromEntries(
    Object.entries(call.figures).filter(([name]) => !OF_AUDIO.some((one) => one === name)),
  );
  const placed = { ...call, frequencyHz: channel.hz };
  if (!toneBHz || !toneYHz) return { ...placed, figures: { ...figures, carrierErrorHz } };
  const deviation = (amplitude: Figure, hz: number): Figure => {
    const { value, uncertainty } = scaled(amplitude, DEVIATION_SCALE_HZ / deviationGain(hz, sampleRate));
    return { value, uncertainty: together(uncertainty, FILTER_SHARE * value) };
  };
  const [b, y] = [deviation(call.amplitudes.b, toneBHz.value), deviation(call.amplitudes.y, toneYHz.value)];
  const indexB = scaled(b, 1 / toneBHz.value);
  const indexY = scaled(y, 1 / toneYHz.value);
  const octaves = Math.log2(toneBHz.value / toneYHz.value);
  const balance = {
    value: PER_NEPER_DB * Math.log(indexB.value / indexY.value),
    uncertainty:
      PER_NEPER_DB * together(indexB.uncertainty / indexB.value, indexY.uncertainty / indexY.value),
  };
  return {
    ...placed,
    figures: {
      ...figures,
      // Told by the index, so that what pre-emphasis does on purpose is no difference.
      levelDifferenceDb: balance,
      peakDeviationHz: b.value > y.value ? b : y,
      modulationIndexB: indexB,
      modulationIndexY: indexY,
      preEmphasisDb: {
        value: PROPORTIONAL_DB + balance.value / octaves,
        uncertainty: balance.uncertainty / octaves,
      },
      carrierErrorHz,
    },
  };
}

/** The figures of a call on a sideband channel, with how far its assigned frequency is off. */
export function withAssignedError(call: MeasuredCall, channel: RadioChannel): MeasuredCall {
  const { centreHz } = call.figures;
  const placed = { ...call, frequencyHz: channel.hz };
  if (!centreHz) return placed;
  const assignedErrorHz = { value: centreHz.value - AUDIO_CENTRE_HZ, uncertainty: centreHz.uncertainty };
  return { ...placed, figures: { ...call.figures, assignedErrorHz } };
}

/** Figures that the clock of a receiver moves by parts per million of the channel's frequency. */
export const CARRIER_FIGURES: readonly (keyof Figures)[] = ['carrierErrorHz', 'assignedErrorHz'];
