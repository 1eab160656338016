/**
 * Readers of options that are numbers or one of a few words.
 */
import { DotphaseError, requireNumber } from '../errors.js';

/**
 * A reader of a number within `min`…`max` for an option of commander.
 *
 * @param flag - the option's name, for errors
 */
export function numberOption(flag: string, min: number, max: number, unit = ''): (text: string) => number {
  return (text) => {
    const number = text.trim() === '' ? NaN : Number(text);
    return requireNumber(flag, Number.isNaN(number) ? text : number, min, max, unit);
  };
}

/** Like {@link numberOption}, for whole numbers. */
export function integerOption(flag: string, min: number, max: number, unit = ''): (text: string) => number {
  const read = numberOption(flag, min, max, unit);
  return (text) => {
    const number = read(text);
    if (!Number.isInteger(number)) throw new DotphaseError(flag, text, 'a whole number');
    return number;
  };
}

/** A reader of an option that may be given once only, so that a second one does not silently take its place. */
export function once<Value>(flag: string, read: (text: string) => Value): (text: string) => Value {
  let before: string | undefined;
  return (text) => {
    const value = read(text);
    if (before !== undefined) throw new DotphaseError(flag, `${before} and ${text}`, 'only one of them');
    before = text;
    return value;
  };
}
