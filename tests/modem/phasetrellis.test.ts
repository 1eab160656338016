import { describe, expect, it } from 'vitest';
import { trackPhase } from '../../src/modem/internal.js';
import { DROPOUT_SHARE } from '../../src/modem/likelihood.js';
import { type PhaseModel, type PhaseObservations } from '../../src/modem/phasetrellis.js';
import { createChoices } from '../scenes/random.js';

const MODEL: PhaseModel = {
  modulationIndex: 1.5,
  phases: 4,
  differences: 2,
  phaseStepProbability: 0.07,
  differenceStepProbability: 0.03,
  phaseResetProbability: 0.1,
  wordBits: 2,
};

/**
 * Probability of each hidden state after a step, from each one, apart from the turn that the bit makes. The phase
 * wanders or begins anew with every bit, the difference wanders behind every word.
 */
function transition(model: PhaseModel, isWordEnd: boolean): number[][] {
  const { phases, differences, phaseStepProbability, differenceStepProbability, phaseResetProbability } =
    model;
  const states = phases * differences;
  const move = (from: number, to: number, points: number, wander: number) => {
    if (from === to) return 1 - 2 * wander;
    let probability = 0;
    if ((from + 1) % points === to) probability += wander;
    if ((from + points - 1) % points === to) probability += wander;
    // On a circle of two points both ways lead to the other one.
    return probability;
  };
  const table = (probability: (from: number, to: number) => number) =>
    Array.from({ length: states }, (_, from) =>
      Array.from({ length: states }, (_, to) => probability(from, to)),
    );
  const differenceOf = (state: number) => Math.floor(state / phases);
  const bit = table((from, to) => {
    const stays = differenceOf(from) === differenceOf(to);
    return (
      (stays
        ? (1 - phaseResetProbability) * move(from % phases, to % phases, phases, phaseStepProbability)
        : 0) +
      phaseResetProbability / states
    );
  });
  if (!isWordEnd) return bit;
  const word = table((from, to) =>
    from % phases === to % phases
      ? move(differenceOf(from), differenceOf(to), differences, differenceStepProbability)
      : 0,
  );
  return table((from, to) =>
    bit[from].reduce((sum, probability, via) => sum + probability * word[via][to], 0),
  );
}

/** The likelihoods of every sequence of bits and hidden states, one by one. */
function enumerate(
  observed: PhaseObservations,
  model: PhaseModel,
): { ratios: number[]; weightOfWord: (word: number, value: number) => number } {
  const { phases, differences, modulationIndex } = model;
  const count = observed.known.length;
  const steps = [transition(model, false), transition(model, true)];
  const turn = (((phases * modulationIndex) / 2) % phases) + phases;
  const upperTotals = new Float64Array(count);
  const lowerTotals = new Float64Array(count);
  let total = 0;
  const wordTotals = new Map<string, number>();

  const logEmission = (bit: number, state: number, isUpper: boolean): number => {
    const phase = state % phases;
    const difference = (Math.floor(state / phases) * phases) / differences;
    const angle = (2 * Math.PI * (isUpper ? phase : phase + difference)) / phases;
    const { re, im } = isUpper ? observed.upper : observed.lower;
    const signal = (isUpper ? observed.upperSignal : observed.lowerSignal)[bit];
    const projection = re[bit] * Math.cos(angle) + im[bit] * Math.sin(angle);
    return (2 * Math.sqrt(signal) * projection - signal) / observed.noise[bit];
  };

  const states = phases * differences;
  // Relative to the likeliest of all, or to no signal; every bit may have dropped out.
  const most = Array.from({ length: count }, (_, bit) =>
    Math.max(0, ...Array.from({ length: 2 * states }, (_, i) => logEmission(bit, i % states, i < states))),
  );
  const emission = (bit: number, state: number, isUpper: boolean): number => {
    if (observed.present[bit] === 0) return 1;
    if (observed.known[bit] === (isUpper ? -1 : 1)) return 0;
    return Math.exp(logEmission(bit, state, isUpper) - most[bit]) + DROPOUT_SHARE;
  };

  const visit = (bit: number, state: number, weight: number, bits: boolean[]): void => {
    if (bit === count) {
      total += weight;
      bits.forEach((isUpper, i) => ((isUpper ? upperTotals : lowerTotals)[i] += weight));
      for (let word = 0; word * model.wordBits < count; word++) {
        const value = bits
          .slice(word * model.wordBits, (word + 1) * model.wordBits)
          .reduce((sum, isUpper, i) => sum + (isUpper ? 0 : 2 ** i), 0);
        const key = `${word}:${value}`;
        wordTotals.set(key, (wordTotals.get(key) ?? 0) + weight);
      }
      return;
    }
    for (const isUpper of [true, false]) {
      const own = weight * emission(bit, state, isUpper);
      if (own === 0) continue;
      const phase = (state + (isUpper ? turn : phases * 2 - turn)) % phases;
      const turned = Math.floor(state / phases) * phases + phase;
      steps[(bit + 1) % model.wordBits === 0 ? 1 : 0][turned].forEach((probability, next) => {
        visit(bit + 1, next, own * probability, [...bits, isUpper]);
      });
    }
  };
  for (let state = 0; state < states; state++) visit(0, state, 1 / states, []);
  return {
    ratios: [...upperTotals].map((upper, bit) => Math.log(upper / lowerTotals[bit])),
    weightOfWord: (word, value) =>
      Math.log(((wordTotals.get(`${word}:${value}`) ?? 0) * 2 ** model.wordBits) / total),
  };
}

function observations(seed: number, count: number, known: number[] = []): PhaseObservations {
  const choices = createChoices(seed);
  const values = (low: number, high: number) =>
    Float64Array.from({ length: count }, () => choices.uniform(low, high));
  return {
    upper: { re: values(-2, 2), im: values(-2, 2) },
    lower: { re: values(-2, 2), im: values(-2, 2) },
    upperSignal: values(0.5, 2),
    lowerSignal: values(0.5, 2),
    noise: values(0.7, 1.5),
    known: Int8Array.from({ length: count }, (_, i) => known[i] ?? 0),
    present: new Uint8Array(count).fill(1),
  };
}

describe('phase trellis', () => {
  it.each([1, 2, 3])('gives what enumerating every sequence gives (seed %i)', (seed) => {
    const observed = observations(seed, 4);
    const expected = enumerate(observed, MODEL);
    const track = trackPhase(observed, MODEL);
    const { ratios } = track;
    ratios.forEach((ratio, bit) => {
      expect(ratio).toBeCloseTo(expected.ratios[bit], 9);
    });
    for (const word of [0, 1]) {
      track.weighWords(word, [0, 1, 2, 3]).forEach((weight, value) => {
        expect(weight).toBeCloseTo(expected.weightOfWord(word, value), 9);
      });
    }
  });

  it('does so where bits are known, or were not received', () => {
    const observed = observations(9, 4, [0, 1, 0, -1]);
    observed.present[2] = 0;
    const expected = enumerate(observed, MODEL);
    const track = trackPhase(observed, MODEL);
    const { ratios } = track;
    expect(ratios[0]).toBeCloseTo(expected.ratios[0], 9);
    expect(ratios[1]).toBeGreaterThan(20);
    expect(ratios[2]).toBe(0);
    expect(ratios[3]).toBeLessThan(-20);
    expect([...track.weighWords(2, [0, 1])]).toEqual([0, 0]);
  });

  it('does so with the tones swapped', () => {
    const model = { ...MODEL, modulationIndex: -1.5 };
    const observed = observations(4, 4);
    const expected = enumerate(observed, { ...MODEL, modulationIndex: 2.5 });
    trackPhase(observed, model).ratios.forEach((ratio, bit) => {
      expect(ratio).toBeCloseTo(expected.ratios[bit], 9);
    });
  });

  it('reads a signal of continuous phase with fewer errors than the energies alone', () => {
    const choices = createChoices(21);
    const count = 3000;
    const modulationIndex = 1.7;
    const gaussian = () =>
      Math.sqrt(-2 * Math.log(choices.uniform(1e-12, 1))) * Math.cos(choices.uniform(0, 2 * Math.PI));
    const observed = observations(1, count);
    const signal = 2.2;
    let phase = 0;
    const sent = Array.from({ length: count }, () => choices.pick([1, -1]));
    for (let bit = 0; bit < count; bit++) {
      const [tone, other] =
        sent[bit] > 0 ? [observed.upper, observed.lower] : [observed.lower, observed.upper];
      tone.re[bit] = Math.sqrt(signal) * Math.cos(phase) + gaussian() * Math.SQRT1_2;
      tone.im[bit] = Math.sqrt(signal) * Math.sin(phase) + gaussian() * Math.SQRT1_2;
      other.re[bit] = gaussian() * Math.SQRT1_2;
      other.im[bit] = gaussian() * Math.SQRT1_2;
      observed.upperSignal[bit] = observed.lowerSignal[bit] = signal;
      observed.noise[bit] = 1;
      phase += sent[bit] * Math.PI * modulationIndex;
    }
    const model = {
      modulationIndex,
      phases: 40,
      differences: 8,
      phaseStepProbability: 0.01,
      differenceStepProbability: 0.001,
      phaseResetProbability: 0.01,
      wordBits: 10,
    };
    const { ratios } = trackPhase(observed, model);
    const energy = ({ re, im }: { re: Float64Array; im: Float64Array }, bit: number) =>
      re[bit] ** 2 + im[bit] ** 2;
    let errors = 0;
    let noncoherentErrors = 0;
    for (let bit = 0; bit < count; bit++) {
      if (Math.sign(ratios[bit]) !== sent[bit]) errors++;
      if (Math.sign(energy(observed.upper, bit) - energy(observed.lower, bit)) !== sent[bit])
        noncoherentErrors++;
    }
    // Noncoherent: ½·exp(−A/2N) = 0.166; coherent orthogonal: Q(√(A/N)) = 0.069 (Proakis §4.2, §4.5).
    expect(noncoherentErrors / count).toBeCloseTo(0.166, 1);
    expect(errors / count).toBeLessThan(0.11);
  });
});
