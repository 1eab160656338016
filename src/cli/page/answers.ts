/**
 * What the page asks for: plain data out of a log.
 */
import { explainFields, identityMid, midAdministration } from '../../calls/index.js';
import { audioFileBlocks } from '../../containers/node.js';
import { DotphaseError } from '../../errors.js';
import {
  multiFrequencySendings,
  placesOf,
  ringsOf,
  sendingsOf,
  type CallLog,
  type LogEntry,
  type LogFilter,
} from '../../records/index.js';
import type { HeardStore, HourCount } from '../../records/sqlite/index.js';
import { writeWav } from '../../wav/index.js';
import { diskStatus } from '../diskstatus.js';
import type { Profile } from '../profile/profile.js';
import { concatenated } from '../recording.js';

/** Entries that are shown together. */
const PAGE = 100;

/** Places that are drawn on the map, and hours that are drawn in the picture, at most. */
const MOST_PLACES = 500;
const LOOKED_THROUGH = 20 * MOST_PLACES;
const HOURS_SHOWN = 72;
const HOUR_MS = 3_600_000;

/** What happened to inputs lately. */
const EVENTS_SHOWN = 50;

const EXCERPT_BEFORE = 2.2;
const LONGEST_EXCERPT = 40;

type Query = Readonly<Record<string, unknown>>;

function textIn(query: Query, name: string): string | undefined {
  const value = query[name];
  return typeof value === 'string' && value !== '' ? value : undefined;
}

function numberIn(query: Query, name: string): number | undefined {
  const text = textIn(query, name);
  if (text === undefined) return undefined;
  const number = Number(text);
  if (!Number.isSafeInteger(number) || number < 0)
    throw new DotphaseError(name, text, 'a whole number from 0');
  return number;
}

/** Which calls a page asks for. */
function filterOf(query: Query): LogFilter {
  const text = textIn(query, 'text');
  const kind = textIn(query, 'kind');
  const frequencyHz = numberIn(query, 'frequency');
  const identity = text?.replace(/\s/g, '');
  return {
    direction: 'received',
    once: true,
    together: true,
    ...(query.sure === '1' && { sure: true }),
    ...(kind !== undefined && { kind }),
    ...(frequencyHz !== undefined && { frequencyHz }),
    ...(identity !== undefined && /^\d{9}$/.test(identity) ? { identity } : text !== undefined && { text }),
  };
}

/** Each sending of a call, also of one that was sent on several frequencies: when and where. */
function sendingTimes(entry: LogEntry, log: CallLog) {
  return multiFrequencySendings(log, entry).flatMap((one) =>
    sendingsOf(one).map(({ time }) => ({ time, frequencyHz: one.frequencyHz })),
  );
}

/** An entry as the page shows it. */
export function shownEntry(entry: LogEntry, profile: Profile, log: CallLog) {
  const { id, time, timeSource, kind, from, to, frequencyHz, quality, snrDb, input, file, text } = entry;
  const { position, area } = placesOf(entry);
  return {
    ...{ id, time, timeSource, kind, frequencyHz, quality, snrDb, input, file, text },
    from: from === undefined ? undefined : nameOf(from, profile),
    to: to === undefined ? undefined : nameOf(to, profile),
    sendings: sendingTimes(entry, log),
    position,
    area: area && ringsOf(area),
  };
}

const nameOf = (identity: string, profile: Profile) =>
  /^\d{9}$/.test(identity) ? profile.describe(identity) : identity;

/** Answers questions about a log. */
export function createAnswers(store: HeardStore, profile: Profile) {
  const received = (id: number): LogEntry | undefined => {
    const entry = store.calls.get(id);
    return entry?.direction === 'received' ? entry : undefined;
  };
  return {
    /** The latest calls that fit, or those before one. */
    calls(query: Query) {
      const before = numberIn(query, 'before');
      const last = before === undefined ? undefined : store.calls.get(before);
      const entries = store.calls.list({
        ...filterOf(query),
        newestFirst: true,
        limit: PAGE,
        ...(last && { after: { id: last.id, time: last.time } }),
      });
      return {
        calls: entries.map((entry) => shownEntry(entry, profile, store.calls)),
        isAll: entries.length < PAGE,
      };
    },

    /** One call: each field with its characters. */
    call(id: number) {
      const entry = received(id);
      if (!entry) return undefined;
      const certainty = entry.symbols.map((symbol) => (symbol === null ? 0 : 1));
      const fields = explainFields(
        entry.symbols.map((symbol) => symbol ?? 0),
        certainty,
      );
      return { ...shownEntry(entry, profile, store.calls), fields };
    },

    /** Its sound as a WAV file: kept by a watch, or cut out of the recording that it was read from. */
    async sound(id: number): Promise<Uint8Array | undefined> {
      const entry = received(id);
      return entry && (store.clip(id) ?? (await excerptOf(entry)));
    },

    /** What the calls add up to. */
    summary() {
      const hours = latestHours(store);
      const last = hours.at(-1)?.hour ?? 0;
      const stations = store.stations({}, 1).map((station) => ({
        ...station,
        name: profile.describe(station.identity),
        country: countryOf(station.identity),
      }));
      return {
        hours: hours.filter(({ hour }) => hour > last - HOURS_SHOWN * HOUR_MS),
        kinds: store.count('kind', { direction: 'received', once: true }),
        frequencies: store.count('frequency', { direction: 'received', once: true }),
        tests: store.testSuccess('frequency'),
        stations,
        places: latestPlaces(store).map((entry) => shownEntry(entry, profile, store.calls)),
        ...inputs(store),
      };
    },
  };
}

/** The hours before the latest call; all where none of them has a call whose time is known. */
function latestHours(store: HeardStore): HourCount[] {
  const latest = store.calls.list({ direction: 'received', newestFirst: true, limit: 1 }).at(0);
  const since = (latest?.time ?? 0) - (HOURS_SHOWN + 1) * HOUR_MS;
  const hours = since > 0 ? store.hours({ since }) : [];
  return hours.length > 0 ? hours : store.hours();
}

/** The latest calls that tell a place, out of as many as may be looked through. */
function latestPlaces(store: HeardStore): LogEntry[] {
  const found: LogEntry[] = [];
  let last: LogEntry | undefined;
  for (let looked = 0; looked < LOOKED_THROUGH && found.length < MOST_PLACES; looked += MOST_PLACES) {
    const entries = store.calls.list({
      direction: 'received',
      once: true,
      together: true,
      newestFirst: true,
      limit: MOST_PLACES,
      ...(last && { after: { id: last.id, time: last.time } }),
    });
    for (const entry of entries) {
      const { position, area } = placesOf(entry);
      if (position !== undefined || area !== undefined) found.push(entry);
    }
    last = entries.at(-1);
    if (entries.length < MOST_PLACES) break;
  }
  return found.slice(0, MOST_PLACES);
}

/** How the inputs of a watch are: their last levels, and what happened to them lately. */
function inputs(store: HeardStore) {
  return { inputs: store.lastLevels(), events: store.events({ latest: EVENTS_SHOWN }).reverse() };
}

function countryOf(identity: string): string | undefined {
  const mid = identityMid(identity);
  return mid === undefined ? undefined : midAdministration(mid);
}

/** The part of a recording with a call; undefined where the file is not there any more. */
async function excerptOf({ file, offset }: LogEntry): Promise<Uint8Array | undefined> {
  if (file === undefined || offset === undefined) return undefined;
  if (!diskStatus(file)?.isFile()) return undefined;
  const pieces: Float32Array[] = [];
  let rate = 0;
  let at = 0;
  try {
    for await (const { sampleRate, channels } of audioFileBlocks(file, { channel: 0 })) {
      rate = sampleRate;
      const from = Math.max(0, Math.round((offset - EXCERPT_BEFORE) * rate));
      const until = from + Math.round((LONGEST_EXCERPT / 4) * rate);
      const [samples] = channels;
      if (at + samples.length > from)
        pieces.push(samples.slice(Math.max(0, from - at), Math.max(0, until - at)));
      at += samples.length;
      if (at > until) break;
    }
  } catch (error) {
    if (error instanceof DotphaseError) return undefined;
    throw error;
  }
  const samples = concatenated(pieces);
  return samples.length === 0 ? undefined : writeWav({ sampleRate: rate, channels: [samples] });
}
