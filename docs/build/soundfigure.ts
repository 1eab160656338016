/**
 * A sound as a page shows it: what one hears, for how long, the caution, and the player of the browser.
 */

/** What a page tells of a sound. */
export interface SoundFacts {
  readonly seconds: number;
  /** Whether it holds characters of a call. */
  readonly isCall: boolean;
}

/** What is known of a sound by its name. */
export type SoundBook = (name: string) => SoundFacts;

/** Seconds to two digits, as people say them. */
function duration(seconds: number): string {
  return `${seconds < 10 ? seconds.toFixed(1) : Math.round(seconds)} s`;
}

const CAUTION = ' <strong>Never to a transmitter on the air.</strong>';

/**
 * The figure of a sound.
 *
 * @param name - of the sound; its file is sounds/name.wav
 * @param label - what one hears, as HTML
 */
export function soundFigure(name: string, label: string, { seconds, isCall }: SoundFacts): string {
  const words = label.replace(/<[^>]+>/g, '').replaceAll('"', '&quot;');
  return `<figure class="sound">
<figcaption>${label} <small>${duration(seconds)}.${isCall ? CAUTION : ''}</small></figcaption>
<audio controls preload="none" src="sounds/${name}.wav" aria-label="${words}"></audio>
</figure>
`;
}
