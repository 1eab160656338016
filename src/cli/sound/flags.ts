/**
 * The options that say where sound comes from and goes to.
 */
import { resolve } from 'node:path';
import { Option, type Command } from 'commander';
import { DotphaseError, NOTHING } from '../../errors.js';
import { diskStatus } from '../diskstatus.js';
import { STANDARD_STREAM } from '../input.js';
import { rawInput, type RawFlags } from '../rawflags.js';
import { requireRecording } from '../recording.js';
import { isInstalled, splitCommand, type CommandLine } from './command.js';
import { FilePort } from './files.js';
import { PipePort } from './pipes.js';
import type { SoundInput, SoundPort } from './port.js';
import { ProgramInput, ProgramPort } from './programs.js';
import { SOUND_SYSTEMS, SOUND_SYSTEM_NAMES, type SoundSystem, type SoundSystemName } from './systems.js';

/** What {@link addSoundFlags} gives. */
export interface SoundFlags {
  readonly sound?: SoundSystemName | 'auto';
  readonly recorder?: string;
  readonly player?: string;
  readonly inputDevice?: string;
  readonly outputDevice?: string;
}

const GROUP = 'Sound:';

/** What the sound card is used at, hertz; every one can. */
const CARD_RATE_HZ = 48_000;

/** Gives a command the options of a sound card's input. */
export function addSoundInputFlags(command: Command): Command {
  const add = (option: Option) => command.addOption(option.helpGroup(GROUP));
  add(
    new Option(
      '--sound <system>',
      'the programs that record and play: alsa (arecord, aplay), pulse (parec, pacat; PipeWire has them too), sox, ffmpeg, or auto: the first that is installed',
    ).choices(['auto', ...SOUND_SYSTEM_NAMES]),
  );
  add(
    new Option(
      '--input-device <name>',
      'what to record from, as the system calls it (default: its own choice)',
    ),
  );
  add(
    new Option(
      '--recorder <command>',
      'instead: a command that records and writes raw samples, s16, one channel, to its standard output; {rate} stands for the sample rate',
    ),
  );
  return command;
}

/** Gives a command the options of sound cards. */
export function addSoundFlags(command: Command): Command {
  const add = (option: Option) => command.addOption(option.helpGroup(GROUP));
  addSoundInputFlags(command);
  add(new Option('--output-device <name>', 'what to play on (default: its own choice)'));
  add(new Option('--player <command>', 'instead: a command that plays such samples from its standard input'));
  return command;
}

/** Whether any of the options of sound cards was given. */
export function wantsSoundCard(flags: SoundFlags): boolean {
  const { sound, recorder, player, inputDevice, outputDevice } = flags;
  return [sound, recorder, player, inputDevice, outputDevice].some((flag) => flag !== undefined);
}

/** What a program is wanted for. */
type Use = 'record' | 'play';

const BOTH: readonly Use[] = ['record', 'play'];

function programsOf(system: SoundSystem, uses: readonly Use[]): string[] {
  return uses.map((use) => system[use](CARD_RATE_HZ, undefined)[0]);
}

function chosenSystem({ sound = 'auto' }: SoundFlags, uses: readonly Use[]): SoundSystem {
  if (sound !== 'auto') return SOUND_SYSTEMS[sound];
  const here = SOUND_SYSTEM_NAMES.map((name) => SOUND_SYSTEMS[name]).filter(({ platforms }) =>
    platforms.includes(process.platform),
  );
  const system = here.find((each) => programsOf(each, uses).every(isInstalled));
  if (system) return system;
  const wanted = here.map((each) => [...new Set(programsOf(each, uses))].join(' and ')).join(', ');
  throw new DotphaseError(
    '--sound',
    NOTHING,
    uses.length > 1
      ? `a program that records and one that plays: install ${wanted}; or name others with --recorder and --player`
      : `a program that records: install ${wanted}; or name another with --recorder`,
  );
}

/** A command that a person typed, or that of the chosen system. */
function commandLine(
  typed: string | undefined,
  flag: string,
  rateHz: number,
  otherwise: () => CommandLine,
): CommandLine {
  if (typed === undefined) return otherwise();
  const [program, ...args] = splitCommand(typed, flag);
  return [program, ...args.map((word) => word.replaceAll('{rate}', String(rateHz)))];
}

function recorderOf(flags: SoundFlags, rateHz: number, uses: readonly Use[]): CommandLine {
  const { recorder, inputDevice } = flags;
  return commandLine(recorder, '--recorder', rateHz, () => {
    const system = chosenSystem(flags, uses);
    if (inputDevice === undefined && system.needsInput?.includes(process.platform))
      throw new DotphaseError(
        '--input-device',
        NOTHING,
        'the name of the input, as ffmpeg -list_devices true -f dshow -i dummy prints it',
      );
    return system.record(rateHz, inputDevice);
  });
}

/**
 * The sound card as the options say.
 *
 * @throws DotphaseError naming the option that is wrong or missing
 */
export function soundCard(flags: SoundFlags, rateHz = CARD_RATE_HZ): SoundPort {
  const { player, outputDevice } = flags;
  return new ProgramPort({
    sampleRate: rateHz,
    recorder: recorderOf(flags, rateHz, BOTH),
    player: commandLine(player, '--player', rateHz, () =>
      chosenSystem(flags, BOTH).play(rateHz, outputDevice),
    ),
  });
}

/**
 * The input of the sound card alone, as the options say.
 *
 * @throws DotphaseError naming the option that is wrong or missing
 */
export function soundInput(flags: SoundFlags, rateHz = CARD_RATE_HZ): SoundInput {
  return new ProgramInput(rateHz, recorderOf(flags, rateHz, ['record']));
}

/** The options of files and pipes that stand in for a sound card. */
export interface StreamFlags extends RawFlags {
  readonly in?: string;
  readonly out?: string;
}

function isFile(path: string): boolean {
  return path !== STANDARD_STREAM && diskStatus(path)?.isFile() === true;
}

function exists(path: string): boolean {
  return path === STANDARD_STREAM || diskStatus(path) !== undefined;
}

/**
 * Where sound comes from and goes to: the files or pipes of `--in` and `--out`, else the sound card.
 *
 * @throws DotphaseError naming the option that is wrong or missing
 */
export async function openSound(flags: SoundFlags & StreamFlags): Promise<SoundPort> {
  const { in: input, out, raw, rateHz } = flags;
  if (input === undefined && out === undefined) {
    if (raw !== undefined) throw new DotphaseError('--raw', raw, '--in and --out beside it');
    return soundCard(flags, rateHz);
  }
  if (input === undefined)
    throw new DotphaseError('--in', NOTHING, 'a file or a pipe to listen to, beside --out');
  if (out === undefined)
    throw new DotphaseError('--out', NOTHING, 'a file or a pipe to send into, beside --in');
  if (wantsSoundCard(flags))
    throw new DotphaseError('--in', input, 'either --in and --out, or the options of a sound card');
  const samples = rawInput(flags);
  if (isFile(input)) {
    if (out === STANDARD_STREAM || (exists(out) && !isFile(out)))
      throw new DotphaseError('--out', out, 'a WAV file to write, for --in is a file');
    if (resolve(input) === resolve(out)) throw new DotphaseError('--out', out, 'another file than --in');
    if (!samples) await requireRecording(input);
    return FilePort.open({ in: input, out, raw: samples });
  }
  if (!exists(input)) throw new DotphaseError('--in', input, 'a file or a pipe that there is');
  if (!samples)
    throw new DotphaseError('--raw', NOTHING, 'how the samples in the pipes are coded, with --rate-hz');
  if (isFile(out) || !exists(out))
    throw new DotphaseError(
      '--out',
      out,
      'a pipe that there is, or -, for --in is no file (mkfifo makes one)',
    );
  if (out === STANDARD_STREAM && process.stdout.isTTY)
    throw new DotphaseError('--out', out, 'a pipe: standard output is a terminal');
  return new PipePort({ ...samples, in: input, out });
}
