/**
 * The receiver: a stream of audio in, calls out as they end.
 */
import { decodeCall, describeCall } from '../calls/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import type { Band, CharacterReading } from '../frames/index.js';
import { createBaseband, type Baseband } from '../modem/index.js';
import { SYMBOL_COUNT } from '../symbols/index.js';
import { observe, sequenceBits, type Observation } from './attempt.js';
import { layoutLengths } from './constraints.js';
import { addEvidence, decide, type CharacterEvidence, type Decision } from './decide.js';
import { BAND_PLANS, WORKING_RATE, type BandPlan } from './plan.js';
import { createSearch, type Found, type Search } from './search.js';
import { createWorkingStream } from './stream.js';
import { lockPhasing, type Lock } from './synchronise.js';
import type { Quality, ReceivedCall, Receiver, ReceiverEvent, ReceiverOptions } from './types.js';

/** An error probability below this is `recovered`, or `clean` where every character also reads by itself. */
const SURE = 1e-4;

/** How much likelier (ln) than random bits the characters of a call must be, whatever its quality. */
const LEAST_EVIDENCE = 14;
/** How much likelier (ln) the characters and the phasing must be together. */
const LEAST_TOTAL_EVIDENCE = 40;

/** How much likelier (ln) it must be that sendings say the same than that each says something else. */
const SAME_CALL_EVIDENCE = 5;
/** Sendings are added up within this many seconds, all at once within the shorter time. */
const SAME_CALL_SECONDS = 300;
const SAME_ATTEMPT_SECONDS = 45;
/** And on centres no further apart than this, in bits per second of the modulation. */
const SAME_CENTRE = 0.25;
const REMEMBERED = 12;

/** Matches whose phasing begins within this many bits of each other may be one signal and its splatter. */
const SIBLING_BITS = 10;

/** Characters in front of and behind a call's body: a format specifier more; error check and two ends. */
const CHARACTERS_AROUND = 4;

/** Bits of audio taken before and after a sequence for the filters. */
const MARGIN_BITS = 2;

/** The numbers of characters at which a call can be over. */
const checkpoints = () => layoutLengths().map((length) => length + CHARACTERS_AROUND);

/** A call that is being received. */
interface Track {
  readonly plan: BandPlan;
  readonly origin: number;
  readonly lock: Lock;
  readonly strength: number;
  checkpoint: number;
}

/** A sending that was observed, for adding up with others. */
interface Memory {
  readonly plan: BandPlan;
  readonly lock: Lock;
  readonly time: number;
  readonly evidence: CharacterEvidence;
  readonly alone: number;
}

interface Listener {
  readonly plan: BandPlan;
  readonly search: Search;
  readonly toBaseband: (audio: Float32Array, centreHz: number) => Baseband;
}

function requireBands(bands: unknown): readonly Band[] {
  if (!Array.isArray(bands) || bands.length === 0 || !bands.every((band) => band in BAND_PLANS)) {
    throw new DotphaseError('bands', bands, "a list of 'mf-hf' and 'vhf'");
  }
  return bands as Band[];
}

function searchedCentres(plan: BandPlan, options: ReceiverOptions): readonly [number, number] {
  if (options.centreHz === undefined) return plan.centres;
  const centre = requireNumber('centreHz', options.centreHz, 200, 3000, 'Hz');
  const search = requireNumber('searchHz', options.searchHz ?? 50, 0, 2000, 'Hz');
  return [centre - search, centre + search];
}

/** Whether a decided symbol contradicts a character that both sendings read alike. */
function contradicted(characters: readonly CharacterReading[], symbols: readonly number[]): boolean {
  return [symbols[0], ...symbols].some((symbol, i) => {
    const { dx, rx } = characters[i];
    return dx !== undefined && dx === rx && dx !== symbol;
  });
}

/**
 * Creates a receiver for one stream of samples.
 *
 * @throws DotphaseError when an option is out of range
 */
export function createReceiver(options: ReceiverOptions): Receiver {
  const stream = createWorkingStream(options.sampleRate);
  const tell = options.onEvent ?? (() => undefined);
  const listeners = requireBands(options.bands ?? Object.keys(BAND_PLANS)).map((band): Listener => {
    const plan = BAND_PLANS[band];
    return {
      plan,
      search: createSearch(plan, searchedCentres(plan, options)),
      toBaseband: createBaseband({ sampleRate: WORKING_RATE, ...plan }),
    };
  });
  const lengths = checkpoints();
  let tracks: Track[] = [];
  let memories: Memory[] = [];
  let reported: { call: ReceivedCall; strength: number }[] = [];

  function listenerOf(plan: BandPlan): Listener {
    const listener = listeners.find((candidate) => candidate.plan === plan);
    if (!listener) throw new Error('every track comes from a listener');
    return listener;
  }

  /** The baseband of a track for so many characters; the phasing begins a margin after its beginning. */
  function basebandOf(
    plan: BandPlan,
    start: number,
    bits: number,
    centreHz: number,
  ): { baseband: Baseband; origin: number } {
    const margin = MARGIN_BITS * plan.bitSamples;
    const origin = Math.floor((start - margin) / plan.decimation) * plan.decimation;
    const audio = stream.slice(origin, Math.ceil(start + bits * plan.bitSamples + margin));
    return { baseband: listenerOf(plan).toBaseband(audio, centreHz), origin };
  }

  function open(plan: BandPlan, found: Found): Track {
    const { baseband, origin } = basebandOf(plan, found.start, sequenceBits(2), found.centreHz);
    const rough: Lock = {
      centreHz: found.centreHz,
      inverted: found.inverted,
      timing: {
        start: (found.start - origin) / plan.decimation,
        samplesPerBit: baseband.rate / plan.modulation.baud,
      },
    };
    const { lock, strength } = lockPhasing(baseband, plan, rough, WORKING_RATE / plan.period);
    return { plan, origin, lock, strength, checkpoint: 0 };
  }

  function timeOf(track: Track, lock: Lock, bit: number): number {
    const samples = lock.timing.start + bit * lock.timing.samplesPerBit;
    return (track.origin + samples * track.plan.decimation) / WORKING_RATE;
  }

  function about(track: Track) {
    const { centreHz, inverted } = track.lock;
    return { time: timeOf(track, track.lock, 0), centreHz, inverted, baud: track.plan.modulation.baud };
  }

  /** Working samples a track needs before its next checkpoint. */
  function needed(track: Track): number {
    const bits = sequenceBits(lengths[track.checkpoint]) + MARGIN_BITS;
    return (
      track.origin +
      (track.lock.timing.start + bits * track.lock.timing.samplesPerBit) * track.plan.decimation
    );
  }

  function observeTrack(track: Track, characters: number): Observation {
    const bits = sequenceBits(characters);
    const start = track.origin + track.lock.timing.start * track.plan.decimation;
    const { baseband, origin } = basebandOf(track.plan, start, bits, track.lock.centreHz);
    const shift = (track.origin - origin) / track.plan.decimation;
    const { start: from, samplesPerBit } = track.lock.timing;
    const phased = { ...track.lock, timing: { start: from + shift, samplesPerBit } };
    const observation = observe(baseband, track.plan, phased, characters);
    const { timing } = observation.lock;
    const lock = { ...observation.lock, timing: { ...timing, start: timing.start - shift } };
    return { ...observation, lock };
  }

  /** The decision of this sending and earlier ones added up, where that is likelier than different calls. */
  function decideTogether(track: Track, observation: Observation, alone: Decision) {
    const time = timeOf(track, observation.lock, 0);
    const tolerance = SAME_CENTRE * track.plan.modulation.baud;
    const others = memories.filter(
      (memory) =>
        memory.plan === track.plan &&
        memory.lock.inverted === track.lock.inverted &&
        Math.abs(memory.lock.centreHz - observation.lock.centreHz) <= tolerance &&
        time - memory.time <= SAME_CALL_SECONDS &&
        memory.evidence.count >= observation.evidence.count,
    );
    const recent = others.filter((memory) => time - memory.time <= SAME_ATTEMPT_SECONDS);
    const groups = [...(recent.length > 1 ? [recent] : []), ...others.map((memory) => [memory])];
    for (const group of groups) {
      const evidence = addEvidence([observation.evidence, ...group.map((memory) => memory.evidence)]);
      const decision = decide(evidence);
      if (!decision) continue;
      const apart = group.reduce((sum, memory) => sum + memory.alone, alone.evidence);
      if (decision.evidence > apart + SAME_CALL_EVIDENCE && decision.errorProbability < SURE) {
        return { decision, sendings: group.length + 1 };
      }
    }
    return { decision: alone, sendings: 1 };
  }

  function judge(
    track: Track,
    observation: Observation,
    decision: Decision,
    sendings: number,
  ): ReceivedCall | string {
    const { symbols } = decision;
    if (decision.evidence < LEAST_EVIDENCE) return 'its characters fit no call better than noise does';
    if (decision.evidence + observation.phasingEvidence < LEAST_TOTAL_EVIDENCE)
      return 'too weak to be told from noise';
    const { reading, lock } = observation;
    const characters =
      reading.characters.length >= symbols.length + 3 ? reading.characters.slice(0, symbols.length + 3) : [];
    const readable = characters.length > 0 && sendings === 1;
    const contradiction = readable && contradicted(characters, symbols);
    const errorProbability = contradiction
      ? Math.max(0.5, decision.errorProbability)
      : decision.errorProbability;
    const isClean = sendings === 1 && reading.checked && reading.symbols?.join() === symbols.join();
    const quality: Quality = errorProbability >= SURE ? 'doubtful' : isClean ? 'clean' : 'recovered';
    const call = decodeCall(symbols);
    return {
      start: timeOf(track, lock, 0),
      end: timeOf(track, lock, sequenceBits(symbols.length + 3)),
      baud: track.plan.modulation.baud,
      centreHz: lock.centreHz,
      inverted: lock.inverted,
      symbols,
      expansions: [],
      quality,
      errorProbability,
      call,
      text: describeCall(call),
      snrDb: observation.snrDb,
      sendings,
      characters,
    };
  }

  /** Whether the same characters were just reported at the same time from a stronger signal. */
  function isSplatter(call: ReceivedCall, strength: number): boolean {
    return reported.some(
      (other) =>
        other.strength > 3 * strength &&
        other.call.baud === call.baud &&
        Math.abs(other.call.start - call.start) * call.baud < 1 &&
        other.call.symbols.join() === call.symbols.join(),
    );
  }

  function remember(track: Track, observation: Observation, alone: Decision): void {
    const { lock, evidence } = observation;
    memories.push({ plan: track.plan, lock, time: timeOf(track, lock, 0), evidence, alone: alone.evidence });
    if (memories.length > REMEMBERED) memories = memories.slice(-REMEMBERED);
  }

  /** Whether even the likeliest symbol of every character together explains the audio worse than chance. */
  function isHopeless({ values, count }: CharacterEvidence): boolean {
    let sum = 0;
    for (let character = 0; character < count; character++) {
      sum += values
        .subarray(character * SYMBOL_COUNT, (character + 1) * SYMBOL_COUNT)
        .reduce((a, b) => Math.max(a, b));
    }
    return sum < LEAST_EVIDENCE;
  }

  /** One attempt at a track's next checkpoint. True when the track is over. */
  function attempt(track: Track, isLast: boolean, calls: ReceivedCall[]): boolean {
    const characters = lengths[isLast ? lengths.length - 1 : track.checkpoint];
    const observation = observeTrack(track, characters);
    if (isHopeless(observation.evidence)) {
      tell({ type: 'lost', ...about(track), reason: 'its characters are no characters' });
      return true;
    }
    const { reading } = observation;
    const alone = decide(observation.evidence, reading.checked ? reading.symbols : undefined);
    track.checkpoint++;
    const more = !isLast && track.checkpoint < lengths.length;
    if (
      more &&
      (!alone || (alone.errorProbability >= SURE && alone.unfinished > 0.1 * alone.errorProbability))
    ) {
      return false;
    }
    if (!alone) {
      tell({ type: 'lost', ...about(track), reason: 'it did not end' });
      return true;
    }
    const { decision, sendings } =
      alone.errorProbability < SURE
        ? { decision: alone, sendings: 1 }
        : decideTogether(track, observation, alone);
    remember(track, observation, alone);
    const result = judge(track, observation, decision, sendings);
    if (typeof result === 'string') tell({ type: 'lost', ...about(track), reason: result });
    else if (!isSplatter(result, track.strength)) {
      calls.push(result);
      reported = [...reported, { call: result, strength: track.strength }].slice(-REMEMBERED);
    }
    return true;
  }

  function hasStrongerSibling(track: Track): boolean {
    const time = timeOf(track, track.lock, 0);
    return tracks.some(
      (other) =>
        other.plan === track.plan &&
        other.strength > track.strength &&
        Math.abs(timeOf(other, other.lock, 0) - time) * track.plan.modulation.baud < SIBLING_BITS,
    );
  }

  function advance(isLast: boolean): ReceivedCall[] {
    const calls: ReceivedCall[] = [];
    for (let moved = true; moved;) {
      moved = false;
      for (const track of [...tracks].sort((a, b) => b.strength - a.strength)) {
        const isReady = isLast || (needed(track) <= stream.length && !hasStrongerSibling(track));
        if (!isReady) continue;
        moved = true;
        if (attempt(track, isLast, calls)) tracks = tracks.filter((other) => other !== track);
      }
    }
    return calls.sort((a, b) => a.end - b.end);
  }

  function take(working: Float32Array): void {
    for (const { plan, search } of listeners) {
      for (const found of search.push(working)) {
        const track = open(plan, found);
        tracks.push(track);
        const event: ReceiverEvent = { type: 'phasing', ...about(track) };
        tell(event);
      }
    }
  }

  return {
    push(samples) {
      take(stream.push(samples));
      return advance(false);
    },
    flush() {
      take(stream.push(new Float32Array(Math.ceil(options.sampleRate * FLUSH_SECONDS))));
      return advance(true);
    },
  };
}

/** Silence pushed at the end of a stream, so that the search and the filters give up what they hold. */
const FLUSH_SECONDS = 0.7;

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
