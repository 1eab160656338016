/**
 * When and on which frequency a recording was made, as its name, its broadcast-wave chunk, its modification time or a
 * table tells it.
 */
import { open, readFile, stat } from 'node:fs/promises';
import { basename, resolve, sep } from 'node:path';
import { Option, type Command } from 'commander';
import { audioFileBlocks } from '../containers/node.js';
import { atPlace, parseCsv } from '../data/index.js';
import { DotphaseError, Described, NOTHING, reasonOf } from '../errors.js';
import { parseFrequency } from '../frequencies/index.js';
import { originationOf } from '../wav/index.js';
import { isSigmf, samplesOf, sigmfOf, sigmfSeconds } from './decode/sigmf.js';
import { STANDARD_STREAM } from './input.js';
import { parseMoment } from './log/moment.js';
import { numberOption, once } from './options.js';

/** Where the beginning of each recording comes from: a moment, milliseconds since 1970 UTC, or what tells it. */
export type RecordedAt = number | 'name' | 'chunk' | 'modified';

/** Where the DSC frequency comes from: hertz, or the names of the files. */
export type FrequencyFrom = number | 'name';

/** What is known of a recording. */
export interface Origin {
  /** When it began, milliseconds since 1970 UTC. */
  readonly recorded?: number;
  /** The DSC frequency, hertz. */
  readonly frequencyHz?: number;
  /** How fast the recorder's clock was, parts per million: more samples in a second than it says. */
  readonly driftPpm?: number;
  /** Of a slice of spectrum: the frequency in its middle, hertz. */
  readonly tunedHz?: number;
}

/** What is to be found out, and how. */
export interface OriginFlags {
  readonly recorded?: RecordedAt;
  readonly frequency?: FrequencyFrom;
  readonly namePattern?: string;
  readonly drift?: number;
  /** Of slices of spectrum. */
  readonly tuned?: FrequencyFrom;
  /** CSV file. */
  readonly table?: string;
}

/** Beyond this a clock is broken. */
const MOST_DRIFT_PPM = 10_000;
const readDrift = numberOption('--drift', -MOST_DRIFT_PPM, MOST_DRIFT_PPM, 'ppm');

/** Reads what `--recorded` was given. */
export const readRecorded = (text: string): RecordedAt =>
  text === 'name' || text === 'chunk' || text === 'modified'
    ? text
    : parseMoment(text, '--recorded', Date.now());

/** Adds the options that tell when and on which frequency recordings were made. */
export function addOriginFlags(command: Command): Command {
  const add = (flags: string, help: string, read?: (text: string) => unknown) => {
    const option = new Option(flags, help).helpGroup('When and on which frequency it was recorded:');
    command.addOption(read ? option.argParser(read) : option);
  };
  add(
    '--frequency <frequency>',
    'DSC frequency it comes from, as in "8414.5 kHz", or name: each file\'s name tells it. To be told what follows a call and on which frequency, and if it is the wrong one',
    once('--frequency', (text) => (text === 'name' ? 'name' : parseFrequency(text))),
  );
  add(
    '--recorded <moment>',
    'when the recording began, as in 2031-05-17T09:30, UTC; or what tells it for each file: name (a date and time in its name), chunk (broadcast wave, EBU Tech 3285) or modified (it ended when the file was last changed; wrong for most copies). Calls are shown and logged with their time (default: not known; a log takes the time of decoding)',
    readRecorded,
  );
  add(
    '--name-pattern <pattern>',
    'how names of files tell it, with {year} {month} {day} {hour} {minute} {second}, {khz} or {hz}, and * for anything, as in "*_{year}{month}{day}-{hour}{minute}.wav" (default: ISO 8601 and a number before kHz or Hz, anywhere in the name)',
  );
  add(
    '--table <file>',
    'CSV with the columns file, recorded, frequency, tuned and drift, all but the first optional: what a row tells of a file goes before the options',
  );
  add(
    '--drift <ppm>',
    "how fast the recorder's clock is, parts per million, negative where it is slow: a recording of an hour with 50 ppm is 0.18 s too long",
    readDrift,
  );
  return command;
}

/** The true moment so many seconds into a recording, milliseconds since 1970 UTC; undefined where it is not known. */
export function momentIn({ recorded, driftPpm = 0 }: Origin, seconds: number): number | undefined {
  return recorded === undefined ? undefined : recorded + (seconds * 1000) / (1 + driftPpm * 1e-6);
}

/** ISO 8601 in its basic and extended form, and with the separators that file systems ask for; UTC unless it says else. */
const DATE_AND_TIME =
  /(?<!\d)(?<year>\d{4})-?(?<month>\d\d)-?(?<day>\d\d)[T _-]?(?<hour>\d\d)[-:.h]?(?<minute>\d\d)(?:[-:.m]?(?<second>\d\d))?(?<zone>Z|[+-]\d\d:?\d\d)?(?!\d)/g;
const FREQUENCY = /(?<![\d.])(?<khz>\d+(?:\.\d+)?)[ _]?khz|(?<![\d.])(?<hz>\d+)[ _]?hz/gi;

const PARTS: Readonly<Record<string, string>> = {
  year: '\\d{4}',
  month: '\\d\\d',
  day: '\\d\\d',
  hour: '\\d\\d',
  minute: '\\d\\d',
  second: '\\d\\d',
  khz: '\\d+(?:\\.\\d+)?',
  hz: '\\d+',
};
const PLACES = /\{(\w+)\}|\*|[^{}*]+|[{}]/g;

/** A pattern of names as a regular expression: `{year}` and the like, `*` for anything, the rest as it stands. */
function expressionOf(pattern: string): RegExp {
  const seen = new Set<string>();
  const parts = [...pattern.matchAll(PLACES)].map((match) => {
    const [text, part] = match as unknown as [string, string | undefined];
    if (text === '*') return '.*?';
    if (part === undefined) {
      if (text === '{' || text === '}')
        throw new DotphaseError('--name-pattern', pattern, 'braces around a word');
      return text.replace(/[.+?^$()|[\]\\/-]/g, '\\$&');
    }
    if (!Object.hasOwn(PARTS, part) || seen.has(part)) {
      throw new DotphaseError(
        '--name-pattern',
        pattern,
        `each of ${Object.keys(PARTS)
          .map((name) => `{${name}}`)
          .join(', ')} at most once`,
      );
    }
    seen.add(part);
    return `(?<${part}>${PARTS[part]})`;
  });
  return new RegExp(`^${parts.join('')}$`);
}

type Groups = Readonly<Record<string, string | undefined>>;

/** The one place in a name that fits; none, or more than one, tells nothing. */
function groupsIn(name: string, expression: RegExp): Groups | undefined {
  if (!expression.global) return expression.exec(name)?.groups;
  const found = [...name.matchAll(expression)];
  return found.length === 1 ? found[0].groups : undefined;
}

/** The moment that the parts of a name make; undefined where it is in no calendar. */
function momentOf({
  year,
  month,
  day,
  hour = '00',
  minute = '00',
  second = '00',
  zone = 'Z',
}: Groups): number | undefined {
  if (year === undefined || month === undefined || day === undefined) return undefined;
  const local = `${year}-${month}-${day}T${hour}:${minute}:${second}`;
  const isInCalendar =
    new Date(`${local}Z`).getTime() > 0 && new Date(`${local}Z`).toISOString().startsWith(local);
  if (!isInCalendar) return undefined;
  return Date.parse(local + (/^[+-]\d{4}$/.test(zone) ? `${zone.slice(0, 3)}:${zone.slice(3)}` : zone));
}

function fromName(file: string, expected: string, value: number | undefined): number {
  if (value === undefined)
    throw new DotphaseError(file, new Described('a name without it, or with several'), expected);
  return value;
}

function recordedByName(file: string, name: string, pattern: RegExp | undefined): number {
  const groups = groupsIn(name, pattern ?? DATE_AND_TIME);
  const expected = pattern
    ? 'a name that fits --name-pattern, with {year}, {month} and {day}'
    : 'one date and time in its name, as in 20310517T093000Z; or another form by --name-pattern';
  return fromName(file, expected, groups && momentOf(groups));
}

function frequencyByName(file: string, name: string, pattern: RegExp | undefined): number {
  const { khz, hz } = groupsIn(name, pattern ?? FREQUENCY) ?? {};
  const typed = khz === undefined ? hz && `${hz} Hz` : `${khz} kHz`;
  const expected = pattern
    ? 'a name that fits --name-pattern, with {khz} or {hz}'
    : 'one frequency in its name, as in 8414.5kHz; or another form by --name-pattern';
  return fromName(file, expected, typed ? parseFrequency(typed) : undefined);
}

/** Chunks before the samples are no longer than this together. */
const HEAD_BYTES = 65_536;

async function recordedByChunk(file: string): Promise<number> {
  const head = Buffer.alloc(HEAD_BYTES);
  let origination: string | undefined;
  try {
    const handle = await open(file, 'r');
    try {
      const { bytesRead } = await handle.read(head, 0, HEAD_BYTES, 0);
      origination = originationOf(head.subarray(0, bytesRead));
    } finally {
      await handle.close();
    }
  } catch (error) {
    throw new DotphaseError('file', file, `a file that can be read: ${reasonOf(error)}`);
  }
  const moment = origination === undefined ? NaN : Date.parse(`${origination}Z`);
  if (Number.isFinite(moment)) return moment;
  const expected = 'a WAV file with a broadcast-wave chunk that tells date and time';
  throw new DotphaseError(file, new Described('a file without it'), expected);
}

async function audioSeconds(file: string): Promise<number> {
  let seconds = 0;
  for await (const { channels, sampleRate } of audioFileBlocks(file, { channel: 0 }))
    seconds += channels[0].length / sampleRate;
  return seconds;
}

/** A recording ends when its file was last written. */
async function recordedByModification(file: string, driftPpm: number): Promise<number> {
  const seconds = isSigmf(file) ? await sigmfSeconds(file) : await audioSeconds(file);
  try {
    return Math.round((await stat(samplesOf(file))).mtimeMs - (seconds * 1000) / (1 + driftPpm * 1e-6));
  } catch (error) {
    throw new DotphaseError('file', file, `a file that can be read: ${reasonOf(error)}`);
  }
}

const TABLE_COLUMNS = ['file', 'recorded', 'frequency', 'tuned', 'drift'];

/** What a table tells of each file. */
class Table {
  readonly #rows: ReadonlyMap<string, OriginFlags>;

  constructor(
    private readonly path: string,
    text: string,
  ) {
    const rows = new Map<string, OriginFlags>();
    parseCsv(text, TABLE_COLUMNS).forEach((cells, i) => {
      const place = `${path} row ${i + 2}`;
      const row = cells as Partial<Record<string, string>>;
      const { file, recorded = '', frequency = '', tuned = '', drift = '' } = row;
      if (file === undefined || file.trim() === '' || rows.has(file.trim()))
        throw new DotphaseError(`${place}, file`, file ?? NOTHING, 'the name of a file, each once');
      rows.set(
        file.trim(),
        atPlace(place, () => ({
          ...(recorded.trim() !== '' && { recorded: parseMoment(recorded, 'recorded', Date.now()) }),
          ...(frequency.trim() !== '' && { frequency: parseFrequency(frequency) }),
          ...(tuned.trim() !== '' && { tuned: parseFrequency(tuned) }),
          ...(drift.trim() !== '' && { drift: readDrift(drift) }),
        })),
      );
    });
    this.#rows = rows;
  }

  /** The row of a file: of its path as given, as a whole or in part from the end, the longest before others. */
  row(file: string): OriginFlags {
    const parts = resolve(file).split(sep);
    const names = [file, ...parts.map((_, i) => parts.slice(i).join(sep))];
    const name = names.find((candidate) => this.#rows.has(candidate));
    const row = name === undefined ? undefined : this.#rows.get(name);
    if (!row)
      throw new DotphaseError(file, new Described('a file without a row'), `a row for it in ${this.path}`);
    return row;
  }
}

async function readTable(path: string): Promise<Table> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new DotphaseError('--table', path, `a file that can be read: ${reasonOf(error)}`);
  }
  return new Table(path, text);
}

/** Finds out what is known of a recording; throws a DotphaseError naming the file that does not tell what was asked of it. */
export type FindOrigin = (file: string) => Promise<Origin>;

/**
 * What finds out when and on which frequency recordings were made.
 *
 * @throws DotphaseError where the options do not fit together or the table cannot be read
 */
export async function originFinder(flags: OriginFlags): Promise<FindOrigin> {
  const { recorded, frequency, tuned, namePattern } = flags;
  if (namePattern !== undefined && ![recorded, frequency, tuned].includes('name')) {
    throw new DotphaseError(
      '--name-pattern',
      namePattern,
      '--recorded name, --frequency name or --tuned name beside it',
    );
  }
  const pattern = namePattern === undefined ? undefined : expressionOf(namePattern);
  const table = flags.table === undefined ? undefined : await readTable(flags.table);
  return (file) => originOf(file, { ...flags, ...table?.row(file) }, pattern);
}

async function originOf(
  file: string,
  { recorded, frequency, drift, tuned }: OriginFlags,
  pattern: RegExp | undefined,
): Promise<Origin> {
  const name = basename(file);
  if (file === STANDARD_STREAM && (typeof recorded === 'string' || [frequency, tuned].includes('name'))) {
    throw new DotphaseError(
      typeof recorded === 'string' ? '--recorded' : frequency === 'name' ? '--frequency' : '--tuned',
      'standard input',
      'a file: standard input has no name and no chunk before it',
    );
  }
  const isTold = isSigmf(file) && recorded === undefined;
  const began = isTold
    ? (await sigmfOf(file)).captures[0].began
    : await beginningOf(file, recorded, drift ?? 0, pattern);
  const hzOf = (from: FrequencyFrom | undefined) =>
    from === 'name' ? frequencyByName(file, name, pattern) : from;
  const [hz, tunedHz] = [hzOf(frequency), hzOf(tuned)];
  return {
    ...(began !== undefined && { recorded: began }),
    ...(hz !== undefined && { frequencyHz: hz }),
    ...(drift !== undefined && { driftPpm: drift }),
    ...(tunedHz !== undefined && { tunedHz }),
  };
}

async function beginningOf(
  file: string,
  recorded: RecordedAt | undefined,
  driftPpm: number,
  pattern: RegExp | undefined,
): Promise<number | undefined> {
  switch (recorded) {
    case 'name':
      return recordedByName(file, basename(file), pattern);
    case 'chunk':
      return recordedByChunk(file);
    case 'modified':
      return recordedByModification(file, driftPpm);
    default:
      return recorded;
  }
}
