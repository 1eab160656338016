/**
 * How far a measured sending is believed: the decision on it, and how sure the call is.
 */
import type { CharacterReading } from '../frames/index.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { Observation, Sighting } from './attempt.js';
import { informationCharacters } from './constraints.js';
import { decide, type CharacterEvidence, type Decision } from './decide.js';
import type { Quality, ReceivedCall } from './types.js';

/** An error probability below this is `recovered`, or `clean` where every character also reads by itself. */
const SURE = 1e-4;

/** An error is this much likelier (odds) than the model of the decision has it: measured by `npm run bench -- calibration`. */
const MODEL_ODDS = 2;

/** What a decision's error probability must be below for the call to be sure. */
export const SURE_DECISION = SURE / MODEL_ODDS;

/** No call is surer than this: what the model leaves out (another signal in the same place, a fault) stays possible. */
const LEAST_ERROR_PROBABILITY = 1e-9;

/** How much likelier (ln) than random bits the characters of a call must be, whatever its quality. */
const LEAST_EVIDENCE = 14;
/** How much likelier (ln) the characters and the phasing must be together. */
const LEAST_TOTAL_EVIDENCE = 40;

/**
 * How much likelier (ln) than random bits what has come of a call must be to go on. By their bits alone, weak calls
 * (−14 dB) mostly have 10 and more, noise and carriers mostly less than 4; waiting for every length there may be would
 * cost much time.
 */
const LEAST_EVIDENCE_SO_FAR = 4;

/** Why what is less likely than that is lost. */
export const UNLIKELY = 'its characters fit no call better than noise does';

/** Whether a decided symbol contradicts a character that both sendings read alike. */
function isContradicted(characters: readonly CharacterReading[], symbols: readonly number[]): boolean {
  return [symbols[0], ...symbols].some((symbol, i) => {
    const reading = characters.at(i);
    return reading?.dx !== undefined && reading.dx === reading.rx && reading.dx !== symbol;
  });
}

/** Whether even the likeliest symbol of every character together explains the audio no better than chance. */
function isHopeless({ values, count }: CharacterEvidence): boolean {
  let sum = 0;
  for (let character = 0; character < count; character++) {
    let best = -Infinity;
    for (let i = character * SYMBOL_COUNT; i < (character + 1) * SYMBOL_COUNT; i++)
      best = Math.max(best, values[i]);
    sum += best;
  }
  return sum < LEAST_EVIDENCE;
}

/** The decision by the bits alone where that is sure, otherwise by the phase through them; none where both are vain. */
export function decideSighting(
  sighting: Sighting,
  mayWait: boolean,
): { observation: Observation; decision?: Decision } | undefined {
  const decided = (observation: Observation) => {
    const { evidence, reading } = observation;
    const decision = decide(evidence, reading.checked ? reading.symbols : undefined);
    return { observation, ...(decision && { decision }) };
  };
  const isUnlikely = ({ decision }: { decision?: Decision }) =>
    decision !== undefined && decision.evidenceSoFar < LEAST_EVIDENCE_SO_FAR;
  const bits = sighting.alone();
  if (isHopeless(bits.evidence)) return undefined;
  const quick = decided(bits);
  if (isUnlikely(quick)) return undefined;
  const isSure = quick.decision && quick.decision.errorProbability < SURE_DECISION;
  const isFarFromOver = mayWait && (!quick.decision || quick.decision.unfinished > 1 - SURE_DECISION);
  if (isSure || isFarFromOver) return quick;
  const whole = decided(sighting.together());
  return isUnlikely(whole) ? undefined : whole;
}

/** Why a decision is not believed, if so. */
export function disbelief(
  { phasingEvidence }: Sighting,
  { reading }: Observation,
  { evidence }: Decision,
): string | undefined {
  // Chance passes the ten-unit code in every character and the error check too rarely to matter.
  if (reading.checked) return undefined;
  if (evidence < LEAST_EVIDENCE) return UNLIKELY;
  return evidence + phasingEvidence < LEAST_TOTAL_EVIDENCE ? 'too weak to be told from noise' : undefined;
}

/** How sure the call that was decided is. */
export function rate(
  { reading, characters: read }: Observation,
  { symbols, errorProbability: modelled }: Decision,
  sendings: number,
): Pick<ReceivedCall, 'quality' | 'errorProbability' | 'sendings' | 'characters'> {
  const characters = read.slice(0, informationCharacters(symbols));
  const isAlone = sendings === 1;
  const isDoubted = isAlone && isContradicted(characters, symbols);
  const floor = isDoubted ? 0.5 : LEAST_ERROR_PROBABILITY;
  const errorProbability = Math.max(floor, (MODEL_ODDS * modelled) / (1 + (MODEL_ODDS - 1) * modelled));
  const isRead = isAlone && reading.checked && reading.symbols?.join() === symbols.join();
  const quality: Quality = errorProbability >= SURE ? 'doubtful' : isRead ? 'clean' : 'recovered';
  return { quality, errorProbability, sendings, characters };
}
