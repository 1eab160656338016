/**
 * A spectrogram like ink on paper: time to the right, pitch upwards, calls outlined where they were heard.
 */
import type { ReceivedCall } from 'dotphase';
import { useEffect, useRef } from 'preact/hooks';
import { ROWS, SHOWN_HZ } from './spectrum.js';

/** Columns across. */
export const COLUMNS = 900;

/** Half the width of a call in the spectrum, hertz: half the shift and half the bit rate. */
const HALF_WIDTH: Readonly<Record<number, number>> = { 100: 135, 1200: 1000 };

/** What is drawn, handed over as it comes without rendering the page again. */
export interface Drawing {
  column(values: Uint8Array): void;
  outline(call: ReceivedCall): void;
  clear(): void;
}

type Colour = readonly [number, number, number];

/** Paper and ink as the style sheet has them at the moment. */
function colours(element: Element): { paper: Colour; ink: Colour; mark: string } {
  const style = getComputedStyle(element);
  const parse = (name: string): Colour => {
    const hex = style.getPropertyValue(name).trim().slice(1);
    return [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16)) as unknown as Colour;
  };
  return {
    paper: parse('--spectrum-paper'),
    ink: parse('--spectrum-ink'),
    mark: style.getPropertyValue('--magenta'),
  };
}

function createDrawing(canvas: HTMLCanvasElement, columnSeconds: number): Drawing {
  const context = canvas.getContext('2d');
  if (!context) throw new Error('this browser draws no canvas');
  const pixels = context.createImageData(1, ROWS);
  let theme = colours(canvas);
  /** Columns drawn since the beginning. */
  let drawn = 0;
  const clear = () => {
    theme = colours(canvas);
    context.fillStyle = `rgb(${theme.paper.join(' ')})`;
    context.fillRect(0, 0, canvas.width, canvas.height);
    drawn = 0;
  };
  clear();
  return {
    clear,
    column(values) {
      if (drawn >= COLUMNS) context.drawImage(canvas, -1, 0);
      for (let row = 0; row < ROWS; row++) {
        const share = values[row] / 255;
        const at = 4 * (ROWS - 1 - row);
        for (let i = 0; i < 3; i++) {
          pixels.data[at + i] = theme.paper[i] + share * (theme.ink[i] - theme.paper[i]);
        }
        pixels.data[at + 3] = 255;
      }
      context.putImageData(pixels, Math.min(drawn, COLUMNS - 1), 0);
      drawn++;
    },
    outline({ start, end, centreHz, baud }) {
      const shift = Math.max(0, drawn - COLUMNS);
      const left = start / columnSeconds - shift;
      const y = (hz: number) => ROWS * (1 - hz / SHOWN_HZ);
      const half = HALF_WIDTH[baud] ?? 135;
      context.strokeStyle = theme.mark;
      context.lineWidth = 1.5;
      context.strokeRect(
        left,
        y(centreHz + half),
        Math.max(3, (end - start) / columnSeconds),
        (2 * half * ROWS) / SHOWN_HZ,
      );
    },
  };
}

export function Spectrogram({
  columnSeconds,
  label,
  onDrawing,
}: {
  columnSeconds: number;
  /** What it shows, for those who do not see it. */
  label: string;
  onDrawing: (drawing: Drawing) => void;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (canvas.current) onDrawing(createDrawing(canvas.current, columnSeconds));
  }, [columnSeconds, onDrawing]);
  return (
    <figure class="spectrogram">
      <div class="pitch" aria-hidden="true">
        {[4, 3, 2, 1, 0].map((khz) => (
          <span key={khz}>{khz === 0 ? '0' : `${khz} kHz`}</span>
        ))}
      </div>
      <canvas ref={canvas} width={COLUMNS} height={ROWS} role="img" aria-label={label} />
      <figcaption>{label}</figcaption>
    </figure>
  );
}
