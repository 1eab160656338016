/**
 * Seeded random streams: xoroshiro128+ (Blackman and Vigna) from pure-rand, and Gaussian numbers by the
 * ziggurat (Marsaglia and Tsang, "The ziggurat method for generating random variables", 2000; from memory).
 *
 * Each stream is named by a seed and a label, and the streams of different labels are independent: the
 * 128-bit state is a hash of both.
 */
import { xoroshiro128plusFromState } from 'pure-rand/generator/xoroshiro128plus';

const LAYERS = 128;
/** Where the ziggurat's tail begins, and the area of each of its 128 layers (Marsaglia and Tsang 2000). */
const TAIL_START = 3.442619855899;
const LAYER_AREA = 9.91256303526217e-3;

/** Right edge of each layer, from the base upwards; the last is 0. */
const EDGES: Float64Array = (() => {
  const density = (x: number): number => Math.exp(-0.5 * x * x);
  const edges = new Float64Array(LAYERS + 1);
  edges[0] = LAYER_AREA / density(TAIL_START);
  edges[1] = TAIL_START;
  for (let i = 2; i < LAYERS; i++) {
    edges[i] = Math.sqrt(-2 * Math.log(LAYER_AREA / edges[i - 1] + density(edges[i - 1])));
  }
  return edges;
})();

/** 32 bits from a text: FNV-1a from a basis of its own, then the finaliser of MurmurHash3 (both from memory). */
function hashWord(text: string, basis: number): number {
  let h = 0x811c9dc5 ^ Math.imul(basis, 0x9e3779b1);
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) | 0;
}

/**
 * A seed that a number and a name determine.
 *
 * @returns an integer from 0 to 2³² − 1
 */
export function seedFor(seed: number, name: string): number {
  return hashWord(`${seed}/${name}`, 0) >>> 0;
}

/** The open interval 0 to 1 from the 32 bits of a word, signed or not. */
export function unitInterval(word: number): number {
  return ((word >>> 0) + 0.5) / 0x1_0000_0000;
}

/** A stream of random numbers that its seed and label determine. */
export class Random {
  private readonly generator;

  /**
   * @param seed - integer 0 to 2⁵³ − 1
   * @param label - names the stream among those of the seed
   */
  constructor(seed: number, label: string) {
    const text = `${seed}/${label}`;
    this.generator = xoroshiro128plusFromState([0, 1, 2, 3].map((basis) => hashWord(text, basis)));
  }

  /** Uniform over the open interval 0 to 1. */
  uniform(): number {
    return unitInterval(this.generator.next());
  }

  /** Exponential with mean 1. */
  exponential(): number {
    return -Math.log(this.uniform());
  }

  /** Gaussian with mean 0 and variance 1. The top eight bits of a word choose sign and layer, the rest the place. */
  gaussian(): number {
    for (;;) {
      const word = this.generator.next();
      const layer = (word >>> 24) & (LAYERS - 1);
      const x = (((word & 0xffffff) + 0.5) / 0x1000000) * EDGES[layer];
      const sign = word < 0 ? -1 : 1;
      if (x < EDGES[layer + 1]) return sign * x;
      if (layer === 0) return sign * this.tail();
      if (this.underCurve(x, layer)) return sign * x;
    }
  }

  private underCurve(x: number, layer: number): boolean {
    const outer = EDGES[layer];
    const inner = EDGES[layer + 1];
    const low = Math.exp(-0.5 * (outer * outer - x * x));
    const high = Math.exp(-0.5 * (inner * inner - x * x));
    return low + this.uniform() * (high - low) < 1;
  }

  /** Beyond the last layer: Marsaglia's method for the tail. */
  private tail(): number {
    for (;;) {
      const beyond = this.exponential() / TAIL_START;
      if (2 * this.exponential() > beyond * beyond) return TAIL_START + beyond;
    }
  }
}
