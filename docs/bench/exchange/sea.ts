/**
 * The virtual stations as a scenario: where they are, what they listen to, how they behave and what lies between.
 */
import type { Message, Position } from 'dotphase';
import { FADING_CONDITIONS, type FadingConditionName } from 'dotphase/channel';
import { DISTRESS_FREQUENCIES, VHF_DSC_HZ } from 'dotphase/frequencies';
import { isCoastStation, radioOf } from 'dotphase/procedures';
import { pathByDistance, type Behaviour, type Scenario, type ScenarioPath } from 'dotphase/simulation';
import type { Station } from './book.js';
import type { OwnStation } from './link.js';

/** What lies between the stations. */
export interface SeaSettings {
  /** Signal-to-noise ratio in 3 kHz at every station, dB. */
  snrDb: number;
  fading: 'none' | FadingConditionName;
}

export const CALM_SEA: SeaSettings = { snrDb: 20, fading: 'none' };

/** How a virtual station behaves, for people. */
export const CONDUCTS: readonly { readonly value: Behaviour; readonly text: string }[] = [
  { value: 'answers', text: 'answers' },
  { value: 'answersElsewhere', text: 'proposes another channel' },
  { value: 'refusesBusy', text: 'refuses: busy' },
  { value: 'answersLate', text: 'answers 75 s later' },
  { value: 'answersTwice', text: 'answers twice' },
  { value: 'silent', text: 'hears, stays silent' },
  { value: 'outOfRange', text: 'is out of range' },
];

const FADING_TEXT: Readonly<Record<FadingConditionName, string>> = {
  'mid-latitude-quiet': 'middle latitudes, quiet',
  'mid-latitude-moderate': 'middle latitudes, moderate',
  'mid-latitude-disturbed': 'middle latitudes, disturbed',
  'mid-latitude-disturbed-nvis': 'middle latitudes, disturbed, steep',
  'low-latitude-quiet': 'low latitudes, quiet',
  'low-latitude-moderate': 'low latitudes, moderate',
  'low-latitude-disturbed': 'low latitudes, disturbed',
  'high-latitude-quiet': 'high latitudes, quiet',
  'high-latitude-moderate': 'high latitudes, moderate',
  'high-latitude-disturbed': 'high latitudes, disturbed',
};

/** The fading of ITU-R F.1487 to choose from. */
export const FADINGS: readonly { readonly value: SeaSettings['fading']; readonly text: string }[] = [
  { value: 'none', text: 'none' },
  ...(Object.keys(FADING_CONDITIONS) as FadingConditionName[]).map((value) => ({
    value,
    text: FADING_TEXT[value],
  })),
];

/** Where the own station is: open sea. Virtual stations lie south of it by their distance. */
export const OWN_POSITION: Position = { latitude: 45.5, longitude: -30.25 };
/** A minute of latitude is a nautical mile. */
const MILES_PER_DEGREE = 60;

function positionOf({ distance }: Pick<Station, 'distance'>): Position {
  return { ...OWN_POSITION, latitude: OWN_POSITION.latitude - distance / MILES_PER_DEGREE };
}

/** Whether a virtual station and the own one reach each other on a frequency. */
export function isReached(station: Pick<Station, 'distance'>, frequencyHz: number): boolean {
  return pathByDistance(OWN_POSITION, positionOf(station), frequencyHz) !== undefined;
}

/** A channel that a station proposes instead, on either radio. */
const ELSEWHERE: Readonly<Record<'mf-hf' | 'vhf', Message>> = {
  'mf-hf': { receive: { hz: 4_146_000 }, transmit: { hz: 4_146_000 } },
  vhf: { receive: { vhfChannel: 8 }, transmit: { vhfChannel: 8 } },
};

const MOST_WATCHED = 20;

/** The frequencies that every station hears besides its own: those of distress and safety. */
const SAFETY_HZ = [VHF_DSC_HZ, ...DISTRESS_FREQUENCIES.map(({ dscHz }) => dscHz)];

function watched(...frequencies: readonly number[]): number[] {
  return [...new Set([...frequencies, ...SAFETY_HZ])].slice(0, MOST_WATCHED);
}

/**
 * A scenario in which the own station is played by a person.
 *
 * @param dscHz - frequencies that the own station calls on and hears, hertz
 * @param seed - chooses noise, fading and delays
 */
export function seaOf(
  own: OwnStation,
  stations: readonly Station[],
  { snrDb, fading }: SeaSettings,
  dscHz: readonly number[],
  seed: number,
): Scenario {
  const others = stations.filter(({ identity }) => identity !== own.identity);
  const watch = watched(...dscHz);
  const unreachable = others.flatMap((station): ScenarioPath[] => {
    const out = watch.filter((hz) => !isReached(station, hz));
    return out.length === 0
      ? []
      : [{ from: own.identity, to: station.identity, frequencies: out, blocked: true }];
  });
  return {
    title: 'An exchange on the test bench',
    seed,
    start: new Date().toISOString(),
    durationSeconds: 86_400,
    own: own.identity,
    stations: [
      {
        identity: own.identity,
        name: own.name ?? own.identity,
        position: OWN_POSITION,
        watch,
        noiseDb: -snrDb,
      },
      ...others.map((station) => ({
        identity: station.identity,
        name: station.name,
        position: positionOf(station),
        watch: watched(...station.frequencies),
        behaviour: station.conduct,
        reactionSeconds: [station.delay, station.delay] as const,
        elsewhere: { message: ELSEWHERE[radioOf(dscHz[0] ?? VHF_DSC_HZ)] },
        noiseDb: -snrDb,
        ...(isCoastStation(station.identity) && { abilities: ['calls', 'distress', 'voice'] as const }),
      })),
    ],
    paths: [...(fading === 'none' ? [] : [{ from: '*' as const, to: '*' as const, fading }]), ...unreachable],
    events: [],
  };
}
