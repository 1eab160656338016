/**
 * The levels of difficulty, as data.
 */
import type { TableKind } from '../calls/index.js';
import type { FadingConditionName } from '../channel/index.js';
import type { MaritimeBand } from '../frequencies/index.js';

/** From one clear call to several with collision and damage. */
export type Level = 1 | 2 | 3 | 4 | 5;

/** What the exercises of a level are drawn from. */
export interface LevelDescription {
  /** Its name, for the heading of a paper. */
  readonly title: string;
  /** What is difficult about it, in a sentence. */
  readonly about: string;
  /** Bands that its recordings come from. */
  readonly bands: readonly MaritimeBand[];
  /** Kinds of calls that open its exercises, the first of them about distress. */
  readonly kinds: readonly TableKind[];
  /** Signal over noise in 3 kHz, lowest and highest, dB; on VHF ten more. */
  readonly snrDb: readonly [number, number];
  /** How far the receiver may be mistuned, hertz, on MF and HF. */
  readonly mistunedHz: number;
  /** Conditions of ITU-R F.1487 that a call may fade by, on MF and HF. */
  readonly fading: readonly FadingConditionName[];
  /** Whether static, a carrier or another emission may disturb. */
  readonly disturbed: boolean;
  /** What a recording holds. */
  readonly scene: 'call' | 'exchange' | 'collision';
}

const DISTRESS: readonly TableKind[] = [
  'distressAlert',
  'distressAcknowledgement',
  'distressRelay',
  'ownAlertCancellation',
];
const PLAIN: readonly TableKind[] = ['distressAlert', 'urgencyCall', 'testCall', 'safetyCall', 'routineCall'];
const ALL: readonly TableKind[] = [
  ...DISTRESS,
  'urgencyCall',
  'safetyCall',
  'routineCall',
  'routineAcknowledgement',
  'testCall',
  'testAcknowledgement',
  'positionRequest',
  'pollingRequest',
  'safetyAcknowledgement',
  'relayAcknowledgement',
  'urgencyAcknowledgement',
  'positionReport',
  'pollingReply',
  'automaticCall',
  'automaticAcknowledgement',
];
/** Kinds that open a scene of several calls. */
const OPENING: readonly TableKind[] = [
  'distressAlert',
  'distressRelay',
  'distressAlert',
  'distressAcknowledgement',
];
const MF_HF: readonly MaritimeBand[] = ['2 MHz', '4 MHz', '6 MHz', '8 MHz', '12 MHz', '16 MHz'];

/** Every level. */
export const LEVELS: Readonly<Record<Level, LevelDescription>> = {
  1: {
    title: 'one clear call',
    about: 'One strong call on a quiet frequency.',
    bands: ['VHF', '2 MHz', '8 MHz'],
    kinds: PLAIN,
    snrDb: [25, 32],
    mistunedHz: 0,
    fading: [],
    disturbed: false,
    scene: 'call',
  },
  2: {
    title: 'every kind of call, in noise',
    about: 'One call of any kind in audible noise, the receiver not quite on frequency.',
    bands: ['VHF', ...MF_HF],
    kinds: ALL,
    snrDb: [3, 10],
    mistunedHz: 40,
    fading: [],
    disturbed: false,
    scene: 'call',
  },
  3: {
    title: 'fading and static',
    about: 'One call from afar, fading, with noise and static or other emissions beside it.',
    bands: MF_HF,
    kinds: ALL,
    snrDb: [4, 10],
    mistunedHz: 30,
    fading: ['mid-latitude-quiet', 'mid-latitude-moderate', 'low-latitude-quiet', 'high-latitude-quiet'],
    disturbed: true,
    scene: 'call',
  },
  4: {
    title: 'several calls',
    about: 'An exchange of calls in one recording, each of them fading, with other emissions beside them.',
    bands: MF_HF,
    kinds: OPENING,
    snrDb: [5, 11],
    mistunedHz: 30,
    fading: ['mid-latitude-quiet', 'mid-latitude-moderate', 'high-latitude-quiet'],
    disturbed: true,
    scene: 'exchange',
  },
  5: {
    title: 'collision and damage',
    about:
      'Several fading calls, one of them under another that is stronger, and one with characters that are lost.',
    bands: MF_HF,
    kinds: OPENING,
    snrDb: [7, 12],
    mistunedHz: 30,
    fading: ['mid-latitude-quiet', 'mid-latitude-moderate'],
    disturbed: true,
    scene: 'collision',
  },
};

/** Kinds that are heard on the distress and safety frequencies beside calls about distress. */
export const SCENE_KINDS: readonly TableKind[] = [
  'urgencyCall',
  'safetyCall',
  'testCall',
  'testAcknowledgement',
  'positionRequest',
];
