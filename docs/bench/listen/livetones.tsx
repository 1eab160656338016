/**
 * The latest slots of a call while it comes in: the energy of both tones in each bit, the bits by the stronger one, and
 * the characters that they spell.
 */
import type { LiveSlot } from './livereader.js';

const BIT_WIDTH = 18;
/** Height of a tone as strong as those of the phasing. */
const FULL = 44;
const MIDDLE = FULL + 4;
const HEIGHT = 2 * MIDDLE + 44;

export function LiveTones({ slots }: { slots: readonly LiveSlot[] }) {
  const bits = slots.flatMap(({ b, y }) => b.map((energy, i) => ({ b: energy, y: y[i] })));
  const width = Math.max(1, bits.length * BIT_WIDTH);
  const height = (energy: number) => FULL * Math.min(1, energy);
  const said = slots.map(({ symbol }) => symbol ?? 'not read').join(', ');
  return (
    <svg
      class="live-tones"
      viewBox={`0 0 ${width} ${HEIGHT}`}
      style={{ width: `${width}px` }}
      role="img"
      aria-label={`Energy of both tones in the latest bits; their characters: ${said}`}
    >
      {bits.map(({ b, y }, i) => (
        <g key={i} class={b >= y ? 'upper' : 'lower'} transform={`translate(${i * BIT_WIDTH} 0)`}>
          <rect class="tone-b" x="2" width={BIT_WIDTH - 4} y={MIDDLE - height(b)} height={height(b)} />
          <rect class="tone-y" x="2" width={BIT_WIDTH - 4} y={MIDDLE} height={height(y)} />
          <text x={BIT_WIDTH / 2} y={2 * MIDDLE + 14}>
            {b >= y ? 'B' : 'Y'}
          </text>
        </g>
      ))}
      <line x1="0" x2={width} y1={MIDDLE} y2={MIDDLE} />
      {slots.map(({ symbol, b }, i) => (
        <g key={i} transform={`translate(${i * b.length * BIT_WIDTH} 0)`}>
          <line y1="0" y2={HEIGHT} />
          <text class="character" x={(b.length * BIT_WIDTH) / 2} y={HEIGHT - 8}>
            {symbol ?? '·'}
          </text>
        </g>
      ))}
    </svg>
  );
}
