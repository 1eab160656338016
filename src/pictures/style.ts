/**
 * What the pictures are drawn with.
 */

/** Colours; B and Y differ in lightness too, so that they are told apart in grey. */
export const COLOUR = {
  paper: '#ffffff',
  ink: '#1b2730',
  muted: '#5a6872',
  rule: '#c5cfd5',
  b: '#b8602a',
  y: '#17576e',
  dots: '#ecdcae',
  phasing: '#cfe0d3',
  characters: '#dbe4ea',
  repeated: '#f1f4f6',
  bad: '#a61c1c',
} as const;

/** Families that carry all the letters needed, commonest first. */
export const FONT_FAMILY = "'DejaVu Sans', 'Liberation Sans', Arial, sans-serif";

/** Left edge of what is plotted, in units of the drawing. */
export const LEFT = 50;
/** What is left free at the right. */
const RIGHT = 8;

/** Width of what is plotted in a drawing of a width. */
export const plotWidth = (width: number) => width - LEFT - RIGHT;
