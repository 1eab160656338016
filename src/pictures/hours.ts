/**
 * A recording of hours: its spectrogram in lines of an hour, its calls marked over it.
 */
import { DotphaseError, requireNumber } from '../errors.js';
import { describeReceived, type ReceivedCall } from '../receiver/index.js';
import { escapeMarkup } from '../data/index.js';
import { spectrogramImage } from './raster.js';
import { spectrogram } from './spectrogram.js';
import { COLOUR, FONT_FAMILY } from './style.js';
import { element, label, line, rect, textWidth } from './svg.js';

/** What a call needs to be marked. */
export type MarkedCall = Pick<ReceivedCall, 'call' | 'start' | 'end' | 'quality' | 'moreFollowed'>;

/** How a recording of hours is drawn. */
export interface HoursOptions {
  /** Samples per second, 8000 to 192 000. */
  readonly sampleRate: number;
  /** Length of a line, seconds, 60 to 86 400; default 3600. */
  readonly lineSeconds?: number;
}

/** What is written beside the drawing. */
export interface HoursLabels {
  /** The calls that were received, in seconds from the first sample; default none. */
  readonly calls?: readonly MarkedCall[];
  /** When the recording began, milliseconds since 1970 UTC: lines are named by the time of day; default from 0:00. */
  readonly began?: number;
  /** A heading, and the description of the picture; default none. */
  readonly title?: string;
}

/** Draws a recording as it is read. */
export interface HoursDrawing {
  /** Takes the next samples, any number of them, full scale ±1. */
  push(samples: Float32Array): void;
  /**
   * Ends the drawing.
   *
   * @returns an SVG document, 1000 units wide
   * @throws DotphaseError where nothing was pushed
   */
  end(labels?: HoursLabels): string;
}

const COLUMNS = 900;
const ROWS = 60;
const HIGHEST_HZ = 3000;
/** Tells tones 170 Hz apart. */
const WINDOW_SECONDS = 0.03;

const LEFT = 76;
const WIDTH = LEFT + COLUMNS + 24;
const PLOT_HEIGHT = 72;
const LANE_HEIGHT = 14;
const LINE_HEIGHT = LANE_HEIGHT + PLOT_HEIGHT + 8;
const AXIS_HEIGHT = 22;
const FONT = 11;
const HEADING_FONT = 15;
const LEAST_MARK = 3;
/** Marks of a line along its time axis. */
const TICKS = 6;

const MINUTE = 60;
const DAY_MS = 86_400_000;

const pair = (value: number) => String(value).padStart(2, '0');

/** `09:30` of a day where that is known, else hours and minutes from the beginning. */
function clockAt(seconds: number, began: number | undefined): string {
  if (began !== undefined) return new Date(began + Math.round(seconds) * 1000).toISOString().slice(11, 16);
  const minutes = Math.round(seconds / MINUTE);
  return `${Math.floor(minutes / 60)}:${pair(minutes % 60)}`;
}

/** The levels of the columns of one line. */
interface DrawnLine {
  readonly levels: Float32Array;
  columns: number;
}

/**
 * Begins a drawing of a recording of any length. Memory grows by a quarter of a mebibyte a line.
 *
 * @throws DotphaseError when an option is out of range
 */
export function createHoursDrawing({ sampleRate, lineSeconds = 3600 }: HoursOptions): HoursDrawing {
  requireNumber('sampleRate', sampleRate, 8000, 192_000, 'Hz');
  requireNumber('lineSeconds', lineSeconds, MINUTE, 86_400, 's');
  const highHz = Math.min(HIGHEST_HZ, sampleRate / 2);
  const columnFrames = Math.round((lineSeconds / COLUMNS) * sampleRate);
  const column = new Float32Array(columnFrames);
  const lines: DrawnLine[] = [];
  let filled = 0;
  let frames = 0;

  const measure = (length: number): void => {
    let last = lines.at(-1);
    if (!last || last.columns === COLUMNS) {
      last = { levels: new Float32Array(COLUMNS * ROWS).fill(-Infinity), columns: 0 };
      lines.push(last);
    }
    const { levelsDb } = spectrogram(column, {
      sampleRate,
      fromSeconds: 0,
      toSeconds: length / sampleRate,
      columns: 1,
      rows: ROWS,
      lowHz: 0,
      highHz,
      windowSeconds: WINDOW_SECONDS,
    });
    last.levels.set(levelsDb, ROWS * last.columns++);
    filled = 0;
  };

  return {
    push(samples) {
      for (let at = 0; at < samples.length;) {
        const taken = Math.min(samples.length - at, columnFrames - filled);
        column.set(samples.subarray(at, at + taken), filled);
        at += taken;
        filled += taken;
        frames += taken;
        if (filled === columnFrames) measure(columnFrames);
      }
    },
    end({ calls = [], began, title } = {}) {
      if (frames === 0) throw new DotphaseError('samples', 'none', 'a recording that is not empty');
      if (filled > 0) {
        const length = filled;
        column.fill(0, length);
        measure(length);
      }
      const secondsPerColumn = columnFrames / sampleRate;
      return drawLines(lines, secondsPerColumn, highHz, {
        calls,
        ...(began !== undefined && { began }),
        ...(title !== undefined && { title }),
      });
    },
  };
}

function drawLines(
  lines: readonly DrawnLine[],
  secondsPerColumn: number,
  highHz: number,
  { calls = [], began, title }: HoursLabels,
): string {
  const lineSeconds = COLUMNS * secondsPerColumn;
  const top = title === undefined ? 6 : 6 + HEADING_FONT + 12;
  const parts =
    title === undefined
      ? []
      : [label(8, 6 + HEADING_FONT, title, { 'font-size': HEADING_FONT, 'font-weight': 'bold' })];
  lines.forEach(({ levels, columns }, i) => {
    const y = top + i * LINE_HEIGHT;
    const plot = y + LANE_HEIGHT;
    const image = spectrogramImage({ columns, rows: ROWS, levelsDb: levels.subarray(0, columns * ROWS) });
    const grey = { 'font-size': FONT, fill: COLOUR.muted, 'text-anchor': 'end' };
    parts.push(
      element('image', {
        x: LEFT,
        y: plot,
        width: columns,
        height: PLOT_HEIGHT,
        preserveAspectRatio: 'none',
        href: image,
      }),
      rect(LEFT, plot, COLUMNS, PLOT_HEIGHT, { fill: 'none', stroke: COLOUR.muted, 'stroke-width': 0.6 }),
      label(LEFT - 8, plot + FONT, clockAt(i * lineSeconds, began), { ...grey, 'font-weight': 'bold' }),
      ...dayOf(i * lineSeconds, lineSeconds, began, plot + 2 * FONT + 4, i === 0),
      label(LEFT - 8, plot + PLOT_HEIGHT, '0', grey),
      ...marksOf(calls, i * lineSeconds, lineSeconds, y),
    );
  });
  const bottom = top + lines.length * LINE_HEIGHT;
  for (let tick = 0; tick <= TICKS; tick++) {
    const x = LEFT + (COLUMNS * tick) / TICKS;
    const minutes = Math.round((lineSeconds * tick) / TICKS / MINUTE);
    parts.push(
      line(x, bottom - 8, x, bottom - 4, { stroke: COLOUR.muted }),
      label(x, bottom + 7, `${minutes} min`, {
        'font-size': FONT,
        fill: COLOUR.muted,
        'text-anchor': 'middle',
      }),
    );
  }
  const height = bottom + AXIS_HEIGHT;
  const name = title ?? 'Spectrogram of a recording of hours';
  const range = `0 to ${highHz / 1000} kHz upwards; ${calls.length} calls are marked`;
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: WIDTH,
      height,
      viewBox: `0 0 ${WIDTH} ${height}`,
      role: 'img',
      'font-family': FONT_FAMILY,
      fill: COLOUR.ink,
    },
    `<title>${escapeMarkup(`${name}: ${range}`)}</title>` +
      rect(0, 0, WIDTH, height, { fill: COLOUR.paper }) +
      parts.join(''),
  );
}

/** The day, beside the first line and where a new one begins. */
function dayOf(
  seconds: number,
  lineSeconds: number,
  began: number | undefined,
  y: number,
  isFirst: boolean,
): string[] {
  if (began === undefined) return [];
  const day = (at: number) => Math.floor((began + Math.round(at) * 1000) / DAY_MS);
  if (!isFirst && day(seconds) === day(seconds - lineSeconds)) return [];
  const text = new Date(began + Math.round(seconds) * 1000).toISOString().slice(0, 10);
  return [label(LEFT - 8, y, text, { 'font-size': FONT, fill: COLOUR.muted, 'text-anchor': 'end' })];
}

const isDistress = ({ call }: MarkedCall) => /^(distress|ownAlert|relay|irregularDistress)/.test(call.kind);

/** The calls that begin in a line, numbered where there is room: filled, hollow where doubtful, red about distress. */
function marksOf(calls: readonly MarkedCall[], from: number, lineSeconds: number, top: number): string[] {
  let free = -Infinity;
  return calls.flatMap((call, i) => {
    if (call.start < from || call.start >= from + lineSeconds) return [];
    const scale = COLUMNS / lineSeconds;
    const x = LEFT + (call.start - from) * scale;
    const width = Math.max(LEAST_MARK, Math.min((call.end - call.start) * scale, LEFT + COLUMNS - x));
    const colour = isDistress(call) ? COLOUR.bad : COLOUR.ink;
    const isDoubtful = call.quality === 'doubtful';
    const text = `${i + 1}`;
    const hasRoom = x >= free;
    if (hasRoom) free = x + width + 2 + textWidth(text, FONT) + 3;
    const mark = element(
      'rect',
      {
        x,
        y: top + LANE_HEIGHT - 9,
        width,
        height: 8,
        fill: isDoubtful ? COLOUR.paper : colour,
        stroke: colour,
        'stroke-width': 0.8,
      },
      `<title>${escapeMarkup(`${i + 1}: ${isDoubtful ? 'doubtful, it may be wrong: ' : ''}${describeReceived(call)}`)}</title>`,
    );
    const number = label(x + width + 2, top + LANE_HEIGHT - 2, text, { 'font-size': FONT, fill: colour });
    return hasRoom ? [mark, number] : [mark];
  });
}
