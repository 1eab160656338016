/**
 * The scenarios that come with the package. All vessels and coast stations in them are invented.
 */
import type { Scenario } from '../scenario.js';
import { falseAlert } from './falsealert.js';
import { medicalAdvice } from './medicaladvice.js';
import { secondAttempt } from './secondattempt.js';

/** The scenarios that come with the package, by name. */
export const SCENARIOS = {
  'second-attempt': secondAttempt,
  'false-alert': falseAlert,
  'medical-advice': medicalAdvice,
} as const satisfies Readonly<Record<string, Scenario>>;

/** Name of a scenario that comes with the package. */
export type ScenarioName = keyof typeof SCENARIOS;
