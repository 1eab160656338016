/**
 * The overview: a spectrogram of the whole recording with the parts of each call marked over time.
 */
import { spectrogramImage } from './raster.js';
import { spectrogram } from './spectrogram.js';
import type { CallStructure } from './structure.js';
import { COLOUR, LEFT, plotWidth } from './style.js';
import { element, label, line, rect, textWidth } from './svg.js';

/** A part of a picture: markup that takes `height` from `top` downwards. */
export interface Piece {
  readonly markup: string;
  readonly height: number;
}

/** What the overview shows. */
export interface OverviewOptions {
  readonly samples: Float32Array;
  readonly sampleRate: number;
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Added to the times that are written. */
  readonly clockSeconds: number;
  /** Of the whole drawing. */
  readonly width: number;
  readonly calls: readonly { readonly number: number; readonly structure: CallStructure }[];
}

/** Of the plot, over its width. */
const HEIGHT_RATIO = 0.16;
const LANE_HEIGHT = 21;
const BAND_HEIGHT = 15;
const AXIS_HEIGHT = 30;
const HIGHEST_HZ = 3000;
const COLUMNS = 940;
const ROWS = 100;
/** Tells apart tones 170 Hz from each other. */
const WINDOW_SECONDS = 0.03;
const FONT = 11;

const STEPS = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 60, 120, 300, 600, 1800, 3600];
const MOST_TICKS = 16;

/** Seconds between two marks of the time axis, so that at most 16 are drawn. */
function tickStep(seconds: number): number {
  return STEPS.find((step) => seconds / step <= MOST_TICKS) ?? seconds / MOST_TICKS;
}

interface Parts {
  readonly number: number;
  readonly structure: CallStructure;
  readonly dots: number;
  readonly phasing: number;
  readonly characters: number;
  readonly end: number;
}

/** The instants, in seconds, at which the parts of a call begin and end. */
function partsOf({ number, structure }: OverviewOptions['calls'][number]): Parts {
  const { grid, dots, slots, phasingSlots } = structure;
  const timeOf = (bit: number) => grid.start + bit / grid.bitRate;
  return {
    number,
    structure,
    dots: timeOf(-dots),
    phasing: timeOf(0),
    characters: timeOf(10 * phasingSlots),
    end: timeOf(10 * slots.length),
  };
}

/** Puts calls that overlap in time above each other. */
function lanesOf(calls: readonly Parts[]): Parts[][] {
  const lanes: Parts[][] = [];
  for (const call of [...calls].sort((a, b) => a.dots - b.dots)) {
    const free = lanes.find((lane) => (lane.at(-1)?.end ?? 0) < call.dots);
    if (free) free.push(call);
    else lanes.push([call]);
  }
  return lanes;
}

function band(x: (time: number) => number, top: number, parts: Parts): string {
  const box = (from: number, to: number, fill: string, names: readonly string[]) => {
    const width = x(to) - x(from);
    const name = names.find((text) => textWidth(text, FONT) < width - 4) ?? '';
    const frame = rect(x(from), top, Math.max(0.5, width), BAND_HEIGHT, {
      fill,
      stroke: COLOUR.muted,
      'stroke-width': 0.6,
    });
    const place = { 'text-anchor': 'middle', 'font-size': FONT };
    return frame + (name === '' ? '' : label(x(from) + width / 2, top + 11.5, name, place));
  };
  return [
    parts.structure.dots > 0 ? box(parts.dots, parts.phasing, COLOUR.dots, ['dots']) : '',
    box(parts.phasing, parts.characters, COLOUR.phasing, ['phasing']),
    box(parts.characters, parts.end, COLOUR.characters, [
      `characters of call ${parts.number}`,
      `call ${parts.number}`,
      String(parts.number),
    ]),
  ].join('');
}

function timeAxis(x: (time: number) => number, from: number, to: number, top: number): string {
  const step = tickStep(to - from);
  const decimals = step < 0.1 ? 2 : step < 1 ? 1 : 0;
  const first = Math.ceil(from / step - 1e-9);
  const count = Math.floor(to / step + 1e-9) - first + 1;
  const ticks = Array.from({ length: Math.max(0, count) }, (_, i) => {
    const time = (first + i) * step;
    const text = time.toFixed(decimals);
    return (
      line(x(time), top, x(time), top + 4, { stroke: COLOUR.muted }) +
      label(x(time), top + 15, text, { 'text-anchor': 'middle', 'font-size': FONT, fill: COLOUR.muted })
    );
  });
  const unit = label(x(to), top + 27, 'seconds', {
    'text-anchor': 'end',
    'font-size': FONT,
    fill: COLOUR.muted,
  });
  return ticks.join('') + unit;
}

/** Draws the overview with its upper edge at `top`. */
export function drawOverview(options: OverviewOptions, top: number): Piece {
  const { samples, sampleRate, fromSeconds, toSeconds, clockSeconds } = options;
  const across = plotWidth(options.width);
  const plotHeight = HEIGHT_RATIO * across;
  const highHz = Math.min(HIGHEST_HZ, sampleRate / 2);
  const x = (time: number) => LEFT + ((time - fromSeconds) / (toSeconds - fromSeconds)) * across;
  const lanes = lanesOf(options.calls.map(partsOf));
  const plotTop = top + lanes.length * LANE_HEIGHT;
  const y = (hz: number) => plotTop + (1 - hz / highHz) * plotHeight;

  const image = spectrogramImage(
    spectrogram(samples, {
      sampleRate,
      fromSeconds,
      toSeconds,
      columns: COLUMNS,
      rows: ROWS,
      lowHz: 0,
      highHz,
      windowSeconds: WINDOW_SECONDS,
    }),
  );
  const frame = { fill: 'none', stroke: COLOUR.muted, 'stroke-width': 0.8 };
  const kilohertz = Array.from({ length: Math.floor(highHz / 1000) + 1 }, (_, k) => {
    const grey = { 'text-anchor': 'end', 'font-size': FONT, fill: COLOUR.muted };
    return (
      line(LEFT - 4, y(1000 * k), LEFT, y(1000 * k), { stroke: COLOUR.muted }) +
      label(LEFT - 7, y(1000 * k) + 4, `${k}${k === 0 ? '' : ' kHz'}`, grey)
    );
  });
  const tones = lanes.flat().map((parts) => {
    const { bHz, yHz } = parts.structure.grid;
    const up = bHz > yHz ? 1 : -1;
    const spread = Math.max(Math.abs(y(bHz) - y(yHz)), FONT);
    const middle = (y(bHz) + y(yHz)) / 2 + 4;
    const mark = (at: number, name: string, fill: string) =>
      label(Math.max(LEFT + 9, x(parts.dots) - 3), at, name, {
        'text-anchor': 'end',
        'font-size': FONT,
        'font-weight': 'bold',
        fill,
        // A rim, to be read where it lies over the signal.
        stroke: COLOUR.paper,
        'stroke-width': 3,
        'paint-order': 'stroke',
      });
    return mark(middle - (up * spread) / 2, 'B', COLOUR.b) + mark(middle + (up * spread) / 2, 'Y', COLOUR.y);
  });
  const markup = [
    ...lanes.flatMap((lane, i) => lane.map((parts) => band(x, top + i * LANE_HEIGHT, parts))),
    element('image', {
      x: LEFT,
      y: plotTop,
      width: across,
      height: plotHeight,
      preserveAspectRatio: 'none',
      href: image,
    }),
    rect(LEFT, plotTop, across, plotHeight, frame),
    ...kilohertz,
    ...tones,
    timeAxis(
      (time) => x(time - clockSeconds),
      fromSeconds + clockSeconds,
      toSeconds + clockSeconds,
      plotTop + plotHeight,
    ),
  ].join('');
  return { markup, height: lanes.length * LANE_HEIGHT + plotHeight + AXIS_HEIGHT };
}
