/**
 * Writes test-vectors/ from the hand-worked calls of cases.ts and damaged.ts.
 *
 * Run with `npx tsx tests/vectors/generate.ts`.
 */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import wavefile from 'wavefile';
import { airSlots, frameCall, type Frame } from '../../src/frames/index.js';
import { MODULATIONS, modulateBits } from '../../src/modem/index.js';
import { bitsToLetters, symbolToBits, BIT_RATE } from '../../src/symbols/index.js';
import { CASES, numbers, type VectorCase } from './cases.js';
import { DAMAGED, type DamagedCase } from './damaged.js';

/** Where the vectors lie. */
export const VECTORS = fileURLToPath(new URL('../../test-vectors/', import.meta.url));

const SAMPLE_RATE = 8000;
/** Silence before and after, in samples. */
const SILENCE = 800;

/** Lists of plain numbers on one line each, everything else indented. */
export function toText(value: unknown): string {
  const text = JSON.stringify(value, undefined, 2);
  const inOneLine = text.replace(/\[[\d\s,.nul-]+\]/g, (list) =>
    list.replace(/\s+/g, ' ').replace('[ ', '[').replace(' ]', ']'),
  );
  return `${inOneLine}\n`;
}

function framed(row: VectorCase): Frame {
  const expansions = (row.expansions ?? []).map(numbers);
  return frameCall(
    { symbols: numbers(row.characters), expansions: expansions },
    { band: row.band, dots: row.dots },
  );
}

function vectorOf(row: VectorCase) {
  const { bits, sendings, duration } = framed(row);
  const of = (position: string) =>
    sendings[0].slots.filter((slot) => slot.position === position).map((slot) => slot.symbol);
  return {
    name: row.name,
    about: row.about,
    band: row.band,
    call: row.call,
    characters: numbers(row.characters),
    expansions: (row.expansions ?? []).map(numbers),
    dots: row.dots,
    dx: of('DX'),
    rx: of('RX'),
    bits: bitsToLetters(bits),
    bitRate: BIT_RATE[row.band],
    seconds: duration,
    ...(row.wav && { wav: `wav/${row.name}.wav` }),
  };
}

/** The attempt of five alerts in a row, in both readings of the standard. */
function attempts() {
  const [alert] = CASES;
  return (['first', 'each'] as const).map((dotsBefore) => {
    const { bits, duration } = frameCall(numbers(alert.characters), { repeat: 5, dotsBefore });
    return {
      name: `attempt-dots-before-${dotsBefore}`,
      about: `Five distress alerts in a row without a gap, the dot pattern before ${dotsBefore === 'first' ? 'the first alone' : 'each'}`,
      of: alert.name,
      repeat: 5,
      dotsBefore,
      bits: bitsToLetters(bits),
      bitRate: BIT_RATE['mf-hf'],
      seconds: duration,
    };
  });
}

/** The call that a damaged one was. */
function originalOf(row: DamagedCase): VectorCase {
  const original = CASES.find((candidate) => candidate.name === row.of);
  if (!original) throw new Error(`no case ${row.of}`);
  return original;
}

/** The bits of a damaged call as they arrive. */
function damagedBits(row: DamagedCase): Uint8Array {
  const original = originalOf(row);
  const { bits } = framed(original);
  const slots = airSlots(numbers(original.characters), (original.expansions ?? []).map(numbers));
  const at = (slot: number) => original.dots + 10 * slot;
  const slotOf = (position: 'DX' | 'RX', character: number) =>
    slots.findIndex((slot) => slot.position === position && slot.character === character);
  const places = ({ dx = [], rx = [] }: { dx?: readonly number[]; rx?: readonly number[] }) => [
    ...dx.map((character) => slotOf('DX', character)),
    ...rx.map((character) => slotOf('RX', character)),
  ];
  for (const slot of [...(row.lostPhasing ?? []), ...places(row.lost ?? {})]) bits[at(slot)] ^= 1;
  for (const slot of places(row.turned ?? {})) bits.set(symbolToBits(row.turned?.to ?? 0), at(slot));
  return bits.subarray(row.lateBits ?? 0, row.endsAt);
}

function damagedVectorOf(row: DamagedCase) {
  const original = originalOf(row);
  const { characters, checked, expansions = [] } = row.expected;
  return {
    name: row.name,
    about: row.about,
    of: row.of,
    band: original.band,
    bits: bitsToLetters(damagedBits(row)),
    bitRate: BIT_RATE[original.band],
    expected: {
      characters: characters === undefined ? null : numbers(characters),
      checked,
      expansions: expansions.map(numbers),
    },
    ...(row.wav && { wav: `wav/${row.name}.wav` }),
  };
}

function wavOf(bits: Uint8Array, band: VectorCase['band']): Uint8Array {
  const samples = modulateBits(bits, { sampleRate: SAMPLE_RATE, modulation: MODULATIONS[band] });
  const padded = new Int16Array(samples.length + 2 * SILENCE);
  samples.forEach((sample, n) => (padded[SILENCE + n] = Math.round(sample * 32_767)));
  const file = new wavefile.WaveFile();
  file.fromScratch(1, SAMPLE_RATE, '16', padded);
  return file.toBuffer();
}

/** Every file by its path below test-vectors/. */
export function vectorFiles(): Map<string, string | Uint8Array> {
  const files = new Map<string, string | Uint8Array>();
  const calls = CASES.map(vectorOf);
  const damaged = DAMAGED.map(damagedVectorOf);
  const folders = { calls, attempts: attempts(), damaged };
  for (const [folder, vectors] of Object.entries(folders)) {
    for (const vector of vectors) files.set(`${folder}/${vector.name}.json`, toText(vector));
  }
  for (const row of CASES.filter(({ wav }) => wav)) {
    files.set(`wav/${row.name}.wav`, wavOf(framed(row).bits, row.band));
  }
  for (const row of DAMAGED.filter(({ wav }) => wav)) {
    files.set(`wav/${row.name}.wav`, wavOf(damagedBits(row), originalOf(row).band));
  }
  const index = Object.entries(folders).map(([folder, vectors]): [string, object[]] => [
    folder,
    vectors.map((vector) => ({
      file: `${folder}/${vector.name}.json`,
      about: vector.about,
      ...('wav' in vector && { wav: vector.wav }),
    })),
  ]);
  files.set('index.json', toText(Object.fromEntries(index)));
  return files;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const folder of ['calls', 'attempts', 'damaged', 'wav']) {
    rmSync(`${VECTORS}${folder}`, { recursive: true, force: true });
  }
  for (const [path, content] of vectorFiles()) {
    mkdirSync(dirname(VECTORS + path), { recursive: true });
    writeFileSync(VECTORS + path, content);
  }
}
