/**
 * `dotphase sensitivity`: how weak a call a set still answers.
 */
import type { Command } from 'commander';
import { parseIdentity } from '../calls/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import { figureText, sharesByRatio, type Ladder, type LadderTrial } from '../measure/index.js';
import { successOf } from '../records/index.js';
import { EXIT } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { integerOption, numberOption } from './options.js';
import { addRawFlags, type RawFlags } from './rawflags.js';
import { keepLadder, ladderOf, type LadderPlace } from './sensitivity/state.js';
import { walkLadder } from './sensitivity/walk.js';
import { addSoundFlags, openSound, type SoundFlags, type StreamFlags } from './sound/flags.js';
import { screenOf, wrap } from './terminal.js';

interface SensitivityFlags extends SoundFlags, StreamFlags, RawFlags {
  readonly from: string;
  readonly to: string;
  readonly vhf?: true;
  readonly lowest: number;
  readonly highest: number;
  readonly calls: number;
  readonly wait: number;
  readonly pause: number;
  readonly level: number;
  readonly seed: number;
  readonly keep?: string;
  readonly ask?: true;
  readonly offAir?: true;
  readonly json?: true;
}

const CAUTION =
  'Caution: only on a cable or a dummy load. These are test calls in noise, again and again: on the air they would disturb the watch of others.';

const HELP = `
${CAUTION.replace(/(.{1,76})(?: |$)/g, '$1\n').trimEnd()}

Each call goes out in noise, at the ratio in 3 kHz that tells most after what
came before. It ends when the ratio at which half of the calls are acknowledged
is known to 0.1 dB, or after --calls. With --keep every call is kept in a file,
and the same command goes on from there after an interruption; measure --ladder
puts the file into a report.

Exit status: 0 it ended; 1 stopped before; 2 bad use, or something failed.

Examples:
  A set on a cable that acknowledges test calls by itself:
    dotphase sensitivity --from 002991234 --to 299123456 --off-air \\
      --keep set.ladder.json
  One that does not: you say whether it took each call:
    dotphase sensitivity --from 002991234 --to 299123456 --off-air --ask`;

/** Adds `sensitivity` to the program. */
export function addSensitivity(program: Command): void {
  const command = program
    .command('sensitivity')
    .summary('how weak a call a set still answers')
    .description(
      'Sends test calls in noise at ratios chosen one by one, counts the acknowledgements, and finds the ratios at which half and nine tenths of them come.',
    )
    .requiredOption('--from <identity>', 'identity that the calls come from', parseIdentity)
    .requiredOption('--to <identity>', 'identity of the set', parseIdentity)
    .option('--vhf', 'VHF channel 70, 1200 Bd, instead of MF/HF, 100 Bd')
    .option('--lowest <db>', 'lowest ratio in 3 kHz', numberOption('--lowest', -30, 60, 'dB'), -15)
    .option('--highest <db>', 'highest ratio in 3 kHz', numberOption('--highest', -30, 60, 'dB'), 25)
    .option('--calls <number>', 'at most', integerOption('--calls', 1, 1000), 60)
    .option('--wait <seconds>', 'for each acknowledgement', numberOption('--wait', 1, 600, 'seconds'), 30)
    .option('--pause <seconds>', 'behind each', numberOption('--pause', 0, 3600, 'seconds'), 5)
    .option(
      '--level <db>',
      'peak level of signal and noise together, below full scale',
      numberOption('--level', -60, 0, 'dB'),
      -6,
    )
    .option('--seed <number>', 'of the noise', integerOption('--seed', 0, 2 ** 31), 1)
    .option('--keep <file>', 'keep every call in this file, and go on from it')
    .option('--ask', 'ask you whether the set took each call, where it does not acknowledge')
    .option('--off-air', 'the set is on a dummy load or a cable: needed before anything is sent')
    .option('--json', 'the result as JSON');
  addSoundFlags(command)
    .option('--in <file>', 'instead of a sound card: pipe with raw samples, - for standard input')
    .option('--out <file>', 'beside --in: pipe for raw samples (s16), - for standard output');
  addRawFlags(command).addHelpText('after', HELP).action(sensitivity);
}

async function asker(): Promise<(ratioDb: number) => Promise<boolean>> {
  const { default: select } = await import('@inquirer/select');
  return (ratioDb) =>
    select<boolean>({
      message: `Did the set take the call at ${ratioDb.toFixed(1)} dB?`,
      choices: [
        { name: 'Yes', value: true },
        { name: 'No', value: false },
      ],
    });
}

/** What is known, for people. */
function resultLines({ trials, estimate }: Pick<Ladder, 'trials' | 'estimate'>): string[] {
  const { half, nineTenths, isInRange } = estimate();
  const shares = sharesByRatio(trials).map(({ ratioDb, tried, acknowledged }) => {
    const { low, high } = successOf(acknowledged, tried);
    const percent = (share: number) => `${Math.round(100 * share)} %`;
    return `  about ${String(ratioDb).replace('-', '−')} dB: ${acknowledged} of ${tried} acknowledged (${percent(low)} to ${percent(high)})`;
  });
  if (trials.length === 0) return ['No call was sent.'];
  return [
    `${trials.length} calls:`,
    ...shares,
    ...(isInRange
      ? [
          `Half are acknowledged at ${figureText(half, 'dB')} in 3 kHz, nine tenths at ${figureText(nineTenths, 'dB')}.`,
        ]
      : ['Where half are acknowledged lies at or beyond the end of what was tried.']),
  ];
}

async function sensitivity(flags: SensitivityFlags): Promise<void> {
  if (!flags.offAir)
    throw new DotphaseError(
      '--off-air',
      NOTHING,
      '--off-air, which says that the set is on a dummy load or a cable',
    );
  const band = flags.vhf ? 'vhf' : 'mf-hf';
  const place: LadderPlace = { station: flags.to, band, lowestDb: flags.lowest, highestDb: flags.highest };
  const { ladder, before } = await ladderOf(place, flags.keep, flags.calls);
  const stream = flags.json === true || flags.out === STANDARD_STREAM ? process.stderr : process.stdout;
  const screen = screenOf(stream);
  const say = (text: string) => stream.write(`${wrap(text, screen.width).join('\n')}\n`);
  if (flags.ask && !(process.stdin.isTTY && flags.in !== STANDARD_STREAM))
    throw new DotphaseError('--ask', true, 'a terminal to ask at');
  say(screen.colours.yellow(CAUTION));
  if (before > 0) say(`Going on after ${before} calls.`);
  const port = await openSound(flags);
  const state = { isStopped: false };
  const stop = () => {
    state.isStopped = true;
    void Promise.resolve(port.close()).catch(() => undefined);
  };
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  try {
    await walkLadder(port, {
      ladder,
      call: { kind: 'testCall', to: { station: flags.to }, self: flags.from },
      band,
      levelDb: flags.level,
      waitSeconds: flags.wait,
      pauseSeconds: flags.pause,
      seed: flags.seed,
      ...(flags.ask && { ask: await asker() }),
      isStopped: () => state.isStopped,
      onTrial: async (trial: LadderTrial) => {
        if (flags.keep !== undefined) await keepLadder(flags.keep, place, ladder.trials);
        const { half, isInRange } = ladder.estimate();
        const ratio = trial.ratioDb.toFixed(1).replace('-', '−');
        const came = trial.isAcknowledged ? 'acknowledged' : 'not acknowledged';
        const known = isInRange ? `; half at ${figureText(half, 'dB')} so far` : '';
        say(`${ladder.trials.length}: ${ratio} dB, ${came}${known}`);
      },
    });
  } catch (error) {
    // What was told to stop lets go of its sound.
    if (!state.isStopped && !(error instanceof Error && error.name === 'ExitPromptError')) throw error;
    state.isStopped = true;
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    await Promise.resolve(port.close()).catch(() => undefined);
  }
  const hasEnded = ladder.next() === undefined;
  if (flags.json)
    process.stdout.write(`${JSON.stringify({ ...place, trials: ladder.trials, ...ladder.estimate() })}\n`);
  for (const line of resultLines(ladder)) say(line);
  if (!hasEnded) say(flags.keep === undefined ? 'Stopped.' : 'Stopped: the same command goes on from here.');
  process.exitCode = hasEnded ? EXIT.done : EXIT.nothing;
}
