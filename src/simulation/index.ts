/**
 * Simulation: stations with procedures and operators, whose calls travel as audio over radio paths, and scenarios to
 * play.
 *
 * @example
 * ```ts
 * import { SCENARIOS, playScenario } from 'dotphase/simulation';
 *
 * const events = playScenario(SCENARIOS['second-attempt']);
 * console.log(events.length > 0); // true
 * ```
 *
 * @packageDocumentation
 */
export {
  createAnsweringStation,
  type AnsweringEvent,
  type AnsweringOptions,
  type AnsweringStation,
} from './answering.js';
export {
  createMedium,
  type Medium,
  type MediumOptions,
  type MediumReport,
  type MediumTransmission,
  type ListenerOptions,
} from './medium.js';
export { stationLogger, type StationLogger } from './logging.js';
export { pathByDistance, type PathConditions } from './path.js';
export {
  createPlay,
  playScenario,
  playScenarioLive,
  type SimulationEvent,
  type LiveOptions,
  type PlayOptions,
  type ScenarioPlay,
} from './play.js';
export {
  ABILITIES,
  BEHAVIOURS,
  parseScenario,
  scenarioJsonSchema,
  type Ability,
  type Behaviour,
  type Scenario,
  type ScenarioEvent,
  type ScenarioPath,
  type ScenarioStation,
} from './scenario.js';
export { SCENARIOS, type ScenarioName } from './scenarios/index.js';
