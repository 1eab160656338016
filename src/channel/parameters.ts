/** Building blocks of the stages' schemas: each parameter with its unit, range and meaning. */
import * as z from 'zod';
import { DotphaseError } from '../errors.js';

/** The schema's counterpart of a stage's type: one entry for each parameter. */
export type Shape<S> = { [K in keyof S]-?: z.ZodType<S[K], S[K]> };

/** A number from `min` to `max`. */
export function number(min: number, max: number, unit: string, about: string): z.ZodNumber {
  const error = `a number from ${min} to ${max} ${unit}`.trimEnd();
  return z
    .number({ error })
    .min(min, { error })
    .max(max, { error })
    .meta({ description: unit === '' ? about : `${about} (${unit})` });
}

/** An integer from `min` to `max`. */
export function integer(min: number, max: number, about: string): z.ZodNumber {
  const error = `an integer from ${min} to ${max}`;
  return z
    .number({ error })
    .int({ error })
    .min(min, { error })
    .max(max, { error })
    .meta({ description: about });
}

/** One of the given words. */
export function choice<const T extends readonly [string, ...string[]]>(
  choices: T,
  about: string,
): z.ZodEnum<{ [K in T[number]]: K }> {
  return z.enum(choices, { error: `one of ${choices.join(', ')}` }).meta({ description: about });
}

/** Text of up to `maxLength` characters. */
export function text(maxLength: number, about: string): z.ZodString {
  const error = `text of 1 to ${maxLength} characters`;
  return z.string({ error }).min(1, { error }).max(maxLength, { error }).meta({ description: about });
}

/** True or false. */
export function flag(about: string): z.ZodBoolean {
  return z.boolean({ error: 'true or false' }).meta({ description: about });
}

/** Requires that exactly one of some parameters is given. */
export function exactlyOne<S extends z.ZodObject>(
  schema: S,
  names: readonly (keyof z.output<S> & string)[],
): S {
  return schema
    .refine(
      (stage) => names.filter((name) => (stage as Record<string, unknown>)[name] !== undefined).length === 1,
      {
        error: `exactly one of ${names.join(', ')}`,
      },
    )
    .meta({ oneOf: names.map((name) => ({ required: [name] })) });
}

/**
 * Checks a value against a schema.
 *
 * @returns the value with defaults filled in
 * @throws DotphaseError that names the place of the first fault, for example `stages[2].delayMs`
 */
export function requireValid<S extends z.ZodType>(schema: S, value: unknown, whole: string): z.output<S> {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  const path = issue.code === 'unrecognized_keys' ? [...issue.path, issue.keys[0]] : issue.path;
  const found = path.reduce(
    (at: unknown, key) => (at as Record<PropertyKey, unknown> | undefined)?.[key],
    value,
  );
  throw new DotphaseError(path.length === 0 ? whole : showPath(path), found, expectation(issue));
}

function showPath(path: readonly PropertyKey[]): string {
  return path
    .map((key, i) => (typeof key === 'number' ? `[${key}]` : `${i === 0 ? '' : '.'}${String(key)}`))
    .join('');
}

function expectation(issue: z.core.$ZodIssue): string {
  if (issue.code === 'unrecognized_keys') return 'nothing by that name';
  if (issue.code === 'invalid_type' && issue.expected === 'object') return 'an object';
  return issue.message;
}
