/**
 * Signals to adjust and check sets by: steady tones, dots, phasing alone, and frames with one fault
 * (ITU-R M.493 Annex 1 §1–§3, from memory).
 */
import { FskPhase, dbToAmplitude } from '../dsp/index.js';
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import { PHASING_DX_COUNT, PHASING_RX, type Frame } from '../frames/index.js';
import { MODULATIONS, SAMPLE_RATES, type ModulateOptions } from '../modem/index.js';
import { BITS_PER_SYMBOL, PHASING_DX, symbolToBits, type Band } from '../symbols/index.js';

/** What can be sent without an end: the tone of B, that of Y, dots (B Y B Y …), phasing characters in DX and RX. */
export const BENCH_SIGNALS = ['b', 'y', 'dots', 'phasing'] as const;

/** The name of a signal. */
export type BenchSignal = (typeof BENCH_SIGNALS)[number];

/** How a signal becomes audio. */
export interface BenchSignalOptions extends Omit<ModulateOptions, 'rampBits'> {
  band: Band;
  /** How long, seconds; Infinity for one that never ends. */
  seconds: number;
  /** Level of B over Y, dB: the weaker tone is turned down; default 0. */
  bOverYDb?: number;
}

const BLOCK = 4096;

/** The bits of phasing, which begin again after eight characters in each position. */
const PHASING_BITS = PHASING_RX.flatMap((rx) => [...symbolToBits(PHASING_DX), ...symbolToBits(rx)]);

/** Each bit of a signal in turn: whether it is B. */
function keying(signal: BenchSignal): () => boolean {
  let bit = -1;
  switch (signal) {
    case 'b':
      return () => true;
    case 'y':
      return () => false;
    case 'dots':
      return () => ++bit % 2 === 0;
    case 'phasing':
      return () => PHASING_BITS[++bit % PHASING_BITS.length] === 0;
  }
}

/**
 * The audio of a signal, block by block, with continuous phase.
 *
 * @throws DotphaseError when an option is out of range
 */
export function* benchSignal(
  signal: BenchSignal,
  options: BenchSignalOptions,
): Generator<Float32Array, void, undefined> {
  const { band, seconds, bOverYDb = 0, inverted = false } = options;
  if (!BENCH_SIGNALS.includes(signal)) throw new DotphaseError('signal', signal, BENCH_SIGNALS.join(', '));
  const sampleRate = requireNumber(
    'sampleRate',
    options.sampleRate,
    SAMPLE_RATES.lowest,
    SAMPLE_RATES.highest,
    'Hz',
  );
  const { baud, shiftHz, centreHz: usual } = MODULATIONS[band];
  const half = shiftHz / 2;
  const centreHz = requireNumber('centreHz', options.centreHz ?? usual, half, sampleRate / 2 - half, 'Hz');
  const level = requireNumber('level', options.level ?? 0.5, 0, 1);
  requireNumber('bOverYDb', bOverYDb, -40, 40, 'dB');
  if (!(seconds > 0)) throw new DotphaseError('seconds', seconds, 'more than 0');
  const [b, y] = [Math.min(0, bOverYDb), Math.min(0, -bOverYDb)].map((db) => level * dbToAmplitude(db));
  const next = keying(signal);
  const keyed: boolean[] = [];
  const phase = new FskPhase({ sampleRate, baud, centreHz, shiftHz }, () => {
    const isB = next();
    keyed.push(isB);
    return isB !== inverted;
  });
  const total = Math.round(seconds * sampleRate);
  let bit = 0;
  for (let first = 0; first < total; first += BLOCK) {
    const block = new Float32Array(Math.min(BLOCK, total - first));
    for (let n = 0; n < block.length; n++) {
      const turns = phase.turns();
      const now = Math.floor(((first + n) * baud) / sampleRate);
      for (; bit < now; bit++) keyed.shift();
      block[n] = (keyed[0] ? b : y) * Math.sin(2 * Math.PI * turns);
    }
    yield block;
  }
}

/** A frame whose character of the call, from 1, is sent wrong. */
export interface CharacterFault {
  /** The information character, from 1 for the first format specifier. */
  readonly character: number;
  readonly position: 'DX' | 'RX' | 'both';
}

/**
 * A frame in which a character's ten-unit check disagrees: its last element is turned over.
 *
 * @throws DotphaseError where the frame has no such character in that position
 */
export function withWrongCharacter(frame: Frame, { character, position }: CharacterFault): Frame {
  requireInteger('character', character, 1, 1000);
  const bits = Uint8Array.from(frame.bits);
  const positions = position === 'both' ? (['DX', 'RX'] as const) : [position];
  let from = 0;
  for (const { dots, slots } of frame.sendings) {
    from += dots;
    for (const wanted of positions) {
      const slot = slots.findIndex((one) => one.position === wanted && one.character === character - 1);
      if (slot < 0) {
        const count = slots.length / 2 - (wanted === 'DX' ? PHASING_DX_COUNT : PHASING_RX.length);
        throw new DotphaseError('character', character, `a character from 1 to ${count} in ${wanted}`);
      }
      bits[from + (slot + 1) * BITS_PER_SYMBOL - 1] ^= 1;
    }
    from += slots.length * BITS_PER_SYMBOL;
  }
  return { ...frame, bits };
}

/** Characters of a call with an error check that disagrees: its lowest bit is turned over. */
export function withWrongErrorCheck(symbols: readonly number[]): number[] {
  return [...symbols.slice(0, -1), symbols[symbols.length - 1] ^ 1];
}
