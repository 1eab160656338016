/**
 * A spectrogram as an image: PNG (ISO/IEC 15948) in a data URI (RFC 2397), light where nothing is, dark where a
 * signal is, so that it prints well.
 */
import { encode } from 'fast-png';
import type { Spectrogram } from './spectrogram.js';

const SHADES = 48;

/** Colours from silence to the strongest signal; between them the shades are mixed. */
const STOPS: readonly (readonly [red: number, green: number, blue: number])[] = [
  [255, 255, 255],
  [226, 235, 239],
  [146, 181, 196],
  [45, 96, 124],
  [12, 28, 44],
];

const PALETTE: number[][] = Array.from({ length: SHADES }, (_, shade) => {
  const place = (shade / (SHADES - 1)) * (STOPS.length - 1);
  const below = Math.min(STOPS.length - 2, Math.floor(place));
  return [0, 1, 2].map((part) =>
    Math.round(STOPS[below][part] + (place - below) * (STOPS[below + 1][part] - STOPS[below][part])),
  );
});

const MOST_RANGE_DB = 50;
const LEAST_RANGE_DB = 20;

/** The levels that are drawn lightest and darkest: a little over the median, and the strongest cells. */
function rangeOf(levelsDb: Float32Array): [low: number, high: number] {
  const sorted = levelsDb.filter(Number.isFinite).sort();
  if (sorted.length === 0) return [-LEAST_RANGE_DB, 0];
  const high = sorted[Math.floor(0.998 * (sorted.length - 1))];
  const low = sorted[Math.floor(0.5 * (sorted.length - 1))] + 3;
  return [Math.min(Math.max(low, high - MOST_RANGE_DB), high - LEAST_RANGE_DB), high];
}

function dataUri(png: Uint8Array): string {
  let text = '';
  for (let at = 0; at < png.length; at += 4096) text += String.fromCharCode(...png.subarray(at, at + 4096));
  return `data:image/png;base64,${btoa(text)}`;
}

/** The spectrogram as an image of one pixel a cell, the highest frequency on top, in a data URI. */
export function spectrogramImage({ columns, rows, levelsDb }: Spectrogram): string {
  const [low, high] = rangeOf(levelsDb);
  const data = new Uint8Array(columns * rows);
  for (let column = 0; column < columns; column++) {
    for (let row = 0; row < rows; row++) {
      const place = (levelsDb[column * rows + row] - low) / (high - low);
      const shade = Math.round(Math.min(1, Math.max(0, place)) * (SHADES - 1));
      data[(rows - 1 - row) * columns + column] = shade;
    }
  }
  return dataUri(encode({ width: columns, height: rows, data, depth: 8, channels: 1, palette: PALETTE }));
}
