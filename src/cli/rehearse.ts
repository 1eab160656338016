/**
 * `dotphase rehearse`: an exchange with virtual stations.
 */
import { setTimeout as wait } from 'node:timers/promises';
import { Option, type Command } from 'commander';
import { encodeCall } from '../calls/index.js';
import { DotphaseError, NOTHING, reasonOf } from '../errors.js';
import {
  SCENARIOS,
  createPlay,
  parseScenario,
  scenarioJsonSchema,
  stationLogger,
  type SimulationEvent,
  type Scenario,
  type ScenarioPlay,
} from '../simulation/index.js';
import { isDistress, transmitCaution } from './cautions.js';
import { EXIT } from './exit.js';
import { STANDARD_STREAM, lookInto, readStandardInput } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { integerOption, numberOption } from './options.js';
import type { HumanOperator } from './rehearse/humanoperator.js';
import { eventJson } from './rehearse/json.js';
import { View } from './rehearse/view.js';
import { WavFiles } from './rehearse/wavfiles.js';
import { plain, screenOf, wrap } from './terminal.js';

interface RehearseFlags {
  readonly auto?: true;
  readonly pace?: number;
  readonly wav?: string;
  readonly rateHz: number;
  readonly log?: string;
  readonly seed?: number;
  readonly json?: true;
  readonly verbose?: true;
  readonly print?: true;
  readonly schema?: true;
}

const DEFAULT_RATE_HZ = 8000;
const SLOWEST_PACE = 0.1;
const FASTEST_PACE = 1000;

const names = Object.keys(SCENARIOS);

function scenariosHelp(): string {
  const { width } = screenOf(process.stdout);
  const longest = Math.max(...names.map((name) => name.length));
  const lines = Object.entries(SCENARIOS).flatMap(([name, { title }]) =>
    wrap(title, width, ' '.repeat(longest + 4), `  ${name.padEnd(longest)}  `),
  );
  return `\nScenarios of the package:\n${lines.join('\n')}`;
}

const HELP = `
Without --auto you play the scenario's own station: you are asked at each cue
of the script and wherever there is something to choose. The scenario's clock
stands still meanwhile, and runs as fast as it computes unless --pace is given.

Examples:
  Watch an exchange:
    dotphase rehearse --auto false-alert
  Play your part, in real time, with the rule of every step:
    dotphase rehearse --pace 1 --verbose medical-advice
  The audio of each frequency, as heard and sent at the own station:
    dotphase rehearse --auto second-attempt --wav audio
  A scenario of your own, from one of the package:
    dotphase rehearse --print false-alert > mine.json
    dotphase rehearse --auto mine.json`;

/** Adds `rehearse` to the program. */
export function addRehearse(program: Command): void {
  program
    .command('rehearse')
    .summary('an exchange with virtual stations')
    .description(
      'Plays a scenario: virtual stations exchange calls as audio on a virtual medium, with the times, the frequencies and what follows on voice.',
    )
    .argument('[scenario]', 'a name below, a JSON file, or - for JSON from standard input')
    .option('--auto', 'let the script and the virtual operators do everything')
    .option(
      '--pace <times>',
      'so many times faster than life (default: as fast as it computes)',
      numberOption('--pace', SLOWEST_PACE, FASTEST_PACE),
    )
    .option('--wav <folder>', 'write the audio of each frequency that the own station watches')
    .option(
      '--rate-hz <hz>',
      'sample rate of the medium',
      integerOption('--rate-hz', 8000, 48_000, 'Hz'),
      DEFAULT_RATE_HZ,
    )
    .option(...LOG_FLAG)
    .option(
      '--seed <number>',
      'chooses everything random (default: as the scenario says)',
      integerOption('--seed', 0, Number.MAX_SAFE_INTEGER),
    )
    .addOption(
      new Option('--json', 'one JSON object a line for everything that happens').implies({ auto: true }),
    )
    .option('--verbose', 'show each phase, what others are told, and the rule of everything')
    .option('--print', 'print the scenario as JSON and play nothing')
    .option('--schema', 'print the JSON Schema of scenarios')
    .addHelpText('after', scenariosHelp)
    .addHelpText('after', HELP)
    .action(rehearse);
}

function parseJson(text: string, source: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new DotphaseError(source, text, `a scenario in JSON (${reasonOf(error)})`);
  }
}

async function scenarioOf(source: string | undefined, seed: number | undefined): Promise<Scenario> {
  if (source === undefined) {
    throw new DotphaseError('scenario', NOTHING, `one of ${names.join(', ')}, a JSON file or -`);
  }
  const known = Object.entries(SCENARIOS).find(([name]) => name === source);
  const read = async (): Promise<unknown> => {
    if (source === STANDARD_STREAM) return parseJson(await readStandardInput(), 'standard input');
    if (!/[./\\]/.test(source)) {
      throw new DotphaseError('scenario', source, `one of ${names.join(', ')}, a JSON file or -`);
    }
    const found = await lookInto(source);
    if (found.isRecording) throw new DotphaseError(source, 'an audio file', 'a scenario in JSON');
    return parseJson(found.text, source);
  };
  const scenario = known ? known[1] : parseScenario(await read());
  return seed === undefined ? scenario : { ...scenario, seed };
}

/** The cautions that the calls of a scenario ask for, each once. */
class Cautions {
  private readonly said = new Set<string>();

  take(event: SimulationEvent): string | undefined {
    if (event.type !== 'sending') return undefined;
    const symbols = encodeCall(event.call).symbols;
    const caution = transmitCaution(symbols);
    const key = isDistress(symbols, undefined) ? 'distress' : 'other';
    if (caution === undefined || this.said.has(key) || this.said.has('distress')) return undefined;
    this.said.add(key);
    return caution;
  }
}

/** Keeps the scenario's clock to so many times the pace of real time. */
class Pacer {
  private begun = Date.now();

  constructor(
    private readonly pace: number,
    private readonly start: number,
  ) {}

  /** Waits until the real time of a moment of the scenario. */
  async until(at: number): Promise<void> {
    const delay = this.begun + (at - this.start) / this.pace - Date.now();
    if (delay > 0) await wait(delay);
  }

  /** Lets real time pass that does not count. */
  async standStill(act: () => Promise<void>): Promise<void> {
    const before = Date.now();
    await act();
    this.begun += Date.now() - before;
  }
}

async function rehearse(source: string | undefined, flags: RehearseFlags): Promise<void> {
  if (flags.schema) {
    process.stdout.write(`${JSON.stringify(scenarioJsonSchema(), undefined, 2)}\n`);
    return;
  }
  const scenario = await scenarioOf(source, flags.seed);
  if (flags.print) {
    process.stdout.write(`${JSON.stringify(scenario, undefined, 2)}\n`);
    return;
  }
  if (!flags.auto && !(process.stdin.isTTY && process.stdout.isTTY)) {
    throw new DotphaseError('--auto', NOTHING, '--auto, for there is no terminal to ask a person at');
  }
  await perform(scenario, flags);
}

/** The person at the set; what asks them is loaded only then. */
async function createHumanOperator(play: ScenarioPlay, view: View): Promise<HumanOperator> {
  const { HumanOperator } = await import('./rehearse/humanoperator.js');
  return new HumanOperator(play, view);
}

async function perform(scenario: Scenario, flags: RehearseFlags): Promise<void> {
  const log = await LogFile.open(flags.log);
  const files = flags.wav === undefined ? undefined : new WavFiles(flags.wav, flags.rateHz);
  const screen = screenOf(process.stdout);
  const view = new View(scenario, screen, { verbose: flags.verbose === true });
  const logger = log.write((calls) =>
    stationLogger(calls, scenario, (identity) => view.nameAndDigits(identity)),
  );
  const cautions = new Cautions();
  const play = createPlay(scenario, {
    manual: flags.auto ? [] : [scenario.own],
    sampleRate: flags.rateHz,
    ...(files && {
      onAudio: (frequencyHz, samples) => {
        files.push(frequencyHz, samples);
      },
    }),
  });
  const humanOperator = flags.auto ? undefined : await createHumanOperator(play, view);

  const show = async (happened: readonly SimulationEvent[]): Promise<void> => {
    for (const event of happened) {
      log.write(() => logger?.take(event));
      const caution = files && cautions.take(event);
      if (caution !== undefined) {
        const error = screenOf(process.stderr);
        process.stderr.write(`${error.colours.yellow(wrap(caution, error.width).join('\n'))}\n`);
      }
      if (flags.json) process.stdout.write(`${eventJson(event)}\n`);
      else for (const line of view.lines(event)) process.stdout.write(`${line}\n`);
      if (humanOperator) await show(await humanOperator.take(event));
    }
  };

  try {
    if (!flags.json) process.stdout.write(`${view.heading().join('\n')}\n`);
    const end = Date.parse(scenario.start) + scenario.durationSeconds * 1000;
    const pacer = new Pacer(flags.pace ?? Infinity, play.now);
    for (;;) {
      const moments = [play.next(), humanOperator?.next()].filter((at) => at !== undefined && at <= end);
      if (moments.length === 0) break;
      const at = Math.max(play.now, Math.min(...(moments as number[])));
      await pacer.until(at);
      const happened = play.advance(at);
      await pacer.standStill(async () => {
        await show(happened);
        if (humanOperator) await show(await humanOperator.remind());
      });
    }
    await show(play.advance(Infinity));
  } catch (error) {
    // Ctrl-C at a question ends the rehearsal.
    if (!(error instanceof Error && error.name === 'ExitPromptError')) throw error;
    process.exitCode = EXIT.done;
  } finally {
    const written = files?.close() ?? [];
    if (written.length > 0) process.stderr.write(`Wrote ${plain(written.join(', '))}.\n`);
    log.write(() => logger?.breakOff(play.now));
    log.close();
    if (log.failed) process.exitCode = EXIT.bad;
  }
}
