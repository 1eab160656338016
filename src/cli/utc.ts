/**
 * Moments for people, in UTC, from milliseconds since 1970.
 */

/** Day and time, `2031-05-17 09:30:00`. */
export function utcMoment(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 19).replace('T', ' ');
}

/** The time of day alone, `09:30:00`. */
export function utcClock(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(11, 19);
}
