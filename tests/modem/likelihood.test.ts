import { describe, expect, it } from 'vitest';
import { bitLikelihoods, estimateLevels, robustLlr, upperProbability } from '../../src/modem/internal.js';
import { DROPOUT_SHARE, noncoherentRatios, type BitObservations } from '../../src/modem/likelihood.js';
import { createChoices, type Choices } from '../scenes/random.js';

/** Energies of the two tones in white noise: exponential without a signal, noncentral chi-square with one. */
function observe(
  choices: Choices,
  sent: readonly number[],
  signal: (bit: number) => number,
  noise: number,
): BitObservations {
  const gaussian = () =>
    Math.sqrt(-Math.log(choices.uniform(1e-12, 1)) * noise) * Math.cos(choices.uniform(0, 2 * Math.PI));
  const energy = (bit: number, isSent: boolean) =>
    ((isSent ? Math.sqrt(signal(bit)) : 0) + gaussian()) ** 2 + gaussian() ** 2;
  return {
    upper: Float64Array.from(sent, (sign, bit) => energy(bit, sign > 0)),
    lower: Float64Array.from(sent, (sign, bit) => energy(bit, sign < 0)),
    known: new Int8Array(sent.length),
  };
}

const signs = (choices: Choices, count: number) => Array.from({ length: count }, () => choices.pick([1, -1]));

/** I₀ by its series, Abramowitz and Stegun 9.6.12. */
function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; k < 80; k++) sum += term *= (x / 2 / k) ** 2;
  return sum;
}

describe('noncoherent likelihoods', () => {
  it('are the ratio of the densities of both energies', () => {
    // Proakis, noncoherent detection: p(E | sent) = exp(−(E + A)/N)·I₀(2√(AE)/N)/N, p(E | not sent) = exp(−E/N)/N.
    const density = (energy: number, signal: number, noise: number) =>
      (Math.exp(-(energy + signal) / noise) * besselI0((2 * Math.sqrt(signal * energy)) / noise)) / noise;
    const [upper, lower, upperSignal, lowerSignal, noise] = [3.1, 0.8, 2.5, 1.9, 0.7];
    // A share of the bits has no signal at all: both energies are noise then, whichever tone was meant.
    const joint = (sent: number, signal: number, other: number) =>
      density(sent, signal, noise) * density(other, 0, noise) +
      DROPOUT_SHARE * density(sent, 0, noise) * density(other, 0, noise);
    const expected = Math.log(joint(upper, upperSignal, lower)) - Math.log(joint(lower, lowerSignal, upper));
    const [ratio] = noncoherentRatios(
      { upper: Float64Array.of(upper), lower: Float64Array.of(lower), known: new Int8Array(1) },
      {
        upperSignal: Float64Array.of(upperSignal),
        lowerSignal: Float64Array.of(lowerSignal),
        noise: Float64Array.of(noise),
      },
    );
    expect(ratio).toBeCloseTo(expected, 5);
  });

  it('say nothing of a bit that was not received', () => {
    const { ratios, levels } = bitLikelihoods({
      upper: Float64Array.of(3, -1, 0.1),
      lower: Float64Array.of(0.2, -1, 4),
      known: new Int8Array(3),
    });
    expect(ratios[1]).toBe(0);
    expect(levels.noise[1]).toBe(0);
    expect(ratios[0]).toBeGreaterThan(0);
    expect(ratios[2]).toBeLessThan(0);
  });

  it('err as often as they say', () => {
    const choices = createChoices(11);
    const sent = signs(choices, 40_000);
    const observed = observe(choices, sent, () => 3, 1);
    const { ratios } = bitLikelihoods(observed);
    const probability = upperProbability(ratios);
    for (const [from, to] of [
      [0.5, 0.7],
      [0.7, 0.9],
      [0.9, 0.97],
      [0.97, 1],
    ]) {
      let expected = 0;
      let errors = 0;
      let count = 0;
      sent.forEach((sign, bit) => {
        const sure = Math.max(probability[bit], 1 - probability[bit]);
        if (sure < from || sure >= to) return;
        count++;
        expected += 1 - sure;
        if (Math.sign(ratios[bit]) !== sign) errors++;
      });
      expect(count).toBeGreaterThan(1000);
      expect(Math.abs(errors - expected)).toBeLessThan(0.15 * expected + 4 * Math.sqrt(expected));
    }
  });
});

describe('levels', () => {
  it('are found without knowing the bits', () => {
    const choices = createChoices(12);
    const observed = observe(choices, signs(choices, 2000), () => 6, 1.5);
    const { levels } = bitLikelihoods(observed);
    const mean = (values: Float64Array) => values.reduce((a, b) => a + b) / values.length;
    expect(mean(levels.noise) / 1.5).toBeCloseTo(1, 1);
    expect((mean(levels.upperSignal) + mean(levels.lowerSignal)) / 2 / 6).toBeCloseTo(1, 1);
  });

  it('follow a fade of 10 dB', () => {
    const choices = createChoices(13);
    const { levels } = bitLikelihoods(
      observe(choices, signs(choices, 600), (bit) => (bit < 300 ? 30 : 3), 1),
    );
    expect(levels.upperSignal[150]).toBeGreaterThan(20);
    expect(levels.upperSignal[450]).toBeLessThan(6);
  });

  it('follow each tone by itself, as selective fading asks', () => {
    const choices = createChoices(14);
    const sent = signs(choices, 400);
    const observed = observe(choices, sent, (bit) => (sent[bit] > 0 ? 20 : 2), 1);
    const { upperSignal, lowerSignal } = bitLikelihoods(observed).levels;
    expect(upperSignal[200]).toBeGreaterThan(3 * lowerSignal[200]);
  });

  it('take known bits as they are', () => {
    const known = Int8Array.from({ length: 100 }, (_, bit) => (bit % 2 ? 1 : -1));
    const levels = estimateLevels(
      {
        upper: Float64Array.from(known, (sign) => (sign > 0 ? 9 : 1)),
        lower: Float64Array.from(known, (sign) => (sign < 0 ? 5 : 1)),
        known,
      },
      new Float64Array(100).fill(0.5),
    );
    expect(levels.noise[50]).toBeCloseTo(1, 9);
    // Weights e^(−d / 20): the upper tone at the odd distances 1 to 49 on either side, the lower one at 0 and the even
    // ones, to 50 before and to 48 behind.
    const q = Math.exp(-1 / 20);
    const run = (count: number) => (1 - q ** (2 * count)) / (1 - q ** 2);
    const upper = 2 * q * run(25);
    const lower = run(26) + run(25) - 1;
    // Each counts with four bits of the mean of both; what is above the noise of 1 is signal.
    const mean = (9 * upper + 5 * lower) / (upper + lower);
    expect(levels.upperSignal[50]).toBeCloseTo((9 * upper + 4 * mean) / (upper + 4) - 1, 9);
    expect(levels.lowerSignal[50]).toBeCloseTo((5 * lower + 4 * mean) / (lower + 4) - 1, 9);
  });
});

describe('tempering', () => {
  it('leaves weak ratios, bounds strong ones, keeps order and sign', () => {
    expect(robustLlr(0)).toBeCloseTo(0, 12);
    expect(robustLlr(1)).toBeCloseTo(1, 2);
    expect(robustLlr(1e6)).toBeLessThan(7.001);
    expect(robustLlr(-1e6)).toBeGreaterThan(-7.001);
    let before = -Infinity;
    for (let ratio = -30; ratio <= 30; ratio += 0.5) {
      const tempered = robustLlr(ratio);
      expect(tempered).toBeGreaterThanOrEqual(before);
      expect(tempered).toBeCloseTo(-robustLlr(-ratio), 12);
      before = tempered;
    }
  });
});
