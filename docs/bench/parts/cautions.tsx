/**
 * The cautions that stand wherever the work could hurt someone.
 */
import type { ComponentChildren } from 'preact';

export function Caution({ title = 'Caution', children }: { title?: string; children: ComponentChildren }) {
  return (
    <aside class="caution" aria-label={title}>
      <strong>{title}</strong>
      <div>{children}</div>
    </aside>
  );
}

export function TransmitCaution({ priority }: { priority: string }) {
  return (
    <Caution title={`Caution: ${priority} audio`}>
      Never feed distress, urgency or safety audio to a transmitter on the air: use a dummy load or a cable.
      Follow your administration’s rules and licensed practice; if a false alert goes out, cancel it by the
      published procedure.
    </Caution>
  );
}

export function WatchCaution() {
  return (
    <Caution title="Caution: this is no watch">
      A decoded distress alert is not a watch. Keep the watch your station must keep on its own equipment, and
      follow your administration’s rules and licensed practice.
    </Caution>
  );
}
