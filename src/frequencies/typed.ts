/**
 * Frequencies, channels and times of day as people type them, alike wherever they are typed.
 */
import { maritimeBand, type Channel, type TimeOfDay, type Unassigned } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { requireFrequency } from './bands.js';
import { TELEPHONY_CHANNELS } from './telephony.js';
import { VHF_CHANNELS } from './vhf.js';

const HZ_PER_UNIT: Readonly<Record<string, number>> = { hz: 1, khz: 1e3, mhz: 1e6 };
/** A number, with a point or a comma before its decimals, and perhaps a unit. */
const NUMBER = /^(\d{1,9}(?:[.,]\d{1,6})?)\s*(hz|khz|mhz)?$/i;
/** A channel that says it is one: `ch 16`, `channel 1205`, `vhf 16`, `vhf ch 60 ship`. */
const CHANNEL = /^(?:(vhf)\s*)?(?:(?:channel|chan|ch)\.?\s*)?(\d{1,5})(?:\s+(ship|coast))?$/i;

const isVhfChannel = (number: number) => VHF_CHANNELS.some(({ channel }) => channel === number);
const isTelephonyChannel = (number: number) => TELEPHONY_CHANNELS.some(({ channel }) => channel === number);

/** Whole hertz, or undefined where the number is none. */
function wholeHertz(number: string, unit: string): number | undefined {
  const hz = Number(number.replace(',', '.')) * HZ_PER_UNIT[unit.toLowerCase()];
  const whole = Math.round(hz);
  return Math.abs(hz - whole) > 1e-3 ? undefined : whole;
}

/**
 * A frequency that a person typed, in whole hertz: a number with a decimal point and `Hz`, `kHz` or `MHz`, kilohertz
 * where no unit stands (`2187.5`), megahertz where that can only be VHF (`156.525`); or a VHF channel (`70`, `ch 70`,
 * `vhf 70`), which stands for what ships send on there.
 *
 * @throws DotphaseError when it is no such text or lies outside 400 kHz to 200 MHz
 */
export function parseFrequency(text: string): number {
  const given: unknown = text;
  const plain = typeof given === 'string' ? given.trim() : '';
  const [, number, unit] = (NUMBER.exec(plain) ?? []) as (string | undefined)[];
  const vhf = unit === undefined ? CHANNEL.exec(plain)?.[2] : undefined;
  const row = VHF_CHANNELS.find(({ channel }) => channel < 100 && channel === Number(vhf));
  if (row) return row.shipHz;
  const isMegahertz = unit === undefined && maritimeBand(1e6 * Number(number?.replace(',', '.'))) === 'VHF';
  const hz = number === undefined ? undefined : wholeHertz(number, unit ?? (isMegahertz ? 'mhz' : 'khz'));
  try {
    return requireFrequency('frequency', hz);
  } catch {
    throw new DotphaseError(
      'frequency',
      text,
      'whole hertz from 400 kHz to 200 MHz, such as "2187.5 kHz", or a VHF channel, such as "ch 70"',
    );
  }
}

const EXPECTED = 'such as 8294 kHz, vhf 16, channel 1205 or none';

/** What a number without a unit can be, by the band that the call goes out on. */
function channelOfNumber(number: string, isVhf: boolean, text: string): Exclude<Channel, Unassigned> {
  const value = Number(number.replace(',', '.'));
  if (isVhf && isVhfChannel(value)) return vhfChannelOf(value);
  const hz = wholeHertz(number, 'khz');
  const isFrequency = hz !== undefined && maritimeBand(hz) !== undefined && maritimeBand(hz) !== 'VHF';
  if (isFrequency && isTelephonyChannel(value)) {
    throw new DotphaseError(
      'channel',
      text,
      `"${number} kHz" or "ch ${number}": there is a frequency and a channel of that number`,
    );
  }
  if (isFrequency) return { hz };
  if (isTelephonyChannel(value)) return { channel: value };
  if (value < 100 && isVhfChannel(value)) return { vhfChannel: value };
  throw new DotphaseError('channel', text, EXPECTED);
}

/** 1060 and 2060 are the ship and the coast side of channel 60 (M.1084-5 Annex 4, from memory). */
function vhfChannelOf(number: number): Exclude<Channel, Unassigned> {
  if (number < 1000) return { vhfChannel: number };
  return { vhfChannel: number % 1000, simplex: number < 2000 ? 'ship' : 'coast' };
}

/**
 * A working channel that a person typed: a frequency (`8294`, `8294 kHz`), a VHF channel (`16`, `ch 16`, `vhf 16`;
 * `vhf 60 ship` or `1060` for one side of a duplex channel), an MF/HF channel (`1205`, `ch 1205`) or `none`. What a
 * number alone means depends on the band and on what there is: on VHF a VHF channel first; on MF and HF a frequency in a
 * maritime band, else a channel.
 *
 * @param band - the band that the call goes out on; default MF/HF
 * @throws DotphaseError when it cannot be understood, or could be a frequency as well as a channel
 */
export function parseWorkingChannel(
  text: string,
  band: 'mf-hf' | 'vhf' = 'mf-hf',
): Exclude<Channel, Unassigned> {
  const plain = text.trim();
  if (plain.toLowerCase() === 'none') return 'none';
  const [, number, unit] = (NUMBER.exec(plain) ?? []) as (string | undefined)[];
  if (number !== undefined && unit === undefined) return channelOfNumber(number, band === 'vhf', text);
  if (number !== undefined && unit !== undefined) {
    const hz = Number(number.replace(',', '.')) * HZ_PER_UNIT[unit.toLowerCase()];
    return { hz: Math.round(hz * 1000) / 1000 };
  }
  const [, vhf, digits, side] = (CHANNEL.exec(plain) ?? []) as (string | undefined)[];
  if (digits === undefined) throw new DotphaseError('channel', text, EXPECTED);
  const channel = Number(digits);
  const isVhf = vhf !== undefined || side !== undefined || band === 'vhf' || channel < 100;
  if (!isVhf) return { channel };
  if (channel > 999 && isVhfChannel(channel)) return vhfChannelOf(channel);
  if (channel > 999) throw new DotphaseError('channel', text, EXPECTED);
  return {
    vhfChannel: channel,
    ...(side !== undefined && { simplex: side.toLowerCase() as 'ship' | 'coast' }),
  };
}

/**
 * A time of day that a person typed: `9:30`, `09:30`, `0930`, `0930Z` or `09:30 UTC`.
 *
 * @throws DotphaseError when it is none
 */
export function parseTimeOfDay(text: string): TimeOfDay {
  const parts = /^(\d{1,2}):?(\d\d)\s*(?:z|utc)?$/i.exec(text.trim());
  if (!parts || Number(parts[1]) > 23 || Number(parts[2]) > 59) {
    throw new DotphaseError('time', text, 'hours and minutes UTC such as 09:30 or 0930');
  }
  return `${parts[1].padStart(2, '0')}:${parts[2]}`;
}
