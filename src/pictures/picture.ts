/**
 * A recording as a drawing, in SVG 1.1.
 */
import { escapeMarkup } from '../data/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import { describeReceived, type ReceivedCall } from '../receiver/index.js';
import { drawOverview, type Piece } from './overview.js';
import { callStructure, type CallInAudio, type CallStructure } from './structure.js';
import { STRIPS_WIDTH, drawStrips } from './strips.js';
import { COLOUR, FONT_FAMILY } from './style.js';
import { element, label, rect, wrapText } from './svg.js';

/** A call that a picture shows. */
export type PicturedCall = CallInAudio & Pick<ReceivedCall, 'call' | 'moreFollowed' | 'quality'>;

/** What a picture shows. */
export interface PictureOptions {
  /** Samples per second, 8000 to 192 000. */
  readonly sampleRate: number;
  /** The calls that were received, in seconds from the first sample; default none. */
  readonly calls?: readonly PicturedCall[];
  /** Begin of what is drawn, seconds; default 0. */
  readonly fromSeconds?: number;
  /** End of what is drawn, seconds; default the end of the recording. At most ten minutes are drawn. */
  readonly toSeconds?: number;
  /** What the time of the first sample is written as, seconds, 0 to 10⁹; default 0. */
  readonly clockSeconds?: number;
  /** A heading, and the description of the picture for those who cannot see it; default none. */
  readonly title?: string;
  /**
   * `'overview'`: the spectrogram with dots, phasing and characters marked, but nothing of what the calls say;
   * `'bits'` (default): and every call bit by bit.
   */
  readonly show?: 'overview' | 'bits';
}

const LONGEST_SECONDS = 600;
/** Width of an overview alone: its letters are to be read at the width of a page. */
const OVERVIEW_WIDTH = 720;
const HEADING_FONT = 15;
const TEXT_FONT = 11.5;
const LINE = 16;

function requireRange(samples: Float32Array, options: PictureOptions): [number, number] {
  const duration = samples.length / requireNumber('sampleRate', options.sampleRate, 8000, 192_000, 'Hz');
  if (samples.length === 0) throw new DotphaseError('samples', 'none', 'a recording that is not empty');
  const from = requireNumber('fromSeconds', options.fromSeconds ?? 0, 0, duration, 's');
  const to = requireNumber('toSeconds', options.toSeconds ?? duration, 0, duration, 's');
  if (to <= from) throw new DotphaseError('toSeconds', to, `more than fromSeconds, ${from}`);
  if (to - from > LONGEST_SECONDS) {
    throw new DotphaseError('toSeconds', to, `at most ${LONGEST_SECONDS} s after fromSeconds, ${from}`);
  }
  return [from, to];
}

function heading(call: PicturedCall, number: number, { grid }: CallStructure, top: number): Piece {
  const tones = `B ${grid.bHz.toFixed(0)} Hz, Y ${grid.yHz.toFixed(0)} Hz`;
  const doubt = call.quality === 'doubtful' ? 'doubtful, it may be wrong: ' : '';
  const lines = wrapText(doubt + describeReceived(call), TEXT_FONT, STRIPS_WIDTH - 16);
  const markup = [
    label(8, top + HEADING_FONT, `Call ${number}: ${call.baud} Bd, ${tones}`, {
      'font-size': 13,
      'font-weight': 'bold',
    }),
    ...lines.map((text, i) =>
      label(8, top + HEADING_FONT + (i + 1) * LINE + 2, text, {
        'font-size': TEXT_FONT,
        fill: doubt === '' ? COLOUR.ink : COLOUR.bad,
      }),
    ),
  ].join('');
  return { markup, height: HEADING_FONT + lines.length * LINE + 14 };
}

/**
 * Draws a recording: power over time and frequency, over it the dot pattern, phasing and characters of each call, and
 * below, bit by bit, the energy of both tones, the bits decided by it and the characters they spell. What was received
 * otherwise than the call has it stands in red.
 *
 * @param samples - full scale ±1
 * @returns an SVG document, 1000 units wide, or 720 where it is an overview
 * @throws DotphaseError when an option is out of range
 */
export function drawPicture(samples: Float32Array, options: PictureOptions): string {
  const { sampleRate, calls = [], title, show = 'bits' } = options;
  const [fromSeconds, toSeconds] = requireRange(samples, options);
  const shown = calls
    .map((call, i) => ({ call, number: i + 1 }))
    .filter(({ call }) => call.end > fromSeconds && call.start < toSeconds)
    .map(({ call, number }) => ({ call, number, structure: callStructure(samples, sampleRate, call) }));
  const width = show === 'bits' ? STRIPS_WIDTH : OVERVIEW_WIDTH;
  const parts: string[] = [];
  let y = 6;
  if (title !== undefined) {
    parts.push(label(8, y + HEADING_FONT, title, { 'font-size': HEADING_FONT, 'font-weight': 'bold' }));
    y += HEADING_FONT + 12;
  }
  const clockSeconds = requireNumber('clockSeconds', options.clockSeconds ?? 0, 0, 1e9, 's');
  const overview = drawOverview(
    { samples, sampleRate, fromSeconds, toSeconds, clockSeconds, width, calls: shown },
    y,
  );
  parts.push(overview.markup);
  y += overview.height;
  if (show === 'bits') {
    for (const { call, number, structure } of shown) {
      const head = heading(call, number, structure, y);
      const strips = drawStrips(samples, sampleRate, structure, y + head.height);
      parts.push(head.markup, strips.markup);
      y += head.height + strips.height;
    }
  }
  const height = Math.ceil(y + 4);
  const name = title ?? 'Spectrogram of a recording';
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width,
      height,
      viewBox: `0 0 ${width} ${height}`,
      role: 'img',
      'font-family': FONT_FAMILY,
      fill: COLOUR.ink,
    },
    `<title>${escapeMarkup(name)}</title>` +
      rect(0, 0, width, height, { fill: COLOUR.paper }) +
      parts.join(''),
  );
}
