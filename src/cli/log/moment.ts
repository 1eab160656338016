/**
 * Moments as people type them.
 */
import { DotphaseError } from '../../errors.js';
import { parseTimeOfDay } from '../../frequencies/index.js';

const AGO = /^(\d{1,6}(?:\.\d+)?)\s*(s|m|min|h|d)$/i;
const MS_PER_UNIT: Readonly<Record<string, number>> = {
  s: 1000,
  m: 60_000,
  min: 60_000,
  h: 3_600_000,
  d: 86_400_000,
};
const MOMENT = /^(\d{4}-\d\d-\d\d)(?:[T ](\d\d:\d\d(?::\d\d)?)\s*(?:Z|UTC)?)?$/i;
/** A time of day alone, and hours and minutes without a colon behind a day. */
const CLOCK = /^\d{1,2}:?\d\d\s*(?:z|utc)?$/i;
const COMPACT = /(?<=^\d{4}-\d\d-\d\d[T ])(\d\d)(\d\d)(?=\s*(?:z|utc)?$)/i;
const DAY_MS = 86_400_000;

/** The last time that it was so late, milliseconds since 1970 UTC. */
function lastOf(time: string, now: number): number {
  const today = Date.parse(`${new Date(now).toISOString().slice(0, 10)}T${time}Z`);
  return today <= now ? today : today - DAY_MS;
}

const EXPECTED =
  'a day or a moment in UTC such as 2031-05-17 or 2031-05-17T09:30, or a time of day that was last, 09:30, or how long ago: 90m, 6h, 2d';

/**
 * A moment in UTC, the last time of a time of day (`09:30`, `0930Z`), or a time before now (`90m`, `6h`, `2d`).
 *
 * @param flag - the option's name, for errors
 * @param now - milliseconds since 1970 UTC
 * @returns milliseconds since 1970 UTC
 * @throws DotphaseError when it is neither
 */
export function parseMoment(text: string, flag: string, now: number): number {
  const plain = text.trim();
  const ago = AGO.exec(plain);
  if (ago) return Math.max(0, now - Number(ago[1]) * MS_PER_UNIT[ago[2].toLowerCase()]);
  const clock = CLOCK.exec(plain) && lastOf(parseTimeOfDay(plain), now);
  if (clock) return clock;
  const moment = MOMENT.exec(plain.replace(COMPACT, '$1:$2'));
  if (!moment) throw new DotphaseError(flag, text, EXPECTED);
  const [, day, time = '00:00'] = moment as unknown as [string, string, string | undefined];
  const milliseconds = Date.parse(`${day}T${time}Z`);
  const isInCalendar =
    Number.isFinite(milliseconds) &&
    new Date(milliseconds).toISOString().startsWith(day) &&
    milliseconds >= 0;
  if (!isInCalendar) throw new DotphaseError(flag, text, EXPECTED);
  return milliseconds;
}
