import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { Ajv } from 'ajv';
import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { decodeCall, encodeCall, type Call } from '../../src/calls/index.js';
import { anyCall, expansions, symbols } from '../calls/arbitraries.js';
import { refusal } from '../refusal.js';
import { CASES, numbers } from '../vectors/cases.js';
import { SCHEMA_FILE } from './generate.js';

const text = readFileSync(SCHEMA_FILE, 'utf8');
const validate = new Ajv({ allowUnionTypes: true }).compile<Call>(JSON.parse(text) as object);
/** As a file would hold it. */
const parsed = (call: unknown): unknown => JSON.parse(JSON.stringify(call));

describe('the JSON Schema of calls', () => {
  it('is among what the package gives out', () => {
    const require = createRequire(import.meta.url);
    expect(require.resolve('dotphase/call.schema.json')).toBe(SCHEMA_FILE);
  });

  it.each(CASES)('allows $name', ({ call }) => {
    expect(validate(parsed(call)), JSON.stringify(validate.errors)).toBe(true);
  });

  it('allows every call, with expansions or without', () => {
    fc.assert(
      fc.property(anyCall, expansions, (call, list) => {
        expect(validate(parsed(call))).toBe(true);
        expect(validate(parsed({ ...call, expansions: list }))).toBe(true);
      }),
      { numRuns: 200 },
    );
  });

  it('allows whatever decoding gives', () => {
    const any = symbols().filter((list) => list.length >= 3);
    const near = fc
      .tuple(fc.constantFrom(...CASES), fc.nat(), fc.integer({ min: 0, max: 127 }))
      .map(([row, at, symbol]) => {
        const list = numbers(row.characters);
        return list.with(at % list.length, symbol);
      });
    fc.assert(
      fc.property(fc.oneof(any, near), (list) => {
        expect(validate(parsed(decodeCall(list, { ignoreErrorCheck: true })))).toBe(true);
      }),
      { numRuns: 500 },
    );
  });

  const names = ['kind', 'to', 'self', 'casualty', 'nature', 'position', 'time', 'followOn', 'telecommand1'];
  const more = ['telecommand2', 'message', 'telephone', 'eos', 'rest', 'expansions', 'symbols', 'category'];
  const value = fc.oneof(
    fc.jsonValue({ maxDepth: 2 }),
    fc.constantFrom(
      ...['299123456', '29912345', '09:30', '24:00', 'none', 'unknown', 'allShips', 'flooding', '12a', ''],
      ...[
        { station: '299123456' },
        { group: 5 },
        { latitude: 90, longitude: 180 },
        { latitude: 91, longitude: 0 },
      ],
      ...[{ hz: 15 }, { hz: 10 }, { unassigned: [] }, { unassigned: [128] }, [], [1], [128]],
    ),
  );
  const mangled = fc
    .tuple(anyCall, fc.constantFrom(...names, ...more, 'surplus'), value)
    .map(([call, name, given]) => parsed({ ...call, [name]: given }));

  it('refuses nothing that can be encoded, and allows little that cannot', () => {
    let [refused, allowed] = [0, 0];
    fc.assert(
      fc.property(mangled, (call) => {
        const error = refusal(() => encodeCall(call as Call));
        const isValid = validate(call);
        if (error === undefined) expect(isValid).toBe(true);
        else if (isValid) {
          allowed++;
          // How many unassigned symbols a field holds, and the side of zero, depend on more than a schema can say.
          expect(error.field).toMatch(/unassigned$|quadrant$|^expansions/);
        } else refused++;
      }),
      { numRuns: 2000 },
    );
    expect(refused).toBeGreaterThan(20 * allowed);
  });
});
