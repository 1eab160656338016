/**
 * When and on which frequency a recording was made, as its name or its broadcast-wave chunk tells it.
 */
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import { DotphaseError, Described, reasonOf } from '../errors.js';
import { parseFrequency } from '../frequencies/index.js';
import { originationOf } from '../wav/index.js';
import { STANDARD_STREAM } from './input.js';

/** Where the beginning of each recording comes from: a moment, milliseconds since 1970 UTC, or what tells it. */
export type RecordedAt = number | 'name' | 'chunk';

/** Where the DSC frequency comes from: hertz, or the names of the files. */
export type FrequencyFrom = number | 'name';

/** What is known of a recording. */
export interface Origin {
  /** When it began, milliseconds since 1970 UTC. */
  readonly recorded?: number;
  /** The DSC frequency, hertz. */
  readonly frequencyHz?: number;
}

/** What is to be found out, and how. */
export interface OriginFlags {
  readonly recorded?: RecordedAt;
  readonly frequency?: FrequencyFrom;
  readonly namePattern?: string;
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

/**
 * What is known of a recording.
 *
 * @throws DotphaseError naming the file that does not tell what was asked of it
 */
export async function originOf(file: string, flags: OriginFlags): Promise<Origin> {
  const { recorded, frequency, namePattern } = flags;
  if (namePattern !== undefined && recorded !== 'name' && frequency !== 'name') {
    throw new DotphaseError('--name-pattern', namePattern, '--recorded name or --frequency name beside it');
  }
  const pattern = namePattern === undefined ? undefined : expressionOf(namePattern);
  const name = basename(file);
  if (file === STANDARD_STREAM && (typeof recorded === 'string' || frequency === 'name')) {
    throw new DotphaseError(
      '--recorded',
      'standard input',
      'a file: standard input has no name and no chunk before it',
    );
  }
  const began =
    recorded === 'name'
      ? recordedByName(file, name, pattern)
      : recorded === 'chunk'
        ? await recordedByChunk(file)
        : recorded;
  const hz = frequency === 'name' ? frequencyByName(file, name, pattern) : frequency;
  return {
    ...(began !== undefined && { recorded: began }),
    ...(hz !== undefined && { frequencyHz: hz }),
  };
}
