/**
 * `dotphase log`: what was sent and received.
 */
import { Option, type Command } from 'commander';
import { CALL_KINDS, describeCall, type DecodedCall } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { formatFrequency } from '../frequencies/index.js';
import {
  logEntries,
  logToCsv,
  logToJson,
  type LogDirection,
  type LogEntry,
  type LogFilter,
} from '../records/index.js';
import { openSqliteLog } from '../records/sqlite/index.js';
import { EXIT } from './exit.js';
import { parseMoment } from './log/moment.js';
import { integerOption } from './options.js';
import { addOwnFlags, ownOf, type Own, type OwnFlags } from './own/own.js';
import { screenOf, wrap, type Screen } from './terminal.js';
import { parseWord } from './words.js';

interface LogFlags extends OwnFlags {
  readonly kind?: string;
  readonly identity?: string;
  readonly direction?: LogDirection;
  readonly since?: number;
  readonly until?: number;
  readonly last?: number;
  readonly csv?: true;
  readonly json?: true;
}

const HELP = `
Times are UTC. A log is written by the option --log of encode, decode,
rehearse and answer.

Examples:
  What was heard in the last six hours:
    dotphase log calls.db --direction received --since 6h
  Everything from, to or about a ship, for a spreadsheet:
    dotphase log calls.db --identity "299 123 456" --csv > ship.csv
  The twenty latest test calls:
    dotphase log calls.db --kind test-call --last 20`;

const KINDS = [
  ...CALL_KINDS,
  'irregularCall',
  'irregularAutomaticCall',
  'irregularDistressCall',
  'unassignedCall',
  'partialCall',
];

/** Adds `log` to the program. */
export function addLog(program: Command): void {
  const command = program
    .command('log')
    .summary('lists and exports a log of calls')
    .description('Lists the calls in a log, or exports them as CSV or JSON.')
    .argument('[file]', 'SQLite file that another command logged in (default: log of the settings)')
    .option('--kind <kind>', 'only calls of this kind, in plain words', (text) =>
      parseWord(text, KINDS, '--kind'),
    )
    .option(
      '--identity <identity>',
      'only calls from, to or about this identity: nine digits, or a name with --book',
    )
    .addOption(new Option('--direction <way>', 'only calls that went this way').choices(['sent', 'received']))
    .option('--since <moment>', 'only calls from then on: 2031-05-17, 2031-05-17T09:30, or 6h ago', (text) =>
      parseMoment(text, '--since', Date.now()),
    )
    .option('--until <moment>', 'only calls before then', (text) => parseMoment(text, '--until', Date.now()))
    .option('--last <number>', 'only the latest so many', integerOption('--last', 1, 1_000_000))
    .addOption(new Option('--csv', 'comma-separated values').conflicts('json'))
    .option('--json', 'one JSON array');
  addOwnFlags(command, { position: false }).addHelpText('after', HELP).action(list);
}

function filterOf({ kind, identity, direction, since, until }: LogFlags, own: Own): LogFilter {
  return {
    ...(kind !== undefined && { kind }),
    ...(identity !== undefined && { identity: own.station(identity) }),
    ...(direction !== undefined && { direction }),
    ...(since !== undefined && { since }),
    ...(until !== undefined && { until }),
  };
}

async function list(file: string | undefined, flags: LogFlags): Promise<void> {
  const own = await ownOf(flags);
  const path = file ?? own.log;
  if (path === undefined) throw new DotphaseError('file', 'nothing', 'the file of a log');
  const log = await openSqliteLog(path, { clock: Date.now, readonly: true });
  try {
    const filter = filterOf(flags, own);
    // The latest come out of the log last first, and are turned round again.
    const entries =
      flags.last === undefined
        ? logEntries(log, filter)
        : log.list({ ...filter, newestFirst: true, limit: flags.last }).reverse();
    const screen = screenOf(process.stdout);
    const pieces = flags.csv
      ? logToCsv(entries)
      : flags.json
        ? logToJson(entries)
        : lines(entries, screen, own);
    let isEmpty = true;
    for (const piece of pieces) {
      await write(piece);
      isEmpty = false;
    }
    if (!isEmpty || flags.csv || flags.json) return;
    process.stdout.write('No call in the log fits.\n');
    process.exitCode = EXIT.nothing;
  } finally {
    log.close();
  }
}

function write(text: string): Promise<void> {
  return new Promise((resolve, reject) => {
    process.stdout.write(text, (error) => {
      if (error) reject(error);
      else resolve();
    });
  });
}

function utc(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 19).replace('T', ' ');
}

/** Entries for people, a piece for each. */
function* lines(entries: Iterable<LogEntry>, screen: Screen, own: Own): Generator<string, void, undefined> {
  for (const entry of entries) yield `${entryLines(entry, screen, own).join('\n')}\n`;
}

/** The call of an entry with names, or what stands in the log of a call that is no longer understood. */
function textOf({ call, text }: LogEntry, own: Own): string {
  try {
    return describeCall(call as DecodedCall, { station: (identity) => own.describe(identity) });
  } catch {
    return text;
  }
}

function entryLines(entry: LogEntry, { width, colours }: Screen, own: Own): string[] {
  const { time, direction, frequencyHz, quality, acknowledgedAt } = entry;
  const text = textOf(entry, own);
  const facts = [
    direction,
    ...(frequencyHz === undefined ? [] : [`on ${formatFrequency(frequencyHz)}`]),
    ...(quality === undefined ? [] : [`read ${quality}`]),
    ...(acknowledgedAt === undefined ? [] : [`acknowledged ${utc(acknowledgedAt).slice(11)}`]),
  ];
  const head = `${utc(time)}  `;
  const indent = ' '.repeat(head.length);
  const doubt = quality === 'doubtful' ? `${colours.red('Doubtful:')} ` : '';
  return [
    ...wrap(`${doubt}${text}`, width, indent, colours.bold(head)),
    ...wrap(facts.join(', '), width, indent, indent).map((line) => colours.dim(line)),
  ];
}
