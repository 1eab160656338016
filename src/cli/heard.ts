/**
 * `dotphase heard`: what stands in a log as heard, listed, counted and exported.
 */
import { Option, type Command } from 'commander';
import { formatIdentity, formatPosition, identityMid, midAdministration } from '../calls/index.js';
import { csvRow } from '../data/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { formatFrequency, parseFrequency } from '../frequencies/index.js';
import {
  logEntries,
  logToCsv,
  logToGeoJson,
  logToJsonLines,
  logToKml,
  logToSentences,
  multiFrequencySendings,
  type LogEntry,
  type LogFilter,
  type Success,
} from '../records/index.js';
import {
  COUNTED_BY,
  openHeardStore,
  type HeardStore,
  type InputEvent,
  type StationHeard,
} from '../records/sqlite/index.js';
import { DECODED_DISTRESS_CAUTION } from './cautions.js';
import { EXIT, warn } from './exit.js';
import { HEARD_KINDS, entryLines, isDistressEntry } from './log/entries.js';
import { utcMoment } from './utc.js';
import { parseMoment } from './log/moment.js';
import { integerOption } from './options.js';
import { send } from './output.js';
import { addPageFlags, pagePlace, type PageFlags, type PagePlace } from './page/flags.js';
import { servePage } from './page/server.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { plain, screenOf, wrap } from './terminal.js';
import { kebab, parseWord } from './words.js';

interface HeardFlags extends ProfileFlags, PageFlags {
  readonly kind?: string;
  readonly identity?: string;
  readonly frequency?: number;
  readonly input?: string;
  readonly text?: string;
  readonly sure?: true;
  readonly each?: true;
  readonly since?: number;
  readonly until?: number;
  readonly last?: number;
  readonly stations?: true;
  readonly tests?: 'frequency' | 'hour' | 'station';
  readonly count?: (typeof COUNTED_BY)[number];
  readonly events?: true;
  readonly csv?: true;
  readonly json?: true;
  readonly geojson?: true;
  readonly kml?: true;
  readonly sentences?: true;
}

const HELP = `
A log is written by --log of decode and other commands, and by watch. Times are
UTC. A call that was heard on several inputs or in several recordings is shown
once, as the surest of them has it, and a distress call that was sent on several
frequencies as one attempt; --each shows all. Lines of JSON and CSV hold each
frequency, with the same multiFrequencyAttempt.

--tests tells how many test calls were acknowledged within five minutes, and the
range in which the true share lies with a confidence of 95 % (Wilson): of few
calls it says little. Doubtful calls count neither there nor among the stations.

GeoJSON and KML hold the positions and areas that calls carry, for a map.
Sentences are $CDDSC and $CDDSE (IEC 61162-1), without doubtful calls. What was
heard is text from anybody: in none of these can it become a formula or markup.

Examples:
  What was heard in the last six hours, without what may be wrong:
    dotphase heard calls.db --since 6h --sure
  Which stations, when and where:
    dotphase heard calls.db --stations --book stations.csv
  Which frequency works when:
    dotphase heard calls.db --tests frequency
    dotphase heard calls.db --tests hour --frequency 8414.5
  A map of all positions:
    dotphase heard calls.db --geojson > heard.geojson`;

/** Adds `heard` to the program. */
export function addHeard(program: Command): void {
  const command = program
    .command('heard')
    .summary('what was heard: lists, stations, counts, maps')
    .description(
      'Lists the calls that a log holds as heard, counts them, and exports them for maps and tables.',
    )
    .argument('[file]', 'SQLite file that another command logged in (default: log of the settings)');
  const only = (flags: string, help: string, read?: (text: string) => unknown) => {
    const option = new Option(flags, help).helpGroup('Which calls:');
    command.addOption(read ? option.argParser(read) : option);
  };
  const moment = (flag: string) => (text: string) => parseMoment(text, flag, Date.now());
  only('--kind <kind>', 'only calls of this kind, in plain words', (text) =>
    parseWord(text, HEARD_KINDS, '--kind'),
  );
  only(
    '--identity <identity>',
    'only calls from, to or about this identity: nine digits, or a name with --book',
  );
  only(
    '--frequency <frequency>',
    'only calls heard on this DSC frequency, as in "8414.5 kHz"',
    parseFrequency,
  );
  only('--input <name>', 'only calls heard on this input of a watch');
  only('--text <words>', 'only calls whose sentence holds these words');
  only('--sure', 'no doubtful calls');
  only('--each', 'each reading of a call that was heard in several places');
  only(
    '--since <moment>',
    'only calls from then on: 2031-05-17, 2031-05-17T09:30, or 6h ago',
    moment('--since'),
  );
  only('--until <moment>', 'only calls before then', moment('--until'));
  only('--last <number>', 'only the latest so many', integerOption('--last', 1, 1_000_000));

  const WHAT = ['stations', 'tests', 'count', 'events'];
  const FORMS = ['csv', 'json', 'geojson', 'kml', 'sentences'];
  const show = (name: string, flags: string, help: string, choices?: readonly string[]) => {
    const option = new Option(flags, help)
      .helpGroup('What is shown instead of calls:')
      .conflicts([...WHAT.filter((other) => other !== name), 'geojson', 'kml', 'sentences']);
    command.addOption(choices ? option.choices(choices) : option);
  };
  show('stations', '--stations', 'the stations heard: when, on which frequencies, where, and whose they are');
  show('tests', '--tests <by>', 'how many test calls were acknowledged', ['frequency', 'hour', 'station']);
  show('count', '--count <by>', 'how many calls there are', COUNTED_BY);
  show('events', '--events', 'what happened to the inputs of a watch: gaps, silence, restarts');
  const form = (name: string, help: string) => {
    command.addOption(
      new Option(`--${name}`, help)
        .helpGroup('In which form:')
        .conflicts(FORMS.filter((other) => other !== name)),
    );
  };
  form('csv', 'comma-separated values');
  form('json', 'one JSON object a line');
  form('geojson', 'positions and areas for a map (RFC 7946)');
  form('kml', 'positions and areas for a map (OGC KML 2.2)');
  form('sentences', 'IEC 61162-1 sentences for a chart system');
  addPageFlags(command);
  addProfileFlags(command, { position: false }).addHelpText('after', HELP).action(heard);
}

function filterOf(flags: HeardFlags, profile: Profile): LogFilter {
  const { kind, identity, frequency, input, text, since, until } = flags;
  return {
    direction: 'received',
    ...(flags.each ? {} : { once: true }),
    ...(flags.sure && { sure: true }),
    ...(kind !== undefined && { kind }),
    ...(identity !== undefined && { identity: profile.station(identity) }),
    ...(frequency !== undefined && { frequencyHz: frequency }),
    ...(input !== undefined && { input }),
    ...(text !== undefined && { text }),
    ...(since !== undefined && { since: Math.round(since) }),
    ...(until !== undefined && { until: Math.round(until) }),
  };
}

async function heard(file: string | undefined, flags: HeardFlags): Promise<void> {
  const profile = await profileOf(flags);
  const path = file ?? profile.log;
  if (path === undefined) throw new DotphaseError('file', NOTHING, 'the file of a log');
  const store = await openHeardStore(path, { clock: Date.now, readonly: true });
  try {
    const place = pagePlace(flags);
    if (place) {
      await showPage(store, place, profile);
      return;
    }
    const filter = filterOf(flags, profile);
    const shown = await show(store, filter, flags, profile);
    if (shown === 0) {
      if (!flags.csv && !flags.json && !flags.geojson && !flags.kml && !flags.sentences)
        await send('Nothing in the log fits.\n');
      process.exitCode = EXIT.nothing;
    }
  } finally {
    store.close();
  }
}

/** Serves the page until the person or the system ends it. */
async function showPage(store: HeardStore, place: PagePlace, profile: Profile): Promise<void> {
  const page = await servePage(store, place, profile, false);
  process.stderr.write(`${page.url}\n`);
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, resolve);
  });
  await page.close();
}

/** Shows what was asked for; gives how much that was. */
function show(store: HeardStore, filter: LogFilter, flags: HeardFlags, profile: Profile): Promise<number> {
  if (flags.stations) return table(STATIONS, store.stations(filter).map(stationRow(profile)), flags);
  if (flags.tests !== undefined) {
    const by = flags.tests;
    const rows = store.testSuccess(by, filter).map((row) => ({ ...row, key: keyText(by, row.key, profile) }));
    return table(TESTS, rows, flags);
  }
  if (flags.count !== undefined) {
    const by = flags.count;
    const rows = store.count(by, filter).map(({ key, calls }) => ({ key: keyText(by, key, profile), calls }));
    return table(COUNTS, rows, flags);
  }
  if (flags.events) return table(EVENTS, store.events(eventsOf(flags)), flags);
  return calls(store, filter, flags, profile);
}

function eventsOf({ since, until, input }: HeardFlags) {
  return {
    ...(since !== undefined && { since }),
    ...(until !== undefined && { until }),
    ...(input !== undefined && { input }),
  };
}

async function calls(
  store: HeardStore,
  filter: LogFilter,
  flags: HeardFlags,
  profile: Profile,
): Promise<number> {
  const { last, each, csv, json } = flags;
  const conditions = each || csv || json ? filter : { ...filter, together: true };
  let count = 0;
  function* entries(): Generator<LogEntry> {
    const found =
      last === undefined
        ? logEntries(store.calls, conditions)
        : store.calls.list({ ...conditions, newestFirst: true, limit: last }).reverse();
    for (const entry of found) {
      count++;
      yield entry;
    }
  }
  const screen = screenOf(process.stdout);
  let leftOut = 0;
  const forms: readonly (readonly [true | undefined, () => Iterable<string>])[] = [
    [flags.csv, () => logToCsv(entries())],
    [flags.json, () => logToJsonLines(entries())],
    [flags.geojson, () => logToGeoJson(entries())],
    [flags.kml, () => logToKml(entries())],
    [flags.sentences, () => logToSentences(entries(), () => leftOut++)],
  ];
  const chosen = forms.find(([wanted]) => wanted)?.[1];
  if (chosen) for (const piece of chosen()) await send(piece);
  else {
    let isAboutDistress = false;
    for (const entry of entries()) {
      isAboutDistress ||= isDistressEntry(entry);
      const shown = each ? [entry] : multiFrequencySendings(store.calls, entry);
      await send(`${entryLines(entry, screen, profile, shown).join('\n')}\n`);
    }
    if (isAboutDistress)
      await send(`${screen.colours.yellow(wrap(DECODED_DISTRESS_CAUTION, screen.width).join('\n'))}\n`);
  }
  if (leftOut > 0)
    warn(
      `${leftOut === 1 ? '1 call is' : `${leftOut} calls are`} left out: doubtful, not received whole, or carried by no sentence`,
    );
  return count - leftOut;
}

/** A column of a table: its name, for people and programs. */
interface Column<Row> {
  readonly name: string;
  readonly read: (row: Row) => string | number | undefined;
  /** For people, where that differs. */
  readonly say?: (row: Row) => string;
}

async function table<Row>(
  columns: readonly Column<Row>[],
  rows: readonly Row[],
  flags: HeardFlags,
): Promise<number> {
  if (flags.csv) {
    await send(csvRow(columns.map(({ name }) => name)));
    for (const row of rows) await send(csvRow(columns.map(({ read }) => read(row))));
    return rows.length;
  }
  if (flags.json) {
    for (const row of rows)
      await send(
        `${JSON.stringify(Object.fromEntries(columns.map(({ name, read }) => [name, read(row)])))}\n`,
      );
    return rows.length;
  }
  if (rows.length === 0) return 0;
  const { colours } = screenOf(process.stdout);
  const said = rows.map((row) =>
    columns.map(({ read, say }) => plain(say?.(row) ?? String(read(row) ?? ''))),
  );
  const widths = columns.map(({ name }, i) => Math.max(name.length, ...said.map((cells) => cells[i].length)));
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, i) => cell.padEnd(widths[i]))
      .join('  ')
      .trimEnd();
  await send(`${colours.bold(line(columns.map(({ name }) => name)))}\n`);
  for (const cells of said) await send(`${line(cells)}\n`);
  return rows.length;
}

/** What calls are counted by, for people and programs. */
function keyText(by: string, key: string | number | undefined, profile: Profile): string {
  if (key === undefined) return 'not known';
  if (by === 'frequency') return formatFrequency(Number(key));
  if (by === 'hour') return `${String(key).padStart(2, '0')}:00`;
  if (by === 'station') return /^\d{9}$/.test(String(key)) ? profile.describe(String(key)) : String(key);
  return by === 'kind' ? kebab(String(key)).replaceAll('-', ' ') : String(key);
}

const moment = (time: number | undefined) => (time === undefined ? undefined : new Date(time).toISOString());
const said = (time: number | undefined) => (time === undefined ? 'not known' : utcMoment(time));

interface StationRow extends StationHeard {
  readonly name: string;
  readonly country: string | undefined;
}

/** The administration that an identity's digits belong to; a ship may fly another flag today. */
function countryOf(identity: string): string | undefined {
  const mid = identityMid(identity);
  return mid === undefined ? undefined : midAdministration(mid);
}

const stationRow =
  (profile: Profile) =>
  (station: StationHeard): StationRow => ({
    ...station,
    name: profile.describe(station.identity),
    country: countryOf(station.identity),
  });

const STATIONS: readonly Column<StationRow>[] = [
  { name: 'identity', read: ({ identity }) => formatIdentity(identity) },
  { name: 'name', read: ({ name }) => name },
  { name: 'country', read: ({ country }) => country, say: ({ country }) => country ?? 'not known' },
  { name: 'calls', read: ({ calls: count }) => count },
  { name: 'first', read: ({ first }) => moment(first), say: ({ first }) => said(first) },
  { name: 'last', read: ({ last }) => moment(last), say: ({ last }) => said(last) },
  {
    name: 'frequencies',
    read: ({ frequencies }) => frequencies.join(' '),
    say: ({ frequencies }) => frequencies.map(formatFrequency).join(', '),
  },
  {
    name: 'position',
    read: ({ positions: [latest] }) =>
      positionOf(latest, ({ latitude, longitude }) => `${latitude} ${longitude}`),
    say: ({ positions: [latest] }) => positionOf(latest, formatPosition) ?? '',
  },
];

function positionOf(
  latest: StationHeard['positions'][number] | undefined,
  format: (position: { latitude: number; longitude: number }) => string,
): string | undefined {
  return latest && format({ latitude: latest.latitude, longitude: latest.longitude });
}

const percent = (share: number) => `${Math.round(100 * share)}`;

const TESTS: readonly Column<Success & { key: string }>[] = [
  { name: 'of', read: ({ key }) => key },
  { name: 'calls', read: ({ tried }) => tried },
  { name: 'acknowledged', read: ({ succeeded }) => succeeded },
  { name: 'percent', read: ({ tried, succeeded }) => Math.round((1000 * succeeded) / tried) / 10 },
  {
    name: 'range',
    read: ({ low, high }) => `${percent(low)} to ${percent(high)}`,
    say: ({ low, high }) => `${percent(low)} to ${percent(high)} %`,
  },
];

const COUNTS: readonly Column<{ key: string; calls: number }>[] = [
  { name: 'of', read: ({ key }) => key },
  { name: 'calls', read: ({ calls: count }) => count },
];

const EVENTS: readonly Column<InputEvent>[] = [
  { name: 'time', read: ({ time }) => moment(time), say: ({ time }) => utcMoment(time) },
  {
    name: 'until',
    read: ({ until }) => moment(until),
    say: ({ until }) => (until === undefined ? '' : utcMoment(until)),
  },
  { name: 'input', read: ({ input }) => input },
  { name: 'event', read: ({ kind }) => kind },
  { name: 'text', read: ({ text }) => text },
];
