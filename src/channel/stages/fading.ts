/**
 * Ionospheric multipath: ITU-R F.1487 Annex 3 (from memory), the model of Watterson, Juroshek and Bensema (1970).
 *
 * The analytic signal is delayed along each path, multiplied by the path's own fading gain, and the real part of
 * the sum is the output. Mean power is kept: the paths' mean powers add up to 1.
 */
import * as z from 'zod';
import { AnalyticSignal } from '../../dsp/index.js';
import { Line } from '../../dsp/index.js';
import { Rotor } from '../../dsp/index.js';
import { SINC_REACH, SincReader } from '../../dsp/index.js';
import { dbToPower } from '../level.js';
import { type Shape, choice, exactlyOne, number } from '../parameters.js';
import type { Random } from '../../dsp/index.js';
import { type Processor, defineStage } from '../stage.js';
import { FADING_CONDITIONS, FADING_CONDITION_NAMES, type FadingConditionName } from './conditions.js';
import { FadingTap } from './tap.js';

/** One propagation path. */
export interface FadingPath {
  /** Delay, 0 to 100 ms; 0 unless given. */
  delayMs?: number | undefined;
  /** Two-sided Doppler spread 2σ, 0 to 200 Hz; 0, the default, is a steady path. */
  spreadHz?: number | undefined;
  /** Mean power relative to the other paths, −100 to 0 dB; 0 unless given. */
  levelDb?: number | undefined;
  /** Doppler shift, −200 to 200 Hz; 0 unless given. */
  shiftHz?: number | undefined;
}

/** Fading over several paths: exactly one of a named condition or paths of one's own. */
export interface FadingStage {
  kind: 'fading';
  /** A condition of ITU-R F.1487: two paths of equal mean power. */
  condition?: FadingConditionName | undefined;
  /** One to eight paths. */
  paths?: readonly FadingPath[] | undefined;
}

const MAX_PATHS = 8;
const pathsExpected = { error: `a list of 1 to ${MAX_PATHS} paths` };

const pathSchema = z.strictObject({
  delayMs: number(0, 100, 'ms', 'delay').default(0),
  spreadHz: number(0, 200, 'Hz', 'Doppler spread 2σ').default(0),
  levelDb: number(-100, 0, 'dB', 'mean power relative to the other paths').default(0),
  shiftHz: number(-200, 200, 'Hz', 'Doppler shift').default(0),
} satisfies Shape<FadingPath>);

const schema = exactlyOne(
  z.strictObject({
    kind: z.literal('fading'),
    condition: choice(FADING_CONDITION_NAMES, 'condition of ITU-R F.1487: two equal paths').optional(),
    paths: z
      .array(pathSchema, pathsExpected)
      .min(1, pathsExpected)
      .max(MAX_PATHS, pathsExpected)
      .meta({ description: 'paths of your own' })
      .optional(),
  } satisfies Shape<FadingStage>),
  ['condition', 'paths'],
);

/** Multipath fading as a stage. */
export const fading = defineStage(schema, (stage, { sampleRate, random }) => {
  const paths = stage.condition === undefined ? (stage.paths ?? []) : twoEqualPaths(stage.condition);
  const total = paths.reduce((sum, path) => sum + dbToPower(path.levelDb), 0);
  return new Fading(
    sampleRate,
    paths.map(
      (path, i) =>
        new Path(path, Math.sqrt(dbToPower(path.levelDb) / total), sampleRate, random(`path ${i}`)),
    ),
  );
});

type FilledPath = z.output<typeof pathSchema>;

function twoEqualPaths(condition: FadingConditionName): FilledPath[] {
  const { delayMs, spreadHz } = FADING_CONDITIONS[condition];
  return [0, delayMs].map((delay) => ({ delayMs: delay, spreadHz, levelDb: 0, shiftHz: 0 }));
}

/** Delays shorter than this part of a sample are taken for rounding. */
const NEAR_WHOLE = 1e-6;

class Path {
  readonly wholeDelay: number;
  /** What remains of the delay, 0 to 1 sample. */
  readonly partDelay: number;
  private readonly tap: FadingTap | undefined;
  private readonly rotor: Rotor | undefined;
  private readonly amplitude: number;

  constructor(path: FilledPath, amplitude: number, sampleRate: number, random: Random) {
    const { delayMs, spreadHz, shiftHz } = path;
    const delay = (delayMs / 1000) * sampleRate;
    const whole = Math.abs(delay - Math.round(delay)) < NEAR_WHOLE ? Math.round(delay) : Math.floor(delay);
    this.wholeDelay = whole;
    this.partDelay = Math.max(0, delay - whole) < NEAR_WHOLE ? 0 : delay - whole;
    this.tap = spreadHz > 0 ? new FadingTap(spreadHz, sampleRate, random) : undefined;
    this.rotor = shiftHz !== 0 ? new Rotor(sampleRate, shiftHz) : undefined;
    this.amplitude = amplitude;
  }

  /** The path's next `count` gains. */
  gain(re: Float64Array, im: Float64Array, turnRe: Float64Array, turnIm: Float64Array, count: number): void {
    if (this.tap) {
      this.tap.fill(re, im, count);
    } else {
      re.fill(1, 0, count);
      im.fill(0, 0, count);
    }
    const { amplitude, rotor } = this;
    if (rotor) {
      rotor.fill(turnRe, turnIm, count);
      for (let i = 0; i < count; i++) {
        const turned = re[i] * turnRe[i] - im[i] * turnIm[i];
        im[i] = re[i] * turnIm[i] + im[i] * turnRe[i];
        re[i] = turned;
      }
    }
    for (let i = 0; i < count; i++) {
      re[i] *= amplitude;
      im[i] *= amplitude;
    }
  }
}

class Fading implements Processor {
  private readonly analytic: AnalyticSignal;
  private readonly re: Line;
  private readonly im: Line;
  private readonly longest: number;
  private readonly reader: SincReader | undefined;
  private scratch = Array.from({ length: 4 }, () => new Float64Array(0));

  constructor(
    sampleRate: number,
    private readonly paths: readonly Path[],
  ) {
    this.analytic = new AnalyticSignal(sampleRate);
    const parts = paths.some((path) => path.partDelay > 0);
    this.reader = parts ? new SincReader() : undefined;
    const reach = parts ? SINC_REACH : 0;
    this.longest = Math.max(...paths.map((path) => path.wholeDelay + (path.partDelay > 0 ? 1 : 0)));
    this.re = new Line(this.longest + reach, reach);
    this.im = new Line(this.longest + reach, reach);
  }

  push(block: Float32Array): Float32Array {
    const count = this.analytic.push(block);
    this.re.append(this.analytic.re, count);
    this.im.append(this.analytic.im, count);
    return this.mix();
  }

  flush(): Float32Array {
    const count = this.analytic.flush();
    const tail = new Float64Array(this.longest + this.re.future);
    this.re.append(this.analytic.re, count);
    this.im.append(this.analytic.im, count);
    this.re.append(tail);
    this.im.append(tail);
    return this.mix();
  }

  private mix(): Float32Array {
    const count = this.re.ready;
    const out = new Float32Array(count);
    if (count > this.scratch[0].length) this.scratch = this.scratch.map(() => new Float64Array(count));
    const [gainRe, gainIm, turnRe, turnIm] = this.scratch;
    const sum = new Float64Array(count);
    for (const path of this.paths) {
      path.gain(gainRe, gainIm, turnRe, turnIm, count);
      if (path.partDelay > 0) this.addBetween(path, sum, gainRe, gainIm);
      else this.addWhole(path, sum, gainRe, gainIm);
    }
    out.set(sum);
    this.re.consume(count);
    this.im.consume(count);
    return out;
  }

  private addWhole(path: Path, sum: Float64Array, gainRe: Float64Array, gainIm: Float64Array): void {
    const re = this.re.data;
    const im = this.im.data;
    let at = this.re.past - path.wholeDelay;
    for (let i = 0; i < sum.length; i++, at++) sum[i] += gainRe[i] * re[at] - gainIm[i] * im[at];
  }

  private addBetween(path: Path, sum: Float64Array, gainRe: Float64Array, gainIm: Float64Array): void {
    if (!this.reader) return;
    const re = this.re.data;
    const im = this.im.data;
    const fraction = 1 - path.partDelay;
    let at = this.re.past - path.wholeDelay - 1;
    for (let i = 0; i < sum.length; i++, at++) {
      sum[i] +=
        gainRe[i] * this.reader.read(re, at, fraction) - gainIm[i] * this.reader.read(im, at, fraction);
    }
  }
}
