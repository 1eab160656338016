/**
 * Exercises drawn by level, each in four versions: one is sent, and the questions offer what all four say.
 */
import type { Call, TableKind } from '../../calls/index.js';
import type { ChannelStage } from '../../channel/index.js';
import { maritimeBand, type MaritimeBand } from '../../frequencies/index.js';
import { radioOf } from '../../procedures/index.js';
import { LEVELS, SCENE_KINDS, type Level, type LevelDescription } from '../levels.js';
import type { CallPlan } from '../plan.js';
import { scheduleTogether, type TimedCallPlan } from '../schedule.js';
import type { Four } from './alike.js';
import { frequencyFor, makeCall, variantsOf, type CallVariant } from './calls.js';
import type { Draw } from './draw.js';
import { drawContents, type CallContents } from './contents.js';
import { drawDamage, drawKinds, four, heardOn, poolFor } from './lineup.js';

/** What is drawn of an exercise: its versions, all on the air at the same times, and how long its recording is. */
export interface DrawnExercise {
  readonly frequencyHz: number;
  readonly versions: Four<readonly TimedCallPlan[]>;
  readonly seconds: number;
}

/** Signal over noise that VHF has more, dB: its bits are twelve times shorter. */
const VHF_SNR_DB = 10;
/** How much weaker a call is that another covers, dB. */
const COVERED_DB: readonly [number, number] = [-16, -12];
/** How long after the call that covers it such a call begins, tenths of a second. */
const COVERED_AFTER: readonly [number, number] = [10, 30];
/** Calls that can be read of an exchange, one number for each version. */
const READABLE: Four<number> = [2, 3, 4, 5];

/** What lies between a sender and the receiver. */
export function drawPath(draw: Draw, level: Level, frequencyHz: number): ChannelStage[] {
  if (radioOf(frequencyHz) === 'vhf') return [];
  const { fading, mistunedHz } = LEVELS[level];
  return [
    ...(fading.length > 0 ? [{ kind: 'fading' as const, condition: draw.pick(fading) }] : []),
    ...(mistunedHz > 0 ? [{ kind: 'offset' as const, offsetHz: draw.integer(-mistunedHz, mistunedHz) }] : []),
  ];
}

/** Something beside the calls, well off their tones. */
function drawDisturbance(draw: Draw): ChannelStage[] {
  return draw.pick<() => ChannelStage[]>([
    () => [{ kind: 'impulses', levelDb: draw.integer(-4, 2), ratePerSecond: draw.integer(1, 4) }],
    () => [
      { kind: 'carrier', frequencyHz: draw.pick([900, 1150, 2250, 2450]), levelDb: draw.integer(-10, -3) },
    ],
    () => [{ kind: 'nbdp', centreHz: draw.pick([800, 1000, 2400]), levelDb: draw.integer(-8, -2) }],
    () => [{ kind: 'voice', levelDb: draw.integer(-16, -11) }],
  ])();
}

/** What the receiver hears in addition to the calls. */
export function drawConditions(draw: Draw, level: Level, frequencyHz: number): ChannelStage[] {
  const { snrDb: range, disturbed } = LEVELS[level];
  const isVhf = radioOf(frequencyHz) === 'vhf';
  const snrDb = draw.integer(...range) + (isVhf ? VHF_SNR_DB : 0);
  return [
    ...(disturbed && !isVhf ? drawDisturbance(draw) : []),
    { kind: 'noise', snrDb },
    { kind: 'passband' },
    ...(disturbed ? [{ kind: 'agc' as const, decayMs: 800 }] : []),
  ];
}

/** What other stations say about an alert. */
const AFTER_ALERT: readonly TableKind[] = [
  'distressAcknowledgement',
  'ownAlertCancellation',
  'distressRelay',
];

/** Four versions of one call: of other kinds or, for a call about distress, with other contents too. */
function drawSingle(
  shape: Draw,
  draw: Draw,
  { kinds }: LevelDescription,
  variant: CallVariant,
  contents: Four<CallContents>,
  frequencyHz: number,
  band: MaritimeBand,
): Four<Call> {
  const first = makeCall(variant, contents[0], band);
  const all = kinds.flatMap(variantsOf);
  const pools =
    'nature' in first
      ? shape.shuffle([[], poolFor(first, all), all])
      : 'telephone' in first || ('telecommand1' in first && first.telecommand1 === 'unable')
        ? shape.shuffle([[], all])
        : [all];
  const others = drawKinds(draw, first, pools[0], contents[0], frequencyHz);
  return four(contents, (own, i) => makeCall(i === 0 ? variant : (others?.[i - 1] ?? variant), own, band));
}

/** The second call of an exchange: what others say about an alert, or a call of another matter. */
function drawSecond(
  draw: Draw,
  opening: CallVariant,
  contents: Four<CallContents>,
  frequencyHz: number,
  band: MaritimeBand,
): Four<Call> {
  const isAlert = opening.kind === 'distressAlert';
  const kinds = isAlert ? [...AFTER_ALERT, ...SCENE_KINDS] : SCENE_KINDS;
  const own = drawContents(draw, band);
  const variants = drawKinds(draw, undefined, kinds.flatMap(variantsOf), own[0], frequencyHz);
  return four(own, (second, i) => {
    const variant = variants?.[i] ?? opening;
    const { ship, nature, position, time, followOn } = contents[i];
    const isAbout = isAlert && AFTER_ALERT.includes(variant.kind);
    return makeCall(variant, isAbout ? { ...second, ship, nature, position, time, followOn } : second, band);
  });
}

/** Four versions of several calls: they differ in what their first two say and in how many there are. */
function drawSeveral(
  draw: Draw,
  scene: 'exchange' | 'collision',
  opening: CallVariant,
  contents: Four<CallContents>,
  frequencyHz: number,
  band: MaritimeBand,
): { readable: Four<readonly CallPlan[]>; covered: TimedCallPlan | undefined } {
  const first = four(contents, (own) => makeCall(opening, own, band));
  const second = drawSecond(draw, opening, contents, frequencyHz, band);
  const others = [0, 1, 2].map(() => {
    const [own] = drawContents(draw, band);
    const heard = heardOn(SCENE_KINDS.flatMap(variantsOf), own, frequencyHz);
    return heard.length > 0 ? draw.pick(heard).call : makeCall(opening, own, band);
  });
  const isDamaged = scene === 'collision';
  const damage = drawDamage(draw, first[0]);
  const [a, b, c, d] = draw.shuffle(READABLE);
  const readable = four([a, b, c, d], (count, i): CallPlan[] => [
    { call: first[i], ...(isDamaged && { damaged: [damage[i]] }) },
    { call: second[i] },
    ...others.slice(0, count - 2).map((call) => ({ call })),
  ]);
  const [strange] = drawContents(draw, band);
  const covered = {
    call: makeCall({ kind: 'distressAlert', to: 'many' }, strange, band),
    startSeconds: draw.integer(...COVERED_AFTER) / 10,
    levelDb: draw.integer(...COVERED_DB),
    readable: false,
  };
  return { readable, covered: isDamaged ? covered : undefined };
}

/**
 * Draws an exercise.
 *
 * @param shape - chooses what every version of a paper shares: its band, whom the call is for, what tells its versions
 *   apart
 * @param draw - chooses all else
 * @param kind - the kind of the call that opens its first version
 * @param frequencyHz - decides the band, where given
 */
export function drawExercise(
  shape: Draw,
  draw: Draw,
  level: Level,
  kind: TableKind,
  frequencyHz: number | undefined,
): DrawnExercise {
  const description = LEVELS[level];
  const { scene } = description;
  const given = frequencyHz === undefined ? undefined : maritimeBand(frequencyHz);
  const band = given ?? shape.pick(description.bands);
  const variant = shape.pick(variantsOf(kind));
  const contents = drawContents(draw, band, undefined, scene === 'collision');
  const hz = frequencyHz ?? frequencyFor(makeCall(variant, contents[0], band), band);
  const { readable, covered } =
    scene === 'call'
      ? {
          readable: four(drawSingle(shape, draw, description, variant, contents, hz, band), (call) => [
            { call },
          ]),
          covered: undefined,
        }
      : drawSeveral(draw, scene, variant, contents, hz, band);
  return { frequencyHz: hz, ...scheduleTogether(readable, radioOf(hz), covered) };
}
