import { describe, expect, it } from 'vitest';
import { callLayouts, encodeCall, type Call } from '../../src/calls/index.js';
import { ENDS_OF_SEQUENCE, errorCheck } from '../../src/symbols/index.js';
import { decide, decideSoFar } from '../../src/receiver/decode.js';
import { addLogLikelihoods, type CharacterLogLikelihoods } from '../../src/receiver/loglikelihoods.js';
import { createChoices, type Choices } from '../scenes/random.js';

const ALERT: Call = {
  kind: 'distressAlert',
  self: '299123456',
  nature: 'sinking',
  position: { latitude: 52.5, longitude: -10.25 },
  time: '12:34',
  followOn: 'j3e',
};
const LONGER: Call = {
  kind: 'safetyCall',
  to: { station: '002991234' },
  self: '299123456',
  telecommand1: 'j3e',
  telecommand2: 'none',
  message: { receive: { hz: 8_294_010 }, transmit: { hz: 8_294_020 } },
};
const ACKNOWLEDGEMENT: Call = {
  ...ALERT,
  kind: 'distressAcknowledgement',
  self: '002991234',
  casualty: '299123456',
};
const TEST: Call = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' };

/** Evidence for characters in which only the listed symbols are possible at all, each with its ln of likelihood. */
function logLikelihoodsOf(characters: readonly ReadonlyMap<number, number>[]): CharacterLogLikelihoods {
  const values = new Float64Array(characters.length * 128).fill(-400);
  characters.forEach((symbols, character) => {
    for (const [symbol, log] of symbols) values[128 * character + symbol] = log;
  });
  const received = new Float64Array(characters.length).fill(20);
  return { values, first: values.slice(), received, count: characters.length };
}

/** The characters as they are sent in DX: the format specifier twice, the end of sequence thrice. */
function sent(symbols: readonly number[]): number[] {
  const eos = symbols[symbols.length - 2];
  return [symbols[0], ...symbols, eos, eos];
}

/** Every third character with a rival. */
function rivals(
  choices: Choices,
  characters: readonly number[],
  lead: number,
): ReadonlyMap<number, number>[] {
  return characters.map((symbol, i) => {
    const options = new Map<number, number>();
    if (i % 3 === 0) options.set(choices.integer(0, 127), choices.uniform(-3, 3));
    options.set(symbol, choices.uniform(lead - 3, lead + 3));
    return options;
  });
}

/** Prior share of symbols that no table assigns to a place, as the receiver has it. */
const UNASSIGNED = 1e-3;

/**
 * The weight of every sequence that the tables allow, by enumerating all there are: those that have ended by their
 * symbols, and those that may go on by what was received of them.
 */
function enumerate(logLikelihoods: CharacterLogLikelihoods): {
  ended: Map<string, number>;
  open: Map<string, number>;
} {
  const kinds = new Map<string, number>();
  const layouts = callLayouts();
  for (const { kind } of layouts) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  const [ended, open] = [new Map<string, number>(), new Map<string, number>()];
  const at = (character: number, symbol: number) => logLikelihoods.values[128 * character + symbol];
  const isEnds = (set: Uint8Array) =>
    set.every((member, symbol) => !member || ENDS_OF_SEQUENCE.bySymbol(symbol));
  const count = (weights: Map<string, number>, symbols: readonly number[], weight: number) => {
    const key = symbols.join(' ');
    weights.set(key, (weights.get(key) ?? 0) + weight);
  };

  for (const { kind, positions } of layouts) {
    const prior = 1 / (kinds.size * (kinds.get(kind) ?? 1));
    const last = positions.length - 1;
    const isOpen = last + 5 > logLikelihoods.count;
    const visit = (depth: number, symbols: readonly number[], log: number): void => {
      if (isOpen && (depth === last || depth + 2 > logLikelihoods.count)) {
        count(open, symbols, prior * Math.exp(log));
        return;
      }
      if (depth > last) {
        const check = errorCheck(symbols);
        const eos = symbols[last];
        const whole = log + at(last + 2, check) + at(last + 3, eos) + at(last + 4, eos);
        count(ended, [...symbols, check], prior * Math.exp(whole));
        return;
      }
      const set = positions[depth];
      const strange = depth === 0 || depth === last || isEnds(set) ? 0 : UNASSIGNED;
      const size = set.reduce((sum, member) => sum + member, 0);
      for (let symbol = 0; symbol < 128; symbol++) {
        const weight = strange / 128 + (set[symbol] ? (1 - strange) / size : 0);
        const own = depth === 0 ? at(0, symbol) + at(1, symbol) : at(depth + 1, symbol);
        if (weight > 0 && own > -300) visit(depth + 1, [...symbols, symbol], log + own + Math.log(weight));
      }
    };
    visit(0, [], 0);
  }
  return { ended, open };
}

const total = (weights: ReadonlyMap<string, number>) => [...weights.values()].reduce((a, b) => a + b, 0);

/** The share of all sequences, by weight, that have the symbol in its place: Bayes' rule. */
function shareOf(weights: readonly ReadonlyMap<string, number>[], symbol: number, place: number): number {
  const having = weights.flatMap((sequences) =>
    [...sequences].filter(([key]) => key.split(' ').at(place) === String(symbol)).map(([, weight]) => weight),
  );
  return having.reduce((a, b) => a + b, 0) / weights.reduce((sum, sequences) => sum + total(sequences), 0);
}

describe('decision', () => {
  it.each([
    [ALERT, 1, 4],
    [ALERT, 2, 2],
    [ALERT, 3, 0],
    [TEST, 4, 3],
    [TEST, 5, 1],
  ])('is what enumerating every call gives (%#)', (call, seed, lead) => {
    const symbols = encodeCall(call).symbols;
    const choices = createChoices(seed);
    const characters = rivals(choices, sent(symbols), lead);
    // Both format specifiers must be possible at once for any call to be.
    characters[0] = new Map([...characters[0], [symbols[0], 1]]);
    const logLikelihoods = logLikelihoodsOf(characters);
    const { ended, open } = enumerate(logLikelihoods);
    const [best, weight] = [...ended].reduce((a, b) => (b[1] > a[1] ? b : a));
    const decision = decide(logLikelihoods);
    expect(decision?.symbols.join(' ')).toBe(best);
    expect(decision?.logEvidence).toBeCloseTo(Math.log(total(ended)), 6);
    expect(decision?.errorProbability).toBeCloseTo(1 - weight / (total(ended) + total(open)), 6);
    decision?.certainty().forEach((certainty, place) => {
      expect(certainty).toBeCloseTo(shareOf([ended, open], decision.symbols[place], place), 9);
    });
  });

  it.each([
    [21, 1],
    [22, 2],
  ])('gives each character the share of all calls, longer ones and open ones too (%#)', (count, seed) => {
    const choices = createChoices(seed);
    const [short, long] = [TEST, LONGER].map((call) => sent(encodeCall(call).symbols));
    const characters = long.slice(0, count + 4).map((symbol, i) => {
      // A digit pair has one prior in a hundred.
      const options = new Map([[symbol, choices.uniform(4, 6)]]);
      if (short[i] !== symbol && i < short.length) options.set(short[i], choices.uniform(-1, 1));
      return options;
    });
    // The error check of a mixture of both is another one.
    characters[22].set(short[22] ^ short[14] ^ long[14], 2);
    const logLikelihoods = logLikelihoodsOf(characters);
    const { ended, open } = enumerate(logLikelihoods);
    const decision = decide(logLikelihoods);
    const certainty = decision?.certainty() ?? [];
    expect(certainty).toHaveLength(decision?.symbols.length ?? NaN);
    expect(Math.min(...certainty)).toBeLessThan(0.9);
    expect(decision?.unfinished).toBeCloseTo(total(open) / (total(open) + total(ended)), 9);
    certainty.forEach((value, place) => {
      expect(value, `place ${place}`).toBeCloseTo(
        shareOf([ended, open], decision?.symbols[place] ?? NaN, place),
        9,
      );
    });
  });

  it('is sure of characters that are sure, whatever the kind of call', () => {
    for (const call of [ALERT, TEST]) {
      const symbols = encodeCall(call).symbols;
      const decision = decide(logLikelihoodsOf(sent(symbols).map((symbol) => new Map([[symbol, 6]]))));
      expect(decision?.symbols).toEqual(symbols);
      expect(decision?.errorProbability).toBeLessThan(1e-6);
    }
  });

  it('reads characters that were lost by the error check', () => {
    const symbols = encodeCall(ALERT).symbols;
    const characters = sent(symbols).map((symbol) => new Map([[symbol, 6]]));
    // Any digit pair at the fifth character: the check says which.
    characters[4] = new Map(Array.from({ length: 100 }, (_, pair) => [pair, 0]));
    const decision = decide(logLikelihoodsOf(characters));
    expect(decision?.symbols).toEqual(symbols);
    expect(decision?.errorProbability).toBeLessThan(1e-6);
  });

  it('is not sure where two calls fit the error check alike', () => {
    const symbols = encodeCall(ALERT).symbols;
    const characters = sent(symbols).map((symbol) => new Map([[symbol, 6]]));
    // Both bits of one weight swapped in two characters: the exclusive-or stays.
    for (const character of [3, 4]) {
      const [[symbol]] = characters[character];
      characters[character] = new Map([
        [symbol, 6],
        [symbol ^ 1, 6],
      ]);
    }
    expect(decide(logLikelihoodsOf(characters))?.errorProbability).toBeCloseTo(0.5, 2);
  });

  it('does not decide before a call can have ended', () => {
    const characters = sent(encodeCall(ALERT).symbols).map((symbol) => new Map([[symbol, 6]]));
    expect(decide(logLikelihoodsOf(characters.slice(0, 12)))).toBeUndefined();
  });

  it.each([
    ['an alert ends with 20 characters, and nothing longer begins so', ALERT, 20, Infinity],
    // 116 116, 112, self 5, 110, casualty 5, nature, position 5, time 2, follow-on, EOS, ECC, EOS EOS: 27 (M.493 §8.2, from memory).
    ['an acknowledgement of distress goes on to 27', ACKNOWLEDGEMENT, 20, 27],
  ])('says how long a call may be: %s', (_, call, received, length) => {
    const characters = sent(encodeCall(call).symbols).map((symbol) => new Map([[symbol, 6]]));
    expect(decideSoFar(logLikelihoodsOf(characters.slice(0, received))).nextLength).toBe(length);
  });

  it('says that more may follow where a longer call fits what was received', () => {
    const symbols = encodeCall(TEST).symbols;
    const whole = sent(symbols).map((symbol) => new Map([[symbol, 6]]));
    const part = decide(logLikelihoodsOf(whole.slice(0, 20)));
    expect(part === undefined || part.unfinished > 0.99).toBe(true);
    expect(decide(logLikelihoodsOf(whole))?.unfinished).toBeLessThan(1e-6);
  });

  it('takes a sequence the tables do not foresee, where a textbook reading found it whole', () => {
    const content = [121, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 127];
    const symbols = [...content, errorCheck(content)];
    const noise = Array.from({ length: 12 }, () => new Map(Array.from({ length: 128 }, (_, i) => [i, 0])));
    const logLikelihoods = logLikelihoodsOf([
      ...sent(symbols).map((symbol) => new Map([[symbol, 6.5]])),
      ...noise,
    ]);
    const decision = decide(logLikelihoods, symbols);
    expect(decision?.symbols).toEqual(symbols);
    expect(Math.min(...(decision?.certainty() ?? [0]))).toBeGreaterThan(0.99);
  });
});

describe('adding up sendings', () => {
  it('adds the logLikelihoods of the characters that all have', () => {
    const symbols = sent(encodeCall(ALERT).symbols);
    const one = logLikelihoodsOf(symbols.map((symbol) => new Map([[symbol, 1]])));
    const short = logLikelihoodsOf(symbols.slice(0, -1).map((symbol) => new Map([[symbol, 2]])));
    const sum = addLogLikelihoods([one, short]);
    expect(sum.count).toBe(symbols.length - 1);
    expect([...sum.received]).toEqual(Array.from({ length: sum.count }, () => 40));
    expect(sum.values).toHaveLength(128 * sum.count);
    for (let character = 0; character < sum.count; character++) {
      expect(sum.values[128 * character + symbols[character]]).toBe(3);
      expect(sum.first[128 * character + symbols[character]]).toBe(3);
    }
  });

  it('decides what no sending decides alone', () => {
    const symbols = encodeCall(ALERT).symbols;
    const choices = createChoices(31);
    const weak = () =>
      logLikelihoodsOf(
        sent(symbols).map((symbol) => {
          const options = new Map<number, number>();
          for (let rival = 0; rival < 128; rival++) options.set(rival, choices.uniform(-1, 1));
          options.set(symbol, choices.uniform(0.5, 4));
          return options;
        }),
      );
    const sendings = Array.from({ length: 5 }, weak);
    expect(decide(sendings[0])?.errorProbability).toBeGreaterThan(0.01);
    const together = decide(addLogLikelihoods(sendings));
    expect(together?.symbols).toEqual(symbols);
    expect(together?.errorProbability).toBeLessThan(1e-3);
  });
});
