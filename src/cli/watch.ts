/**
 * `dotphase watch`: inputs that never end, heard into a log.
 */
import { readFile } from 'node:fs/promises';
import { dirname, isAbsolute, resolve } from 'node:path';
import { Option, type Command } from 'commander';
import { DotphaseError, reasonOf } from '../errors.js';
import { formatFrequency } from '../frequencies/index.js';
import {
  mayBeMultiFrequency,
  multiFrequencySendings,
  type CallLog,
  type LogEntry,
} from '../records/index.js';
import type { Quality } from '../receiver/index.js';
import { checkWatch, runWatch, type WatchConfig, type WatchEvent } from '../watch/index.js';
import { DECODED_DISTRESS_CAUTION, isDistress } from './cautions.js';
import { EXIT, warn } from './exit.js';
import { frequencyHeard, judge } from './judgement.js';
import { entryLines } from './log/entries.js';
import { frequenciesText, spanText } from './multifrequency.js';
import { addPageFlags, pagePlace, type PageFlags } from './page/flags.js';
import { servePage, type Page } from './page/server.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { RANK, callLine } from './report.js';
import { stopSignal } from './stopsignal.js';
import { plain, screenOf, wrap } from './terminal.js';
import { utcMoment } from './utc.js';

interface WatchFlags extends ProfileFlags, PageFlags {
  readonly json?: true;
  readonly quiet?: true;
}

const HELP = `
The file is JSON with the log and the inputs; its schema comes with the package
as dotphase/watch.schema.json. Files are named from where it lies. Each input
has a name, a command that writes samples to standard output or a pipe (or
device) that they are read from, how they are coded, and its DSC frequency:

  {
    "log": "heard.db",
    "inputs": [
      {
        "name": "mf",
        "command": ["arecord", "-q", "-D", "hw:1", "-f", "S16_LE", "-r", "12000", "-t", "raw"],
        "format": "s16",
        "sampleRate": 12000,
        "frequencyHz": 2187500
      },
      { "name": "vhf", "pipe": "/run/radio/ch70", "format": "s16", "sampleRate": 24000, "frequencyHz": 156525000 },
      { "name": "8 MHz", "pipe": "/run/radio/iq8", "format": "cs16", "sampleRate": 192000, "tunedHz": 8430000 }
    ]
  }

The last one is a slice of spectrum, I and Q in turn (cu8, cs8, cs16, cf32), up
to 10 million a second: every DSC frequency in it is heard, each call logged
with its own. "oscillatorPpm" tells how much higher than said it is tuned. With
"anywhere": true calls between the DSC frequencies are heard too, and logged
with their frequency as measured, to 10 Hz: a receiver for each 1600 Hz.

Each call stands in the log, safe against a crash, before it is told. While
another program holds the log, calls are kept, and told once they are logged.
An input that ends is started again, after 1 s, then 2, 4 and so on up to 60 s.
Gaps, silence, restarts and levels are logged too; dotphase heard shows all.
An input with "recorded" plays a recording that began then, and ends with it.

SIGTERM and SIGINT end the watch: what is being received is still given.
Started again, it goes on with the same log.`;

/** Adds `watch` to the program. */
export function addWatch(program: Command): void {
  const command = program
    .command('watch')
    .summary('listens to any number of inputs, for ever, into a log')
    .description('Hears inputs that never end, a receiver for each, and keeps what they receive in a log.')
    .argument('<config>', 'JSON file that names the log and the inputs')
    .addOption(
      new Option('--json', 'one JSON object a line for each call and each thing that happens').conflicts(
        'quiet',
      ),
    )
    .option('--quiet', 'tell nothing: what is heard stands in the log');
  addPageFlags(command);
  addProfileFlags(command, { position: false }).addHelpText('after', HELP).action(watch);
}

/** Files are named from where the file of the watch lies; a program that is no path is looked for by the system. */
async function readConfig(path: string): Promise<WatchConfig> {
  let data: unknown;
  try {
    data = JSON.parse(await readFile(path, 'utf8'));
  } catch (error) {
    throw new DotphaseError('watch', path, `a JSON file that can be read: ${reasonOf(error)}`);
  }
  const { log, inputs } = checkWatch(data);
  const beside = (file: string) => (isAbsolute(file) ? file : resolve(dirname(path), file));
  return {
    log: beside(log),
    inputs: inputs.map((input) => ({
      ...input,
      ...(input.pipe !== undefined && { pipe: beside(input.pipe) }),
    })),
  };
}

async function watch(path: string, flags: WatchFlags): Promise<void> {
  const config = await readConfig(path);
  const profile = await profileOf(flags);
  const tellerOf = (log: CallLog) =>
    flags.quiet ? undefined : flags.json ? tellPrograms(profile, config, log) : tellPeople(profile, log);
  let teller: ReturnType<typeof tellerOf>;
  const place = pagePlace(flags);
  let page: Page | undefined;
  try {
    await runWatch(config, {
      clock: Date.now,
      signal: stopSignal(),
      onEvent: (event) => {
        if (event.type === 'held') warn(heldText(event));
        teller?.(event);
        page?.tell(event);
      },
      onOpen: async (store) => {
        teller = tellerOf(store.calls);
        if (!place) return;
        page = await servePage(store, place, profile, true);
        process.stderr.write(`${page.url}\n`);
      },
    });
  } finally {
    await page?.close();
  }
  process.exitCode = EXIT.done;
}

function heldText({ since, until }: WatchEvent & { type: 'held' }): string {
  return until === undefined
    ? `another program has held the log since ${utcMoment(since)}; calls are told once they are logged`
    : `another program held the log until ${utcMoment(until)}; what was heard meanwhile is logged`;
}

function tellPrograms(profile: Profile, { inputs }: WatchConfig, log: CallLog): (event: WatchEvent) => void {
  const frequencies = new Map(
    inputs.map((input) => [input.name, 'frequencyHz' in input ? input.frequencyHz : undefined]),
  );
  return (event) => {
    if (event.type === 'call') {
      const { input, received, entry, utc: times } = event;
      const frequencyHz = frequencyHeard(received, frequencies.get(input));
      const judged = judge(received, { profile, frequencyHz, utc: times });
      process.stdout.write(`${callLine({ ...judged, ...numberOf(entry, log), input })}\n`);
    } else if (event.type === 'input') {
      const { kind, time, until, ...rest } = event.event;
      const moment = (milliseconds: number) => new Date(milliseconds).toISOString();
      process.stdout.write(
        `${JSON.stringify({ ...rest, event: kind, time: moment(time), ...(until !== undefined && { until: moment(until) }) })}\n`,
      );
    }
  };
}

/** Which sending of an attempt on several frequencies an entry is, for a line of JSON. */
function numberOf(entry: LogEntry, log: CallLog) {
  if (!mayBeMultiFrequency(entry)) return {};
  const frequencies = multiFrequencySendings(log, entry).map(({ frequencyHz }) => frequencyHz);
  const sending = frequencies.indexOf(entry.frequencyHz) + 1;
  const { sameAs = entry.id } = entry;
  return { multiFrequencyAttempt: { id: entry.multiFrequencyAttempt ?? sameAs, sending } };
}

/** Whether a call comes from an input with several frequencies. */
const isSeveral = <Call extends { frequencyHz?: number }>(
  call: Call,
): call is Call & { frequencyHz: number } => call.frequencyHz !== undefined;

function tellPeople(profile: Profile, log: CallLog): (event: WatchEvent) => void {
  const screen = screenOf(process.stdout);
  const { colours, width } = screen;
  /** Of each input and frequency the latest attempt, and how surely it was read. */
  const best = new Map<string, { attempt: number; quality: Quality }>();
  return (event) => {
    if (event.type === 'call') {
      const { entry, received, input, utc: times } = event;
      const { attempt, quality } = received;
      const place = isSeveral(received) ? `${input}, ${formatFrequency(received.frequencyHz)}` : input;
      const before = best.get(place);
      const isFurther =
        attempt.sending > 1 && before?.attempt === attempt.id && RANK[quality] >= RANK[before.quality];
      if (!isFurther) best.set(place, { attempt: attempt.id, quality });
      if (isFurther) {
        const line = `${utcMoment(times.start)}  ${place}: sending ${attempt.sending} of the same attempt, ${quality}`;
        process.stdout.write(`${colours.dim(plain(line))}\n`);
        return;
      }
      const together = multiFrequencySendings(log, entry);
      if (together.some(({ id, sameAs }) => id !== entry.id && sameAs === undefined)) {
        const line = `${utcMoment(times.start)}  ${place}: a call of the same attempt, ${quality}: ${frequenciesText(together)}, begun ${spanText(together)}`;
        process.stdout.write(`${wrap(plain(line), width, ' '.repeat(21)).map(colours.dim).join('\n')}\n`);
        return;
      }
      process.stdout.write(`${entryLines(entry, screen, profile).join('\n')}\n`);
      if (isDistress(received.symbols, received.certainty))
        process.stdout.write(`${colours.yellow(wrap(DECODED_DISTRESS_CAUTION, width).join('\n'))}\n`);
    } else if (event.type === 'input') {
      const { time, until, input, text } = event.event;
      const over = until === undefined ? '' : ` until ${utcMoment(until)}`;
      const line = `${utcMoment(time)}  ${input}: ${text}${over}`;
      process.stdout.write(`${colours.dim(plain(line))}\n`);
    }
  };
}
