/** Narrow-band direct-printing traffic on the channel: ITU-R M.476 and M.625 (from memory), collective broadcasts. */
import * as z from 'zod';
import { FskPhase } from '../../dsp/index.js';
import { type Shape, number, text } from '../parameters.js';
import { defineStage } from '../stage.js';
import { type Added, addedAmplitude, addedShape, between, requireTone } from './added.js';
import { NBDP_ELEMENTS, nbdpBroadcast, nbdpCharacters } from './nbdp-code.js';

/**
 * Direct-printing broadcasts one after another: 100 Bd, 170 Hz shift, each character sent twice. One that sets in at
 * the start of the audio is joined somewhere in its middle, a later one is heard from its beginning.
 */
export interface NbdpStage extends Added {
  kind: 'nbdp';
  /** Middle between the two tones, 86 to 96 000 Hz; 1700 unless given. */
  centreHz?: number | undefined;
  /** What is sent, 1 to 2000 characters, of which those outside the alphabet are left out; random groups of five letters unless given. */
  text?: string | undefined;
}

/** Rate and shift of M.476 and M.625. */
const BAUD = 100;
const SHIFT_HZ = 170;

/** Groups of five letters in a broadcast of random text. */
const RANDOM_GROUPS = 60;

/** Direct-printing traffic as a stage. */
export const nbdp = defineStage(
  z.strictObject({
    kind: z.literal('nbdp'),
    centreHz: number(86, 96_000, 'Hz', 'middle between the two tones').default(1700),
    text: text(2000, 'what is sent; random groups of five letters unless given').optional(),
    ...addedShape,
  } satisfies Shape<NbdpStage>),
  (stage, context) => {
    requireTone('centreHz', stage.centreHz + SHIFT_HZ / 2, context);
    const random = context.random();
    const turns = random.uniform();
    const group = (): string =>
      Array.from({ length: 5 }, () => String.fromCharCode(65 + Math.floor(26 * random.uniform()))).join('');
    const message = (): string => stage.text ?? Array.from({ length: RANDOM_GROUPS }, group).join(' ');

    let elements = '';
    let at = 0;
    const next = (): boolean => {
      if (at === elements.length) {
        elements = nbdpBroadcast(nbdpCharacters(message())).join('');
        at = 0;
      }
      return elements[at++] === 'B';
    };
    if (stage.startSeconds === 0) {
      next();
      at = NBDP_ELEMENTS * Math.floor((random.uniform() * elements.length) / NBDP_ELEMENTS);
    }
    const phase = new FskPhase(
      { sampleRate: context.sampleRate, baud: BAUD, centreHz: stage.centreHz, shiftHz: SHIFT_HZ },
      next,
      turns,
    );
    const amplitude = Math.SQRT2 * addedAmplitude(stage.levelDb, context);
    return between(stage, context, (block) => {
      for (let i = 0; i < block.length; i++) block[i] += amplitude * Math.cos(2 * Math.PI * phase.turns());
    });
  },
);
