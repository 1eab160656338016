/**
 * How far a measured sending is believed: the decision on it, and how sure the call is.
 */
import type { CharacterReading } from '../frames/index.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import type { Observation, Burst } from './demodulate.js';
import { informationLength } from './constraints.js';
import { decideSoFar, type Decision, type DecisionSoFar } from './decode.js';
import type { CharacterLogLikelihoods } from './loglikelihoods.js';
import { presence } from './presence.js';
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

/** A character that contradicts what both its sendings read alike is no surer than this. */
const CONTRADICTED_CERTAINTY = 0.5;

/** Bits of a character without which nothing of it was received: it holds seven bits of information. */
const LEAST_BITS = 7;

/**
 * How much likelier (ln) than random bits its three sendings in DX and one in RX must make the end of sequence.
 * Otherwise the call broke off or faded away before it: the tables would put it there all the same, and the error
 * check with it.
 */
const LEAST_END_EVIDENCE = 1;

/** An error probability of the model as it is seen. */
function seen(modelled: number): number {
  return (MODEL_ODDS * modelled) / (1 + (MODEL_ODDS - 1) * modelled);
}

/** The information characters of a call in which each of its symbols is sent; the format specifier is sent twice. */
function charactersOf(symbol: number): readonly number[] {
  return symbol === 0 ? [0, 1] : [symbol + 1];
}

/** Whether a decided symbol contradicts a character that both sendings read alike. */
function isContradicted(reading: CharacterReading | undefined, symbol: number): boolean {
  return reading?.dx !== undefined && reading.dx === reading.rx && reading.dx !== symbol;
}

/** Whether the end of sequence of a call is told from noise. */
function hasEnd({ values, first }: CharacterLogLikelihoods, symbols: readonly number[]): boolean {
  const eos = symbols[symbols.length - 2];
  const at = (character: number) => character * SYMBOL_COUNT + eos;
  const behind = symbols.length + 1;
  return values[at(symbols.length - 1)] + first[at(behind)] + first[at(behind + 1)] > LEAST_END_EVIDENCE;
}

/**
 * How sure each of the symbols is: 0 where nothing of it was received, whatever the tables make of it.
 *
 * @param isSure - whether the call is: then all of it was on the air
 */
function certaintyOf(
  logLikelihoods: CharacterLogLikelihoods,
  decision: Decision,
  isSure: boolean,
  mostOf: (symbol: number) => number,
): number[] {
  const { symbols } = decision;
  const isEnded = hasEnd(logLikelihoods, symbols);
  const present = isSure ? undefined : presence(logLikelihoods, symbols, charactersOf);
  return decision.certainty().map((modelled, i) => {
    const received = charactersOf(i).reduce((sum, character) => sum + logLikelihoods.received[character], 0);
    if (received < LEAST_BITS || (i >= symbols.length - 2 && !isEnded)) return 0;
    return Math.min(mostOf(i), (present?.[i] ?? 1) * (1 - seen(1 - modelled)));
  });
}

/** Whether even the likeliest symbol of every character together explains the audio no better than chance. */
function isNoise({ values, count }: CharacterLogLikelihoods): boolean {
  let sum = 0;
  for (let character = 0; character < count; character++) {
    let best = -Infinity;
    for (let i = character * SYMBOL_COUNT; i < (character + 1) * SYMBOL_COUNT; i++)
      best = Math.max(best, values[i]);
    sum += best;
  }
  return sum < LEAST_EVIDENCE;
}

/** A decision, and by what. */
export type BurstDecision = { readonly observation: Observation } & DecisionSoFar;

/** The decision by the bits alone where that is sure, otherwise by the phase through them; none where both are vain. */
export function decideBurst(burst: Burst, mayWait: boolean): BurstDecision | undefined {
  const decided = (observation: Observation) => {
    const { logLikelihoods, reading } = observation;
    return { observation, ...decideSoFar(logLikelihoods, reading.checked ? reading.symbols : undefined) };
  };
  const isUnlikely = ({ decision }: { decision?: Decision }) =>
    decision !== undefined && decision.logEvidenceSoFar < LEAST_EVIDENCE_SO_FAR;
  const bits = burst.noncoherent();
  if (isNoise(bits.logLikelihoods)) return undefined;
  const quick = decided(bits);
  if (isUnlikely(quick)) return undefined;
  const isSure = quick.decision && quick.decision.errorProbability < SURE_DECISION;
  const isFarFromOver = mayWait && (!quick.decision || quick.decision.unfinished > 1 - SURE_DECISION);
  if (isSure || isFarFromOver) return quick;
  const whole = decided(burst.phaseTrellis());
  return isUnlikely(whole) ? undefined : whole;
}

/** Why a decision is not believed, if so. */
export function rejectionReason(
  { phasingEvidence }: Burst,
  { reading }: Observation,
  { logEvidence }: Decision,
): string | undefined {
  // Chance passes the ten-unit code in every character and the error check too rarely to matter.
  if (reading.checked) return undefined;
  if (logEvidence < LEAST_EVIDENCE) return UNLIKELY;
  return logEvidence + phasingEvidence < LEAST_TOTAL_EVIDENCE ? 'too weak to be told from noise' : undefined;
}

/** How sure the call that was decided is, and each of its characters. */
export function rate(
  burst: Burst,
  { reading, characters: read }: Observation,
  logLikelihoods: CharacterLogLikelihoods,
  decision: Decision,
  sendings: number,
): Pick<ReceivedCall, 'quality' | 'certainty' | 'errorProbability' | 'sendings' | 'characters'> {
  const { symbols, errorProbability: modelled } = decision;
  const characters = read.slice(0, informationLength(symbols));
  const isAlone = sendings === 1;
  const isSure = seen(modelled) < SURE;
  // Where the call may have begun elsewhere, every character may stand in another's place.
  const most = Math.min(1 - LEAST_ERROR_PROBABILITY, isSure ? 1 : burst.placement());
  const certainty = certaintyOf(logLikelihoods, decision, isSure, (i) => {
    const isDoubted = charactersOf(i).some((character) =>
      isContradicted(characters.at(character), symbols[i]),
    );
    return isDoubted ? Math.min(most, CONTRADICTED_CERTAINTY) : most;
  });
  const errorProbability = Math.max(seen(modelled), 1 - Math.min(...certainty));
  const isRead = isAlone && reading.checked && reading.symbols?.join() === symbols.join();
  const quality: Quality = errorProbability >= SURE ? 'doubtful' : isRead ? 'clean' : 'recovered';
  return { quality, certainty, errorProbability, sendings, characters };
}
