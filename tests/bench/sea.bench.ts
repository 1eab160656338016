/**
 * Measures the virtual sea: how often an attempt that a coast station can hear is acknowledged within the times of
 * M.541, or the reason is told, over many seeded runs of one ship and one coast station with fading.
 *
 * Run with `npx tsx tests/bench/sea.bench.ts [--runs 2000] [--seed 1]`. Ends with status 1 if a run broke the rules.
 */
import { parseArgs } from 'node:util';
import type { Call } from '../../src/calls/index.js';
import { DISTRESS_FREQUENCIES, formatFrequency } from '../../src/frequencies/index.js';
import { playScenario, type SimulationEvent, type Scenario } from '../../src/simulation/index.js';

const SHIP = '299000111';
const COAST = '002990001';
const START = Date.UTC(2031, 4, 17, 12);
const FADING = ['mid-latitude-quiet', 'mid-latitude-moderate', 'mid-latitude-disturbed'] as const;
const KINDS = ['distress', 'testCall', 'positionRequest', 'routineCall', 'urgencyCall'] as const;

const { values } = parseArgs({
  options: { runs: { type: 'string', default: '2000' }, seed: { type: 'string', default: '1' } },
});
const runs = Number(values.runs);
const first = Number(values.seed);

type Kind = (typeof KINDS)[number];

function scenarioOf(run: number, kind: Kind, frequencyHz: number): Scenario {
  const isVhf = frequencyHz > 30_000_000;
  const talk = {
    telecommand1: isVhf ? 'f3e' : 'j3e',
    telecommand2: 'none',
    message: { receive: 'none', transmit: 'none' },
  } as const;
  const to = { station: COAST };
  const call = { kind, to, self: SHIP, ...(kind.endsWith('tineCall') || kind === 'urgencyCall' ? talk : {}) };
  return {
    title: 'One ship and one coast station',
    seed: run,
    start: new Date(START).toISOString(),
    durationSeconds: kind === 'distress' ? 240 : 90,
    own: SHIP,
    stations: [
      { identity: SHIP, name: 'Grey Petrel', watch: [frequencyHz], attempts: 1 },
      { identity: COAST, name: 'Halcyon Bank Radio', watch: [frequencyHz] },
    ],
    paths: [
      {
        from: SHIP,
        to: COAST,
        levelDb: -((run * 7) % 32),
        ...(isVhf ? {} : { fading: FADING[run % FADING.length] }),
      },
    ],
    events: [
      kind === 'distress'
        ? {
            at: 2,
            station: SHIP,
            do: 'distress',
            nature: 'fire',
            followOn: isVhf ? 'f3e' : 'j3e',
            frequencies: [frequencyHz],
          }
        : { at: 2, station: SHIP, do: 'call', call: call as Call, frequencyHz },
    ],
  };
}

const isSure = (event: SimulationEvent) => event.type === 'received' && event.received.quality !== 'doubtful';

/** What came of a run: `broken` where a heard attempt stayed without an acknowledgement in time and without a word. */
function outcomeOf(scenario: Scenario, kind: Kind): 'acknowledged' | 'notHeard' | 'told' | 'broken' {
  const happened = playScenario(scenario);
  const heard = happened.find((each) => each.station === COAST && isSure(each));
  if (!heard) return 'notHeard';
  const answer = happened.find((each) => each.station === COAST && each.type === 'sending');
  const told = happened.some(
    ({ station, type }) => station === COAST && (type === 'skipped' || type === 'lost'),
  );
  if (!answer) return told ? 'told' : 'broken';
  const wait = answer.time - heard.time;
  const isVhf = (scenario.stations[0].watch[0] ?? 0) > 30_000_000;
  const [from, until] = kind === 'distress' ? [isVhf ? 0 : 60_000, 165_000] : [4000, 270_000];
  return wait >= from && wait <= until ? 'acknowledged' : 'broken';
}

const counts = { acknowledged: 0, notHeard: 0, told: 0, broken: 0 };
for (let run = first; run < first + runs; run++) {
  const kind = KINDS[run % KINDS.length];
  const { dscHz } = DISTRESS_FREQUENCIES[Math.floor(run / KINDS.length) % DISTRESS_FREQUENCIES.length];
  const outcome = outcomeOf(scenarioOf(run, kind, dscHz), kind);
  counts[outcome]++;
  if (outcome === 'broken') {
    process.exitCode = 1;
    process.stdout.write(
      `run ${run}: ${kind} on ${formatFrequency(dscHz)} stayed without an acknowledgement in time\n`,
    );
  }
}
process.stdout.write(
  `${runs} runs: ${counts.acknowledged} acknowledged in time, ${counts.notHeard} not heard, ${counts.told} with the reason told, ${counts.broken} broken\n`,
);
