/**
 * Who sent what, and who heard it, in order.
 */
import type { ReceivedCall } from 'dotphase';
import { Reading } from '../strip/reading.js';

export interface Moment {
  readonly id: number;
  readonly when: string;
  /** Whose moment it is: it decides the side it stands on. */
  readonly side: 'ship' | 'station';
  readonly title: string;
  readonly text: string;
  /** How it was read, where it was heard. */
  readonly received?: ReceivedCall;
}

export function Timeline({ moments }: { moments: readonly Moment[] }) {
  return (
    <ol class="timeline" aria-live="polite">
      {moments.map(({ id, when, side, title, text, received }) => (
        <li key={id} class={side}>
          <p class="when">
            <b>{title}</b> <span>{when}</span>
            {received && <span class={`badge ${received.quality}`}>{received.quality}</span>}
          </p>
          <p class="what">{text}</p>
          {received && (
            <details>
              <summary>Every character</summary>
              <Reading received={received} />
            </details>
          )}
        </li>
      ))}
    </ol>
  );
}
