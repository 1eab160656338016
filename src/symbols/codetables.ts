/**
 * What symbols 100–127 mean, field by field: ITU-R M.493 Annex 1, Tables A1-2 and A1-3 (from memory).
 *
 * A symbol that a table leaves out is unassigned in that field.
 * Each table is marked as pure, so that a bundle leaves out those that it does not use.
 */
import {
  FORMAT_CODES,
  CATEGORY_CODES,
  NATURE_CODES,
  FIRST_TELECOMMAND_CODES,
  SECOND_TELECOMMAND_CODES,
  FOLLOW_ON_CODES,
  END_OF_SEQUENCE_CODES,
  withLookUp,
  type Code,
  type Codes,
} from './codes.js';

/** One word of a field: the symbol, the short name used in typed calls, and the meaning in plain language. */
export interface Word<Name extends string = string> extends Code<Name> {
  readonly text: string;
  /** Only where the word is remembered with doubt. */
  readonly certainty?: Certainty;
}

/** How sure a detail is that is remembered with doubt. */
export type Certainty = 'likely' | 'uncertain';

/** The words of one field, with look-up both ways. */
export interface Vocabulary<Name extends string = string> extends Codes<Name> {
  readonly words: readonly Word<Name>[];
  /** The word of a symbol; undefined where the field does not assign it. */
  bySymbol(symbol: number): Word<Name> | undefined;
  /** The word of a short name; undefined where there is none. */
  byName(name: string): Word<Name> | undefined;
}

function vocabulary<Name extends string>(
  codes: Codes<Name>,
  texts: Readonly<Record<Name, string>>,
  doubts?: Readonly<Partial<Record<Name, Certainty>>>,
): Vocabulary<Name> {
  return withLookUp(
    codes.words.map(({ symbol, name }): Word<Name> => {
      const certainty = doubts?.[name];
      return { symbol, name, text: texts[name], ...(certainty && { certainty }) };
    }),
  );
}

/** Format specifiers (M.493 §4, Table A1-3). */
export const FORMATS = /* @__PURE__ */ vocabulary(FORMAT_CODES, {
  area: 'geographic area call',
  distress: 'distress alert',
  group: 'group call',
  allShips: 'all-ships call',
  individual: 'individual call',
  automatic: 'individual call by the automatic service',
});

/** Categories (M.493 §6, Table A1-3). */
export const CATEGORIES = /* @__PURE__ */ vocabulary(CATEGORY_CODES, {
  routine: 'routine',
  safety: 'safety',
  urgency: 'urgency',
  distress: 'distress',
});

/** Natures of distress (M.493 §8.1, Table A1-3). */
export const NATURES = /* @__PURE__ */ vocabulary(NATURE_CODES, {
  fire: 'fire or explosion',
  flooding: 'flooding',
  collision: 'collision',
  grounding: 'grounding',
  listing: 'listing, in danger of capsizing',
  sinking: 'sinking',
  adrift: 'disabled and adrift',
  undesignated: 'undesignated distress',
  abandoning: 'abandoning ship',
  piracy: 'piracy or armed robbery attack',
  manOverboard: 'man overboard',
  epirb: 'emission of an emergency position-indicating radiobeacon',
});

/** First telecommands (M.493 §8.3, Table A1-3). */
export const FIRST_TELECOMMANDS = /* @__PURE__ */ vocabulary(FIRST_TELECOMMAND_CODES, {
  f3e: 'F3E or G3E telephony, all modes',
  f3eDuplex: 'F3E or G3E duplex telephony',
  polling: 'polling',
  unable: 'unable to comply',
  endOfCall: 'end of call',
  data: 'data',
  j3e: 'J3E telephony',
  distressAcknowledgement: 'distress acknowledgement',
  distressRelay: 'distress relay',
  fec: 'F1B or J2B telegraphy, FEC',
  arq: 'F1B or J2B telegraphy, ARQ',
  test: 'test',
  position: 'ship position or location registration updating',
  none: 'no information',
});

/**
 * Second telecommands (M.493 §8.3, Table A1-3). 120 to 124 belong to the automatic connection system of M.493-16: how
 * many sendings of the call may still follow on other frequencies. With the first telecommand for data, 115 to 124 have
 * other meanings in older editions (JP567).
 */
export const SECOND_TELECOMMANDS = /* @__PURE__ */ vocabulary(
  SECOND_TELECOMMAND_CODES,
  {
    noReason: 'no reason given',
    congestion: 'congestion at the switching centre',
    busy: 'busy',
    queue: 'queue indication',
    barred: 'station barred',
    noOperator: 'no operator available',
    operatorAway: 'operator temporarily unavailable',
    disabled: 'equipment disabled',
    cannotUseChannel: 'unable to use the proposed channel',
    cannotUseMode: 'unable to use the proposed mode',
    neutral: 'ships and aircraft of States not parties to an armed conflict',
    medical: 'medical transports',
    payPhone: 'pay-phone or public call office',
    facsimile: 'facsimile or data',
    connection0: 'automatic connection system, no sending left',
    connection1: 'automatic connection system, one sending left',
    connection2: 'automatic connection system, two sendings left',
    connection3: 'automatic connection system, three sendings left',
    connection4: 'automatic connection system, four sendings left',
    none: 'no information',
  },
  {
    connection0: 'likely',
    connection1: 'likely',
    connection2: 'likely',
    connection3: 'likely',
    connection4: 'likely',
  },
);

/** What a distress call announces as the communication that follows (M.493 §8.1.4: the first telecommands of telephony and FEC). */
export const FOLLOW_ONS = /* @__PURE__ */ vocabulary(FOLLOW_ON_CODES, {
  f3e: 'F3E or G3E telephony',
  j3e: 'J3E telephony',
  fec: 'F1B or J2B telegraphy, FEC',
  arq: 'F1B or J2B telegraphy, ARQ',
  none: 'no information',
});

/** Ends of sequence (M.493 §9). */
export const ENDS_OF_SEQUENCE = /* @__PURE__ */ vocabulary(END_OF_SEQUENCE_CODES, {
  acknowledgeRequest: 'acknowledgement requested (RQ)',
  acknowledgeGiven: 'acknowledgement given (BQ)',
  end: 'end of sequence',
});
