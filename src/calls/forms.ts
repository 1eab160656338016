/**
 * The layout of each field in words, for the reference and for the problems that checking reports.
 */
import { DATUMS, SOURCES } from './expansions/index.js';
import type { Content, FieldKind, WordKind } from './fields/index.js';
import { DATUM_TEXTS, SOURCE_TEXTS } from './phrases/expansions.js';
import { VOCABULARIES } from './phrases/words.js';

const MESSAGE =
  'two frequencies or channels: first the one the called station receives on, then the one it transmits on; ' +
  'or 55, a position and its time';

/** Numbered words, each with its two digits. */
function numbered(texts: readonly string[]): string {
  return texts.map((text, i) => `0${i} ${text}`).join(', ');
}

const FORMS: Readonly<Record<Exclude<FieldKind, WordKind | 'constant'>, string>> = {
  identity: 'nine digits, then 0',
  casualty: 'nine digits, then 0; 126 five times if unknown',
  area: 'north-west corner: quadrant, latitude DD, longitude DDD; then degrees southwards DD and eastwards DD',
  position: 'quadrant (0 NE, 1 NW, 2 SE, 3 SW), latitude DDMM, longitude DDDMM; 9 ten times if none',
  time: 'HHMM UTC; 8888 if none',
  channel:
    'six digits: hundreds of hertz; 3 and an MF/HF channel; 90 and a VHF channel; ' +
    'eight digits: 4 and tens of hertz; 126 three times if none',
  message: MESSAGE,
  acknowledgedMessage:
    'two frequencies or channels: first the one the acknowledging station receives on, then the one it transmits on; ' +
    'or 55, a position and its time',
  irregularMessage: MESSAGE,
  telephone: '106 and an even count of digits, or 105, a 0 and an odd count of digits; nothing if none',
  finePosition: 'ten-thousandths of a minute: latitude, four digits; longitude, four digits',
  positionSource:
    `two digits each: source (${numbered(SOURCES.map((source) => SOURCE_TEXTS[source]))}); ` +
    'resolution of the fix in tenths of a minute; ' +
    `datum (${numbered(DATUMS.map((datum) => DATUM_TEXTS[datum]))})`,
  speed: 'tenths of a knot, four digits',
  course: 'tenths of a degree, four digits',
  furtherIdentification:
    'one character a letter: 00–09 the digits, 11–36 A–Z, 37 full stop, 38 comma, 39 hyphen, 40 stroke, 41 space',
  refinedArea:
    'four digits each: minutes in hundredths to add to the latitude and longitude of the corner, and to the sides southwards and eastwards; speed in tenths of a knot; course in tenths of a degree',
  personsOnBoard: 'four digits',
};

/** How a field's value is laid out in its symbols, as a phrase. */
export function formOf({ kind, constant }: Content): string {
  if (constant) return constant.join(' ');
  if (kind in FORMS) return FORMS[kind as keyof typeof FORMS];
  return VOCABULARIES[kind as WordKind].words.map(({ symbol, text }) => `${symbol} ${text}`).join(', ');
}
