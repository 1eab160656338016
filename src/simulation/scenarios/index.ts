/**
 * The scenarios that come with the package. All vessels and coast stations in them are invented.
 */
import type { Scenario } from '../scenario.js';
import { falseAlert } from './falsealert.js';
import { medicalAdvice } from './medicaladvice.js';
import { areaUrgency } from './areaurgency.js';
import { coastRelay } from './coastrelay.js';
import { groupCall } from './groupcall.js';
import { medicalTransport } from './medicaltransport.js';
import { oneFrequency } from './onefrequency.js';
import { positionRequest } from './positionrequest.js';
import { routineCall } from './routinecall.js';
import { silentAttempt } from './silentattempt.js';
import { sixFrequencies } from './sixfrequencies.js';
import { secondAttempt } from './secondattempt.js';

/** The scenarios that come with the package, by name. */
export const SCENARIOS = {
  'second-attempt': secondAttempt,
  'false-alert': falseAlert,
  'medical-advice': medicalAdvice,
  'area-urgency': areaUrgency,
  'coast-relay': coastRelay,
  'group-call': groupCall,
  'medical-transport': medicalTransport,
  'one-frequency': oneFrequency,
  'position-request': positionRequest,
  'routine-call': routineCall,
  'silent-attempt': silentAttempt,
  'six-frequencies': sixFrequencies,
} as const satisfies Readonly<Record<string, Scenario>>;

/** Name of a scenario that comes with the package. */
export type ScenarioName = keyof typeof SCENARIOS;
