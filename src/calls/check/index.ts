/**
 * Calls against the rules: what must not be sent, and what is allowed but wrong in practice.
 */
import { DotphaseError, requireNumber } from '../../errors.js';
import { decodeCall, isReceivedWhole, type DecodeOptions } from '../codec.js';
import { describeCall } from '../describe.js';
import { errorCheck } from '../../symbols/index.js';
import type { Call, DecodedCall } from '../types.js';
import { isNotReceived } from '../values.js';
import { factsOf, type Facts, type Values } from './facts.js';
import type { CheckOptions, Problem } from './problem.js';
import { RULES, type Rule } from './rules.js';
import { unassignedProblems } from './unassigned.js';

export type { CheckOptions, EquipmentClass, Problem } from './problem.js';

const BUILD = 'a call has the fields of its kind (M.493 §4 to §9, Tables A1-4.1 to A1-4.10)';
const ERROR_CHECK = 'the error check agrees with the characters before it (M.493 §10)';

const BANDS = ['mf-hf', 'vhf'];
const CLASSES = ['A', 'B', 'D', 'E', 'H', 'M'];

function requireOptions({ band, frequencyHz, equipmentClass }: CheckOptions): void {
  if (band !== undefined && !BANDS.includes(band)) throw new DotphaseError('band', band, "'mf-hf' or 'vhf'");
  if (frequencyHz !== undefined) requireNumber('frequencyHz', frequencyHz, 0, 1e9, 'Hz');
  if (equipmentClass !== undefined && !CLASSES.includes(equipmentClass)) {
    throw new DotphaseError('equipmentClass', equipmentClass, `one of ${CLASSES.join(', ')}`);
  }
}

/** Values that call `touch` when a rule reads one that was not received. */
function watched(values: Values, touch: () => unknown): Values {
  return new Proxy(values, {
    get(target, name) {
      const value: unknown = Reflect.get(target, name);
      if (isNotReceived(value)) touch();
      return typeof value === 'object' && value !== null ? watched(value as Values, touch) : value;
    },
  });
}

/** What a rule finds; nothing where the rule reads a field that was not received. */
function findBroken({ find }: Rule, facts: Facts): ReturnType<Rule['find']> {
  let missing = 0;
  const values = watched(facts.values, () => missing++);
  const found = find({ ...facts, values });
  return missing > 0 ? [] : found;
}

/**
 * The rules that a call breaks: errors, which the standard does not allow to be sent, and warnings, which are allowed
 * but wrong in practice or remembered with doubt. Whether the call belongs on its frequency at all is told by
 * `checkFrequency` of `dotphase/frequencies`.
 *
 * @param call - a typed call, or JSON data of the same shape; rules that need a field which was not received whole are
 *   left out, and a call of unknown kind has no problems
 * @param options - how it is sent, as far as known; rules that need more are left out
 * @returns the problems, none for a call that keeps every rule; a call that cannot be encoded has one error, that of
 *   encoding it
 * @throws DotphaseError when an option is out of range
 */
export function checkCall(call: DecodedCall, options: CheckOptions = {}): Problem[] {
  requireOptions(options);
  let facts: Facts;
  try {
    facts = factsOf(call, options);
  } catch (error) {
    if (!(error instanceof DotphaseError)) throw error;
    const { field, value, expected } = error;
    return [{ level: 'error', field, value, expected, rule: BUILD }];
  }
  if (call.kind === 'partialCall') return [];
  const findIn = isReceivedWhole(call)
    ? (rule: Rule) => rule.find(facts)
    : (rule: Rule) => findBroken(rule, facts);
  const broken = RULES.flatMap((rule) =>
    findIn(rule)
      .filter((finding) => finding !== false)
      .map((finding): Problem => ({ ...finding, rule: rule.name })),
  );
  return [...unassignedProblems(facts), ...broken];
}

/** A call with its description and its problems. */
export interface CallReading {
  readonly call: Call;
  /** The call in full English sentences. */
  readonly text: string;
  /** The rules it breaks, as {@link checkCall} gives them, and its error check. */
  readonly problems: readonly Problem[];
}

/**
 * Reads characters even where they break rules, and lists the problems.
 *
 * @param symbols - one format specifier through the end of sequence and the error check, each once
 * @param options - the expansions that followed it, and how it was sent, as far as known
 * @throws DotphaseError when there are fewer than three symbols, one lies outside 0–127, or an option is out of range
 */
export function readCall(
  symbols: readonly number[],
  options: CheckOptions & Pick<DecodeOptions, 'expansions'> = {},
): CallReading {
  const { expansions = [] } = options;
  const call = decodeCall(symbols, { ignoreErrorCheck: true, expansions });
  const sequences: [string, readonly number[]][] = [
    ['error check', symbols],
    ...expansions.map((sequence, i): [string, readonly number[]] => [
      `expansions[${i}] error check`,
      sequence,
    ]),
  ];
  const disagreeing = sequences
    .filter(([, sequence]) => errorCheck(sequence) !== 0)
    .map(([field, sequence]): Problem => ({
      level: 'error',
      field,
      value: sequence[sequence.length - 1],
      expected: String(errorCheck(sequence.slice(0, -1))),
      rule: ERROR_CHECK,
    }));
  return { call, text: describeCall(call), problems: [...disagreeing, ...checkCall(call, options)] };
}
