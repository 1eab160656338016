/**
 * What each field of a call carries. Choosing a row shows its characters in the strip.
 */
import type { Run } from './model.js';

export function FieldTable({
  runs,
  active,
  onActive,
}: {
  runs: readonly Run[];
  active: number | undefined;
  onActive: (active: number | undefined) => void;
}) {
  return (
    <table class="fields">
      <caption class="hidden">The fields of the call</caption>
      <thead>
        <tr>
          <th scope="col">Field</th>
          <th scope="col">Characters</th>
          <th scope="col">Says</th>
        </tr>
      </thead>
      <tbody>
        {runs.map((run, i) => (
          <tr key={i} class={i === active ? 'chosen' : ''}>
            <th scope="row">
              <button
                type="button"
                aria-pressed={i === active}
                title="Show in the strip"
                onClick={() => {
                  onActive(i === active ? undefined : i);
                }}
              >
                <span class={`swatch tint-${run.tint}`} aria-hidden="true" />
                {run.label}
              </button>
            </th>
            <td class="symbols">{run.symbols.map((symbol) => symbol ?? '?').join(' ')}</td>
            <td>
              {run.meaning}
              {run.digits !== undefined && <span class="digits"> {run.digits}</span>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
