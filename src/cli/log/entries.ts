/**
 * Entries of a log for people.
 */
import { CALL_KINDS, describeCall, type DecodedCall } from '../../calls/index.js';
import { formatFrequency } from '../../frequencies/index.js';
import { sendingsOf, type LogEntry } from '../../records/index.js';
import { isDistress } from '../cautions.js';
import type { Profile } from '../profile/profile.js';
import { shortClock } from '../report.js';
import { plain, wrap, type Screen } from '../terminal.js';
import { utcClock, utcMoment } from '../utc.js';

/** Every kind of call that may stand in a log. */
export const HEARD_KINDS = [
  ...CALL_KINDS,
  'irregularCall',
  'irregularAutomaticCall',
  'irregularDistressCall',
  'unassignedCall',
  'partialCall',
];

/** The call of an entry with names, or what stands in the log of a call that is no longer understood. */
function textOf({ call, text }: LogEntry, profile: Profile): string {
  try {
    return describeCall(call as DecodedCall, { station: (identity) => profile.describe(identity) });
  } catch {
    return text;
  }
}

/** How many sendings of an attempt were received, where it was more than one. */
function sendingFacts(entry: LogEntry): string[] {
  const sendings = sendingsOf(entry);
  const last = sendings[sendings.length - 1];
  if (sendings.length === 1) return [];
  const { time, offset } = entry;
  // In a recording the places are sure; the times are those of its decoding where nobody told when it began.
  const span =
    offset === undefined || last.offset === undefined
      ? `${utcClock(time)} to ${utcClock(last.time)}`
      : `${shortClock(offset)} to ${shortClock(last.offset)} of the recording`;
  return [`${sendings.length} sendings, begun ${span}`];
}

/** An entry in lines: when, what, and how. */
export function entryLines(entry: LogEntry, { width, colours }: Screen, profile: Profile): string[] {
  const { time, timeSource, direction, stopped, file, input, sameAs, frequencyHz, quality, snrDb } = entry;
  const { acknowledgedAt } = entry;
  const text = plain(textOf(entry, profile));
  const facts = [
    direction === 'made' && file !== undefined ? `made as ${file}` : direction,
    ...(stopped ? ['stopped before its end'] : []),
    ...sendingFacts(entry),
    ...(frequencyHz === undefined
      ? []
      : [`${direction === 'made' ? 'for' : 'on'} ${formatFrequency(frequencyHz)}`]),
    ...(input === undefined ? [] : [`by ${input}`]),
    ...(quality === undefined ? [] : [`read ${quality}`]),
    ...(snrDb === undefined ? [] : [`${snrDb.toFixed(0)} dB SNR in 3 kHz`]),
    ...(timeSource === 'decoded' ? ['time of the decoding, not of the call'] : []),
    ...(sameAs === undefined ? [] : [`the same call as number ${sameAs}`]),
    ...(acknowledgedAt === undefined ? [] : [`acknowledged ${utcClock(acknowledgedAt)}`]),
  ];
  const head = `${utcMoment(time)}  `;
  const indent = ' '.repeat(head.length);
  const doubt = quality === 'doubtful' ? `${colours.red('Doubtful:')} ` : '';
  return [
    ...wrap(`${doubt}${text}`, width, indent, colours.bold(head)),
    ...wrap(plain(facts.join(', ')), width, indent, indent).map((line) => colours.dim(line)),
  ];
}

/** Whether an entry is of a call about distress, as far as it was received. */
export const isDistressEntry = ({ symbols }: LogEntry) =>
  isDistress(
    symbols.map((symbol) => symbol ?? 0),
    symbols.map((symbol) => (symbol === null ? 0 : 1)),
  );
