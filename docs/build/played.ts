/**
 * A sound that plays through its drawings, as a block of HTML for a page.
 */
import { soundFigure, type SoundFacts } from './soundfigure.js';
import type { Cue } from './strip.js';

/** A spectrogram under a cursor. */
interface Spectrogram {
  readonly file: string;
  readonly svg: string;
  /** What it shows. */
  readonly words: string;
}

/** Where the time axis of a picture lies, per cent of its width. */
function axisOf(svg: string): { left: number; right: number } {
  const whole = Number(/<svg[^>]* width="([\d.]+)"/.exec(svg)?.[1]);
  const image = /<image[^>]*>/.exec(svg)?.[0] ?? '';
  const [x, width] = ['x', 'width'].map((name) =>
    Number(new RegExp(` ${name}="([\\d.]+)"`).exec(image)?.[1]),
  );
  const [left, right] = [x, x + width].map((at) => (100 * at) / whole);
  if (Number.isNaN(left + right)) throw new Error('the picture has no spectrogram to run a cursor over');
  return { left, right };
}

/**
 * A player.
 *
 * @param name - of the sound
 * @param label - what one hears
 * @param strip - the characters that light up as they sound, where there are any
 */
export function played(
  name: string,
  label: string,
  facts: SoundFacts,
  spectrogram: Spectrogram,
  strip?: { readonly svg: string; readonly cues: readonly Cue[] },
): string {
  const { left, right } = axisOf(spectrogram.svg);
  const steps = strip
    ? `<div class="steps scripted" hidden><button type="button" data-do="back">Back one</button><button type="button" data-do="on">On one</button><p class="says" role="status"></p></div>
<div class="drawing strip-frame" tabindex="0" role="region" aria-label="The characters as they sound">${strip.svg}</div>
<script type="application/json" class="cues">${JSON.stringify(strip.cues)}</script>
`
    : '';
  return `<div class="player">
${soundFigure(name, label, facts)}${steps}<div class="drawing" tabindex="0" role="region" aria-label="${spectrogram.words}"><div class="under-cursor"><img src="${spectrogram.file}" alt="${spectrogram.words}"><span class="cursor" hidden data-left="${left.toFixed(3)}" data-right="${right.toFixed(3)}" data-seconds="${facts.seconds}"></span></div></div>
</div>`;
}
