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

/** Characters that a terminal would obey or that turn the direction of writing, as escapes. */
function harmless(text: string): string {
  return text.replace(
    /[\p{Cc}\u200E\u200F\u2028-\u202E\u2066-\u2069]/gu,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** Gives nothing where `toJSON` does, whatever the library's types say. */
const stringify: (value: unknown) => string | undefined = JSON.stringify;

function show(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value.length > 60 ? `${value.slice(0, 60)}…` : value);
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
