/** Made-up sets, sound and faulty, and what is named of them. */
import { encodeCall } from '../../src/calls/index.js';
import { createMeter, pooled, tolerancesFor, verdictsOn, type FigureName } from '../../src/measure/index.js';
import { createChoices, type Choices } from '../scenes/random.js';
import { TEST_CALL } from './errors.js';
import { madeUpAudio, type MadeUpSet } from './madeupset.js';

/** An alert of a made-up ship. */
export const ALERT = encodeCall({
  kind: 'distressAlert',
  self: '299123456',
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
}).symbols;

/** A fault and the figures that lie outside their limits for it. */
export interface Fault {
  readonly name: string;
  readonly set: MadeUpSet;
  readonly named: readonly FigureName[];
  readonly symbols?: readonly number[];
}

/** The faults; those with nothing named lie within the tolerance. */
export const FAULTS: readonly Fault[] = [
  { name: 'rate 20 ppm off', set: { baud: 100 * (1 + 20e-6) }, named: [] },
  { name: 'rate 28 ppm off', set: { baud: 100 * (1 + 28e-6) }, named: [] },
  { name: 'rate 32 ppm off', set: { baud: 100 * (1 + 32e-6) }, named: ['rateErrorPpm'] },
  { name: 'rate 60 ppm off', set: { baud: 100 * (1 - 60e-6) }, named: ['rateErrorPpm'] },
  { name: 'centre 12 Hz off', set: { centreHz: 1712 }, named: ['centreHz'] },
  { name: 'shift 168 Hz', set: { shiftHz: 168 }, named: ['shiftHz'] },
  { name: 'Y 3 dB down', set: { y: 0.354 }, named: ['levelDifferenceDb'] },
  { name: 'B 3 dB down', set: { b: 0.354 }, named: ['levelDifferenceDb'] },
  { name: 'a jump of phase', set: { jump: 0.8, jumpBit: 317 }, named: ['phaseStepDegrees'] },
  { name: '198 dots', set: { dots: 198 }, named: ['dots'] },
  // A shorter delay leaves no place for the eighth RX phasing character.
  { name: 'RX two characters early', set: { delayPairs: 1 }, named: ['phasingRx', 'charactersBetween'] },
  { name: 'RX two characters late', set: { delayPairs: 3 }, named: ['charactersBetween'] },
  {
    name: 'RX unequal to DX',
    set: { odd: { pair: 12, symbol: 55 } },
    named: ['oddCharacters', 'unequalCharacters'],
  },
  { name: 'a gap between sendings', set: { sendings: 2, gapSeconds: 0.1 }, named: ['gapMs'], symbols: ALERT },
];

/** A sound set: everything a little off, well within. */
function soundSet(choices: Choices): MadeUpSet {
  const level = () => 0.5 * 10 ** (choices.uniform(-0.5, 0.5) / 20);
  return {
    baud: 100 * (1 + choices.uniform(-20e-6, 20e-6)),
    centreHz: choices.uniform(1693, 1707),
    shiftHz: choices.uniform(169.5, 170.5),
    b: level(),
    y: level(),
  };
}

/** What is named of one set heard at 20 dB: figures outside and figures that cannot be told. */
export function examined(
  set: MadeUpSet,
  symbols: readonly number[],
  seed: number,
): { outside: FigureName[]; untold: FigureName[]; calls: number } {
  const choices = createChoices(seed);
  const audio = madeUpAudio(
    symbols,
    { ...soundSet(choices), ...set },
    { ratioDb: 20, seed, before: 0.6 + choices.uniform(0, 0.01), phase: choices.uniform(0, 6.28) },
  );
  const meter = createMeter({ sampleRate: 12_000, bands: ['mf-hf'] });
  const calls = [...meter.push(audio), ...meter.flush()].flatMap(({ measured }) => measured ?? []);
  const verdicts = verdictsOn(pooled(calls), tolerancesFor({ band: 'mf-hf', symbols }));
  const those = (wanted: string) =>
    verdicts.filter(({ verdict }) => verdict === wanted).map(({ figure }) => figure);
  return { outside: those('outside'), untold: those('cannotTell'), calls: calls.length };
}

export { TEST_CALL };
