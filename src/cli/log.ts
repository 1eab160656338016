/**
 * `dotphase log`: what was made, sent and received.
 */
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING } from '../errors.js';
import {
  LOG_DIRECTIONS,
  logEntries,
  logToCsv,
  logToJsonLines,
  multiFrequencySendings,
  type CallLog,
  type LogDirection,
  type LogEntry,
  type LogFilter,
} from '../records/index.js';
import { openSqliteLog } from '../records/sqlite/index.js';
import { EXIT } from './exit.js';
import { HEARD_KINDS, entryLines, isDistressEntry } from './log/entries.js';
import { parseMoment } from './log/moment.js';
import { integerOption } from './options.js';
import { send } from './output.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { screenOf } from './terminal.js';
import { parseWord } from './words.js';

interface LogFlags extends ProfileFlags {
  readonly kind?: string;
  readonly identity?: string;
  readonly direction?: LogDirection;
  readonly since?: number;
  readonly until?: number;
  readonly last?: number;
  readonly apart?: true;
  readonly csv?: true;
  readonly json?: true;
}

const HELP = `
Times are UTC and those of a call's beginning, also that of its
acknowledgement. A log is written by the option --log of encode, decode,
rehearse and answer. A call is made (written to a file), sent or received.

CSV and JSON have the same names: time (ISO 8601), direction, stopped,
category, kind, nature, from, to, casualty, latitude and longitude (degrees,
north and east positive), positionTime, frequencyHz, voiceReceiveHz and
voiceTransmitHz (what the called station receives and transmits on, on voice),
quality, snrDb, errorProbability, file, recording (SHA-256 of the file), offset
(seconds in it), sendings (how many of the attempt were received; what else
stands there is of the surest), sendingOffsets and sendingTimes (where and when
each began, where it was more than one), acknowledged, text, symbols, call;
timeSource, input, sameAs (the entry with the same call heard elsewhere),
multiFrequencyAttempt (the same number in each entry of a distress call that was
heard on several frequencies: without --csv and --json they are shown as one).

Examples:
  What was heard in the last six hours:
    dotphase log calls.db --direction received --since 6h
  Everything from, to or about a ship, for a spreadsheet:
    dotphase log calls.db --identity "299 123 456" --csv > ship.csv
  The twenty latest test calls:
    dotphase log calls.db --kind test-call --last 20
  Distress calls first, everything else below:
    dotphase log calls.db --apart
  Where each casualty was, for another program:
    dotphase log calls.db --json | jq -r 'select(.nature) | [.time, .latitude, .longitude] | @csv'`;

/** Adds `log` to the program. */
export function addLog(program: Command): void {
  const command = program
    .command('log')
    .summary('lists and exports a log of calls')
    .description('Lists the calls in a log, or exports them as CSV or JSON.')
    .argument('[file]', 'SQLite file that another command logged in (default: log of the settings)')
    .option('--kind <kind>', 'only calls of this kind, in plain words', (text) =>
      parseWord(text, HEARD_KINDS, '--kind'),
    )
    .option(
      '--identity <identity>',
      'only calls from, to or about this identity: nine digits, or a name with --book',
    )
    .addOption(new Option('--direction <way>', 'only calls that went this way').choices(LOG_DIRECTIONS))
    .option('--since <moment>', 'only calls from then on: 2031-05-17, 2031-05-17T09:30, or 6h ago', (text) =>
      parseMoment(text, '--since', Date.now()),
    )
    .option('--until <moment>', 'only calls before then', (text) => parseMoment(text, '--until', Date.now()))
    .option('--last <number>', 'only the latest so many', integerOption('--last', 1, 1_000_000))
    .addOption(
      new Option('--apart', 'distress calls and other calls under headings of their own').conflicts([
        'csv',
        'json',
      ]),
    )
    .addOption(new Option('--csv', 'comma-separated values').conflicts('json'))
    .option('--json', 'one JSON object a line for each call');
  addProfileFlags(command, { position: false }).addHelpText('after', HELP).action(list);
}

function filterOf({ kind, identity, direction, since, until }: LogFlags, profile: Profile): LogFilter {
  return {
    ...(kind !== undefined && { kind }),
    ...(identity !== undefined && { identity: profile.station(identity) }),
    ...(direction !== undefined && { direction }),
    ...(since !== undefined && { since }),
    ...(until !== undefined && { until }),
  };
}

async function list(file: string | undefined, flags: LogFlags): Promise<void> {
  const profile = await profileOf(flags);
  const path = file ?? profile.log;
  if (path === undefined) throw new DotphaseError('file', NOTHING, 'the file of a log');
  const log = await openSqliteLog(path, { clock: Date.now, readonly: true });
  try {
    const filter = filterOf(flags, profile);
    const { last } = flags;
    // The latest come out of the log last first, and are turned round again.
    const entries = (conditions: LogFilter) =>
      last === undefined
        ? logEntries(log, conditions)
        : log.list({ ...conditions, newestFirst: true, limit: last }).reverse();
    if (flags.csv) for (const line of logToCsv(entries(filter))) await send(line);
    else if (flags.json) for (const line of logToJsonLines(entries(filter))) await send(line);
    else await show(log, () => entries({ ...filter, together: true }), flags, profile);
  } finally {
    log.close();
  }
}

/** The headings under which entries are shown, and what belongs under each. */
const APART: readonly (readonly [string, (entry: LogEntry) => boolean])[] = [
  ['Distress calls', isDistressEntry],
  ['Other calls', (entry) => !isDistressEntry(entry)],
];

/** Shows entries to people, one after the other or under headings. */
async function show(
  log: CallLog,
  entries: () => Iterable<LogEntry>,
  { apart }: LogFlags,
  profile: Profile,
): Promise<void> {
  const screen = screenOf(process.stdout);
  const groups = apart ? APART : ([[undefined, () => true]] as const);
  let shown = 0;
  for (const [heading, belongs] of groups) {
    const before = shown;
    if (heading !== undefined) await send(`${screen.colours.bold(heading)}\n`);
    for (const entry of entries()) {
      if (!belongs(entry)) continue;
      const lines = entryLines(entry, screen, profile, multiFrequencySendings(log, entry));
      await send(`${lines.join('\n')}\n`);
      shown++;
    }
    if (heading !== undefined && shown === before) await send('none\n');
  }
  if (shown > 0) return;
  if (!apart) await send('No call in the log fits.\n');
  process.exitCode = EXIT.nothing;
}
