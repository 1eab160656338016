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

function fieldName(root: string, path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (name, key) => (typeof key === 'number' ? `${name}[${key}]` : `${name}.${String(key)}`),
    root,
  );
}

/**
 * The data as the schema types it.
 *
 * @param schema - each part's `error` says what is expected there
 * @param data - anything
 * @param root - what the data is called, for the name of the field
 * @throws DotphaseError naming the first field that does not fit
 */
export function checked<Schema extends z.ZodType>(
  schema: Schema,
  data: unknown,
  root: string,
): z.output<Schema> {
  const result = schema.safeParse(data);
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  if (issue.code === 'unrecognized_keys') {
    const path = [...issue.path, issue.keys[0]];
    throw new DotphaseError(fieldName(root, path), valueAt(data, path), 'no such field');
  }
  throw new DotphaseError(fieldName(root, issue.path), valueAt(data, issue.path), issue.message);
}
