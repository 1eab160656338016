/**
 * Times for people.
 */

/** Seconds of a recording as minutes and seconds with one decimal, for example `1:05.3`. */
export function sayMinutes(seconds: number): string {
  const tenths = Math.round(10 * seconds);
  const rest = ((tenths % 600) / 10).toFixed(1).padStart(4, '0');
  return `${Math.floor(tenths / 600)}:${rest}`;
}
