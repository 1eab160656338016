import { DotphaseError } from '../src/errors.js';

/** The error that refuses what is tried, `undefined` where it is taken; an error of any other type is thrown on. */
export function refusal(act: () => unknown): DotphaseError | undefined {
  try {
    act();
    return undefined;
  } catch (error) {
    if (error instanceof DotphaseError) return error;
    throw error;
  }
}
