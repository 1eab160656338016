import { readFileSync, readdirSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { decodeCall, encodeCall, type Call } from '../../src/calls/index.js';
import { readSequences } from '../../src/frames/index.js';
import { lettersToBits } from '../../src/symbols/index.js';
import { CASES } from './cases.js';
import { DAMAGED } from './damaged.js';
import { VECTORS, vectorFiles } from './generate.js';

interface Vector {
  name: string;
  band: 'mf-hf' | 'vhf';
  call: Call;
  characters: number[];
  expansions: number[][];
  dots: number;
  dx: number[];
  rx: number[];
  bits: string;
  bitRate: number;
  seconds: number;
  wav?: string;
}
interface Damaged {
  bits: string;
  expected: { characters: number[] | null; checked: boolean; expansions: number[][] };
}

const read = (path: string): unknown => JSON.parse(readFileSync(VECTORS + path, 'utf8'));
const index = read('index.json') as Record<
  'calls' | 'attempts' | 'damaged',
  { file: string; wav?: string }[]
>;
const vectors = CASES.map(({ name }) => read(`calls/${name}.json`) as Vector);

// What the vectors say is worked out here once more from the rules of ITU-R M.493 Annex 1 (from memory), without the
// library: the code of §1, the sequence of §3, the error check of §10.
const xor = (symbols: readonly number[]) => symbols.reduce((sum, symbol) => sum ^ symbol, 0);

/** Ten letters of a symbol: its bits from the least significant, then how many of them are B, in three bits. */
function letters(symbol: number): string {
  const seven = symbol.toString(2).padStart(7, '0').split('').reverse();
  const count = seven.filter((bit) => bit === '0').length;
  return (seven.join('') + count.toString(2).padStart(3, '0')).replaceAll('0', 'B').replaceAll('1', 'Y');
}

/** DX and RX of a call and its expansions. */
function sendings({ characters, expansions }: Pick<Vector, 'characters' | 'expansions'>) {
  const information = [characters[0], ...characters];
  for (const sequence of [characters, ...expansions]) {
    if (sequence !== characters) information.push(...sequence);
    const eos = sequence[sequence.length - 2];
    information.push(eos, eos);
  }
  return {
    dx: [125, 125, 125, 125, 125, 125, ...information],
    rx: [111, 110, 109, 108, 107, 106, 105, 104, ...information.slice(0, -2)],
  };
}

describe('the vectors', () => {
  it('are those of the source of truth', () => {
    for (const [path, content] of vectorFiles()) {
      if (typeof content === 'string') expect(readFileSync(VECTORS + path, 'utf8'), path).toBe(content);
      else expect(Buffer.compare(readFileSync(VECTORS + path), content), path).toBe(0);
    }
  });

  it('are all in the index, and the index names no other', () => {
    const listed = Object.values(index).flatMap((rows) => rows.map(({ file }) => file));
    const there = ['calls', 'attempts', 'damaged'].flatMap((folder) =>
      readdirSync(VECTORS + folder).map((name) => `${folder}/${name}`),
    );
    expect(listed.toSorted()).toEqual(there.toSorted());
    const wavs = Object.values(index).flatMap((rows) => rows.flatMap(({ wav = [] }) => wav));
    expect(wavs.toSorted()).toEqual(
      readdirSync(`${VECTORS}wav`)
        .map((name) => `wav/${name}`)
        .toSorted(),
    );
    expect(wavs.length).toBeGreaterThanOrEqual(12);
    for (const wav of wavs) expect(statSync(VECTORS + wav).size).toBeLessThan(200_000);
  });

  it('hold every kind of call', () => {
    expect(new Set(vectors.map(({ call }) => call.kind)).size).toBeGreaterThanOrEqual(21);
  });
});

describe.each(vectors)('$name', (vector) => {
  it('has the error check that its characters make', () => {
    expect(xor(vector.characters)).toBe(0);
    for (const sequence of vector.expansions) expect(xor(sequence)).toBe(0);
  });

  it('has the slots that the rules make', () => {
    expect({ dx: vector.dx, rx: vector.rx }).toEqual(sendings(vector));
  });

  it('has the bits that the code makes', () => {
    const slots = vector.dx.flatMap((symbol, pair) => [symbol, vector.rx[pair]]);
    expect(vector.bits).toBe('BY'.repeat(vector.dots / 2) + slots.map(letters).join(''));
  });

  it('lasts as long as its bits', () => {
    expect(vector.bitRate).toBe(vector.band === 'vhf' ? 1200 : 100);
    expect(vector.seconds).toBeCloseTo((vector.dots + 20 * vector.dx.length) / vector.bitRate, 12);
  });

  it('is encoded and read by the library', () => {
    expect(encodeCall(vector.call).symbols).toEqual(vector.characters);
    expect(encodeCall(vector.call).expansions).toEqual(vector.expansions);
    const [reading] = readSequences(lettersToBits(vector.bits));
    expect(reading.checked).toBe(true);
    const back = decodeCall(reading.symbols ?? [], { expansions: reading.expansions });
    expect(encodeCall(back).symbols).toEqual(vector.characters);
    expect(back).toEqual(vector.call);
  });
});

it.each([
  ['first', 2800, 28],
  ['each', 3600, 36],
])('five alerts with dots before the %s are %i bits', (dotsBefore, length, seconds) => {
  const attempt = read(`attempts/attempt-dots-before-${dotsBefore}.json`) as Vector;
  const [alert] = vectors;
  const [dots, slots] = [alert.bits.slice(0, 200), alert.bits.slice(200)];
  expect(attempt.bits).toBe(dotsBefore === 'first' ? dots + slots.repeat(5) : alert.bits.repeat(5));
  expect(attempt.bits).toHaveLength(length);
  expect(attempt.seconds).toBeCloseTo(seconds, 12);
});

describe('damaged', () => {
  it.each(DAMAGED)('$name: $about', ({ name }) => {
    const { bits, expected } = read(`damaged/${name}.json`) as Damaged;
    const [reading] = readSequences(lettersToBits(bits));
    if (expected.characters === null) expect(reading).toBeUndefined();
    else {
      expect(reading.symbols).toEqual(expected.characters);
      expect(reading.checked).toBe(expected.checked);
      expect(reading.expansions).toEqual(expected.expansions);
    }
  });
});

// Each bit's tone by the energies of both over the bit: Y the lower, B the higher (M.493 §1.3, from memory).
describe('audio', () => {
  const withAudio = [...vectors, ...DAMAGED.map(({ name }) => read(`damaged/${name}.json`) as Vector)].filter(
    ({ wav }) => wav,
  );
  it.each(withAudio)('$wav carries its bits', ({ wav = '', bits, bitRate }) => {
    const file = new wavefile.WaveFile(readFileSync(VECTORS + wav));
    expect(file.fmt).toMatchObject({ sampleRate: 8000, bitsPerSample: 16, numChannels: 1 });
    const samples = file.getSamples(true, Int16Array) as unknown as Int16Array;
    expect(samples).toHaveLength(1600 + Math.ceil((bits.length * 8000) / bitRate));
    const [y, b] = bitRate === 100 ? [1615, 1785] : [1300, 2100];
    const energy = (from: number, to: number, hz: number) => {
      let [re, im] = [0, 0];
      for (let n = Math.ceil(from); n < to; n++) {
        re += samples[n] * Math.cos((2 * Math.PI * hz * n) / 8000);
        im += samples[n] * Math.sin((2 * Math.PI * hz * n) / 8000);
      }
      return re * re + im * im;
    };
    const found = Array.from(bits, (_, i) => {
      const [from, to] = [i, i + 1].map((bit) => 800 + (bit * 8000) / bitRate);
      return energy(from, to, y) > energy(from, to, b) ? 'Y' : 'B';
    });
    expect(found.join('')).toBe(bits);
    const loudest = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    expect(loudest / 32_768).toBeCloseTo(0.5, 2);
  });
});
