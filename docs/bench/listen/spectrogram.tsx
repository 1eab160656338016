/**
 * A spectrogram like ink on paper: time to the right, pitch upwards, calls outlined where they were heard. It keeps
 * its columns, so that it can be drawn anew when the light or the range changes.
 */
import type { ReceivedCall } from 'dotphase';
import { useEffect, useRef, useState } from 'preact/hooks';
import { ROWS, SHOWN_HZ } from './spectrum.js';

/** Columns across. */
export const COLUMNS = 900;

/** Half the width of a call in the spectrum, hertz: half the shift and half the bit rate. */
const HALF_WIDTH: Readonly<Record<number, number>> = { 100: 135, 1200: 1000 };
/** What is shown around calls, hertz to either side. */
const ZOOM_HZ: Readonly<Record<number, number>> = { 100: 300, 1200: 1400 };
/** Calls that lie no further apart are shown close up together, hertz. */
const TOGETHER_HZ = 120;

/** A range of pitch, hertz. */
export interface PitchRange {
  readonly low: number;
  readonly high: number;
}

export const WHOLE_BAND: PitchRange = { low: 0, high: SHOWN_HZ };

type Placed = Pick<ReceivedCall, 'start' | 'end' | 'centreHz' | 'baud'>;

/** The range around calls, where they lie close together. */
export function rangeAround(calls: readonly Placed[]): PitchRange {
  if (calls.length === 0) return WHOLE_BAND;
  const centres = calls.map(({ centreHz }) => centreHz);
  const [lowest, highest] = [Math.min(...centres), Math.max(...centres)];
  if (highest - lowest > TOGETHER_HZ) return WHOLE_BAND;
  const half = Math.max(...calls.map(({ baud }) => ZOOM_HZ[baud] ?? 300));
  return { low: Math.max(0, lowest - half), high: Math.min(SHOWN_HZ, highest + half) };
}

/** What is drawn, handed over as it comes without rendering the page again. */
export interface Drawing {
  column(values: Uint8Array): void;
  clear(): void;
}

type Colour = readonly [number, number, number];

/** Paper and ink as the style sheet has them at the moment. */
function colours(element: Element): { paper: Colour; ink: Colour } {
  const style = getComputedStyle(element);
  const parse = (name: string): Colour => {
    const hex = style.getPropertyValue(name).trim().slice(1);
    return [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16)) as unknown as Colour;
  };
  return { paper: parse('--spectrum-paper'), ink: parse('--spectrum-ink') };
}

interface Redrawable extends Drawing {
  show(range: PitchRange): void;
  redraw(): void;
}

function createDrawing(canvas: HTMLCanvasElement): Redrawable {
  const context = canvas.getContext('2d');
  if (!context) throw new Error('this browser draws no canvas');
  let theme = colours(canvas);
  let columns: Uint8Array[] = [];
  let rows = { from: 0, to: ROWS };
  let pixels = context.createImageData(1, ROWS);

  function paint(values: Uint8Array, x: number): void {
    const height = rows.to - rows.from;
    for (let row = 0; row < height; row++) {
      const share = values[rows.from + row] / 255;
      const at = 4 * (height - 1 - row);
      for (let i = 0; i < 3; i++) {
        pixels.data[at + i] = theme.paper[i] + share * (theme.ink[i] - theme.paper[i]);
      }
      pixels.data[at + 3] = 255;
    }
    context?.putImageData(pixels, x, 0);
  }

  function redraw(): void {
    if (!context) return;
    theme = colours(canvas);
    context.fillStyle = `rgb(${theme.paper.join(' ')})`;
    context.fillRect(0, 0, canvas.width, canvas.height);
    columns.forEach(paint);
  }

  redraw();
  return {
    redraw,
    clear() {
      columns = [];
      redraw();
    },
    column(values) {
      columns.push(values);
      if (columns.length > COLUMNS) {
        columns.shift();
        context.drawImage(canvas, -1, 0);
      }
      paint(values, columns.length - 1);
    },
    show({ low, high }) {
      const from = Math.floor((low / SHOWN_HZ) * ROWS);
      const to = Math.max(from + 8, Math.ceil((high / SHOWN_HZ) * ROWS));
      rows = { from, to: Math.min(ROWS, to) };
      canvas.height = rows.to - rows.from;
      pixels = context.createImageData(1, canvas.height);
      redraw();
    },
  };
}

const TIME_STEPS = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800, 3600, 7200];
const PITCH_STEPS = [50, 100, 200, 500, 1000];
const MOST_TIMES = 8;
const MOST_PITCHES = 6;

/** A phone has room for one time in so many. */
const ONE_IN = 3;
/** Percent of the width from which a time has no room on its right. */
const LAST = 90;

function marksBetween(low: number, high: number, steps: readonly number[], most: number): number[] {
  const step = steps.find((each) => (high - low) / each <= most) ?? steps[steps.length - 1];
  const first = Math.ceil(low / step - 1e-9);
  return Array.from({ length: Math.floor(high / step + 1e-9) - first + 1 }, (_, i) => step * (first + i));
}

/** A call with its place, to be clicked. */
export interface Box extends Placed {
  readonly id: number;
  readonly text: string;
}

export function Spectrogram({
  columnSeconds,
  seconds,
  range,
  boxes,
  chosen,
  cursor,
  label,
  say,
  onDrawing,
  onBox,
}: {
  columnSeconds: number;
  /** Taken in so far. */
  seconds: number;
  range: PitchRange;
  boxes: readonly Box[];
  /** The call that is marked. */
  chosen: number | undefined;
  /** Where the recording plays, seconds. */
  cursor: number | undefined;
  /** What it shows, for those who do not see it. */
  label: string;
  /** Writes a time. */
  say: (seconds: number) => string;
  onDrawing: (drawing: Drawing) => void;
  onBox: (id: number) => void;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [drawing, setDrawing] = useState<Redrawable>();
  useEffect(() => {
    if (!canvas.current) return;
    const created = createDrawing(canvas.current);
    setDrawing(created);
    onDrawing(created);
  }, [onDrawing]);
  useEffect(() => {
    drawing?.show(range);
  }, [drawing, range.low, range.high]);
  useEffect(() => {
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const redraw = () => {
      drawing?.redraw();
    };
    dark.addEventListener('change', redraw);
    return () => {
      dark.removeEventListener('change', redraw);
    };
  }, [drawing]);

  const width = COLUMNS * columnSeconds;
  const from = Math.max(0, Math.floor(seconds / columnSeconds) - COLUMNS) * columnSeconds;
  const x = (at: number) => (100 * (at - from)) / width;
  const y = (hz: number) => (100 * (range.high - hz)) / (range.high - range.low);
  const times = marksBetween(from, from + width, TIME_STEPS, MOST_TIMES);
  const pitches = marksBetween(range.low, range.high, PITCH_STEPS, MOST_PITCHES);
  return (
    <figure class="spectrogram">
      <div class="pitch" aria-hidden="true">
        {pitches.map((hz) => (
          <span key={hz} style={{ top: `${y(hz)}%` }}>
            {hz} Hz
          </span>
        ))}
      </div>
      <div class="plot">
        <canvas ref={canvas} width={COLUMNS} height={ROWS} role="img" aria-label={label} />
        {boxes
          .filter(({ end }) => end > from)
          .map(({ id, start, end, centreHz, baud, text }) => {
            const half = HALF_WIDTH[baud] ?? 135;
            const top = Math.max(0, y(centreHz + half));
            const left = Math.max(0, x(start));
            return (
              <button
                key={id}
                type="button"
                class={`box${id === chosen ? ' chosen' : ''}`}
                title={text}
                aria-label={`Show: ${text}`}
                style={{
                  left: `${left}%`,
                  width: `${Math.max(0.4, Math.min(100, x(end)) - left)}%`,
                  top: `${top}%`,
                  height: `${Math.min(100, y(centreHz - half)) - top}%`,
                }}
                onClick={() => {
                  onBox(id);
                }}
              />
            );
          })}
        {cursor !== undefined && <span class="cursor" style={{ left: `${x(cursor)}%` }} />}
      </div>
      <div class="times" aria-hidden="true">
        {times.map((at) => (
          <span
            key={at}
            class={`${x(at) > LAST ? 'last' : ''} ${Math.round(at / (times[1] - times[0])) % ONE_IN === 0 ? '' : 'dense'}`}
            style={{ left: `${x(at)}%` }}
          >
            {say(at)}
          </span>
        ))}
      </div>
      <figcaption>{label}</figcaption>
    </figure>
  );
}
