/**
 * Data from outside against a schema, with refusals as {@link DotphaseError}.
 */
import type * as z from 'zod';
import { DotphaseError } from '../errors.js';

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    data,
  );
}

function fieldName(before: string, path: readonly PropertyKey[]): string {
  const name = path.reduce<string>(
    (parent, key) => (typeof key === 'number' ? `${parent}[${key}]` : `${parent}.${String(key)}`),
    before,
  );
  return name.replace(/^\./, '');
}

/**
 * The data as the schema types it.
 *
 * @param schema - each part's `error` says what is expected there
 * @param data - anything
 * @param root - what the data is called, where it is wrong as a whole
 * @param before - what stands before the names of its fields; default `root`
 * @throws DotphaseError naming the first field that does not fit
 */
export function checked<Schema extends z.ZodType>(
  schema: Schema,
  data: unknown,
  root: string,
  before = root,
): z.output<Schema> {
  const result = schema.safeParse(data);
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  const isUnknown = issue.code === 'unrecognized_keys';
  const path = isUnknown ? [...issue.path, issue.keys[0]] : issue.path;
  const expected = isUnknown ? 'no such field' : issue.message;
  throw new DotphaseError(fieldName(before, path) || root, valueAt(data, path), expected);
}

/** Runs a check of a part; the field that it refuses is named as one of `place`. */
export function atPlace<Result>(place: string, check: () => Result): Result {
  try {
    return check();
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    throw new DotphaseError(`${place}.${error.field}`, error.value, error.expected);
  }
}
