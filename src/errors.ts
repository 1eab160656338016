/**
 * The one error type the library throws for bad input.
 *
 * Every refusal names the place (a field, a byte offset, an option), the value that stood there and what
 * was expected instead.
 */
export class DotphaseError extends Error {
  /** The field, option or byte offset that is wrong, for example `position.latitude` or `byte 36`. */
  readonly field: string;
  /** The offending value, as given. */
  readonly value: unknown;
  /** What was expected there, as a phrase that completes "expected …". */
  readonly expected: string;

  constructor(field: string, value: unknown, expected: string) {
    super(`${field}: got ${harmless(show(value))}, expected ${expected}`);
    this.name = 'DotphaseError';
    this.field = field;
    this.value = value;
    this.expected = expected;
  }
}

/** A value that is described and not quoted in an error, for example `a FLAC file`. */
export class Described {
  constructor(readonly text: string) {}

  toString(): string {
    return this.text;
  }
}

/** The value of an error about something that was not given. */
export const NOTHING = new Described('nothing');

/** What the system's usual error codes mean. */
const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'you may not use it',
  EPERM: 'you may not use it',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of its path is a file, not a folder',
  ENOSPC: 'the disk is full',
  EROFS: 'it can only be read',
  EBUSY: 'another program uses it',
  EMFILE: 'too many files are open',
  ENAMETOOLONG: 'the name is too long',
};

/** Why something failed, in words, for what stands behind "expected". */
export function reasonOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return REASONS[code] ?? (error instanceof Error ? error.message : String(error));
}

/** Escapes control characters and those that reverse the direction of writing. */
function harmless(text: string): string {
  return text.replace(
    /[\p{Cc}\u200E\u200F\u2028-\u202E\u2066-\u2069]/gu,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** `undefined` where `toJSON` returns none, which TypeScript's type leaves out. */
const stringify: (value: unknown) => string | undefined = JSON.stringify;

function show(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value.length > 60 ? `${value.slice(0, 60)}…` : value);
  if (value instanceof Described) return value.text;
  if (typeof value === 'object' && value !== null) {
    let text: string;
    try {
      text = stringify(value) ?? 'an object';
    } catch {
      text = 'an object';
    }
    return text.length > 80 ? `${text.slice(0, 80)}…` : text;
  }
  return String(value);
}

/** Throws a {@link DotphaseError} unless `value` is a finite number within `min`…`max` (both included). */
export function requireNumber(field: string, value: unknown, min: number, max: number, unit = ''): number {
  if (typeof value !== 'number' || !Number.isFinite(value) || value < min || value > max) {
    throw new DotphaseError(field, value, `a number from ${min} to ${max}${unit === '' ? '' : ` ${unit}`}`);
  }
  return value;
}

/** Throws a {@link DotphaseError} unless `value` is an integer within `min`…`max` (both included). */
export function requireInteger(field: string, value: unknown, min: number, max: number): number {
  if (typeof value !== 'number' || !Number.isInteger(value) || value < min || value > max) {
    throw new DotphaseError(field, value, `an integer from ${min} to ${max}`);
  }
  return value;
}

/** Throws a {@link DotphaseError} unless `value` is an object with no other properties than `keys`. */
export function requireRecord(
  value: unknown,
  path: string,
  keys: readonly string[],
  expected: string,
): Record<string, unknown> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new DotphaseError(path, value, expected);
  }
  const record = value as Record<string, unknown>;
  for (const key of Object.keys(record)) {
    if (!keys.includes(key) && record[key] !== undefined) {
      throw new DotphaseError(`${path}.${key}`, record[key], `nothing: ${path} is ${expected}`);
    }
  }
  return record;
}
