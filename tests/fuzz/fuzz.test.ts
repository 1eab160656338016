/**
 * Hostile input: what was ever found or did something new, again; and for some seconds what nobody thought of. The long
 * runs are `npm run fuzz`.
 */
import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { checkCall, decodeCall, describeCall, encodeCall, toSentences } from '../../src/calls/index.js';
import { parseChannel } from '../../src/channel/index.js';
import { markAnswers, parsePaperKey, parsePaperPlan } from '../../src/exam/index.js';
import {
  addressBookFromCsv,
  addressBookFromJson,
  createAddressBook,
  createMemoryLog,
} from '../../src/records/index.js';
import { parseScenario, SCENARIOS } from '../../src/simulation/index.js';
import { DotphaseError } from '../../src/errors.js';
import { createChoices } from '../scenes/random.js';
import { readCorpus } from './corpus.js';
import { requireSafeCsv } from './csv.js';
import { mutate } from './mutate.js';
import { Violation, bytesOf, hold, orRefused } from './target.js';
import { TARGETS } from './targets/index.js';

const MUTANTS = 40;
/** How many inputs of each kind are tried where one takes long. */
const FEW: Readonly<Record<string, number>> = { receiver: 2, scenario: 6, channel: 12 };

describe.each(TARGETS.map((target) => ({ name: target.name, target })))(
  'hostile input: $name',
  ({ name, target }) => {
    const kept = readCorpus(name);

    it('holds for the inputs to begin with and those that are kept', async () => {
      const inputs = [...target.seeds().map((input) => ({ name: 'seed', input })), ...kept];
      for (const { name: of, input } of inputs.slice(-(FEW[name] ?? inputs.length))) {
        try {
          await target.run(input);
        } catch (error) {
          throw new Error(`${name}/${of}: ${String(error)}`, { cause: error });
        }
      }
    });

    const mutants = Math.min(MUTANTS, FEW[name] ?? MUTANTS);
    it('holds for inputs made from them', async () => {
      const choices = createChoices(585);
      const corpus = [...target.seeds(), ...kept.map(({ input }) => input)];
      const words = (target.words ?? []).map(bytesOf);
      for (let i = 0; i < mutants; i++) {
        await target.run(mutate(choices.pick(corpus), choices.pick(corpus), words, target.maxBytes, choices));
      }
    });
  },
);

describe('anything at all', () => {
  const anything = fc.anything({
    withBigInt: true,
    withDate: true,
    withMap: true,
    withSet: true,
    withTypedArray: true,
    withNullPrototype: true,
    withSparseArray: true,
    withBoxedValues: true,
  });
  const clock = () => 0;
  const DOORS: Readonly<Record<string, (value: never) => unknown>> = {
    encodeCall,
    checkCall,
    describeCall,
    toSentences,
    decodeCall,
    parseChannel,
    parsePaperPlan,
    parsePaperKey,
    parseScenario,
    createAddressBook,
    addressBookFromJson,
    addressBookFromCsv,
    'log.add': (value) => createMemoryLog({ clock }).add(value),
    'log.list': (value) => createMemoryLog({ clock }).list(value),
    markAnswers: (value) => markAnswers({ title: '', number: '', questions: [] }, value),
  };

  it.each(Object.entries(DOORS))('is refused in the one way: %s', (_, door) => {
    const value = fc.oneof(
      anything,
      fc.record({ kind: fc.constantFrom('testCall', 'distressAlert'), to: anything, self: anything }),
    );
    fc.assert(
      fc.property(value, (given) => {
        orRefused(() => door(given as never));
      }),
      { numRuns: 150 },
    );
  });
});

describe('text that a terminal would obey', () => {
  // ECMA-48 §5.3: the control sequence introducer, as ESC [ and as one character of eight bits (from memory).
  const HOSTILE = '\u001b[2J\u009b2J\u202e';

  it('stands in no error message', () => {
    const { message } = new DotphaseError('field', HOSTILE, 'something else');
    expect(message).not.toMatch(/[\p{Cc}\u202e]/u);
    expect(message).toContain('\\u009b2J\\u202e');
  });

  it('is refused in a scenario', () => {
    const scenario = SCENARIOS['false-alert'];
    expect(parseScenario({ ...scenario, title: 'A\nB' }).title).toBe('A\nB');
    expect(() => parseScenario({ ...scenario, title: HOSTILE })).toThrow(/^scenario\.title: /);
  });
});

describe('what watches over hostile input', () => {
  it('lets only refusals pass', () => {
    expect(() => orRefused(() => (undefined as unknown as { x: 1 }).x)).toThrow(TypeError);
    expect(orRefused(() => parseChannel(0))).toBeUndefined();
    expect(() => {
      hold(false, () => 'no');
    }).toThrow(Violation);
  });

  it('knows a cell that a spreadsheet would run', () => {
    expect(() => {
      requireSafeCsv('name\r\n=1+1\r\n');
    }).toThrow(Violation);
    expect(() => {
      requireSafeCsv("name,level\r\n'=1+1,-3.5\r\n");
    }).not.toThrow();
  });
});
