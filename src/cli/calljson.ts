/**
 * Calls in JSON: a typed call by itself, or one line of `decode --json` with the call in it.
 */
import { encodeCall, type Call } from '../calls/index.js';
import { DotphaseError, reasonOf } from '../errors.js';

/** A call and what follows it. */
export interface GivenCall {
  readonly call: Call;
  /** The call's characters, from one format specifier through the error check. */
  readonly symbols: readonly number[];
  /** Each from its specifier through its error check. */
  readonly expansions: readonly (readonly number[])[];
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The characters of a call. */
export function givenCall(call: Call): GivenCall {
  return { call, symbols: encodeCall(call).symbols, expansions: encodeCall(call).expansions };
}

/**
 * Reads a call.
 *
 * @param source - where the text came from, for errors
 * @throws DotphaseError naming the source or the field that is wrong
 */
export function parseCallJson(text: string, source: string): GivenCall {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    throw new DotphaseError(source, text, `one call in JSON (${reasonOf(error)})`);
  }
  if (!isRecord(value)) throw new DotphaseError(source, value, 'a call, a JSON object with its kind');
  const call = (isRecord(value.call) ? value.call : value) as unknown as Call;
  return givenCall(call);
}
