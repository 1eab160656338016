/**
 * Narrow-band direct printing, the neighbour on the same modulation: ITU-R M.476 and M.625 (from memory). The
 * seven-unit code of M.625 Table 1 and the collective broadcast mode (FEC, mode B).
 *
 * Every combination has four B and three Y elements. B is the higher tone. Each character is sent twice: first in a
 * DX position, again in an RX position after four other characters (280 ms at 100 Bd).
 */

/** Elements of a character. */
export const NBDP_ELEMENTS = 7;

/** What combinations 1 to 26 print after letter shift and after figure shift, where a gap prints nothing. */
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const FIGURES = "-?: 3   8 ().,9014'57=2/6+";

/** M.625 Table 1, combinations A to Z, in the order the elements are sent. */
const LETTER_ELEMENTS = [
  ...['BBBYYYB', 'YBYYBBB', 'BYBBBYY', 'BBYYBYB', 'YBBYBYB', 'BBYBBYY', 'BYBYBBY', 'BYYBYBB', 'BYBBYYB'],
  ...['BBBYBYY', 'YBBBBYY', 'BYBYYBB', 'BYYBBBY', 'BYYBBYB', 'BYYYBBB', 'BYBBYBY', 'YBBBYBY', 'BYBYBYB'],
  ...['BBYBYYB', 'YYBYBBB', 'YBBBYYB', 'YYBBBBY', 'BBBYYBY', 'YBYBBBY', 'BBYBYBY', 'BBYYYBB'],
];

/** The other combinations of M.625 Table 1. */
const NBDP_SIGNALS = {
  carriageReturn: 'YYYBBBB',
  lineFeed: 'YYBBYBB',
  letterShift: 'YBYBBYB',
  figureShift: 'YBBYBBY',
  space: 'YYBBBYB',
  unperforated: 'YBYBYBB',
  /** Phasing signal 1, also the idle signal α. */
  alpha: 'BBBBYYY',
  /** Idle signal β. */
  beta: 'BBYYBBY',
  /** Phasing signal 2, also the request for repetition (signal repetition). */
  repetition: 'YBBYYBB',
} as const;

/** The combinations that print a text, with the shifts it needs. Characters outside the alphabet are left out. */
export function nbdpCharacters(text: string): string[] {
  const sent: string[] = [NBDP_SIGNALS.carriageReturn, NBDP_SIGNALS.lineFeed, NBDP_SIGNALS.letterShift];
  let figures = false;
  for (const character of text.toUpperCase()) {
    if (character === ' ') sent.push(NBDP_SIGNALS.space);
    else if (character === '\n') sent.push(NBDP_SIGNALS.carriageReturn, NBDP_SIGNALS.lineFeed);
    else {
      const letter = LETTERS.indexOf(character);
      const number = letter >= 0 ? letter : FIGURES.indexOf(character);
      if (number < 0) continue;
      if (figures !== letter < 0) {
        figures = letter < 0;
        sent.push(figures ? NBDP_SIGNALS.figureShift : NBDP_SIGNALS.letterShift);
      }
      sent.push(LETTER_ELEMENTS[number]);
    }
  }
  return sent;
}

/** Pairs of phasing signals before the text, and of idle signals after it. */
const PHASING_PAIRS = 16;
const ENDING_PAIRS = 14;

/**
 * A whole collective broadcast: pairs of phasing signals (2 in DX, 1 in RX), the characters in DX with each again in
 * the third RX position after, and idle signals α to the end (2 s).
 *
 * @returns the combinations in the order they are sent, DX and RX in turn
 */
export function nbdpBroadcast(characters: readonly string[]): string[] {
  const slots: string[] = [];
  const pairs = PHASING_PAIRS + characters.length + ENDING_PAIRS;
  for (let pair = 0; pair < pairs; pair++) {
    slots.push(atPair(characters, pair, NBDP_SIGNALS.repetition));
    slots.push(atPair(characters, pair - RX_PAIRS_LATER, NBDP_SIGNALS.alpha));
  }
  return slots;
}

/** The RX position of a character lies in the second pair after its DX position: four others stand between. */
const RX_PAIRS_LATER = 2;

function atPair(characters: readonly string[], pair: number, phasing: string): string {
  const place = pair - PHASING_PAIRS;
  if (place < 0) return phasing;
  return place < characters.length ? characters[place] : NBDP_SIGNALS.alpha;
}
