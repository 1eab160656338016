import fc from '../property.js';
import { describe, expect, it } from 'vitest';
import { DotphaseError } from '../../src/errors.js';
import {
  CATEGORIES,
  ENDS_OF_SEQUENCE,
  FIRST_TELECOMMANDS,
  FOLLOW_ONS,
  FORMATS,
  NATURES,
  NO_INFORMATION,
  PHASING_DX,
  SECOND_TELECOMMANDS,
  digitsToSymbols,
  symbolsToDigits,
  type Vocabulary,
} from '../../src/symbols/index.js';
import { LAST_DIGIT_PAIR } from '../../src/symbols/internal.js';

// ITU-R M.493 Annex 1 Table A1-3 (from memory), field by field: symbol, name here, meaning.
type Rows = readonly (readonly [number, string, string])[];
const TABLE: readonly [string, Vocabulary, Rows][] = [
  [
    'format specifier',
    FORMATS,
    [
      [102, 'area', 'geographic area call'],
      [112, 'distress', 'distress alert'],
      [114, 'group', 'group call'],
      [116, 'allShips', 'all-ships call'],
      [120, 'individual', 'individual call'],
      [123, 'automatic', 'individual call by the automatic service'],
    ],
  ],
  [
    'category',
    CATEGORIES,
    [
      [100, 'routine', 'routine'],
      [108, 'safety', 'safety'],
      [110, 'urgency', 'urgency'],
      [112, 'distress', 'distress'],
    ],
  ],
  [
    'nature of distress',
    NATURES,
    [
      [100, 'fire', 'fire or explosion'],
      [101, 'flooding', 'flooding'],
      [102, 'collision', 'collision'],
      [103, 'grounding', 'grounding'],
      [104, 'listing', 'listing, in danger of capsizing'],
      [105, 'sinking', 'sinking'],
      [106, 'adrift', 'disabled and adrift'],
      [107, 'undesignated', 'undesignated distress'],
      [108, 'abandoning', 'abandoning ship'],
      [109, 'piracy', 'piracy or armed robbery attack'],
      [110, 'manOverboard', 'man overboard'],
      [112, 'epirb', 'emission of an emergency position-indicating radiobeacon'],
    ],
  ],
  [
    'first telecommand',
    FIRST_TELECOMMANDS,
    [
      [100, 'f3e', 'F3E or G3E telephony, all modes'],
      [101, 'f3eDuplex', 'F3E or G3E duplex telephony'],
      [103, 'polling', 'polling'],
      [104, 'unable', 'unable to comply'],
      [105, 'endOfCall', 'end of call'],
      [106, 'data', 'data'],
      [109, 'j3e', 'J3E telephony'],
      [110, 'distressAcknowledgement', 'distress acknowledgement'],
      [112, 'distressRelay', 'distress relay'],
      [113, 'fec', 'F1B or J2B telegraphy, FEC'],
      [115, 'arq', 'F1B or J2B telegraphy, ARQ'],
      [118, 'test', 'test'],
      [121, 'position', 'ship position or location registration updating'],
      [126, 'none', 'no information'],
    ],
  ],
  [
    'second telecommand',
    SECOND_TELECOMMANDS,
    [
      [100, 'noReason', 'no reason given'],
      [101, 'congestion', 'congestion at the switching centre'],
      [102, 'busy', 'busy'],
      [103, 'queue', 'queue indication'],
      [104, 'barred', 'station barred'],
      [105, 'noOperator', 'no operator available'],
      [106, 'operatorAway', 'operator temporarily unavailable'],
      [107, 'disabled', 'equipment disabled'],
      [108, 'cannotUseChannel', 'unable to use the proposed channel'],
      [109, 'cannotUseMode', 'unable to use the proposed mode'],
      [110, 'neutral', 'ships and aircraft of States not parties to an armed conflict'],
      [111, 'medical', 'medical transports'],
      [112, 'payPhone', 'pay-phone or public call office'],
      [113, 'facsimile', 'facsimile or data'],
      [120, 'connection0', 'automatic connection system, no sending left'],
      [121, 'connection1', 'automatic connection system, one sending left'],
      [122, 'connection2', 'automatic connection system, two sendings left'],
      [123, 'connection3', 'automatic connection system, three sendings left'],
      [124, 'connection4', 'automatic connection system, four sendings left'],
      [126, 'none', 'no information'],
    ],
  ],
  [
    'follow-on',
    FOLLOW_ONS,
    [
      [100, 'f3e', 'F3E or G3E telephony'],
      [109, 'j3e', 'J3E telephony'],
      [113, 'fec', 'F1B or J2B telegraphy, FEC'],
      [115, 'arq', 'F1B or J2B telegraphy, ARQ'],
      [126, 'none', 'no information'],
    ],
  ],
  [
    'end of sequence',
    ENDS_OF_SEQUENCE,
    [
      [117, 'acknowledgeRequest', 'acknowledgement requested (RQ)'],
      [122, 'acknowledgeGiven', 'acknowledgement given (BQ)'],
      [127, 'end', 'end of sequence'],
    ],
  ],
];

describe.each(TABLE)('the words of the %s', (_, vocabulary, expected) => {
  it('are those of the table and no others', () => {
    const found = vocabulary.words.map((word) => [word.symbol, word.name, word.text]);
    expect(found).toEqual(expected);
  });

  it('are found by symbol and by name', () => {
    for (let symbol = 0; symbol < 128; symbol++) {
      expect(vocabulary.bySymbol(symbol)?.name).toBe(expected.find((row) => row[0] === symbol)?.[1]);
    }
    for (const [symbol, name] of expected) expect(vocabulary.byName(name)?.symbol).toBe(symbol);
    expect(vocabulary.byName('')).toBeUndefined();
    expect(vocabulary.byName('constructor')).toBeUndefined();
  });
});

it('marks what is remembered with doubt', () => {
  const doubted = TABLE.flatMap(([, vocabulary]) => vocabulary.words.filter((word) => 'certainty' in word));
  expect(doubted.map((word) => [word.symbol, word.certainty])).toEqual(
    [120, 121, 122, 123, 124].map((symbol) => [symbol, 'likely']),
  );
});

it('names the symbols with a meaning of their own (M.493 §3 and §8, from memory)', () => {
  expect([PHASING_DX, NO_INFORMATION, LAST_DIGIT_PAIR]).toEqual([125, 126, 99]);
});

describe('digit pairs', () => {
  it('packs two digits into a symbol (M.493 Annex 1 §1, from memory)', () => {
    expect(digitsToSymbols('2991234560')).toEqual([29, 91, 23, 45, 60]);
    expect(digitsToSymbols('0099')).toEqual([0, 99]);
    expect(digitsToSymbols('')).toEqual([]);
  });

  it('unpacks them with their zeros', () => {
    expect(symbolsToDigits([0, 29, 91, 23, 40])).toBe('0029912340');
    expect(symbolsToDigits([])).toBe('');
  });

  it('has no digits for service commands', () => {
    expect(symbolsToDigits([99])).toBe('99');
    expect(symbolsToDigits([100])).toBeUndefined();
    expect(symbolsToDigits([1, 127])).toBeUndefined();
    expect(symbolsToDigits([-1])).toBeUndefined();
    expect(symbolsToDigits([NaN])).toBeUndefined();
  });

  it.each(['1', '123', '1a', ' 1', '12\n', '١٢'])('refuses %j', (digits) => {
    expect(() => digitsToSymbols(digits)).toThrow(DotphaseError);
    expect(() => digitsToSymbols(digits)).toThrow(/^digits: .*an even number of decimal digits$/);
  });

  it('goes to digits and back', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 99 })), (symbols) => {
        expect(digitsToSymbols(symbolsToDigits(symbols) ?? '')).toEqual(symbols);
      }),
    );
  });
});
