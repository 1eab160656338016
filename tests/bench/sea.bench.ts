/**
 * Measures the virtual sea: how often an attempt that a coast station can hear is acknowledged within the times of
 * M.541, or the reason is told, over many seeded runs with fading: one ship and one coast station with every kind of
 * call that asks for an acknowledgement, on every frequency for it, and every scenario of the package.
 *
 * Run with `npx tsx tests/bench/sea.bench.ts [--runs 2000] [--seed 1]`. Ends with status 1 if a run broke the rules.
 */
import { parseArgs } from 'node:util';
import type { Call } from '../../src/calls/index.js';
import { DISTRESS_FREQUENCIES, DSC_FREQUENCIES, formatFrequency } from '../../src/frequencies/index.js';
import { SCENARIOS, playScenario, type Scenario, type SimulationEvent } from '../../src/simulation/index.js';

const SHIP = '299000111';
const COAST = '002990001';
const START = Date.UTC(2031, 4, 17, 12);
const FADING = ['mid-latitude-quiet', 'mid-latitude-moderate', 'mid-latitude-disturbed'] as const;
const VHF_70 = 156_525_000;

const { values } = parseArgs({
  options: { runs: { type: 'string', default: '2000' }, seed: { type: 'string', default: '1' } },
});
const runs = Number(values.runs);
const first = Number(values.seed);

const distressHz = DISTRESS_FREQUENCIES.map(({ dscHz }) => dscHz);
const routinePairs = DSC_FREQUENCIES.filter(
  ({ uses, band }) => uses.includes('shipToCoast') && band !== 'VHF',
);
const REQUESTS = ['testCall', 'positionRequest', 'pollingRequest', 'urgencyCall', 'safetyCall'] as const;

interface Script {
  readonly name: string;
  readonly scenario: (run: number) => Scenario;
}

function pair(run: number, watch: readonly number[], event: Scenario['events'][number]): Scenario {
  return {
    title: 'One ship and one coast station',
    seed: run,
    start: new Date(START).toISOString(),
    durationSeconds: event.do === 'distress' ? 240 : 90,
    own: SHIP,
    stations: [
      { identity: SHIP, name: 'Grey Petrel', watch, attempts: 1 },
      { identity: COAST, name: 'Halcyon Bank Radio', watch },
    ],
    paths: watch.map((hz) => ({
      from: SHIP,
      to: COAST,
      frequencies: [hz],
      levelDb: -((run * 7) % 32),
      ...(hz !== VHF_70 && { fading: FADING[run % FADING.length] }),
    })),
    events: [event],
  };
}

function distressScript(name: string, frequencies: readonly number[]): Script {
  const followOn = frequencies.every((hz) => hz === VHF_70) ? 'f3e' : 'j3e';
  const event = { at: 2, station: SHIP, do: 'distress', nature: 'fire', followOn, frequencies } as const;
  return { name, scenario: (run) => pair(run, frequencies, event) };
}

function callScript(kind: Call['kind'], frequencyHz: number, answersHz = frequencyHz): Script {
  const talks = kind === 'routineCall' || kind === 'urgencyCall' || kind === 'safetyCall';
  const call = {
    kind,
    to: { station: COAST },
    self: SHIP,
    ...(talks && {
      telecommand1: frequencyHz === VHF_70 ? 'f3e' : 'j3e',
      telecommand2: 'none',
      message: { receive: 'none', transmit: 'none' },
    }),
  } as Call;
  const event = { at: 2, station: SHIP, do: 'call', call, frequencyHz } as const;
  return {
    name: `${kind} on ${formatFrequency(frequencyHz)}`,
    scenario: (run) => pair(run, [...new Set([frequencyHz, answersHz])], event),
  };
}

/** A scenario of the package from another seed, its paths fading. */
function packaged([name, scenario]: [string, Scenario]): Script {
  return {
    name,
    scenario: (run) => ({
      ...scenario,
      seed: run,
      paths: (scenario.paths ?? []).map((path) => ({ ...path, fading: FADING[run % FADING.length] })),
    }),
  };
}

const SCRIPTS: readonly Script[] = [
  ...distressHz.map((hz) => distressScript(`distress on ${formatFrequency(hz)}`, [hz])),
  distressScript('distress on six frequencies and VHF', distressHz),
  ...REQUESTS.flatMap((kind) => distressHz.map((hz) => callScript(kind, hz))),
  callScript('routineCall', VHF_70),
  ...routinePairs.map(({ hz, pairHz }) => callScript('routineCall', hz, pairHz)),
  ...Object.entries(SCENARIOS).map(packaged),
];

type Received = Extract<SimulationEvent, { type: 'received' }>;
type Outcome = 'acknowledged' | 'notHeard' | 'told' | 'broken';

/** When after a call a coast station acknowledges it, milliseconds (M.541); undefined where it need not. */
function limitsOf({ frequencyHz, received }: Received, coast: string): [number, number] | undefined {
  const { call, quality } = received;
  if (quality === 'doubtful') return undefined;
  if (call.kind === 'distressAlert') return [frequencyHz === VHF_70 ? 0 : 60_000, 165_000];
  const to = 'to' in call ? (call.to as { station?: string }).station : undefined;
  const asks = [...REQUESTS, 'routineCall'].includes(call.kind);
  return asks && to === coast ? [4000, 270_000] : undefined;
}

/** Whether a coast station said why it does not acknowledge. */
function isReason(event: SimulationEvent): boolean {
  if (event.type === 'skipped' || event.type === 'lost') return true;
  if (event.type !== 'action' || event.action.type !== 'tell') return false;
  return ['acknowledgementWithdrawn', 'relayWithdrawn'].includes(event.action.notice.type);
}

/** What came of the first call that a coast station heard and had to acknowledge. */
function outcomeAt(coast: string, happened: readonly SimulationEvent[]): Outcome {
  const own = happened.filter(({ station }) => station === coast);
  const heard = own.find(
    (event): event is Received => event.type === 'received' && limitsOf(event, coast) !== undefined,
  );
  const limits = heard && limitsOf(heard, coast);
  if (!limits) return 'notHeard';
  const after = own.filter(({ time }) => time >= heard.time);
  const answer = after.find(({ type }) => type === 'sending');
  if (!answer) return after.some(isReason) ? 'told' : 'broken';
  const wait = answer.time - heard.time;
  return wait >= limits[0] && wait <= limits[1] ? 'acknowledged' : 'broken';
}

const ORDER = ['broken', 'told', 'acknowledged'] as const;

/** The worst outcome at any coast station whose operator answers. */
function outcomeOf(scenario: Scenario): Outcome {
  const happened = playScenario(scenario);
  const outcomes = scenario.stations
    .filter(({ identity, behaviour = 'answers' }) => identity.startsWith('00') && behaviour === 'answers')
    .map(({ identity }) => outcomeAt(identity, happened));
  return ORDER.find((outcome) => outcomes.includes(outcome)) ?? 'notHeard';
}

const counts: Record<Outcome, number> = { acknowledged: 0, notHeard: 0, told: 0, broken: 0 };
for (let run = first; run < first + runs; run++) {
  const { name, scenario } = SCRIPTS[run % SCRIPTS.length];
  const outcome = outcomeOf(scenario(run));
  counts[outcome]++;
  if (outcome === 'broken') {
    process.exitCode = 1;
    process.stdout.write(`run ${run}: ${name} stayed without an acknowledgement in time\n`);
  }
}
process.stdout.write(
  `${runs} runs of ${SCRIPTS.length} scripts: ${counts.acknowledged} acknowledged in time, ${counts.notHeard} not heard, ${counts.told} with the reason told, ${counts.broken} broken\n`,
);
