/**
 * Working frequencies and channels: ITU-R M.493 Annex 1 §8.3.2 (from memory).
 */
import { DotphaseError, requireInteger, requireRecord } from '../../errors.js';
import { NO_INFORMATION, digitsToSymbols, symbolsToDigits } from '../../symbols/index.js';
import type { Channel } from '../values.js';
import {
  DIGIT_PAIR,
  only,
  repeated,
  sameSymbols,
  symbolSet,
  type Field,
  type FieldWriter,
  type LengthAt,
} from './field.js';

const NO_CHANNEL = repeated(NO_INFORMATION, 3);
const HZ_PER_STEP = 100;
const HZ_PER_FINE_STEP = 10;
const HIGHEST_HZ = 29_999_900;
const HIGHEST_FINE_HZ = 99_999_990;
/** Indexed by the digit between 90 and the channel number. */
export const SIMPLEX_SIDES = [undefined, 'ship', 'coast'] as const;
const EXPECTED = "{ hz }, { channel }, { vhfChannel } or 'none'";

function writeFrequency(value: unknown, path: string): number[] {
  const { hz, resolutionHz } = requireRecord(value, path, ['hz', 'resolutionHz'], '{ hz }');
  if (resolutionHz !== undefined && resolutionHz !== HZ_PER_FINE_STEP) {
    throw new DotphaseError(`${path}.resolutionHz`, resolutionHz, '10, or nothing');
  }
  const fine = resolutionHz === HZ_PER_FINE_STEP || Number(hz) % HZ_PER_STEP !== 0 || Number(hz) > HIGHEST_HZ;
  if (
    typeof hz !== 'number' ||
    !(hz >= 0 && hz <= HIGHEST_FINE_HZ && hz % (fine ? HZ_PER_FINE_STEP : HZ_PER_STEP) === 0)
  ) {
    throw new DotphaseError(`${path}.hz`, hz, `a multiple of 10 Hz from 0 to ${HIGHEST_FINE_HZ}`);
  }
  return fine
    ? digitsToSymbols(`4${String(hz / HZ_PER_FINE_STEP).padStart(7, '0')}`)
    : digitsToSymbols(String(hz / HZ_PER_STEP).padStart(6, '0'));
}

function writeVhfChannel(value: unknown, path: string): number[] {
  const { vhfChannel, simplex } = requireRecord(value, path, ['vhfChannel', 'simplex'], '{ vhfChannel }');
  const side = SIMPLEX_SIDES.indexOf(simplex as (typeof SIMPLEX_SIDES)[number]);
  if (side < 0) throw new DotphaseError(`${path}.simplex`, simplex, "'ship', 'coast' or nothing");
  const number = requireInteger(`${path}.vhfChannel`, vhfChannel, 0, 999);
  return digitsToSymbols(`90${side}${String(number).padStart(3, '0')}`);
}

/** Four symbols from 40 to 49 on, else three. */
export const channelLengthAt: LengthAt = (symbols, at) => {
  const length = symbols[at] >= 40 && symbols[at] <= 49 ? 4 : 3;
  return at + length <= symbols.length ? length : Infinity;
};

/** Half a frequency message: a frequency, an MF/HF channel, a VHF channel or nothing (M.493 §8.3.2). */
export const channelField: Field = {
  kind: 'channel',
  lengthAt: channelLengthAt,
  read(symbols): Channel | undefined {
    if (sameSymbols(symbols, NO_CHANNEL)) return 'none';
    const digits = symbolsToDigits(symbols);
    if (digits === undefined) return undefined;
    const number = Number(digits.slice(1));
    if (digits.startsWith('4')) {
      const hz = number * HZ_PER_FINE_STEP;
      return hz % HZ_PER_STEP === 0 && hz <= HIGHEST_HZ ? { hz, resolutionHz: 10 } : { hz };
    }
    if (/^[0-2]/.test(digits)) return { hz: Number(digits) * HZ_PER_STEP };
    if (digits.startsWith('3')) return { channel: number };
    const vhf = /^90([0-2])(\d{3})$/.exec(digits);
    if (!vhf) return undefined;
    const side = SIMPLEX_SIDES[Number(vhf[1])];
    return { vhfChannel: Number(vhf[2]), ...(side && { simplex: side }) };
  },
  shapes: () => [
    [symbolSet([0, 39]), DIGIT_PAIR, DIGIT_PAIR],
    [symbolSet(90), symbolSet([0, 29]), DIGIT_PAIR],
    only(NO_CHANNEL),
    [symbolSet([40, 49]), DIGIT_PAIR, DIGIT_PAIR, DIGIT_PAIR],
  ],
};

/** How that is written. */
export const channelWriter: FieldWriter = {
  lengthAt: channelLengthAt,
  write(value, path) {
    if (value === 'none') return [...NO_CHANNEL];
    if (typeof value === 'object' && value !== null) {
      if ('hz' in value) return writeFrequency(value, path);
      if ('vhfChannel' in value) return writeVhfChannel(value, path);
      if ('channel' in value) {
        const { channel } = requireRecord(value, path, ['channel'], '{ channel }');
        const number = requireInteger(`${path}.channel`, channel, 0, 99_999);
        return digitsToSymbols(`3${String(number).padStart(5, '0')}`);
      }
    }
    throw new DotphaseError(path, value, EXPECTED);
  },
};
