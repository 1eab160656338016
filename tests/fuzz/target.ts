/** What is fuzzed, and what must hold of it. */
import { DotphaseError } from '../../src/errors.js';

/** A door that hostile input may come through. */
export interface Target {
  readonly name: string;
  /** Inputs to begin with. */
  readonly seeds: () => readonly Uint8Array[];
  /** Pieces worth putting into inputs. */
  readonly words?: readonly string[];
  /** The longest input made. */
  readonly maxBytes: number;
  /** How many times as long as the others it is fuzzed; default once. */
  readonly share?: number;
  /** The time an input may take, milliseconds of processor time, for so many bytes. */
  readonly limitMs: (bytes: number) => number;
  /** The memory that an input may leave allocated at its end, before it is let go, MiB. */
  readonly limitMiB: number;
  /** Throws where a property does not hold. */
  readonly run: (input: Uint8Array) => void | Promise<void>;
}

/** A property that does not hold. */
export class Violation extends Error {
  override name = 'Violation';
}

/** Throws a {@link Violation} unless something holds. */
export function hold(condition: boolean, what: () => string): void {
  if (!condition) throw new Violation(what());
}

/** Throws a {@link Violation} unless both are the same as JSON. */
export function same(found: unknown, expected: unknown, what: string): void {
  const [a, b] = [JSON.stringify(found), JSON.stringify(expected)];
  hold(a === b, () => `${what}: ${a} instead of ${b}`);
}

function requireGoodRefusal(error: unknown): void {
  if (!(error instanceof DotphaseError)) throw error;
  const { field, expected, message } = error;
  hold(field !== '' && expected !== '', () => `a refusal that names nothing: ${message}`);
  hold(message.length < 2000, () => `a refusal of ${message.length} characters`);
}

/** What an action gives, or undefined where it refuses as it should. Anything else that it throws goes on. */
export function orRefused<Result>(act: () => Result): Result | undefined {
  try {
    return act();
  } catch (error) {
    requireGoodRefusal(error);
    return undefined;
  }
}

/** {@link orRefused} for what takes its time. */
export async function orRefusedLater<Result>(act: () => Promise<Result>): Promise<Result | undefined> {
  try {
    return await act();
  } catch (error) {
    requireGoodRefusal(error);
    return undefined;
  }
}

const encoder = new TextEncoder();

/** Text as bytes. */
export const bytesOf = (text: string): Uint8Array => encoder.encode(text);
