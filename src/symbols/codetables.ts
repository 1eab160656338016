/**
 * What symbols 100–127 mean, field by field: ITU-R M.493 Annex 1, Tables A1-2 and A1-3 (from memory).
 *
 * A symbol that a table leaves out is unassigned in that field.
 */

/** One word of a field: the symbol, the short name used in typed calls, and the meaning in plain language. */
export interface Word<Name extends string = string> {
  readonly symbol: number;
  readonly name: Name;
  readonly text: string;
  /** Only where the word is remembered with doubt. */
  readonly certainty?: Certainty;
}

/** How well a detail of the standard is remembered where it is not well established. */
export type Certainty = 'likely' | 'uncertain';

/** The words of one field, with look-up both ways. */
export interface Vocabulary<Name extends string = string> {
  readonly words: readonly Word<Name>[];
  /** The word of a symbol; undefined where the field does not assign it. */
  bySymbol(symbol: number): Word<Name> | undefined;
  /** The word of a short name; undefined where there is none. */
  byName(name: string): Word<Name> | undefined;
}

function vocabulary<const Name extends string>(
  rows: readonly (readonly [number, Name, string, Certainty?])[],
): Vocabulary<Name> {
  const words = rows.map(([symbol, name, text, certainty]): Word<Name> => ({
    symbol,
    name,
    text,
    ...(certainty && { certainty }),
  }));
  const symbols = new Map(words.map((word) => [word.symbol, word]));
  const names = new Map<string, Word<Name>>(words.map((word) => [word.name, word]));
  return { words, bySymbol: (symbol) => symbols.get(symbol), byName: (name) => names.get(name) };
}

/** Format specifiers (M.493 §4, Table A1-3). */
export const FORMATS = vocabulary([
  [102, 'area', 'geographic area call'],
  [112, 'distress', 'distress alert'],
  [114, 'group', 'group call'],
  [116, 'allShips', 'all-ships call'],
  [120, 'individual', 'individual call'],
  [123, 'automatic', 'individual call by the automatic service'],
]);

/** Categories (M.493 §6, Table A1-3). */
export const CATEGORIES = vocabulary([
  [100, 'routine', 'routine'],
  [108, 'safety', 'safety'],
  [110, 'urgency', 'urgency'],
  [112, 'distress', 'distress'],
]);

/** Natures of distress (M.493 §8.1, Table A1-3). */
export const NATURES = vocabulary([
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
]);

/** First telecommands (M.493 §8.2, Table A1-3). */
export const FIRST_TELECOMMANDS = vocabulary([
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
]);

/**
 * Second telecommands (M.493 §8.2, Table A1-3). 120 to 124 belong to the automatic connection system of M.493-16:
 * how many sendings of the call may still follow on other frequencies.
 */
export const SECOND_TELECOMMANDS = vocabulary([
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
  [120, 'connection0', 'automatic connection system, no sending left', 'likely'],
  [121, 'connection1', 'automatic connection system, one sending left', 'likely'],
  [122, 'connection2', 'automatic connection system, two sendings left', 'likely'],
  [123, 'connection3', 'automatic connection system, three sendings left', 'likely'],
  [124, 'connection4', 'automatic connection system, four sendings left', 'likely'],
  [126, 'none', 'no information'],
]);

/** What a distress call announces as the communication that follows (M.493 §8.1.4: the first telecommands of telephony and FEC). */
export const FOLLOW_ONS = vocabulary([
  [100, 'f3e', 'F3E or G3E telephony'],
  [109, 'j3e', 'J3E telephony'],
  [113, 'fec', 'F1B or J2B telegraphy, FEC'],
  [115, 'arq', 'F1B or J2B telegraphy, ARQ'],
  [126, 'none', 'no information'],
]);

/** Ends of sequence (M.493 §9). */
export const ENDS_OF_SEQUENCE = vocabulary([
  [117, 'acknowledgeRequest', 'acknowledgement requested (RQ)'],
  [122, 'acknowledgeGiven', 'acknowledgement given (BQ)'],
  [127, 'end', 'end of sequence'],
]);

/** The phasing character in the DX position (M.493 §3). */
export const PHASING_DX = 125;

/** "No information" wherever a message or telecommand has nothing to say (M.493 §8). */
export const NO_INFORMATION = 126;

/** Short names of each field's words. */
export type FormatName = (typeof FORMATS.words)[number]['name'];
/** Names of the categories. */
export type CategoryName = (typeof CATEGORIES.words)[number]['name'];
/** Names of the natures of distress. */
export type NatureName = (typeof NATURES.words)[number]['name'];
/** Names of the first telecommands. */
export type FirstTelecommandName = (typeof FIRST_TELECOMMANDS.words)[number]['name'];
/** Names of the second telecommands. */
export type SecondTelecommandName = (typeof SECOND_TELECOMMANDS.words)[number]['name'];
/** Names of the follow-on communications a distress call announces. */
export type FollowOnName = (typeof FOLLOW_ONS.words)[number]['name'];
/** Names of the ends of sequence. */
export type EndOfSequenceName = (typeof ENDS_OF_SEQUENCE.words)[number]['name'];
