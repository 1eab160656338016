/**
 * Somebody talking on the channel: noise with the long-term spectrum of speech in a telephone channel, in syllables
 * and talk spurts. Common practice, no source: shaped noise stands for speech where only its masking matters.
 */
import * as z from 'zod';
import { BandPass } from '../../dsp/index.js';
import { type Shape, number } from '../parameters.js';
import type { Random } from '../../dsp/index.js';
import { defineStage } from '../stage.js';
import { type Added, addedAmplitude, addedShape, between } from './added.js';
import { FadingTap } from './tap.js';

/** Voice-like noise. Its `levelDb` holds while somebody speaks, pauses left out. */
export interface VoiceStage extends Added {
  kind: 'voice';
  /** Mean length of the pauses between talk spurts, 0 to 60 s; 0.7 s unless given. */
  pauseSeconds?: number | undefined;
  /** Mean length of the talk spurts, 0.1 to 60 s; 2 s unless given. */
  spurtSeconds?: number | undefined;
}

/** Spectrum: flat from 300 Hz to here, then falling by 6 dB an octave up to 2700 Hz. */
const CORNER_HZ = 600;
const BAND_HZ = [300, 2700] as const;
/** Width of the spectrum of the syllables' envelope: about four syllables a second. */
const SYLLABLE_SPREAD_HZ = 4;
/** How fast a talk spurt swells and fades. */
const SWELL_SECONDS = 0.02;

/** Voice-like noise as a stage. */
export const voice = defineStage(
  z.strictObject({
    kind: z.literal('voice'),
    spurtSeconds: number(0.1, 60, 's', 'mean length of the talk spurts').default(2),
    pauseSeconds: number(0, 60, 's', 'mean length of the pauses').default(0.7),
    ...addedShape,
  } satisfies Shape<VoiceStage>),
  (stage, context) => {
    const { sampleRate, random } = context;
    if (sampleRate <= 2 * BAND_HZ[1])
      throw context.refuse('kind', 'voice', `a sample rate above ${2 * BAND_HZ[1]} Hz`);
    const amplitude = addedAmplitude(stage.levelDb, context);
    const murmur = new Murmur(sampleRate, random('sound'));
    const syllables = new FadingTap(SYLLABLE_SPREAD_HZ, sampleRate, random('syllables'));
    const spurts = new Spurts(
      stage.spurtSeconds * sampleRate,
      stage.pauseSeconds * sampleRate,
      random('spurts'),
    );
    const swell = 1 - Math.exp(-1 / (SWELL_SECONDS * sampleRate));
    let re = new Float64Array(0);
    let im = new Float64Array(0);
    let loudness = 0;
    return between(stage, context, (block) => {
      const sound = murmur.take(block.length);
      if (block.length > re.length) {
        re = new Float64Array(block.length);
        im = new Float64Array(block.length);
      }
      syllables.fill(re, im, block.length);
      for (let i = 0; i < block.length; i++) {
        loudness += swell * ((spurts.next() ? 1 : 0) - loudness);
        block[i] += amplitude * loudness * Math.sqrt(re[i] * re[i] + im[i] * im[i]) * sound[i];
      }
    });
  },
);

/** Steady noise of mean square 1 with the spectrum of speech. */
class Murmur {
  private readonly filter: BandPass;
  private readonly slope: number;
  private state = 0;
  private scale = 1;

  constructor(
    sampleRate: number,
    private readonly random: Random,
  ) {
    this.filter = new BandPass(sampleRate, ...BAND_HZ, 200, 51);
    this.slope = 1 - Math.exp((-2 * Math.PI * CORNER_HZ) / sampleRate);
    this.scale = 1 / Math.sqrt(this.responseEnergy(sampleRate));
    this.filter.push(this.source(this.filter.lookAhead));
  }

  take(count: number): Float32Array {
    return this.filter.push(this.source(count));
  }

  private source(count: number): Float32Array {
    const noise = new Float32Array(count);
    for (let i = 0; i < count; i++) {
      this.state += this.slope * (this.random.gaussian() - this.state);
      noise[i] = this.scale * this.state;
    }
    return noise;
  }

  /** Sum of squares of the impulse response of slope and filter together, run through a second filter of the same kind. */
  private responseEnergy(sampleRate: number): number {
    const impulse = new Float32Array(2 * this.filter.lookAhead + 1 + Math.ceil(sampleRate / 50));
    for (let i = 0; i < impulse.length; i++) impulse[i] = this.slope * (1 - this.slope) ** i;
    const filter = new BandPass(sampleRate, ...BAND_HZ, 200, 51);
    filter.push(new Float32Array(filter.lookAhead));
    return filter.push(impulse).reduce((sum, x) => sum + x * x, 0);
  }
}

/** Talk spurts and pauses of exponentially distributed lengths. */
class Spurts {
  private talking: boolean;
  private left: number;

  constructor(
    private readonly spurt: number,
    private readonly pause: number,
    private readonly random: Random,
  ) {
    this.talking = random.uniform() * (spurt + pause) < spurt;
    this.left = random.exponential() * (this.talking ? spurt : pause);
  }

  /** Whether the next sample belongs to a talk spurt. */
  next(): boolean {
    if (this.left <= 0) {
      this.talking = !this.talking;
      this.left += this.random.exponential() * (this.talking ? this.spurt : this.pause);
    }
    this.left--;
    return this.talking;
  }
}
