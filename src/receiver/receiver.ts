/**
 * The receiver: a stream of audio in, calls out as they end.
 */
import { decodeCall } from '../calls/index.js';
import { PHASING_DX_COUNT } from '../frames/index.js';
import { PAIR_BITS, PHASING_BITS } from './phasingsequence.js';
import { DotphaseError, requireNumber } from '../errors.js';
import type { Band } from '../symbols/index.js';
import { createBaseband, isFloat32Array, type Baseband } from '../dsp/index.js';
import { sequenceBits, measure, type Burst } from './demodulate.js';
import { CHARACTERS_AROUND, informationLength, layoutLengths } from './constraints.js';
import type { Decision } from './decode.js';
import { expansionBegins, readTrailingExpansions } from './trailingexpansions.js';
import { createLostCandidates, type Extent } from './lostcandidates.js';
import { createAttemptNumbering } from './sendings.js';
import { SURE_DECISION, UNLIKELY, decideBurst, rejectionReason, rate } from './confidence.js';
import { createCombiner, type ObservedBurst } from './combine.js';
import { readAttempt, type AttemptReading } from './attempt.js';
import { isSending, lockSending } from './attemptlock.js';
import { BAND_PARAMETERS, WORKING_RATE, type BandParameters, type Repetition } from './bandparameters.js';
import { MOST_SENDINGS } from './search/repetitions.js';
import { sentSigns } from './snr.js';
import { createDetector, type Found, type Search } from './search/detect.js';
import { createWorkingStream } from './workingstream.js';
import { lockCentre, lockPhasing, phasingStrength, type Lock } from './synchronise.js';
import type { ReceivedCall, Receiver, ReceiverOptions } from './types.js';

/** A call goes on to the next length while that explains more than this share of the doubt. */
const UNFINISHED_SHARE = 0.1;

/** Matches whose phasing begins within this many bits of each other may be one signal and its splatter. */
const SIBLING_BITS = 10;

/** A signal this many times stronger in amplitude splatters its own call elsewhere. */
const SPLATTER = 3;

/** Information characters that have been received when the phasing ends. */
const PHASING_CHARACTERS = 2;

/** Bits waited behind a call to see whether an expansion begins: three slots. */
const EXPANSION_BITS = 30;

/** Bits of audio taken before and after a sequence for the filters. */
const MARGIN_BITS = 2;

/** Silence pushed at the end of a stream, so that the search and the filters give up what they hold. */
const FLUSH_SECONDS = 0.7;

/** Seconds of input taken at a time, so that memory does not grow with the caller's blocks. */
const STEP_SECONDS = 1;

const REPORTS_KEPT = 12;

const GIVEN_KEPT = 32;

/** How much likelier (ln) than random bits an attempt must be, for all that was searched for it. */
const LEAST_ATTEMPT_EVIDENCE = 60;

/** A received call before it is known which attempt it belongs to. */
type Reading = Omit<ReceivedCall, 'attempt'>;

/** A call that is being received. */
interface Candidate {
  readonly parameters: BandParameters;
  /** Working sample at which the baseband that `lock` refers to begins. */
  readonly origin: number;
  readonly lock: Lock;
  readonly strength: number;
  /** Which of the possible lengths is looked at next. */
  length: number;
  /** The call, where it was decided already and only expansions may follow. */
  decided: Reading | undefined;
  /** Characters looked at next behind a decided call. */
  following: number;
}

/** Sendings that repeat, looked at together when the latest of them has ended. */
interface AttemptCandidate {
  readonly parameters: BandParameters;
  readonly found: Found;
  readonly repetition: Repetition;
  /** How many sendings before the latest the one lies that is locked. */
  readonly strongest: number;
  /** Of that one, `start` in working samples of the stream. */
  readonly anchored: Lock;
  /** Of that one, in units of amplitude. */
  readonly strength: number;
}

/** A match of the search and the listener that found it. */
interface Heard {
  readonly parameters: BandParameters;
  readonly found: Found;
}

interface Listener {
  readonly parameters: BandParameters;
  readonly search: Search;
  readonly toBaseband: (audio: Float32Array, centreHz: number) => Baseband;
}

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
  const listeners = new Map(
    requireBands(options.bands ?? Object.keys(BAND_PARAMETERS)).map((band): [BandParameters, Listener] => {
      const parameters = BAND_PARAMETERS[band];
      const search = createDetector(parameters, searchedCentres(parameters, options));
      return [
        parameters,
        { parameters, search, toBaseband: createBaseband({ sampleRate: WORKING_RATE, ...parameters }) },
      ];
    }),
  );
  const lengths = layoutLengths().map((length) => length + CHARACTERS_AROUND);
  const memory = createCombiner();
  const lostCandidates = createLostCandidates(tell);
  const attemptOf = createAttemptNumbering();
  let candidates: Candidate[] = [];
  let attempts: AttemptCandidate[] = [];
  /** Working samples looked at so far: what comes behind them is not heard yet, however long the blocks are. */
  let now = 0;
  let reported: { call: Reading; strength: number }[] = [];
  /** The calls given last. */
  let given: Reading[] = [];

  /** The baseband of so many bits from a working sample on, with a margin, and the sample at which it begins. */
  function basebandOf(
    parameters: BandParameters,
    start: number,
    bits: number,
    centreHz: number,
  ): [Baseband, number] {
    const margin = MARGIN_BITS * parameters.bitSamples;
    const origin = Math.floor((start - margin) / parameters.decimation) * parameters.decimation;
    const audio = stream.slice(origin, Math.ceil(start + bits * parameters.bitSamples + margin));
    audio.fill(0, Math.max(0, now - origin));
    const listener = listeners.get(parameters);
    if (!listener) throw new Error('every candidate comes from a listener');
    return [listener.toBaseband(audio, centreHz), origin];
  }

  function open(parameters: BandParameters, found: Found): Candidate {
    const [baseband, origin] = basebandOf(
      parameters,
      found.start,
      sequenceBits(PHASING_CHARACTERS),
      found.centreHz,
    );
    const samplesPerBit = baseband.rate / parameters.modulation.baud;
    const timing = { start: (found.start - origin) / parameters.decimation, samplesPerBit };
    const rough: Lock = { centreHz: found.centreHz, inverted: found.inverted, timing };
    const { lock, strength } = lockPhasing(baseband, parameters, rough, WORKING_RATE / parameters.period);
    return {
      parameters,
      origin,
      lock: lockCentre(baseband, parameters, lock),
      strength,
      length: 0,
      decided: undefined,
      following: 0,
    };
  }

  /** Working samples from the beginning of the stream to a bit. */
  function sampleOf(candidate: Candidate, lock: Lock, bit: number): number {
    return (
      candidate.origin +
      (lock.timing.start + bit * lock.timing.samplesPerBit) * candidate.parameters.decimation
    );
  }

  const timeOf = (candidate: Candidate, lock: Lock, bit: number) =>
    sampleOf(candidate, lock, bit) / WORKING_RATE;

  function about(candidate: Candidate) {
    const { centreHz, inverted } = candidate.lock;
    return {
      time: timeOf(candidate, candidate.lock, 0),
      centreHz,
      inverted,
      baud: candidate.parameters.modulation.baud,
    };
  }

  /** Where a candidate lies: a call that was decided, or one that may still become a call. */
  function extentOf(candidate: Candidate, end = candidate.decided?.end ?? Infinity): Extent {
    const { centreHz, timing } = candidate.lock;
    const amplitude = candidate.strength / Math.sqrt(timing.samplesPerBit);
    return {
      parameters: candidate.parameters,
      centreHz,
      amplitude,
      start: timeOf(candidate, candidate.lock, 0),
      end,
    };
  }

  /** Working samples a candidate needs before it is looked at again. */
  function needed(candidate: Candidate): number {
    const bits = candidate.decided
      ? sequenceBits(candidate.following) + EXPANSION_BITS
      : sequenceBits(lengths[candidate.length]);
    return Math.ceil(sampleOf(candidate, candidate.lock, bits + MARGIN_BITS));
  }

  /** Working samples an attempt needs: by then its latest sending has been read by itself, if it can be. */
  function neededBy({ parameters, found, repetition }: AttemptCandidate): number {
    const bits = repetition.bits - repetition.dots + EXPANSION_BITS + 2 * MARGIN_BITS;
    return Math.ceil(found.start + bits * parameters.bitSamples);
  }

  function measureCandidate(candidate: Candidate, characters: number): Burst {
    const start = sampleOf(candidate, candidate.lock, 0);
    const [baseband, origin] = basebandOf(
      candidate.parameters,
      start,
      sequenceBits(characters),
      candidate.lock.centreHz,
    );
    const shift = (candidate.origin - origin) / candidate.parameters.decimation;
    const moved = (lock: Lock, by: number): Lock => ({
      ...lock,
      timing: { ...lock.timing, start: lock.timing.start + by },
    });
    const burst = measure(baseband, candidate.parameters, moved(candidate.lock, shift), characters);
    return { ...burst, lock: moved(burst.lock, -shift) };
  }

  /** @param time - seconds of the stream to a bit of the burst, counted from its phasing */
  function describe(
    parameters: BandParameters,
    burst: Burst,
    time: (bit: number) => number,
    { symbols }: Decision,
    rating: ReturnType<typeof rate>,
  ): Reading {
    const { lock } = burst;
    const call = decodeCall(symbols, { certainty: rating.certainty });
    return {
      start: time(0),
      end: time(sequenceBits(informationLength(symbols))),
      baud: parameters.modulation.baud,
      centreHz: lock.centreHz,
      inverted: lock.inverted,
      symbols,
      expansions: [],
      moreFollowed: false,
      call,
      snrDb: burst.snrDb(sentSigns(symbols, rating.certainty)),
      ...rating,
    };
  }

  /** Whether the same characters were just reported at the same time from a stronger signal. */
  function isSplatter(call: Reading, strength: number): boolean {
    return reported.some(
      (other) =>
        other.strength > SPLATTER * strength &&
        other.call.baud === call.baud &&
        Math.abs(other.call.start - call.start) * call.baud < 1 &&
        other.call.symbols.join() === call.symbols.join(),
    );
  }

  /** Looks at a candidate's next possible length: the call, `'wait'`, or why there is none. */
  function attempt(candidate: Candidate, isLast: boolean): Reading | 'wait' | { lost: string } {
    const characters = lengths[isLast ? lengths.length - 1 : candidate.length];
    candidate.length++;
    const mayWait = !isLast && candidate.length < lengths.length;
    const burst = measureCandidate(candidate, characters);
    const decided = decideBurst(burst, mayWait);
    if (!decided) return { lost: UNLIKELY };
    const { logLikelihoods } = decided.observation;
    const single = decided.decision;
    const isUnsure = !single || single.errorProbability >= SURE_DECISION;
    if (mayWait && isUnsure && (!single || single.unfinished > UNFINISHED_SHARE * single.errorProbability)) {
      const next = lengths.findIndex((length) => length >= decided.nextLength);
      candidate.length = Math.max(candidate.length, next);
      return 'wait';
    }
    if (!single) return { lost: 'it did not end' };
    const { lock } = burst;
    const time = timeOf(candidate, lock, 0);
    const observed: ObservedBurst = {
      parameters: candidate.parameters,
      lock,
      time,
      logLikelihoods,
      logEvidence: single.logEvidence,
    };
    const combined = isUnsure ? memory.decideCombined(observed, SURE_DECISION) : undefined;
    memory.remember(observed);
    const decision = combined?.decision ?? single;
    const doubt = rejectionReason(burst, decided.observation, decision);
    if (doubt !== undefined) return { lost: doubt };
    const call = describe(
      candidate.parameters,
      burst,
      (bit) => timeOf(candidate, lock, bit),
      decision,
      rate(
        burst,
        decided.observation,
        combined?.logLikelihoods ?? logLikelihoods,
        decision,
        combined?.sendings ?? 1,
      ),
    );
    return isSplatter(call, candidate.strength) ? { lost: 'it is the splatter of a stronger signal' } : call;
  }

  /** Looks at what follows a decided call: the whole call, or `'wait'` where more may come. */
  function follow(candidate: Candidate, call: Reading, isLast: boolean): Reading | 'wait' {
    const behind = call.symbols.length + 1;
    const burst = measureCandidate(candidate, candidate.following + CHARACTERS_AROUND / 2);
    const { logLikelihoods } = burst.noncoherent();
    const eos = call.symbols[call.symbols.length - 2];
    if (!expansionBegins(logLikelihoods, behind, eos)) return call;
    const { expansions, length, isOver, moreFollowed } = readTrailingExpansions(logLikelihoods, behind);
    if (!isOver && !isLast) {
      candidate.following++;
      return 'wait';
    }
    if (expansions.length === 0 && !moreFollowed) return call;
    const whole = decodeCall(call.symbols, { certainty: call.certainty, expansions });
    const end = timeOf(candidate, burst.lock, sequenceBits(behind + length));
    return { ...call, end, expansions, moreFollowed, call: whole };
  }

  /** Moves a candidate on. True when it is over. */
  function move(candidate: Candidate, isLast: boolean, calls: ReceivedCall[]): boolean {
    if (!candidate.decided) {
      const call = attempt(candidate, isLast);
      if (call === 'wait') return false;
      if ('lost' in call) {
        const end = timeOf(candidate, candidate.lock, sequenceBits(PHASING_CHARACTERS));
        lostCandidates.lose(extentOf(candidate, end), {
          type: 'lost',
          ...about(candidate),
          reason: call.lost,
        });
        return true;
      }
      candidate.decided = call;
      lostCandidates.decide(extentOf(candidate));
      candidate.following = informationLength(call.symbols);
      report(call, candidate.strength);
      if (!isLast) return false;
    }
    const whole = follow(candidate, candidate.decided, isLast);
    if (whole === 'wait') return false;
    give(whole, calls);
    return true;
  }

  /** What an attempt says whose latest sending has ended, at working sample `origin` of its baseband. */
  function readRepeated({
    parameters,
    found,
    repetition,
    strongest,
    anchored,
  }: AttemptCandidate): { reading: AttemptReading; origin: number } | undefined {
    const period = repetition.bits * parameters.bitSamples;
    const length = repetition.bits - repetition.dots;
    // A sending of which less than half was received does not help.
    const before = Math.floor((found.start + (length / 2) * parameters.bitSamples) / period);
    const count = Math.min(MOST_SENDINGS, before + 1);
    const anchor = count - 1 - strongest;
    if (count < 2 || anchor < 0) return undefined;
    const { dots } = repetition;
    const oldest = found.start - (count - 1) * period - dots * parameters.bitSamples;
    const bits = (count - 1) * repetition.bits + dots + length + MARGIN_BITS;
    const [baseband, origin] = basebandOf(parameters, oldest, bits, anchored.centreHz);
    const { start, samplesPerBit } = anchored.timing;
    const timing = { start: (start - origin) / parameters.decimation, samplesPerBit };
    const characters = length / PAIR_BITS - PHASING_DX_COUNT;
    const reading = readAttempt({
      baseband,
      parameters,
      anchored: { ...anchored, timing },
      anchor,
      repetition,
      count,
      characters,
    });
    return reading && { reading, origin };
  }

  /** Whether a call lies where another begins. */
  const isThere = (call: Reading, { start, centreHz, baud }: Pick<Reading, 'start' | 'centreHz' | 'baud'>) =>
    call.baud === baud &&
    Math.abs(call.start - start) * baud < SIBLING_BITS &&
    Math.abs(call.centreHz - centreHz) < baud;

  /** Whether a call that is sure was given there, or will be when it is known what follows it. */
  const isSureThere = (place: Pick<Reading, 'start' | 'centreHz' | 'baud'>) =>
    [...given, ...reported.map(({ call }) => call)].some(
      (call) => call.quality !== 'doubtful' && isThere(call, place),
    );

  /** Looks at an attempt: gives what is sure and was not given yet, in the place of what was doubtful. */
  function lookAtAttempt(attempt: AttemptCandidate, calls: ReceivedCall[]): void {
    const { parameters, found, strength } = attempt;
    const { baud } = parameters.modulation;
    if (isSureThere({ start: found.start / WORKING_RATE, centreHz: found.centreHz, baud })) return;
    const read = readRepeated(attempt);
    if (!read) return;
    const { reading, origin } = read;
    const { burst, observation, decision, logLikelihoods, sendings } = reading;
    if (decision.errorProbability >= SURE_DECISION || reading.logEvidence < LEAST_ATTEMPT_EVIDENCE) return;
    const { start, samplesPerBit } = burst.lock.timing;
    const time = (bit: number) =>
      (origin + (start + bit * samplesPerBit) * parameters.decimation) / WORKING_RATE;
    const rating = rate(burst, observation, logLikelihoods, decision, sendings);
    const call = describe(parameters, burst, time, decision, rating);
    if (call.quality === 'doubtful' || isSureThere(call)) return;
    if (isSplatter(call, strength)) return;
    const members = reading.bitsBefore.map((bits) => ({ ...call, start: call.start - bits / baud }));
    const replaced = given.filter(
      (other) => other.quality === 'doubtful' && members.some((member) => isThere(other, member)),
    );
    for (const { start, centreHz, inverted } of replaced)
      tell({ type: 'replaced', time: start, centreHz, baud, inverted, by: call.start });
    given = given.filter((other) => !replaced.includes(other));
    // Nor is one given any more that is doubtful and still waits for what follows it.
    candidates = candidates.filter(
      ({ decided }) => decided?.quality !== 'doubtful' || !isThere(decided, call),
    );
    report(call, strength);
    give(call, calls);
  }

  /** Notes a call that is decided, whatever may follow it. */
  function report(call: Reading, strength: number): void {
    reported = [...reported, { call, strength }].slice(-REPORTS_KEPT);
  }

  /** Gives a call with all that follows it. */
  function give(call: Reading, calls: ReceivedCall[]): void {
    given = [...given, call].slice(-GIVEN_KEPT);
    calls.push({ ...call, attempt: attemptOf(call) });
  }

  function hasStrongerSibling(candidate: Candidate): boolean {
    const time = timeOf(candidate, candidate.lock, 0);
    return candidates.some(
      (other) =>
        !other.decided &&
        other.parameters === candidate.parameters &&
        other.strength > candidate.strength &&
        Math.abs(timeOf(other, other.lock, 0) - time) * candidate.parameters.modulation.baud < SIBLING_BITS,
    );
  }

  /** Moves a candidate on and forgets it when it is over. */
  function step(candidate: Candidate, isLast: boolean, calls: ReceivedCall[]): void {
    if (move(candidate, isLast, calls)) candidates = candidates.filter((other) => other !== candidate);
  }

  const earlier = (a: Candidate, b: Candidate) => needed(a) - needed(b) || b.strength - a.strength;

  const settle = (time: number) => {
    lostCandidates.settle(
      time,
      candidates.map((candidate) => extentOf(candidate)),
    );
  };

  /** Looks at each candidate when enough of it has come, in the order of the stream, up to working sample `until`. */
  function advance(until: number, calls: ReceivedCall[]): void {
    for (;;) {
      const due = candidates.filter(
        (candidate) => needed(candidate) <= until && !hasStrongerSibling(candidate),
      );
      const dueAttempts = attempts.filter((attempt) => neededBy(attempt) <= until);
      if (due.length === 0 && dueAttempts.length === 0) break;
      const next = due.sort(earlier).at(0);
      const attempt = dueAttempts.sort((a, b) => neededBy(a) - neededBy(b)).at(0);
      if (next && (!attempt || needed(next) <= neededBy(attempt))) {
        now = Math.max(now, needed(next));
        step(next, false, calls);
      } else if (attempt) {
        now = Math.max(now, neededBy(attempt));
        attempts = attempts.filter((other) => other !== attempt);
        lookAtAttempt(attempt, calls);
      }
    }
    now = until;
    settle(now / WORKING_RATE);
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

  /** Whether a sending was read for sure already, or is the splatter of a stronger one that was. */
  function isKnown(
    start: number,
    centreHz: number,
    { modulation }: BandParameters,
    strength: number,
  ): boolean {
    const place = { start: start / WORKING_RATE, centreHz, baud: modulation.baud };
    return reported.some(
      ({ call, strength: other }) =>
        call.quality !== 'doubtful' &&
        isThere({ ...call, centreHz: other > SPLATTER * strength ? centreHz : call.centreHz }, place),
    );
  }

  /** Opens an attempt where the two strongest of its sendings prove to be there. */
  function beginAttempt(
    parameters: BandParameters,
    found: Found,
    { repetition, strongest: [strongest, second] }: NonNullable<Found['attempt']>,
  ): void {
    const samplesPerBit = parameters.bitSamples / parameters.decimation;
    /** The baseband of a phasing, and the lock there of one that begins at working sample `start`. */
    const around = (start: number, centreHz: number): [Baseband, Lock, number] => {
      const [baseband, origin] = basebandOf(parameters, start, PHASING_BITS, centreHz);
      const timing = { start: (start - origin) / parameters.decimation, samplesPerBit };
      return [baseband, { centreHz, inverted: found.inverted, timing }, origin];
    };
    const period = repetition.bits * parameters.bitSamples;
    const [baseband, rough, origin] = around(found.start - strongest * period, found.centreHz);
    const strength = phasingStrength(baseband, parameters, rough);
    if (isKnown(found.start - strongest * period, found.centreHz, parameters, strength)) return;
    const lock = lockSending(baseband, parameters, rough);
    if (!lock) return;
    const start = origin + lock.timing.start * parameters.decimation;
    const [other, expected] = around(start + (strongest - second) * period, lock.centreHz);
    if (!isSending(other, parameters, expected)) return;
    const anchored = { ...lock, timing: { start, samplesPerBit } };
    attempts.push({ parameters, found, repetition, strongest, anchored, strength });
  }

  function begin({ parameters, found }: Heard): void {
    if (found.attempt) {
      beginAttempt(parameters, found, found.attempt);
      return;
    }
    const candidate = open(parameters, found);
    tell({ type: 'signal', ...about(candidate) });
    if (!measureCandidate(candidate, PHASING_CHARACTERS).isPhased) return;
    candidates.push(candidate);
    tell({ type: 'phasing', ...about(candidate) });
  }

  /** Takes input, at most one step of it. What it gives depends on the samples so far and not on how they were cut. */
  function take(samples: Float32Array, calls: ReceivedCall[]): void {
    const working = stream.push(samples);
    const heard = [...listeners.values()]
      .flatMap(({ parameters, search }) =>
        search.push(working).map((found): Heard => ({ parameters, found })),
      )
      .sort((a, b) => a.found.at - b.found.at);
    for (const one of heard) {
      advance(one.found.at, calls);
      begin(one);
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
