/**
 * The options that tell what is looked for in recordings.
 */
import type { Command } from 'commander';
import { DotphaseError } from '../../errors.js';
import { BIT_RATE, type Band } from '../../symbols/index.js';
import type { DecodeSettings } from '../decoding.js';
import { numberOption } from '../options.js';
import type { Origin, OriginFlags } from '../origin.js';
import { rawInput, type RawFlags } from '../rawflags.js';
import { sliceOf, type SliceFlags } from './sliceflags.js';

/** What the options give. */
export interface ReceiverFlags {
  readonly channel: DecodeSettings['channel'];
  readonly vhf?: true;
  readonly mfHf?: true;
  readonly centre?: number;
  readonly search?: number;
}

function readChannel(text: string): DecodeSettings['channel'] {
  if (text === 'best' || text === 'mix' || text === 'each') return text;
  if (/^\d+$/.test(text)) return Number(text);
  throw new DotphaseError('--channel', text, 'a channel number from 0, mix, each or best');
}

/** Adds them to a command. */
export function addReceiverFlags(command: Command): Command {
  return command
    .option(
      '--channel <which>',
      'of a file with several: a number from 0, mix, each, or best: each, and a call on several printed once',
      readChannel,
      'best',
    )
    .option('--mf-hf', 'look for 100 Bd only')
    .option('--vhf', 'look for 1200 Bd only')
    .option(
      '--centre <hz>',
      'where the tones are centred (default: at 100 Bd anywhere from 400 to 2600, at 1200 Bd around 1700)',
      numberOption('--centre', 200, 3000, 'Hz'),
    )
    .option(
      '--search <hz>',
      'how far from --centre to look (default 50)',
      numberOption('--search', 0, 2000, 'Hz'),
    );
}

/**
 * How recordings are decoded.
 *
 * @throws DotphaseError where options contradict each other
 */
export function settingsOf(
  flags: ReceiverFlags &
    RawFlags &
    SliceFlags &
    Pick<OriginFlags, 'frequency'> & { readonly channels?: number; readonly verbose?: true },
): DecodeSettings {
  const { channel, centre, search, channels = 1 } = flags;
  if (search !== undefined && centre === undefined) {
    throw new DotphaseError('--search', search, '--centre beside it');
  }
  const raw = rawInput(flags);
  const slice = sliceOf(flags);
  const chosen = [...(flags.mfHf ? ['mf-hf' as const] : []), ...(flags.vhf ? ['vhf' as const] : [])];
  const bands = chosen.length > 0 ? chosen : (Object.keys(BIT_RATE) as Band[]);
  return {
    channel,
    bands,
    events: flags.verbose === true,
    ...(centre !== undefined && { centreHz: centre }),
    ...(search !== undefined && { searchHz: search }),
    ...(raw && { raw: { ...raw, channels } }),
    ...(slice && { slice }),
  };
}

/** The same for one recording, with what is known of it. */
export function settingsFor(settings: DecodeSettings, { tunedHz }: Pick<Origin, 'tunedHz'>): DecodeSettings {
  return tunedHz === undefined
    ? settings
    : { ...settings, slice: { isGiven: false, ...settings.slice, tunedHz } };
}
