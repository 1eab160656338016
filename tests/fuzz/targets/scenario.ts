/** Scenarios, and short ones played. */
import { createPlay, parseScenario, SCENARIOS, type Scenario } from '../../../src/simulation/index.js';
import { hostileJson, jsonSeeds } from '../hostile.js';
import { hold, orRefused, type Target } from '../target.js';

/** Played with receivers that hear nothing: the receiver has a target of its own. */
const DEAF = { push: () => [], flush: () => [] };
const LONGEST_PLAY_SECONDS = 60;
const MOST_STATIONS = 4;
const MOST_EVENTS = 20;

const GOOD: readonly unknown[] = Object.values(SCENARIOS).flatMap((scenario: Scenario) => [
  scenario,
  {
    ...scenario,
    durationSeconds: 20,
    events: scenario.events.slice(0, 3).map((event) => ({ ...event, at: event.at % 20 })),
    paths: [
      { from: '*', to: scenario.own, levelDb: -3, delayMs: 4, stages: [{ kind: 'offset', offsetHz: 5 }] },
    ],
  },
]);

const isShort = ({ durationSeconds, stations, events, paths = [] }: Scenario) =>
  durationSeconds <= LONGEST_PLAY_SECONDS &&
  stations.length <= MOST_STATIONS &&
  stations.every(({ watch }) => watch.length <= 2) &&
  events.length <= MOST_EVENTS &&
  paths.every(({ stages = [] }) => stages.length <= 2);

export const scenario: Target = {
  name: 'scenario',
  seeds: () => jsonSeeds(GOOD),
  share: 2,
  maxBytes: 8192,
  limitMs: (bytes) => 4000 + bytes,
  limitMiB: 256,
  run(input) {
    const parsed = orRefused(() => parseScenario(hostileJson(input, GOOD)));
    if (!parsed || !isShort(parsed)) return;
    const happened = orRefused(() => createPlay(parsed, { createReceiver: () => DEAF }).advance(Infinity));
    hold(happened !== undefined, () => 'a scenario that was found good cannot be played');
  },
};
