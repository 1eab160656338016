/**
 * An air sequence drawn as a strip: dots, the DX and RX slots in turn, the tone of every bit, and time.
 */
import { BIT_RATE, type Frame } from 'dotphase';
import { useEffect, useRef, useState } from 'preact/hooks';
import { FieldTable } from './fieldtable.js';
import { placeSlots, type PlacedSlot, type Runs } from './model.js';

const BIT = 2.4;
const SLOT_BITS = 10;
const SLOT = SLOT_BITS * BIT;
const CELL = 30;
const MARGIN = 12;
/** Top edges of the lanes. */
const LANE = { labels: 14, dx: 22, rx: 58, tone: 100, axis: 122, times: 146 };
const HEIGHT = 152;
const TONE_HEIGHT = 12;
/** Long dot patterns are drawn shorter than they last. */
const MOST_DOTS_WIDTH = 96;

const SHORT_LABELS: Readonly<Record<string, string>> = {
  format: 'format',
  errorCheck: 'check',
  eos: 'end',
  telecommand1: 'tc 1',
  telecommand2: 'tc 2',
  followOn: 'follow',
};

interface Scale {
  readonly dots: number;
  readonly dotsWidth: number;
  readonly baud: number;
  readonly bits: number;
  /** Pixels of a bit of the sending. */
  x: (bit: number) => number;
  readonly width: number;
}

function scaleOf(sequence: Frame): Scale {
  const [sending] = sequence.sendings;
  const dotsWidth = Math.min(sending.dots * BIT, MOST_DOTS_WIDTH);
  const bits = sending.dots + SLOT_BITS * sending.slots.length;
  const x = (bit: number) =>
    MARGIN + (bit < sending.dots ? (bit / sending.dots) * dotsWidth : dotsWidth + (bit - sending.dots) * BIT);
  return {
    dots: sending.dots,
    dotsWidth,
    baud: BIT_RATE[sequence.band],
    bits,
    x,
    width: x(bits) + MARGIN,
  };
}

/** The tones from the first slot on as one line: B the higher one, Y the lower. */
function tonePath(sequence: Frame, scale: Scale, end: number): string {
  if (end <= scale.dots) return '';
  const level = (bit: number) => LANE.tone + (sequence.bits[bit] === 0 ? 0 : TONE_HEIGHT);
  let path = `M${scale.x(scale.dots).toFixed(1)} ${level(scale.dots)}`;
  const last = Math.min(scale.bits, end);
  for (let bit = scale.dots + 1; bit < last; bit++) {
    if (level(bit) !== level(bit - 1)) path += `H${scale.x(bit).toFixed(1)}V${level(bit)}`;
  }
  return `${path}H${scale.x(last).toFixed(1)}`;
}

function Dots({ scale }: { scale: Scale }) {
  if (scale.dots === 0) return null;
  const from = scale.x(0);
  return (
    <g class="dots">
      <rect x={from} y={LANE.dx} width={scale.dotsWidth - 2} height={LANE.rx + CELL - LANE.dx} />
      <text x={from + scale.dotsWidth / 2 - 1} y={(LANE.dx + LANE.rx + CELL) / 2 + 4}>
        {scale.dots} dots
      </text>
    </g>
  );
}

/** Time as a chart's border shows its minutes: white and black in turn. */
function Axis({ scale }: { scale: Scale }) {
  const step = scale.baud === 100 ? 0.5 : 0.05;
  const seconds = scale.bits / scale.baud;
  const first = Math.ceil(scale.dots / scale.baud / step - 1e-9);
  const marks = Array.from({ length: Math.floor(seconds / step + 1e-9) - first + 1 }, (_, i) => first + i);
  return (
    <g class="axis">
      <rect
        x={scale.x(scale.dots)}
        y={LANE.axis}
        width={(scale.bits - scale.dots) * BIT}
        height="6"
        class="scale"
      />
      {marks.map((mark) => {
        const bit = mark * step * scale.baud;
        const end = Math.min(scale.bits, bit + step * scale.baud);
        return (
          <g key={mark}>
            {mark % 2 === 0 && (
              <rect x={scale.x(bit)} y={LANE.axis} width={(end - bit) * BIT} height="6" class="dark" />
            )}
            <text x={scale.x(bit)} y={LANE.times}>
              {(mark * step).toFixed(scale.baud === 100 ? 1 : 2)} s
            </text>
          </g>
        );
      })}
    </g>
  );
}

function Cells({
  placed,
  runs,
  scale,
  active,
  isLost,
  end,
  missed,
}: {
  placed: readonly PlacedSlot[];
  runs: Runs;
  scale: Scale;
  active: number | undefined;
  isLost: (slot: number) => boolean;
  end: number;
  missed: readonly string[];
}) {
  return (
    <>
      {placed.map(({ slot, bit, run }, i) => {
        const isSilent = isLost(i) || bit + SLOT_BITS > end;
        const y = slot.position === 'DX' ? LANE.dx : LANE.rx;
        const tint = run === undefined ? 'phasing' : runs.runs[run].tint;
        const faded = active !== undefined && run !== active;
        const state = `${faded ? ' faded' : ''}${isSilent ? ' silent' : ''}${missed.includes(tint) ? ' missed' : ''}`;
        return (
          <g key={bit} class={`cell tint-${tint}${state}`}>
            <rect x={scale.x(bit) + 0.5} y={y} width={SLOT - 1} height={CELL} />
            <text x={scale.x(bit) + SLOT / 2} y={y + CELL / 2 + 4}>
              {isSilent ? '–' : slot.symbol}
            </text>
          </g>
        );
      })}
    </>
  );
}

/** From the first sending of each character of the chosen field to its repetition. */
function Repetitions({
  placed,
  scale,
  active,
}: {
  placed: readonly PlacedSlot[];
  scale: Scale;
  active: number;
}) {
  const chosen = placed.filter(({ run }) => run === active);
  return (
    <>
      {chosen
        .filter(({ slot }) => slot.position === 'DX')
        .map(({ slot, bit }) => {
          const again = chosen.find(
            (other) => other.slot.position === 'RX' && other.slot.character === slot.character,
          );
          return (
            again && (
              <line
                key={bit}
                class="repetition"
                x1={scale.x(bit) + SLOT / 2}
                y1={LANE.dx + CELL}
                x2={scale.x(again.bit) + SLOT / 2}
                y2={LANE.rx}
              />
            )
          );
        })}
    </>
  );
}

function RunLabels({ placed, runs, scale }: { placed: readonly PlacedSlot[]; runs: Runs; scale: Scale }) {
  const starts = new Map<number, number>();
  for (const { slot, bit, run } of placed) {
    if (run !== undefined && slot.position === 'DX' && !starts.has(run)) starts.set(run, bit);
  }
  return (
    <>
      <text class="label" x={scale.x(scale.dots)} y={LANE.labels}>
        phasing
      </text>
      {[...starts].map(([run, bit]) => (
        <text key={run} class="label" x={scale.x(bit)} y={LANE.labels}>
          {SHORT_LABELS[runs.runs[run].tint] ?? runs.runs[run].label}
        </text>
      ))}
    </>
  );
}

/** Where a moment of playing stands on the strip, which shows the first sending alone. */
function bitAt(sequence: Frame, scale: Scale, seconds: number): number {
  let bit = seconds * scale.baud;
  for (const sending of sequence.sendings) {
    const length = sending.dots + SLOT_BITS * sending.slots.length;
    if (bit < length) return bit + scale.dots - sending.dots;
    bit -= length;
  }
  return scale.bits;
}

function Playhead({ sequence, scale, clock }: { sequence: Frame; scale: Scale; clock: () => number }) {
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let frame = 0;
    const follow = () => {
      const x = scale.x(bitAt(sequence, scale, clock()));
      const element = line.current;
      if (element) {
        element.style.transform = `translateX(${x}px)`;
        const scroller = element.closest('.strip');
        if (scroller && (x < scroller.scrollLeft || x > scroller.scrollLeft + scroller.clientWidth - 40)) {
          scroller.scrollLeft = x - 40;
        }
      }
      frame = requestAnimationFrame(follow);
    };
    follow();
    return () => {
      cancelAnimationFrame(frame);
    };
  }, [sequence, scale, clock]);
  return <div class="playhead" ref={line} aria-hidden="true" />;
}

const nothingLost = () => false;
const NONE: readonly string[] = [];

/** The strip and, below it, the table of what each field carries. */
export function Strip({
  sequence,
  runs,
  clock,
  isLost = nothingLost,
  end = Infinity,
  missed = NONE,
}: {
  sequence: Frame;
  runs: Runs;
  /** Whether a slot is silent. */
  isLost?: (slot: number) => boolean;
  /** The bit at which the signal ends, where that is before its time. */
  end?: number;
  /** Fields that stand out, by their names. */
  missed?: readonly string[];
  /** Seconds played so far, while it plays. */
  clock?: (() => number) | undefined;
}) {
  const [active, setActive] = useState<number>();
  const region = useRef<HTMLDivElement>(null);
  const scale = scaleOf(sequence);
  const placed = placeSlots(sequence, runs);
  const show = (run: number | undefined) => {
    setActive(run);
    const first = placed.find((each) => run !== undefined && each.run === run);
    if (first) region.current?.scrollTo({ left: scale.x(first.bit) - 2 * SLOT });
  };
  const summary =
    `${scale.dots} dots, then ${placed.length} characters in turn in DX and RX slots, ` +
    `${(scale.bits / scale.baud).toFixed(2)} seconds in all. The table below lists them.`;
  return (
    <div class="strip-and-table">
      {/* A region that scrolls must be reachable by keyboard. */}
      <div ref={region} class="strip" role="region" aria-label="Strip of characters in time" tabIndex={0}>
        <div class="paper" style={{ width: `${scale.width}px` }}>
          <svg
            width={scale.width}
            height={HEIGHT}
            viewBox={`0 0 ${scale.width} ${HEIGHT}`}
            role="img"
            aria-label={summary}
          >
            <RunLabels placed={placed} runs={runs} scale={scale} />
            <Dots scale={scale} />
            <Cells
              placed={placed}
              runs={runs}
              scale={scale}
              active={active}
              isLost={isLost}
              end={end}
              missed={missed}
            />
            {active !== undefined && <Repetitions placed={placed} scale={scale} active={active} />}
            <path class="tone" d={tonePath(sequence, scale, end)} />
            <Axis scale={scale} />
          </svg>
          {clock && <Playhead sequence={sequence} scale={scale} clock={clock} />}
        </div>
      </div>
      <p class="lanes">
        Upper row: DX, each character’s first sending. Lower row: RX, its repetition. The line under them is
        the tone of every bit, B above, Y below.
      </p>
      <details class="fields-of-call" open={matchMedia('(min-width: 46rem)').matches}>
        <summary>What each field says</summary>
        <FieldTable runs={runs.runs} active={active} onActive={show} />
      </details>
    </div>
  );
}
