/**
 * The options of `encode` for the bench: signals without a call, calls at an exact interval, and faults.
 */
import { Option, type Command } from 'commander';
import { dbToAmplitude } from '../../dsp/index.js';
import { DotphaseError, NOTHING } from '../../errors.js';
import {
  BENCH_SIGNALS,
  benchSignal,
  type BenchSignal,
  type CharacterFault,
} from '../../transmitter/index.js';
import { integerOption, numberOption } from '../options.js';

/** What {@link addBenchFlags} adds. */
export interface BenchFlags {
  readonly signal?: BenchSignal;
  readonly seconds?: number;
  readonly every?: number;
  readonly times: number;
  readonly bOverY: number;
  readonly wrongCheck?: true;
  readonly wrongCharacter?: CharacterFault;
}

/** Audio that may be longer than memory. */
export interface LongAudio {
  readonly frames: number;
  /** The audio from its beginning, each time it is asked for. */
  blocks(): Iterable<Float32Array>;
}

const GROUP = 'For the bench:';
const DEFAULT_SECONDS = 60;
const LONGEST_SECONDS = 86_400;
const BLOCK_FRAMES = 65_536;

const SIGNAL_WORDS: Readonly<Record<BenchSignal, string>> = {
  b: 'the tone of B',
  y: 'the tone of Y',
  dots: 'dots, B and Y in turn',
  phasing: 'phasing characters in DX and RX',
};

function readCharacterFault(text: string): CharacterFault {
  const [, number, place = 'both'] = /^(\d{1,4})(?::(dx|rx|both))?$/i.exec(text) ?? [];
  const positions = { dx: 'DX', rx: 'RX', both: 'both' } as const;
  const position = positions[place.toLowerCase() as keyof typeof positions];
  if (!(Number(number) >= 1))
    throw new DotphaseError(
      '--wrong-character',
      text,
      'the number of a character from 1, the first format specifier, then :dx, :rx or :both, for example 5:rx',
    );
  return { character: Number(number), position };
}

/** Gives a command the options. */
export function addBenchFlags(command: Command): Command {
  const add = (option: Option) => command.addOption(option.helpGroup(GROUP));
  add(
    new Option('--signal <name>', 'no call, but the tone of B or of Y, dots, or phasing alone').choices(
      BENCH_SIGNALS,
    ),
  );
  add(
    new Option('--seconds <number>', `with --signal: how long (default: ${DEFAULT_SECONDS})`).argParser(
      numberOption('--seconds', 0.01, LONGEST_SECONDS, 'seconds'),
    ),
  );
  add(
    new Option(
      '--every <seconds>',
      'the call over and over, from one beginning to the next; with --times',
    ).argParser(numberOption('--every', 0.1, 3600, 'seconds')),
  );
  add(
    new Option('--times <number>', 'with --every: how often')
      .argParser(integerOption('--times', 1, 10_000))
      .default(1, '1'),
  );
  add(
    new Option('--b-over-y <db>', 'level of B over Y: the weaker tone is turned down')
      .argParser(numberOption('--b-over-y', -40, 40, 'dB'))
      .default(0, '0'),
  );
  add(new Option('--wrong-check', 'with an error check that disagrees'));
  add(
    new Option(
      '--wrong-character <number:where>',
      'a character, from 1, whose ten-unit check disagrees in dx, rx or both',
    ).argParser(readCharacterFault),
  );
  return command;
}

/** Throws where options stand together that mean nothing together. */
export function refuseBeside(source: string | undefined, flags: BenchFlags): void {
  const { signal, seconds, every, times, wrongCheck, wrongCharacter } = flags;
  if (signal !== undefined) {
    const other =
      source ??
      (wrongCheck && '--wrong-check') ??
      (wrongCharacter && '--wrong-character') ??
      (every !== undefined ? '--every' : undefined);
    if (other !== undefined)
      throw new DotphaseError('--signal', signal, `no ${other} beside it: a signal is no call`);
    return;
  }
  if (seconds !== undefined) throw new DotphaseError('--seconds', seconds, '--signal beside it');
  if (every !== undefined && times === 1)
    throw new DotphaseError('--times', NOTHING, 'how often, beside --every');
  if (every === undefined && times > 1)
    throw new DotphaseError('--every', NOTHING, 'the interval, beside --times');
}

/** A signal as audio. */
export function wholeSignal(
  flags: BenchFlags & {
    readonly rateHz: number;
    readonly vhf?: true;
    readonly centre?: number;
    readonly inverted?: true;
    readonly level: number;
  },
): LongAudio & { readonly text: string } {
  const { signal = 'b', seconds = DEFAULT_SECONDS, rateHz, centre, level, bOverY } = flags;
  return {
    frames: Math.round(seconds * rateHz),
    blocks: () =>
      benchSignal(signal, {
        band: flags.vhf ? 'vhf' : 'mf-hf',
        sampleRate: rateHz,
        seconds,
        level: dbToAmplitude(level),
        bOverYDb: bOverY,
        inverted: flags.inverted ?? false,
        ...(centre !== undefined && { centreHz: centre }),
      }),
    text: `${SIGNAL_WORDS[signal]}, ${seconds} s`,
  };
}

/**
 * A call as often as was asked for, each beginning rounded to a sample by itself, so that nothing adds up.
 *
 * @throws DotphaseError where the call is longer than the interval
 */
export function inTurns(audio: Float32Array, { every = 0, times }: BenchFlags, rateHz: number): LongAudio {
  const begin = (turn: number) => Math.round(turn * every * rateHz);
  if (times > 1 && begin(1) < audio.length) {
    throw new DotphaseError(
      '--every',
      every,
      `at least the length of the call, ${(audio.length / rateHz).toFixed(2)} seconds`,
    );
  }
  return {
    frames: begin(times - 1) + audio.length,
    *blocks() {
      for (let turn = 0; turn < times; turn++) {
        yield audio;
        if (turn + 1 === times) return;
        for (let left = begin(turn + 1) - begin(turn) - audio.length; left > 0; left -= BLOCK_FRAMES)
          yield new Float32Array(Math.min(left, BLOCK_FRAMES));
      }
    },
  };
}
