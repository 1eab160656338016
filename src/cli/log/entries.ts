/**
 * Entries of a log for people.
 */
import { CALL_KINDS, describeCall, type DecodedCall } from '../../calls/index.js';
import { formatFrequency } from '../../frequencies/index.js';
import { sendingsOf, type LogEntry } from '../../records/index.js';
import { isDistress } from '../cautions.js';
import type { Profile } from '../profile/profile.js';
import { shortClock } from '../report.js';
import { frequenciesText, spanText } from '../multifrequency.js';
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

/** Where a call was heard, or what it is for: on one frequency or, as one attempt, on several. */
function placeFacts(entry: LogEntry, together: readonly LogEntry[]): string[] {
  const { direction, frequencyHz } = entry;
  const inputs = [...new Set(together.flatMap(({ input }) => (input === undefined ? [] : [input])))];
  return [
    ...(together.length > 1
      ? [`${frequenciesText(together)}, begun ${spanText(together)}`]
      : [
          ...sendingFacts(entry),
          ...(frequencyHz === undefined
            ? []
            : [`${direction === 'made' ? 'for' : 'on'} ${formatFrequency(frequencyHz)}`]),
        ]),
    ...(inputs.length === 0 ? [] : [`by ${inputs.join(', ')}`]),
  ];
}

/**
 * An entry in lines: when, what, and how.
 *
 * @param together - the entries that it stands for: where it is one of several of an attempt on several frequencies, all
 */
export function entryLines(
  entry: LogEntry,
  { width, colours }: Screen,
  profile: Profile,
  together: readonly LogEntry[] = [entry],
): string[] {
  const { time, timeSource, direction, stopped, file, sameAs, quality, snrDb } = entry;
  const { multiFrequencyAttempt, acknowledgedAt } = entry;
  const text = plain(textOf(entry, profile));
  const facts = [
    direction === 'made' && file !== undefined ? `made as ${file}` : direction,
    ...(stopped ? ['stopped before its end'] : []),
    ...placeFacts(entry, together),
    ...(quality === undefined ? [] : [`read ${quality}`]),
    ...(snrDb === undefined ? [] : [`${snrDb.toFixed(0)} dB SNR in 3 kHz`]),
    ...(timeSource === 'decoded' ? ['time of the decoding, not of the call'] : []),
    ...(sameAs === undefined ? [] : [`the same call as number ${sameAs}`]),
    ...(multiFrequencyAttempt === undefined || together.length > 1
      ? []
      : [`part of attempt ${multiFrequencyAttempt} on several frequencies`]),
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
