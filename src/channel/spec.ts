/**
 * How a stage is described as data: its parameters with unit, range and default. Checking of untrusted JSON, the
 * JSON Schema and the reference in the docs are all driven by these descriptions.
 */
import { DotphaseError, requireInteger, requireNumber } from '../errors.js';
import type { Random } from './random.js';

/** One parameter. `default` is missing where the parameter is required or its absence has a meaning of its own. */
export type Field = { readonly about: string; readonly default?: unknown; readonly required?: boolean } & (
  | { readonly type: 'number' | 'integer'; readonly min: number; readonly max: number; readonly unit: string }
  | { readonly type: 'choice'; readonly choices: readonly string[] }
  | { readonly type: 'text'; readonly pattern: string; readonly maxLength: number; readonly expected: string }
  | { readonly type: 'flag' }
  | { readonly type: 'list'; readonly maxItems: number; readonly item: Readonly<Record<string, Field>> }
);

/** A chain's link as it runs: blocks in, blocks out. It may change the block it is given, and hand it back. */
export interface Processor {
  /** Takes any number of samples; gives those that are ready. */
  push(block: Float32Array): Float32Array;
  /** What is still held back, when nothing more follows. */
  flush(): Float32Array;
}

/** What a stage finds around it when it is set up. */
export interface StageContext {
  readonly sampleRate: number;
  /** Mean square of the wanted signal. */
  readonly signalPower: () => number;
  /** A random stream of the stage's own. */
  readonly random: (label: string) => Random;
  /** Audio handed over under a name. */
  readonly source: (name: string) => Float32Array;
  /** The error for a parameter that the surroundings rule out. */
  readonly refuse: (parameter: string, value: unknown, expected: string) => DotphaseError;
}

type Optional<S> = { [K in keyof S]-?: undefined extends S[K] ? K : never }[keyof S];

/** A stage's parameters with the defaults filled in; those in `O` have none. */
export type Filled<S, O extends keyof S = never> = Required<Omit<S, O>> & Pick<S, O>;

/** A kind of stage `S`; the parameters `O` may be absent and have no default. */
export interface StageSpec<S extends { kind: string }, O extends keyof S = never> {
  readonly kind: S['kind'];
  readonly about: string;
  readonly fields: {
    readonly [K in Exclude<keyof S, 'kind'>]-?: K extends O
      ? Field
      : K extends Optional<S>
        ? Field & { readonly default: unknown }
        : Field & { readonly required: true };
  };
  /** Parameters of which exactly one stands. */
  readonly oneOf?: readonly Exclude<keyof S, 'kind'>[];
  create(stage: Filled<S, O>, context: StageContext): Processor;
}

/** Fixes the type of a stage's description. */
export function defineStage<S extends { kind: string }, O extends keyof S = never>(
  spec: StageSpec<S, O>,
): StageSpec<S, O> {
  return spec;
}

function requireField(field: Field, value: unknown, path: string): unknown {
  switch (field.type) {
    case 'number':
      return requireNumber(path, value, field.min, field.max, field.unit);
    case 'integer':
      return requireInteger(path, value, field.min, field.max);
    case 'flag':
      if (typeof value !== 'boolean') throw new DotphaseError(path, value, 'true or false');
      return value;
    case 'choice':
      if (typeof value !== 'string' || !field.choices.includes(value)) {
        throw new DotphaseError(path, value, `one of ${field.choices.join(', ')}`);
      }
      return value;
    case 'text':
      if (
        typeof value !== 'string' ||
        value.length > field.maxLength ||
        !new RegExp(field.pattern, 'u').test(value)
      ) {
        throw new DotphaseError(path, value, field.expected);
      }
      return value;
    case 'list':
      if (!Array.isArray(value) || value.length === 0 || value.length > field.maxItems) {
        throw new DotphaseError(path, value, `a list of 1 to ${field.maxItems} items`);
      }
      return value.map((item, i) => requireFields(field.item, item, `${path}[${i}]`));
  }
}

/** A value that JSON calls an object; anything else is refused. */
export function requireObject(value: unknown, path: string, expected: string): Record<string, unknown> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new DotphaseError(path, value, expected);
  }
  return value as Record<string, unknown>;
}

/** Refuses names that do not belong, so that a slip of the pen is not passed over in silence. */
export function requireKnownNames(value: object, names: readonly string[], path: string): void {
  for (const name of Object.keys(value)) {
    if (!names.includes(name)) {
      const where = path === '' ? name : `${path}.${name}`;
      throw new DotphaseError(
        where,
        (value as Record<string, unknown>)[name],
        `no such name; one of ${names.join(', ')}`,
      );
    }
  }
}

/** Checks an object against its fields and fills the defaults in. */
export function requireFields(
  fields: Readonly<Record<string, Field>>,
  value: unknown,
  path: string,
  alsoKnown: readonly string[] = [],
): Record<string, unknown> {
  const given = requireObject(value, path, `an object with ${Object.keys(fields).join(', ')}`);
  requireKnownNames(given, [...alsoKnown, ...Object.keys(fields)], path);
  const filled: Record<string, unknown> = {};
  for (const [name, field] of Object.entries(fields)) {
    const own = Object.hasOwn(given, name) ? given[name] : undefined;
    if (own !== undefined || field.required) filled[name] = requireField(field, own, `${path}.${name}`);
    else if (field.default !== undefined) filled[name] = field.default;
  }
  return filled;
}
