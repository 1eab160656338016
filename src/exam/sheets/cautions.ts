/**
 * The cautions that stand on every sheet.
 */
import { html } from './html.js';

/** What must be known before a recording is played. */
export const CAUTIONS = html`<section class="caution">
  <p>
    <b>Caution.</b> Play these recordings over headphones, loudspeakers or a cable to a receiver. Never play
    the audio of distress, urgency or safety calls into a transmitter on the air: use a dummy load or a cable.
    Should a false alert go out, cancel it at once by the published procedure.
  </p>
  <p>
    Ships, stations and identities are invented; the digits 299 belong to no country. A decoded distress alert
    is not a watch: at sea, follow your administration’s rules and licensed practice.
  </p>
</section>`;
