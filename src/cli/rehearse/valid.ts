import { DotphaseError } from '../../errors.js';

/** What a prompt wants to know of a text: that it is good, or what is wrong. */
export function valid(parse: () => unknown): true | string {
  try {
    parse();
    return true;
  } catch (error) {
    if (error instanceof DotphaseError) return `expected ${error.expected}`;
    throw error;
  }
}
