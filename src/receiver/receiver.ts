/**
 * The receiver: a stream of audio in, calls out as they end.
 */
import { decodeCall, describeCall } from '../calls/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import type { Band } from '../frames/index.js';
import { createBaseband, type Baseband } from '../dsp/index.js';
import { sequenceBits, sight, type Sighting } from './attempt.js';
import { CHARACTERS_AROUND, informationCharacters, layoutLengths } from './constraints.js';
import type { Decision } from './decide.js';
import { MORE_FOLLOWED, expansionBegins, readFollowing } from './following.js';
import { createLosses, type Extent } from './losses.js';
import { createAttemptNumbering } from './sendings.js';
import { SURE_DECISION, UNLIKELY, decideSighting, disbelief, rate } from './judge.js';
import { createSendingMemory, type Sending } from './memory.js';
import { BAND_PLANS, WORKING_RATE, type BandPlan } from './plan.js';
import { sentSigns } from './snr.js';
import { createSearch, type Found, type Search } from './search.js';
import { createWorkingStream } from './stream.js';
import { lockCentre, lockPhasing, type Lock } from './synchronise.js';
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

/** A received call before it is known which attempt it belongs to. */
type Reading = Omit<ReceivedCall, 'attempt'>;

/** A call that is being received. */
interface Track {
  readonly plan: BandPlan;
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

/** A match of the search and the listener that found it. */
interface Heard {
  readonly plan: BandPlan;
  readonly found: Found;
}

interface Listener {
  readonly plan: BandPlan;
  readonly search: Search;
  readonly toBaseband: (audio: Float32Array, centreHz: number) => Baseband;
}

function requireBands(bands: unknown): readonly Band[] {
  if (
    !Array.isArray(bands) ||
    bands.length === 0 ||
    !bands.every((band) => Object.hasOwn(BAND_PLANS, band as string))
  ) {
    throw new DotphaseError('bands', bands, "a list of 'mf-hf' and 'vhf'");
  }
  return [...new Set(bands as Band[])];
}

function searchedCentres(plan: BandPlan, options: ReceiverOptions): readonly [number, number] {
  if (options.centreHz === undefined) return plan.centres;
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
    requireBands(options.bands ?? Object.keys(BAND_PLANS)).map((band): [BandPlan, Listener] => {
      const plan = BAND_PLANS[band];
      const search = createSearch(plan, searchedCentres(plan, options));
      return [plan, { plan, search, toBaseband: createBaseband({ sampleRate: WORKING_RATE, ...plan }) }];
    }),
  );
  const lengths = layoutLengths().map((length) => length + CHARACTERS_AROUND);
  const memory = createSendingMemory();
  const losses = createLosses(tell);
  const attemptOf = createAttemptNumbering();
  let tracks: Track[] = [];
  /** Working samples looked at so far: what comes behind them is not heard yet, however long the blocks are. */
  let now = 0;
  let reported: { call: Reading; strength: number }[] = [];

  /** The baseband of so many bits from a working sample on, with a margin, and the sample at which it begins. */
  function basebandOf(plan: BandPlan, start: number, bits: number, centreHz: number): [Baseband, number] {
    const margin = MARGIN_BITS * plan.bitSamples;
    const origin = Math.floor((start - margin) / plan.decimation) * plan.decimation;
    const audio = stream.slice(origin, Math.ceil(start + bits * plan.bitSamples + margin));
    audio.fill(0, Math.max(0, now - origin));
    const listener = listeners.get(plan);
    if (!listener) throw new Error('every track comes from a listener');
    return [listener.toBaseband(audio, centreHz), origin];
  }

  function open(plan: BandPlan, found: Found): Track {
    const [baseband, origin] = basebandOf(
      plan,
      found.start,
      sequenceBits(PHASING_CHARACTERS),
      found.centreHz,
    );
    const samplesPerBit = baseband.rate / plan.modulation.baud;
    const timing = { start: (found.start - origin) / plan.decimation, samplesPerBit };
    const rough: Lock = { centreHz: found.centreHz, inverted: found.inverted, timing };
    const { lock, strength } = lockPhasing(baseband, plan, rough, WORKING_RATE / plan.period);
    return {
      plan,
      origin,
      lock: lockCentre(baseband, plan, lock),
      strength,
      length: 0,
      decided: undefined,
      following: 0,
    };
  }

  /** Working samples from the beginning of the stream to a bit. */
  function sampleOf(track: Track, lock: Lock, bit: number): number {
    return track.origin + (lock.timing.start + bit * lock.timing.samplesPerBit) * track.plan.decimation;
  }

  const timeOf = (track: Track, lock: Lock, bit: number) => sampleOf(track, lock, bit) / WORKING_RATE;

  function about(track: Track) {
    const { centreHz, inverted } = track.lock;
    return { time: timeOf(track, track.lock, 0), centreHz, inverted, baud: track.plan.modulation.baud };
  }

  /** Where a candidate lies: a call that was decided, or one that may still become a call. */
  function extentOf(track: Track, end = track.decided?.end ?? Infinity): Extent {
    const { centreHz, timing } = track.lock;
    const amplitude = track.strength / Math.sqrt(timing.samplesPerBit);
    return { plan: track.plan, centreHz, amplitude, start: timeOf(track, track.lock, 0), end };
  }

  /** Working samples a track needs before it is looked at again. */
  function needed(track: Track): number {
    const bits = track.decided
      ? sequenceBits(track.following) + EXPANSION_BITS
      : sequenceBits(lengths[track.length]);
    return Math.ceil(sampleOf(track, track.lock, bits + MARGIN_BITS));
  }

  function sightTrack(track: Track, characters: number): Sighting {
    const start = sampleOf(track, track.lock, 0);
    const [baseband, origin] = basebandOf(track.plan, start, sequenceBits(characters), track.lock.centreHz);
    const shift = (track.origin - origin) / track.plan.decimation;
    const moved = (lock: Lock, by: number): Lock => ({
      ...lock,
      timing: { ...lock.timing, start: lock.timing.start + by },
    });
    const sighting = sight(baseband, track.plan, moved(track.lock, shift), characters);
    return { ...sighting, lock: moved(sighting.lock, -shift) };
  }

  function describe(
    track: Track,
    sighting: Sighting,
    { symbols }: Decision,
    rating: ReturnType<typeof rate>,
  ): Reading {
    const { lock } = sighting;
    const call = decodeCall(symbols, { certainty: rating.certainty });
    return {
      start: timeOf(track, lock, 0),
      end: timeOf(track, lock, sequenceBits(informationCharacters(symbols))),
      baud: track.plan.modulation.baud,
      centreHz: lock.centreHz,
      inverted: lock.inverted,
      symbols,
      expansions: [],
      moreFollowed: false,
      call,
      text: describeCall(call),
      snrDb: sighting.snrDb(sentSigns(symbols, rating.certainty)),
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

  /** Looks at a track's next possible length: the call, `'wait'`, or why there is none. */
  function attempt(track: Track, isLast: boolean): Reading | 'wait' | { lost: string } {
    const characters = lengths[isLast ? lengths.length - 1 : track.length];
    track.length++;
    const mayWait = !isLast && track.length < lengths.length;
    const sighting = sightTrack(track, characters);
    const decided = decideSighting(sighting, mayWait);
    if (!decided) return { lost: UNLIKELY };
    const { evidence } = decided.observation;
    const alone = decided.decision;
    const isUnsure = !alone || alone.errorProbability >= SURE_DECISION;
    if (mayWait && isUnsure && (!alone || alone.unfinished > UNFINISHED_SHARE * alone.errorProbability)) {
      return 'wait';
    }
    if (!alone) return { lost: 'it did not end' };
    const { lock } = sighting;
    const time = timeOf(track, lock, 0);
    const sending: Sending = { plan: track.plan, lock, time, evidence, alone: alone.evidence };
    const together = isUnsure ? memory.decideTogether(sending, SURE_DECISION) : undefined;
    memory.remember(sending);
    const decision = together?.decision ?? alone;
    const doubt = disbelief(sighting, decided.observation, decision);
    if (doubt !== undefined) return { lost: doubt };
    const call = describe(
      track,
      sighting,
      decision,
      rate(sighting, decided.observation, together?.evidence ?? evidence, decision, together?.sendings ?? 1),
    );
    return isSplatter(call, track.strength) ? { lost: 'it is the splatter of a stronger signal' } : call;
  }

  /** Looks at what follows a decided call: the whole call, or `'wait'` where more may come. */
  function follow(track: Track, call: Reading, isLast: boolean): Reading | 'wait' {
    const behind = call.symbols.length + 1;
    const sighting = sightTrack(track, track.following + CHARACTERS_AROUND / 2);
    const { evidence } = sighting.alone();
    const eos = call.symbols[call.symbols.length - 2];
    if (!expansionBegins(evidence, behind, eos)) return call;
    const { expansions, length, isOver, moreFollowed } = readFollowing(evidence, behind);
    if (!isOver && !isLast) {
      track.following++;
      return 'wait';
    }
    if (expansions.length === 0 && !moreFollowed) return call;
    const whole = decodeCall(call.symbols, { certainty: call.certainty, expansions });
    const end = timeOf(track, sighting.lock, sequenceBits(behind + length));
    const text = describeCall(whole) + (moreFollowed ? ` ${MORE_FOLLOWED}` : '');
    return { ...call, end, expansions, moreFollowed, call: whole, text };
  }

  /** Moves a track on. True when it is over. */
  function move(track: Track, isLast: boolean, calls: ReceivedCall[]): boolean {
    if (!track.decided) {
      const call = attempt(track, isLast);
      if (call === 'wait') return false;
      if ('lost' in call) {
        const end = timeOf(track, track.lock, sequenceBits(PHASING_CHARACTERS));
        losses.lose(extentOf(track, end), { type: 'lost', ...about(track), reason: call.lost });
        return true;
      }
      track.decided = call;
      losses.decide(extentOf(track));
      track.following = informationCharacters(call.symbols);
      reported = [...reported, { call, strength: track.strength }].slice(-REPORTS_KEPT);
      if (!isLast) return false;
    }
    const whole = follow(track, track.decided, isLast);
    if (whole === 'wait') return false;
    calls.push({ ...whole, attempt: attemptOf(whole) });
    return true;
  }

  function hasStrongerSibling(track: Track): boolean {
    const time = timeOf(track, track.lock, 0);
    return tracks.some(
      (other) =>
        !other.decided &&
        other.plan === track.plan &&
        other.strength > track.strength &&
        Math.abs(timeOf(other, other.lock, 0) - time) * track.plan.modulation.baud < SIBLING_BITS,
    );
  }

  /** Moves a track on and forgets it when it is over. */
  function step(track: Track, isLast: boolean, calls: ReceivedCall[]): void {
    if (move(track, isLast, calls)) tracks = tracks.filter((other) => other !== track);
  }

  const earlier = (a: Track, b: Track) => needed(a) - needed(b) || b.strength - a.strength;

  const settle = (time: number) => {
    losses.settle(
      time,
      tracks.map((track) => extentOf(track)),
    );
  };

  /** Looks at each track when enough of it has come, in the order of the stream, up to working sample `until`. */
  function advance(until: number, calls: ReceivedCall[]): void {
    for (;;) {
      const due = tracks.filter((track) => needed(track) <= until && !hasStrongerSibling(track));
      if (due.length === 0) break;
      const [next] = due.sort(earlier);
      now = Math.max(now, needed(next));
      step(next, false, calls);
    }
    now = until;
    settle(now / WORKING_RATE);
  }

  /** Ends every track with what there is of it. */
  function finish(calls: ReceivedCall[]): void {
    while (tracks.length > 0) {
      for (const track of [...tracks].sort((a, b) => b.strength - a.strength)) step(track, true, calls);
    }
    settle(Infinity);
  }

  function begin({ plan, found }: Heard): void {
    const track = open(plan, found);
    tell({ type: 'signal', ...about(track) });
    if (!sightTrack(track, PHASING_CHARACTERS).isPhased) return;
    tracks.push(track);
    tell({ type: 'phasing', ...about(track) });
  }

  /** Takes input, at most one step of it. What it gives depends on the samples so far and not on how they were cut. */
  function take(samples: Float32Array, calls: ReceivedCall[]): void {
    const working = stream.push(samples);
    const heard = [...listeners.values()]
      .flatMap(({ plan, search }) => search.push(working).map((found): Heard => ({ plan, found })))
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
      if (!((samples as unknown) instanceof Float32Array)) {
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
