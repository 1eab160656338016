/**
 * What is wrong about symbols that a field does not assign.
 */
import { symbolsToDigits } from '../../symbols/index.js';
import { ADDRESS_FORMS } from '../address.js';
import { EXPANSION_TABLE, EXPANSION_TEXTS } from '../expansions/index.js';
import type { Content, FieldKind } from '../fields/index.js';
import { formOf } from '../forms.js';
import { isUnassigned } from '../values.js';
import { recordOf, type Facts } from './facts.js';
import type { Problem } from './problem.js';

/** Digits of a field, by their place among its digits, and the highest number they may make. */
interface Limit {
  readonly from: number;
  readonly to: number;
  readonly highest: number;
  readonly text: string;
}

const LIMITS: Readonly<Partial<Record<FieldKind, readonly Limit[]>>> = {
  position: [
    { from: 0, to: 1, highest: 3, text: 'a quadrant from 0 to 3' },
    { from: 1, to: 5, highest: 9000, text: 'a latitude of at most 90°' },
    { from: 3, to: 5, highest: 59, text: 'at most 59 minutes of latitude' },
    { from: 5, to: 10, highest: 18_000, text: 'a longitude of at most 180°' },
    { from: 8, to: 10, highest: 59, text: 'at most 59 minutes of longitude' },
  ],
  area: [
    { from: 0, to: 1, highest: 3, text: 'a quadrant from 0 to 3' },
    { from: 1, to: 3, highest: 90, text: 'a latitude of at most 90°' },
    { from: 3, to: 6, highest: 180, text: 'a longitude of at most 180°' },
  ],
  time: [
    { from: 0, to: 2, highest: 23, text: 'at most 23 hours' },
    { from: 2, to: 4, highest: 59, text: 'at most 59 minutes' },
  ],
  identity: [{ from: 9, to: 10, highest: 0, text: '0 after the nine digits' }],
  casualty: [{ from: 9, to: 10, highest: 0, text: '0 after the nine digits' }],
};

/** What was expected of a field in place of symbols: the limits that its digits pass, or all that it may hold. */
function expectedOf(field: Content, symbols: readonly number[]): string {
  const digits = symbolsToDigits(symbols);
  const limits = digits === undefined ? [] : (LIMITS[field.kind] ?? []);
  const passed = limits.filter(({ from, to, highest }) => Number(digits?.slice(from, to)) > highest);
  return passed.length > 0 ? passed.map(({ text }) => text).join(', ') : formOf(field);
}

/** The fields of a call that can hold unassigned symbols, by their paths. */
function fieldsOf({ values, row, format }: Facts): [path: string, value: unknown, field: Content][] {
  const message = recordOf(values.message);
  const kind = format && ADDRESS_FORMS[format].kind;
  const expansions = Array.isArray(values.expansions) ? values.expansions : [];
  return [
    ...(kind
      ? Object.entries(recordOf(values.to)).map(([key, value]) => [`to.${key}`, value, { kind }])
      : []),
    ...(row?.slots ?? []).map((slot) => [slot.name ?? '', values[slot.name ?? ''], slot]),
    ['message.receive', message.receive, { kind: 'channel' }],
    ['message.transmit', message.transmit, { kind: 'channel' }],
    ['message.position', message.position, { kind: 'position' }],
    ['message.time', message.time, { kind: 'time' }],
    ['eos', values.eos, { kind: 'eos' }],
    ...expansions.flatMap((expansion, i) => {
      const { kind, value } = recordOf(expansion);
      const expansionRow = EXPANSION_TABLE.find((candidate) => candidate.kind === kind);
      return expansionRow ? [[`expansions[${i}].value`, value, expansionRow]] : [];
    }),
  ] as [string, unknown, Content][];
}

const RULE =
  'symbols have an assigned meaning in their field (M.493 §5 to §9, Tables A1-2 and A1-3; M.821-1 §2)';

/** A problem for each field that holds unassigned symbols. */
export function unassignedProblems(facts: Facts): Problem[] {
  const fields = fieldsOf(facts).flatMap(([field, value, layout]) =>
    isUnassigned(value)
      ? [{ field, value: value.unassigned, expected: expectedOf(layout, value.unassigned) }]
      : [],
  );
  const expansions = Array.isArray(facts.values.expansions) ? facts.values.expansions : [];
  const strangers = expansions.flatMap((expansion, i) => {
    const { kind, symbols } = recordOf(expansion);
    const expected = `a specifier: ${EXPANSION_TABLE.map((row) => `${row.specifier} ${EXPANSION_TEXTS[row.kind].text}`).join(', ')}`;
    return kind === 'unassignedExpansion'
      ? [{ field: `expansions[${i}].symbols`, value: symbols, expected }]
      : [];
  });
  return [...fields, ...strangers].map((finding) => ({ level: 'error', ...finding, rule: RULE }));
}
