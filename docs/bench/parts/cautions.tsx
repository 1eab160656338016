/**
 * The cautions that stand wherever the work could hurt someone.
 */
import type { ComponentChildren } from 'preact';
import { Tick } from './fields.js';

function Caution({ title = 'Caution', children }: { title?: string; children: ComponentChildren }) {
  return (
    <div class="caution" role="note">
      <strong>{title}</strong>
      <div>{children}</div>
    </div>
  );
}

/** What is to be known before audio of a priority sounds: loud where it is distress or urgency. */
export function TransmitCaution({ priority }: { priority: string }) {
  if (priority !== 'distress' && priority !== 'urgency') {
    return (
      <p class={`quiet-caution ${priority}`}>
        <b>{priority[0].toUpperCase() + priority.slice(1)} audio</b>: onto a dummy load or a cable, never on
        the air; follow your administration’s rules and licensed practice.
      </p>
    );
  }
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

/** Asked before distress or urgency audio may sound. */
export function NoTransmitterTick({
  checked,
  onValue,
}: {
  checked: boolean;
  onValue: (checked: boolean) => void;
}) {
  return (
    <Tick label="No transmitter on the air is connected to this sound" checked={checked} onValue={onValue} />
  );
}
