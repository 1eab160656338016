/**
 * `dotphase encode`: a call to a WAV file.
 */
import { resolve } from 'node:path';
import { Option, type Command } from 'commander';
import { CALL_KINDS, decodeCall, describeCall } from '../calls/index.js';
import { DotphaseError } from '../errors.js';
import { frameCall, type Frame } from '../frames/index.js';
import type { Band } from '../symbols/index.js';
import { MODULATIONS, SAMPLE_RATES, modulate, type Modulation } from '../modem/index.js';
import { callEntry } from '../records/index.js';
import { createWavWriter, type WavWriterOptions } from '../wav/index.js';
import { writeWavFile } from '../wav/node.js';
import { dbToAmplitude } from '../dsp/index.js';
import { withWrongCharacter, withWrongErrorCheck } from '../transmitter/index.js';
import { addCallFlags, flagsOf } from './callflags.js';
import {
  channelWarnings,
  dialAdvice,
  followUpOfCall,
  followUpText,
  frequencyAdvice,
  frequencyWarning,
  problemText,
  problemsOf,
  repeatWarning,
  suitedFrequencies,
} from './advice.js';
import { frequenciesFor, readFrequencies, type GivenFrequencies } from './callfrequencies.js';
import { callOf, sourceOf, type SourcedCall } from './callsource.js';
import { transmitCaution } from './cautions.js';
import {
  addConditionFlags,
  conditionsHelp,
  conditionsOf,
  keepsLength,
  passWithRoom,
  roomText,
  type ConditionFlags,
  type Conditions,
} from './conditions.js';
import { EXIT, warn } from './exit.js';
import { STANDARD_STREAM } from './input.js';
import { LOG_FLAG, LogFile } from './log/file.js';
import { integerOption, numberOption } from './options.js';
import {
  addBenchFlags,
  inTurns,
  refuseBeside,
  wholeSignal,
  type BenchFlags,
  type LongAudio,
} from './encode/bench.js';
import { send } from './output.js';
import { addProfileFlags, profileOf, type Profile, type ProfileFlags } from './profile/profile.js';
import { aboutFile, screenOf, wrap } from './terminal.js';
import { kebab } from './words.js';

interface EncodeFlags extends ConditionFlags, ProfileFlags, BenchFlags {
  readonly json?: true;
  readonly frequency?: GivenFrequencies;
  readonly log?: string;
  readonly out: string;
  readonly rateHz: number;
  readonly centre?: number;
  readonly vhf?: true;
  readonly repeat: number;
  readonly dots?: number;
  readonly dotsBefore: 'first' | 'each';
  readonly silence: number;
  readonly level: number;
  readonly inverted?: true;
  readonly bits: '8' | '16' | '24' | '32' | 'float';
}

/** ITU-R M.541 Annex 1 (from memory): a single-frequency attempt is five calls. */
const SENDINGS_OF_AN_ATTEMPT = 5;
const DEFAULT_RATE_HZ = 48_000;
const DEFAULT_LEVEL_DB = -6;
const LOWEST_LEVEL_DB = -100;
const LONGEST_SILENCE = 3600;
/** Mean square of a sine over the square of its peak, in dB. */
const SINE_DB = 10 * Math.log10(0.5);
/** Frames of silence written in one go. */
const BLOCK_FRAMES = 65_536;

/** Every kind of call with the flags of its fields. */
function kindsHelp(): string {
  const names = CALL_KINDS.map(kebab);
  const longest = Math.max(...names.map((name) => name.length));
  const { width } = screenOf(process.stdout);
  const indent = ' '.repeat(longest + 4);
  const lines = CALL_KINDS.flatMap((kind, i) =>
    wrap(flagsOf(kind).join(' '), width, indent, `  ${names[i].padEnd(longest)}  `),
  );
  return `\nKinds of call and their fields:\n${lines.join('\n')}`;
}

const EXAMPLES = `
Examples:
  A distress alert on MF/HF:
    dotphase encode distress-alert --from 299123456 --nature flooding \\
      --position "48°12'N 012°45'W" --time 09:30 --out alert.wav
  A test call to a coast station, at 12 kHz:
    dotphase encode test-call --from 299123456 --to 002991234 \\
      --rate-hz 12000 --silence 0.5 --out test.wav
  A routine call on VHF channel 70, proposing channel 8:
    dotphase encode routine-call --vhf --from 299123456 --to 299654321 \\
      --receive "vhf 8" --out call.wav
  The same through fading and noise:
    dotphase encode routine-call --vhf --from 299123456 --to 299654321 \\
      --channel mid-latitude-moderate --snr 15 --seed 7 --out faded.wav
  A call in JSON, as decode --json prints it:
    dotphase decode --json old.wav | head -n 1 | dotphase encode --json --out new.wav
  An alert with the own position to 1/10000 minute, logged, for 2187.5 kHz:
    dotphase encode distress-alert --from 299123456 --nature flooding \\
      --navigation /dev/ttyUSB0 --expansion fine-position \\
      --frequency 2187.5 --log calls.db --out alert.wav
  By name, with who and where you are from files:
    export DOTPHASE_SETTINGS=me.json DOTPHASE_BOOK=stations.csv
    dotphase encode test-call --to "Petrel Bank Radio" --out test.wav
  For the bench: the tone of B for a minute; dots, Y 3 dB weaker; a call every
  10 s; one whose fifth character is wrong in RX:
    dotphase encode --signal b --seconds 60 --out b.wav
    dotphase encode --signal dots --b-over-y 3 --out dots.wav
    dotphase encode test-call --from 299123456 --to 002991234 \\
      --every 10 --times 6 --out six.wav
    dotphase encode test-call --from 299123456 --to 002991234 \\
      --wrong-character 5:rx --out wrong.wav

A call that breaks a rule is made all the same, with a warning that names it.
A settings file holds for example {"identity": "299123456", "position":
"48 12.0N 012 45.0W", "positionTime": "2031-05-17T09:30:00Z"}; a position
older than 23.5 hours is not sent as a position.`;

/** Adds `encode` to the program. */
export function addEncode(program: Command): void {
  const command = program
    .command('encode')
    .summary('a call to a WAV file')
    .description('Turns a call into audio: the dot pattern, phasing and every character twice.')
    .argument(
      '[call]',
      'a kind of call in plain words, a call in JSON, a file with one, or - for JSON from standard input',
    );
  addConditionFlags(addBenchFlags(addProfileFlags(addCallFlags(command), { position: true })))
    .option('--json', 'the call is JSON, from standard input where none is named')
    .requiredOption('--out <file>', 'WAV file to write, - for standard output')
    .option('--vhf', 'VHF channel 70, 1200 Bd, instead of MF/HF, 100 Bd')
    .option(
      '--frequency <frequency>',
      'DSC frequency it is for, as in "8414.5 kHz", to be told what follows and if it is the wrong one; may be given again; all: every one that suits the call (default: those of the called station in the address book)',
      readFrequencies,
    )
    .option(...LOG_FLAG)
    .option(
      '--rate-hz <hz>',
      'sample rate',
      numberOption('--rate-hz', SAMPLE_RATES.lowest, SAMPLE_RATES.highest, 'Hz'),
      DEFAULT_RATE_HZ,
    )
    .option('--centre <hz>', 'midway between the tones (default 1700)', Number)
    .option('--inverted', 'swap the tones, as lower sideband does')
    .option(
      '--level <db>',
      'peak level of the call in relation to full scale; a channel is turned down where it would clip',
      numberOption('--level', LOWEST_LEVEL_DB, 0, 'dB'),
      DEFAULT_LEVEL_DB,
    )
    .addOption(
      new Option('--bits <depth>', 'bits of a sample')
        .choices(['8', '16', '24', '32', 'float'])
        .default('16'),
    )
    .option(
      '--silence <seconds>',
      'silence before and after',
      numberOption('--silence', 0, LONGEST_SILENCE, 'seconds'),
      0,
    )
    .option(
      '--repeat <times>',
      'sendings in a row without a gap; a distress attempt has 5',
      integerOption('--repeat', 1, 100),
      1,
    )
    .option(
      '--dots <bits>',
      'length of the dot pattern (default: 200 or 20, by call and band)',
      integerOption('--dots', 0, 1000),
    )
    .addOption(
      new Option('--dots-before <sendings>', 'with --repeat: the dot pattern stands before the first or each')
        .choices(['first', 'each'])
        .default('each'),
    )
    .addHelpText('after', kindsHelp)
    .addHelpText('after', conditionsHelp)
    .addHelpText('after', EXAMPLES)
    .action(encode);
}

async function encode(source: string | undefined, flags: EncodeFlags): Promise<void> {
  refuseBeside(source, flags);
  if (flags.signal !== undefined) {
    await encodeSignal(flags);
    return;
  }
  const profile = await profileOf(flags);
  const band = flags.vhf ? 'vhf' : 'mf-hf';
  const given = await callOf(sourceOf(source, flags.json === true), flags, profile);
  const frequencies = frequenciesFor(given.call, flags.frequency, band, profile);
  const frequencyHz = frequencies.length === 1 ? frequencies[0] : undefined;
  const { symbols, expansions } = given;
  const conditions = await conditionsOf(flags, flags.rateHz);
  const { dots, repeat, dotsBefore } = flags;
  const framed = frameCall(
    { symbols: flags.wrongCheck ? withWrongErrorCheck(symbols) : symbols, expansions },
    { band, repeat, dotsBefore, ...(dots !== undefined && { dots }) },
  );
  const sequence = flags.wrongCharacter ? withWrongCharacter(framed, flags.wrongCharacter) : framed;
  const modulation = MODULATIONS[band];
  const audio = modulate(sequence, {
    sampleRate: flags.rateHz,
    centreHz: flags.centre ?? modulation.centreHz,
    inverted: flags.inverted ?? false,
    level: dbToAmplitude(flags.level),
    bOverYDb: flags.bOverY,
  });
  const turns = inTurns(audio, flags, flags.rateHz);
  const log = await LogFile.open(flags.log ?? profile.log);
  try {
    const { clipped, gainDb } = await write(turns, conditions, flags);
    const call = decodeCall(symbols, { expansions });
    const file = flags.out === STANDARD_STREAM ? undefined : resolve(flags.out);
    log.write((calls) => calls.add(callEntry(call, { direction: 'made', symbols, frequencyHz, file })));
    report(
      { ...given, call },
      profile,
      { sequence, modulation, conditions, gainDb, frequencies, band },
      flags,
    );
    if (clipped > 0) {
      warn(`${clipped} samples were beyond full scale and clipped`);
    }
  } finally {
    log.close();
    if (log.failed) process.exitCode = EXIT.bad;
  }
}

/** A signal that goes on and on, without a call. */
async function encodeSignal(flags: EncodeFlags): Promise<void> {
  const signal = wholeSignal(flags);
  const conditions = await conditionsOf(flags, flags.rateHz);
  const { clipped, gainDb } = await write(signal, conditions, flags);
  const stream = flags.out === STANDARD_STREAM ? process.stderr : process.stdout;
  const name = flags.out === STANDARD_STREAM ? 'standard output' : flags.out;
  const facts = [
    signal.text,
    ...(conditions ? [conditions.text, ...roomText(gainDb)] : []),
    `${flags.rateHz} Hz`,
  ];
  stream.write(`${aboutFile(name, facts, screenOf(stream))}\n`);
  if (clipped > 0) warn(`${clipped} samples were beyond full scale and clipped`);
}

function* withSilence(audio: Iterable<Float32Array>, frames: number): Generator<[Float32Array]> {
  const silence = function* (): Generator<[Float32Array]> {
    for (let left = frames; left > 0; left -= BLOCK_FRAMES) {
      yield [new Float32Array(Math.min(left, BLOCK_FRAMES))];
    }
  };
  yield* silence();
  for (const block of audio) yield [block];
  yield* silence();
}

/** Writes the WAV file; how many samples were clipped, and by how many dB it was turned down so that none were. */
async function write(
  audio: LongAudio,
  conditions: Conditions | undefined,
  flags: EncodeFlags,
): Promise<{ clipped: number; gainDb: number }> {
  const silence = Math.round(flags.silence * flags.rateHz);
  const options: WavWriterOptions = {
    sampleRate: flags.rateHz,
    ...((!conditions || keepsLength(conditions)) && { frames: audio.frames + 2 * silence }),
    ...(flags.bits === 'float' ? { float: true } : { bitDepth: Number(flags.bits) as 8 | 16 | 24 | 32 }),
  };
  const clean = () => withSilence(audio.blocks(), silence);
  const levelDb = flags.level + SINE_DB;
  if (flags.out === STANDARD_STREAM && process.stdout.isTTY)
    throw new DotphaseError('--out', flags.out, 'a file: standard output is a terminal');
  const { blocks, gainDb } = conditions
    ? await passWithRoom(clean, conditions, flags.rateHz, [levelDb], flags.clip === true)
    : { blocks: clean(), gainDb: 0 };
  if (flags.out !== STANDARD_STREAM) {
    const { clipped } = await writeWavFile(flags.out, options, blocks);
    return { clipped, gainDb };
  }
  const writer = createWavWriter(options);
  await send(writer.header);
  for await (const block of blocks) await send(writer.push(block));
  const { tail, clipped } = writer.end();
  await send(tail);
  return { clipped, gainDb };
}

/** How a call goes out. */
interface EncodedAudio {
  readonly sequence: Frame;
  readonly modulation: Modulation;
  readonly conditions: Conditions | undefined;
  readonly gainDb: number;
  readonly frequencies: readonly number[];
  readonly band: Band;
}

function report(given: SourcedCall, profile: Profile, audio: EncodedAudio, flags: EncodeFlags): void {
  const { call, symbols, told } = given;
  const { sequence, modulation, conditions, gainDb, frequencies, band } = audio;
  const stream = flags.out === STANDARD_STREAM ? process.stderr : process.stdout;
  const screen = screenOf(stream);
  const seconds = (value: number) => `${value.toFixed(2)} s`;
  const between = flags.times > 1 ? (flags.times - 1) * (flags.every ?? 0) : 0;
  const whole = between + sequence.duration + 2 * flags.silence;
  const lines = [
    `${seconds(sequence.duration)} on the air (${sequence.bits.length} bits at ${modulation.baud} Bd)`,
    ...(flags.times > 1 ? [`${flags.times} times, every ${flags.every} s`] : []),
    ...(flags.wrongCheck ? ['with a wrong error check'] : []),
    ...(flags.wrongCharacter
      ? [
          `character ${flags.wrongCharacter.character} wrong in ${flags.wrongCharacter.position === 'both' ? 'DX and RX' : flags.wrongCharacter.position}`,
        ]
      : []),
    ...(flags.bOverY !== 0 ? [`B ${flags.bOverY} dB over Y`] : []),
    ...(flags.silence > 0 ? [`${seconds(whole)} with silence`] : []),
    ...(conditions ? [conditions.text, ...roomText(gainDb)] : []),
    `tones around ${flags.centre ?? modulation.centreHz} Hz${flags.inverted ? ', swapped' : ''}`,
    `${flags.rateHz} Hz, ${flags.bits === 'float' ? '32-bit float' : `${flags.bits}-bit`}, mono`,
  ];
  const name = flags.out === STANDARD_STREAM ? 'standard output' : flags.out;
  const say = (text: string) => stream.write(`${wrap(text, screen.width).join('\n')}\n`);
  say(describeCall(call, { station: (identity) => profile.describe(identity) }));
  if (told !== undefined) say(told);
  const unplaced = frequencies.length === 0 ? frequencyAdvice(call, band) : undefined;
  if (unplaced !== undefined) say(`${unplaced}.`);
  for (const hz of frequencies) {
    const follow = followUpOfCall(call, hz);
    const text = followUpText(call, follow);
    say(`${[dialAdvice(hz), ...(text === undefined ? [] : [text])].join('; ')}.`);
  }
  if (call.kind === 'distressAlert' && flags.repeat === 1) {
    say(
      `A set sends an alert ${SENDINGS_OF_AN_ATTEMPT} times in a row: --repeat ${SENDINGS_OF_AN_ATTEMPT} makes such an attempt.`,
    );
  }
  stream.write(`${aboutFile(name, lines, screen)}\n`);
  const judged = frequencies.length === 0 ? [undefined] : frequencies;
  const warnings = judged.flatMap((hz) => [
    ...problemsOf(call, band, hz).map(problemText),
    ...(hz === undefined ? [] : [frequencyWarning(call, hz)]),
    ...channelWarnings(call, hz ?? suitedFrequencies(call, band).at(0)),
  ]);
  for (const text of new Set([...warnings, repeatWarning(call, flags.repeat)]))
    if (text !== undefined) warn(text);
  const caution = transmitCaution(symbols);
  if (caution === undefined) return;
  const error = screenOf(process.stderr);
  process.stderr.write(`${error.colours.yellow(wrap(caution, error.width).join('\n'))}\n`);
}
