/**
 * The receiver: a stream of audio in, calls out as they end. The search finds where calls and attempts seem to begin;
 * each is looked at when enough of it has come, in the order of the stream.
 */
import { DotphaseError, requireNumber } from '../errors.js';
import { isFloat32Array } from '../dsp/index.js';
import type { Band } from '../symbols/index.js';
import { openAttempt, type AttemptCandidate } from './attemptcandidate.js';
import { BAND_PARAMETERS, WORKING_RATE, type BandParameters } from './bandparameters.js';
import { createBasebands } from './basebands.js';
import { openCandidate, type Candidate } from './candidate.js';
import { createCombiner } from './combine.js';
import { createLostCandidates } from './lostcandidates.js';
import { SAME_CALL_BITS, createReports, isThere } from './reports.js';
import { createDetector, type Found } from './search/detect.js';
import type { ReceivedCall, Receiver, ReceiverOptions } from './types.js';
import { createWorkingStream } from './workingstream.js';

/** Silence pushed at the end of a stream, so that the search and the filters give up what they hold. */
const FLUSH_SECONDS = 0.7;

/** Seconds of input taken at a time, so that memory does not grow with the caller's blocks. */
const STEP_SECONDS = 1;

function requireBands(bands: unknown): readonly Band[] {
  if (
    !Array.isArray(bands) ||
    bands.length === 0 ||
    !bands.every((band) => Object.hasOwn(BAND_PARAMETERS, band as string))
  ) {
    throw new DotphaseError('bands', bands, "a list of 'mf-hf' and 'vhf'");
  }
  return [...new Set(bands as Band[])];
}

function searchedCentres(parameters: BandParameters, options: ReceiverOptions): readonly [number, number] {
  if (options.centreHz === undefined) return parameters.centres;
  const centre = requireNumber('centreHz', options.centreHz, 200, 3000, 'Hz');
  const search = requireNumber('searchHz', options.searchHz ?? 50, 0, 2000, 'Hz');
  return [centre - search, centre + search];
}

/**
 * Creates a receiver for one stream of samples.
 *
 * @throws DotphaseError when an option is out of range
 */
export function createReceiver(options: ReceiverOptions): Receiver {
  const stream = createWorkingStream(options.sampleRate);
  const tell = options.onEvent ?? (() => undefined);
  const searches = requireBands(options.bands ?? Object.keys(BAND_PARAMETERS)).map((band) => {
    const parameters = BAND_PARAMETERS[band];
    return { parameters, search: createDetector(parameters, searchedCentres(parameters, options)) };
  });
  const basebands = createBasebands(stream);
  const combiner = createCombiner();
  const reports = createReports();
  const lostCandidates = createLostCandidates(tell);
  let candidates: Candidate[] = [];
  let attempts: AttemptCandidate[] = [];

  const about = ({ start, centreHz, inverted, parameters }: Candidate) => ({
    time: start,
    centreHz,
    inverted,
    baud: parameters.modulation.baud,
  });

  /** Moves a candidate on. True when it is over. */
  function move(candidate: Candidate, isLast: boolean, calls: ReceivedCall[]): boolean {
    if (!candidate.decided) {
      const call = candidate.look(isLast);
      if (call === 'wait') return false;
      if ('lost' in call) {
        lostCandidates.lose(candidate.extent(true), { type: 'lost', ...about(candidate), reason: call.lost });
        return true;
      }
      lostCandidates.decide(candidate.extent());
      reports.decide(call, candidate.strength);
      if (!isLast) return false;
    }
    const whole = candidate.decided && candidate.follow(candidate.decided, isLast);
    if (whole === 'wait') return false;
    if (whole) calls.push(reports.give(whole));
    return true;
  }

  /** Looks at an attempt: gives what is sure and was not given yet, in the place of what was doubtful. */
  function lookAtAttempt(attempt: AttemptCandidate, calls: ReceivedCall[]): void {
    const read = attempt.read();
    if (!read) return;
    const { call, members } = read;
    for (const { start, centreHz, inverted, baud } of reports.takeBack(members))
      tell({ type: 'replaced', time: start, centreHz, baud, inverted, by: call.start });
    // Nor is one given any more that is doubtful and still waits for what follows it.
    candidates = candidates.filter(
      ({ decided }) => decided?.quality !== 'doubtful' || !isThere(decided, call),
    );
    reports.decide(call, attempt.strength);
    calls.push(reports.give(call));
  }

  /** One signal and its splatter are found apart; the stronger is looked at first. */
  function hasStrongerSibling(candidate: Candidate): boolean {
    const { parameters, start, strength } = candidate;
    return candidates.some(
      (other) =>
        !other.decided &&
        other.parameters === parameters &&
        other.strength > strength &&
        Math.abs(other.start - start) * parameters.modulation.baud < SAME_CALL_BITS,
    );
  }

  /** Moves a candidate on and forgets it when it is over. */
  function step(candidate: Candidate, isLast: boolean, calls: ReceivedCall[]): void {
    if (move(candidate, isLast, calls)) candidates = candidates.filter((other) => other !== candidate);
  }

  const settle = (time: number) => {
    lostCandidates.settle(
      time,
      candidates.map((candidate) => candidate.extent()),
    );
  };

  /** Looks at each candidate when enough of it has come, in the order of the stream, up to working sample `until`. */
  function advance(until: number, calls: ReceivedCall[]): void {
    for (;;) {
      const next = candidates
        .map((candidate) => ({ candidate, needed: candidate.needed() }))
        .filter(({ candidate, needed }) => needed <= until && !hasStrongerSibling(candidate))
        .sort((a, b) => a.needed - b.needed || b.candidate.strength - a.candidate.strength)
        .at(0);
      const attempt = attempts
        .filter(({ needed }) => needed <= until)
        .sort((a, b) => a.needed - b.needed)
        .at(0);
      if (next && (!attempt || next.needed <= attempt.needed)) {
        basebands.heard = Math.max(basebands.heard, next.needed);
        step(next.candidate, false, calls);
      } else if (attempt) {
        basebands.heard = Math.max(basebands.heard, attempt.needed);
        attempts = attempts.filter((other) => other !== attempt);
        lookAtAttempt(attempt, calls);
      } else {
        break;
      }
    }
    basebands.heard = until;
    settle(until / WORKING_RATE);
  }

  /** Ends every candidate with what there is of it. */
  function finish(calls: ReceivedCall[]): void {
    while (candidates.length > 0) {
      for (const candidate of [...candidates].sort((a, b) => b.strength - a.strength))
        step(candidate, true, calls);
    }
    for (const attempt of attempts) lookAtAttempt(attempt, calls);
    attempts = [];
    settle(Infinity);
  }

  function begin(parameters: BandParameters, found: Found): void {
    if (found.attempt) {
      const attempt = openAttempt(parameters, found, found.attempt, basebands, reports);
      if (attempt) attempts.push(attempt);
      return;
    }
    const candidate = openCandidate(parameters, found, basebands, combiner, reports);
    tell({ type: 'signal', ...about(candidate) });
    if (!candidate.isPhased()) return;
    candidates.push(candidate);
    tell({ type: 'phasing', ...about(candidate) });
  }

  /** Takes input, at most one step of it. What it gives depends on the samples so far and not on how they were cut. */
  function take(samples: Float32Array, calls: ReceivedCall[]): void {
    const working = stream.push(samples);
    const heard = searches
      .flatMap(({ parameters, search }) => search.push(working).map((found) => ({ parameters, found })))
      .sort((a, b) => a.found.at - b.found.at);
    for (const { parameters, found } of heard) {
      advance(found.at, calls);
      begin(parameters, found);
    }
    advance(stream.length, calls);
  }

  const most = Math.floor(options.sampleRate * STEP_SECONDS);
  let isOver = false;

  return {
    push(samples) {
      if (isOver) throw new DotphaseError('push', 'a block', 'a new receiver, for this one was flushed');
      if (!isFloat32Array(samples)) {
        throw new DotphaseError('samples', samples, 'a Float32Array of samples, full scale ±1');
      }
      const calls: ReceivedCall[] = [];
      for (let at = 0; at < samples.length; at += most) take(samples.subarray(at, at + most), calls);
      return calls;
    },
    flush() {
      const calls: ReceivedCall[] = [];
      if (isOver) return calls;
      isOver = true;
      take(new Float32Array(Math.ceil(options.sampleRate * FLUSH_SECONDS)), calls);
      finish(calls);
      return calls;
    },
  };
}

/**
 * Receives every call in a recording.
 *
 * @param samples - full scale ±1
 * @throws DotphaseError when an option is out of range
 */
export function receiveCalls(samples: Float32Array, options: ReceiverOptions): ReceivedCall[] {
  const receiver = createReceiver(options);
  return [...receiver.push(samples), ...receiver.flush()];
}
