/**
 * The symbols 100–127 and the short name of each, field by field: ITU-R M.493 Annex 1, Tables A1-2 and A1-3 (from
 * memory). Their plain words stand in `codetables.ts`, so that encoding and decoding do not load them.
 */

/** One code of a field: the symbol and the short name used in typed calls. */
export interface Code<Name extends string = string> {
  readonly symbol: number;
  readonly name: Name;
}

/** The codes of one field, with look-up both ways. */
export interface Codes<Name extends string = string> {
  readonly words: readonly Code<Name>[];
  /** The code of a symbol; undefined where the field does not assign it. */
  bySymbol(symbol: number): Code<Name> | undefined;
  /** The code of a short name; undefined where there is none. */
  byName(name: string): Code<Name> | undefined;
}

/** Codes with look-up both ways. */
export function withLookUp<Entry extends Code>(words: readonly Entry[]) {
  const symbols = new Map(words.map((word) => [word.symbol, word]));
  const names = new Map<string, Entry>(words.map((word) => [word.name, word]));
  return {
    words,
    bySymbol: (symbol: number) => symbols.get(symbol),
    byName: (name: string) => names.get(name),
  };
}

function codes<const Name extends string>(rows: readonly (readonly [number, Name])[]): Codes<Name> {
  return withLookUp(rows.map(([symbol, name]): Code<Name> => ({ symbol, name })));
}

/** Format specifiers (M.493 §4, Table A1-3). */
export const FORMAT_CODES = /* @__PURE__ */ codes([
  [102, 'area'],
  [112, 'distress'],
  [114, 'group'],
  [116, 'allShips'],
  [120, 'individual'],
  [123, 'automatic'],
]);

/** Categories (M.493 §6, Table A1-3). */
export const CATEGORY_CODES = /* @__PURE__ */ codes([
  [100, 'routine'],
  [108, 'safety'],
  [110, 'urgency'],
  [112, 'distress'],
]);

/** Natures of distress (M.493 §8.1, Table A1-3). */
export const NATURE_CODES = /* @__PURE__ */ codes([
  [100, 'fire'],
  [101, 'flooding'],
  [102, 'collision'],
  [103, 'grounding'],
  [104, 'listing'],
  [105, 'sinking'],
  [106, 'adrift'],
  [107, 'undesignated'],
  [108, 'abandoning'],
  [109, 'piracy'],
  [110, 'manOverboard'],
  [112, 'epirb'],
]);

/** First telecommands (M.493 §8.3, Table A1-3). */
export const FIRST_TELECOMMAND_CODES = /* @__PURE__ */ codes([
  [100, 'f3e'],
  [101, 'f3eDuplex'],
  [103, 'polling'],
  [104, 'unable'],
  [105, 'endOfCall'],
  [106, 'data'],
  [109, 'j3e'],
  [110, 'distressAcknowledgement'],
  [112, 'distressRelay'],
  [113, 'fec'],
  [115, 'arq'],
  [118, 'test'],
  [121, 'position'],
  [126, 'none'],
]);

/**
 * Second telecommands (M.493 §8.3, Table A1-3). 120 to 124 belong to the automatic connection system of M.493-16:
 * how many sendings of the call may still follow on other frequencies.
 */
export const SECOND_TELECOMMAND_CODES = /* @__PURE__ */ codes([
  [100, 'noReason'],
  [101, 'congestion'],
  [102, 'busy'],
  [103, 'queue'],
  [104, 'barred'],
  [105, 'noOperator'],
  [106, 'operatorAway'],
  [107, 'disabled'],
  [108, 'cannotUseChannel'],
  [109, 'cannotUseMode'],
  [110, 'neutral'],
  [111, 'medical'],
  [112, 'payPhone'],
  [113, 'facsimile'],
  [120, 'connection0'],
  [121, 'connection1'],
  [122, 'connection2'],
  [123, 'connection3'],
  [124, 'connection4'],
  [126, 'none'],
]);

/** What a distress call announces as the communication that follows (M.493 §8.1.4: the first telecommands of telephony and FEC). */
export const FOLLOW_ON_CODES = /* @__PURE__ */ codes([
  [100, 'f3e'],
  [109, 'j3e'],
  [113, 'fec'],
  [115, 'arq'],
  [126, 'none'],
]);

/** Ends of sequence (M.493 §9). */
export const END_OF_SEQUENCE_CODES = /* @__PURE__ */ codes([
  [117, 'acknowledgeRequest'],
  [122, 'acknowledgeGiven'],
  [127, 'end'],
]);

/** The phasing character in the DX position (M.493 §3). */
export const PHASING_DX = 125;

/** "No information" wherever a message or telecommand has nothing to say (M.493 §8). */
export const NO_INFORMATION = 126;

/** Short names of each field's words. */
export type FormatName = (typeof FORMAT_CODES.words)[number]['name'];
/** Names of the categories. */
export type CategoryName = (typeof CATEGORY_CODES.words)[number]['name'];
/** Names of the natures of distress. */
export type NatureName = (typeof NATURE_CODES.words)[number]['name'];
/** Names of the first telecommands. */
export type FirstTelecommandName = (typeof FIRST_TELECOMMAND_CODES.words)[number]['name'];
/** Names of the second telecommands. */
export type SecondTelecommandName = (typeof SECOND_TELECOMMAND_CODES.words)[number]['name'];
/** Names of the follow-on communications a distress call announces. */
export type FollowOnName = (typeof FOLLOW_ON_CODES.words)[number]['name'];
/** Names of the ends of sequence. */
export type EndOfSequenceName = (typeof END_OF_SEQUENCE_CODES.words)[number]['name'];
