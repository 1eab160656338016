/**
 * The likeliest symbols that lead to the end of a call: Viterbi's algorithm on the trellis that was walked.
 */
import { SYMBOL_COUNT } from '../symbols/index.js';
import { LOG_LIGHT, endLogLikelihood, largest, type Visit } from './calltrellis.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import { newSymbolArray } from './symbolarrays.js';

/** The best way to each parity of a position. */
interface Ways {
  /** ln of what it weighs. */
  readonly scores: Float64Array;
  /** Its last step: a source before the position, a symbol behind it. */
  readonly steps: Uint8Array;
}

/** Takes the better of two ways to each parity. */
function improve(ways: Ways, parity: number, score: number, step: number): void {
  if (score <= ways.scores[parity]) return;
  ways.scores[parity] = score;
  ways.steps[parity] = step;
}

const noWays = (): Ways => ({
  scores: newSymbolArray().fill(-Infinity),
  steps: new Uint8Array(SYMBOL_COUNT),
});

/** Finds paths through the same trellis; what they have in common is worked out once. */
export class LikeliestPaths {
  readonly #before = new Map<Visit, Ways>();
  readonly #behind = new Map<Visit, Ways>();

  constructor(private readonly logLikelihoods: CharacterLogLikelihoods) {}

  /** The likeliest symbols to an end of sequence, it and the error check included. */
  to(end: Visit, eos: number): number[] {
    const { scores } = this.#waysTo(end);
    let best = 0;
    let bestScore = -Infinity;
    for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
      const score = scores[parity] + endLogLikelihood(this.logLikelihoods, end.node.depth, eos, parity ^ eos);
      if (score > bestScore) [best, bestScore] = [parity, score];
    }
    const symbols = [eos, best ^ eos];
    let parity = best;
    for (let visit = end; visit.sources.length > 0;) {
      visit = visit.sources[this.#waysTo(visit).steps[parity]].visit;
      const symbol = this.#waysThrough(visit).steps[parity];
      symbols.unshift(symbol);
      parity ^= symbol;
    }
    return symbols;
  }

  #waysTo(visit: Visit): Ways {
    const known = this.#before.get(visit);
    if (known) return known;
    const ways = noWays();
    if (visit.sources.length === 0) improve(ways, 0, visit.before.scale, 0);
    visit.sources.forEach(({ visit: source, share }, step) => {
      const { scores } = this.#waysThrough(source);
      const gain = Math.log(share);
      for (let parity = 0; parity < SYMBOL_COUNT; parity++)
        improve(ways, parity, scores[parity] + gain, step);
    });
    this.#before.set(visit, ways);
    return ways;
  }

  #waysThrough(visit: Visit): Ways {
    const known = this.#behind.get(visit);
    if (known) return known;
    const ways = noWays();
    const { scores } = this.#waysTo(visit);
    if (visit.worth) {
      const { symbols, weights, heavy, top } = visit.worth;
      const gains = weights.map((weight) => Math.log(weight) + top);
      const least = largest(scores) + LOG_LIGHT;
      for (let parity = 0; parity < SYMBOL_COUNT; parity++) {
        const score = scores[parity];
        const count = score === -Infinity ? 0 : score < least ? heavy : symbols.length;
        for (let i = 0; i < count; i++) improve(ways, parity ^ symbols[i], score + gains[i], symbols[i]);
      }
    }
    this.#behind.set(visit, ways);
    return ways;
  }
}
