/**
 * The Kaiser window and the length it takes (J. F. Kaiser 1974; Oppenheim and Schafer, Discrete-Time Signal
 * Processing, §7.6; from memory).
 */
import { besselI0 } from './bessel.js';

/** The window's shape for an attenuation of 21 dB and more. */
function kaiserBeta(attenuationDb: number): number {
  return attenuationDb > 50
    ? 0.1102 * (attenuationDb - 8.7)
    : 0.5842 * (attenuationDb - 21) ** 0.4 + 0.07886 * (attenuationDb - 21);
}

/**
 * The window that holds ripple down to `attenuationDb` (21 and more), as a function of the place within it: 0 the
 * middle, ±1 the edges; 0 beyond.
 */
export function kaiserWindow(attenuationDb: number): (place: number) => number {
  const beta = kaiserBeta(attenuationDb);
  const scale = 1 / besselI0(beta);
  return (place) => {
    const rest = 1 - place * place;
    return rest < 0 ? 0 : besselI0(beta * Math.sqrt(rest)) * scale;
  };
}

/** Half the length in samples that a transition of `width` (cycles per sample) takes; not a whole number. */
export function kaiserReach(attenuationDb: number, width: number): number {
  return (attenuationDb - 7.95) / (2.285 * 2 * Math.PI * width) / 2;
}
