/**
 * `dotphase sensitivity`: how weak a call a set still answers, or how far off.
 */
import { Option, type Command } from 'commander';
import { parseIdentity } from '../calls/index.js';
import { FADING_CONDITIONS, type FadingConditionName } from '../channel/index.js';
import { DotphaseError, NOTHING } from '../errors.js';
import {
  LADDER_STEPS,
  STEP_WORDS,
  figureText,
  ladderBeside,
  ladderTexts,
  sharesOf,
  type Beside,
  type Ladder,
  type LadderAir,
  type LadderStep,
  type LadderTrial,
} from '../measure/index.js';
import { successOf } from '../records/index.js';
import { EXIT } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { integerOption, numberOption } from './options.js';
import { addRawFlags, type RawFlags } from './rawflags.js';
import { openAsker } from './sensitivity/asker.js';
import { keepLadder, ladderOf, type LadderPlace } from './sensitivity/state.js';
import { walkLadder } from './sensitivity/walk.js';
import { addSoundFlags, openSound, type SoundFlags, type StreamFlags } from './sound/flags.js';
import { screenOf, wrap } from './terminal.js';

interface SensitivityFlags extends SoundFlags, StreamFlags, RawFlags {
  readonly from: string;
  readonly to: string;
  readonly vhf?: true;
  readonly step: LadderStep;
  readonly lowest?: number;
  readonly highest?: number;
  readonly snr?: number;
  readonly channel?: FadingConditionName;
  readonly calls: number;
  readonly wait: number;
  readonly pause: number;
  readonly level: number;
  readonly seed: number;
  readonly keep?: string;
  readonly ask?: true;
  readonly beside: boolean;
  readonly offAir?: true;
  readonly json?: true;
}

const CAUTION =
  'Caution: only on a cable or a dummy load. These are test calls in noise, again and again: on the air they would disturb the watch of others.';

const HELP = `
${CAUTION.replace(/(.{1,76})(?: |$)/g, '$1\n').trimEnd()}

Each call goes out at the value that tells most after what came before. It ends
when the value at which half of the calls are acknowledged is known well (a
ratio to 0.1 dB), or after --calls. With --keep every call is kept in a file,
and the same command goes on from there after an interruption; measure --ladder
puts the file into a report. At the end the same calls go to the textbook
receiver and to that of dotphase, in memory, to compare with.

Exit status: 0 it ended; 1 stopped before; 2 bad use, or something failed.

Examples:
  A set on a cable that acknowledges test calls by itself:
    dotphase sensitivity --from 002991234 --to 299123456 --off-air \\
      --keep set.ladder.json
  One that does not: you type whether it took each call:
    dotphase sensitivity --from 002991234 --to 299123456 --off-air --ask
  Through fading; how far off tune at 10 dB; how weak without noise:
    dotphase sensitivity --from 002991234 --to 299123456 --off-air \\
      --channel mid-latitude-moderate --lowest 0 --highest 40
    dotphase sensitivity --from 002991234 --to 299123456 --off-air \\
      --step offset --snr 10
    dotphase sensitivity --from 002991234 --to 299123456 --off-air --step level`;

/** The default range of each step. */
const RANGES = LADDER_STEPS.map((step) => {
  const { lowest, highest, unit } = STEP_WORDS[step];
  return `${step} ${lowest} to ${highest} ${unit}`;
}).join(', ');

/** The farthest that any step goes. */
const LEAST = Math.min(...LADDER_STEPS.map((step) => STEP_WORDS[step].least));
const MOST = Math.max(...LADDER_STEPS.map((step) => STEP_WORDS[step].most));

/** Adds `sensitivity` to the program. */
export function addSensitivity(program: Command): void {
  const command = program
    .command('sensitivity')
    .summary('how weak a call a set still answers, or how far off')
    .description(
      'Sends test calls at signal-to-noise ratios, levels, offsets or rates chosen one by one, counts the acknowledgements, and finds where half and nine tenths of them come.',
    )
    .requiredOption('--from <identity>', 'identity that the calls come from', parseIdentity)
    .requiredOption('--to <identity>', 'identity of the set', parseIdentity)
    .option('--vhf', 'VHF channel 70, 1200 Bd, instead of MF/HF, 100 Bd')
    .addOption(
      new Option(
        '--step <what>',
        'ratio: signal to noise in 3 kHz; level: of the tones; offset: of their centre, Hz; rate: error of the symbol rate, ppm',
      )
        .choices(LADDER_STEPS)
        .default('ratio'),
    )
    .option(
      '--lowest <value>',
      `of what is stepped (default: ${RANGES})`,
      numberOption('--lowest', LEAST, MOST, ''),
    )
    .option('--highest <value>', 'likewise', numberOption('--highest', LEAST, MOST, ''))
    .option(
      '--snr <db>',
      'noise at this ratio in 3 kHz where another thing is stepped (default: none)',
      numberOption('--snr', -30, 60, 'dB'),
    )
    .addOption(
      new Option('--channel <name>', 'through fading of ITU-R F.1487, on MF and HF').choices(
        Object.keys(FADING_CONDITIONS),
      ),
    )
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
    .option('--no-beside', 'do not work out how receivers do on the same ladder')
    .option('--off-air', 'the set is on a dummy load or a cable: needed before anything is sent')
    .option('--json', 'the result as JSON');
  addSoundFlags(command)
    .option('--in <file>', 'instead of a sound card: pipe with raw samples, - for standard input')
    .option('--out <file>', 'beside --in: pipe for raw samples (s16), - for standard output');
  addRawFlags(command).addHelpText('after', HELP).action(sensitivity);
}

const number = (value: number) => String(Number(value.toFixed(2))).replace('-', '−');

/** What is known, for people. */
function resultLines(
  air: LadderAir,
  ladder: Pick<Ladder, 'trials' | 'estimate'>,
  beside: Beside | undefined,
): string[] {
  const { trials, estimate } = ladder;
  if (trials.length === 0) return ['No call was sent.'];
  const { unit } = STEP_WORDS[air.step];
  const shares = sharesOf(trials).map(({ value, tried, acknowledged }) => {
    const { low, high } = successOf(acknowledged, tried);
    const percent = (share: number) => `${Math.round(100 * share)} %`;
    return `  about ${number(value)} ${unit}: ${acknowledged} of ${tried} acknowledged (${percent(low)} to ${percent(high)})`;
  });
  return [
    `${trials.length} calls:`,
    ...shares,
    ...ladderTexts({ air, trials, estimate: estimate(), ...(beside && { beside }) }),
  ];
}

function airOf({ vhf, step, lowest, highest, snr, channel }: SensitivityFlags): LadderAir {
  const usual = STEP_WORDS[step];
  const isError = step === 'offset' || step === 'rate';
  if (step === 'ratio' && snr !== undefined)
    throw new DotphaseError('--snr', snr, 'nothing with --step ratio: that is what is stepped');
  return {
    band: vhf ? 'vhf' : 'mf-hf',
    step,
    lowest: lowest ?? usual.lowest,
    // What is an error has two sides.
    highest: highest ?? (isError && lowest !== undefined && lowest < 0 ? 0 : usual.highest),
    ...(snr !== undefined && { snrDb: snr }),
    ...(channel !== undefined && { fading: channel }),
  };
}

async function sensitivity(flags: SensitivityFlags): Promise<void> {
  if (!flags.offAir)
    throw new DotphaseError(
      '--off-air',
      NOTHING,
      '--off-air, which says that the set is on a dummy load or a cable',
    );
  const air = airOf(flags);
  const place: LadderPlace = { station: flags.to, air };
  const { ladder, before, beside: known } = await ladderOf(place, flags.keep, flags.calls);
  const stream = flags.json === true || flags.out === STANDARD_STREAM ? process.stderr : process.stdout;
  const screen = screenOf(stream);
  const say = (text: string) => stream.write(`${wrap(text, screen.width).join('\n')}\n`);
  if (flags.ask && flags.in === STANDARD_STREAM)
    throw new DotphaseError('--ask', true, 'another input than standard input, where the answers are typed');
  say(screen.colours.yellow(CAUTION));
  if (before > 0) say(`Going on after ${before} calls.`);
  const { unit, name } = STEP_WORDS[air.step];
  const call = { kind: 'testCall', to: { station: flags.to }, self: flags.from } as const;
  const port = await openSound(flags);
  const state = { isStopped: false };
  const asker = flags.ask ? openAsker() : undefined;
  const stop = () => {
    state.isStopped = true;
    asker?.close();
    void Promise.resolve(port.close()).catch(() => undefined);
  };
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  try {
    await walkLadder(port, {
      ladder,
      call,
      air,
      levelDb: flags.level,
      waitSeconds: flags.wait,
      pauseSeconds: flags.pause,
      seed: flags.seed,
      ...(asker && {
        ask: async (value: number) => {
          const answer = await asker.ask(`Did the set take the call at ${number(value)} ${unit}?`);
          if (answer === undefined) stop();
          return answer;
        },
      }),
      isStopped: () => state.isStopped,
      onTrial: async (trial: LadderTrial) => {
        if (flags.keep !== undefined) await keepLadder(flags.keep, place, ladder.trials);
        const { half, isInRange } = ladder.estimate();
        const came = trial.isAcknowledged ? 'acknowledged' : 'not acknowledged';
        const so = isInRange ? `; half at ${figureText(half, unit)} so far` : '';
        say(`${ladder.trials.length}: ${number(trial.value)} ${unit}, ${came}${so}`);
      },
    });
  } catch (error) {
    // What was told to stop lets go of its sound.
    if (!state.isStopped) throw error;
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    asker?.close();
    await Promise.resolve(port.close()).catch(() => undefined);
  }
  const hasEnded = ladder.next() === undefined;
  let beside = known;
  // A level alone moves no receiver.
  if (hasEnded && !beside && flags.beside && (air.step !== 'level' || air.snrDb !== undefined)) {
    say(`The same by ${name} with other receivers, in memory: a minute or two.`);
    beside = await ladderBeside(call, air, { seed: flags.seed });
    if (flags.keep !== undefined) await keepLadder(flags.keep, place, ladder.trials, beside);
  }
  if (flags.json) {
    const result = { ...place, trials: ladder.trials, ...ladder.estimate(), beside };
    process.stdout.write(`${JSON.stringify(result)}\n`);
  }
  for (const line of resultLines(air, ladder, beside)) say(line);
  if (!hasEnded) say(flags.keep === undefined ? 'Stopped.' : 'Stopped: the same command goes on from here.');
  process.exitCode = hasEnded ? EXIT.done : EXIT.nothing;
}
