/**
 * How loud an input is.
 */
export function Level({ peak }: { peak: number }) {
  const db = 20 * Math.log10(Math.max(peak, 1e-5));
  const said =
    peak >= 0.999 ? 'too loud: the input clips' : `${db.toFixed(0).replace('-', '−')} dB of full scale`;
  return (
    <p class="level">
      <meter min={-80} max={0} low={-60} high={-1} optimum={-20} value={db} aria-label="Input level" />
      <span>{said}</span>
    </p>
  );
}
