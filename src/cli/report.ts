/**
 * Received calls as lines of JSON and as lines for people.
 */
import { LEAST_CERTAINTY, describeCall, type Problem } from '../calls/index.js';
import { formatFrequency, type FollowUp } from '../frequencies/index.js';
import type { AttemptGroup, ReceivedCall, ReceiverEvent } from '../receiver/index.js';
import { problemText } from './advice.js';
import type { HeardCall } from './heardcall.js';
import { wrap, type Screen } from './terminal.js';
import { utcMoment } from './utc.js';

/** Advice about a call. */
export interface Judgement {
  /** The call in a sentence, with names. */
  readonly text: string;
  /** The rules it breaks. */
  readonly problems: readonly Problem[];
  /** Why it is on the wrong frequency. */
  readonly wrongPlace?: string;
  /** When the call began and ended: milliseconds since 1970 UTC. */
  readonly utc?: { readonly start: number; readonly end: number };
  /** The DSC frequency it was heard on, hertz. */
  readonly frequencyHz?: number;
  /** What follows it, and where. */
  readonly follow?: FollowUp;
  /** The same in words, or that it was not received. */
  readonly followText?: string;
  /** Its attempt among those on several frequencies, and which of its sendings it is; from 1. */
  readonly multiFrequencyAttempt?: { readonly id: number; readonly sending: number };
}

/** A received call with advice. */
export type JudgedCall = HeardCall & Judgement;

const rounded = (value: number, decimals: number) => Number(value.toFixed(decimals));

/** To six decimals, so that nothing turns into certainty by rounding. */
const roundedDown = (probability: number) => Math.floor(probability * 1e6) / 1e6;

/**
 * A call as one JSON object without a line break. The keys from `start` to `text` are kept for good; the others come
 * beside them, those of time and frequency only where these are known.
 */
export function callLine(heard: ReceivedCall & Judgement & Partial<JudgedCall> & { input?: string }): string {
  const {
    input,
    file,
    channel,
    baud,
    inverted,
    symbols,
    certainty,
    expansions,
    quality,
    errorProbability,
    call,
    text,
  } = heard;
  const { utc, frequencyHz, wrongPlace, follow } = heard;
  return JSON.stringify({
    input,
    file,
    channel,
    start: rounded(heard.start, 4),
    end: rounded(heard.end, 4),
    baud,
    centreHz: rounded(heard.centreHz, 2),
    inverted,
    symbols,
    certainty: certainty.map(roundedDown),
    expansions,
    quality,
    errorProbability,
    call,
    text,
    snrDb: rounded(heard.snrDb, 1),
    sendings: heard.sendings,
    attempt: heard.attempt,
    moreFollowed: heard.moreFollowed,
    problems: heard.problems,
    ...(utc && {
      startUtc: new Date(Math.round(utc.start)).toISOString(),
      endUtc: new Date(Math.round(utc.end)).toISOString(),
    }),
    ...(frequencyHz !== undefined && { frequencyHz }),
    ...(heard.measuredHz !== undefined && { measuredHz: heard.measuredHz }),
    ...(wrongPlace !== undefined && { frequencyWarning: wrongPlace }),
    ...(follow !== undefined && { followUp: follow }),
    ...(heard.multiFrequencyAttempt && { multiFrequencyAttempt: heard.multiFrequencyAttempt }),
  });
}

/** When and where a call was heard, for people; only what is known of it. */
function placeOf({ utc, frequencyHz }: Partial<Judgement>): string[] {
  return [
    ...(utc ? [`${utcMoment(utc.start)} UTC`] : []),
    ...(frequencyHz === undefined ? [] : [`DSC on ${formatFrequency(frequencyHz)}`]),
  ];
}

/** Seconds as a clock for people, `1:02:03.45`. */
export function clock(seconds: number): string {
  const hundredths = Math.round(Math.abs(seconds) * 100);
  // A call may have begun before its recording.
  const sign = seconds < 0 && hundredths > 0 ? '−' : '';
  const pair = (value: number) => String(Math.floor(value)).padStart(2, '0');
  const hours = Math.floor(hundredths / 360_000);
  const minutes = pair((hundredths / 6000) % 60);
  const rest = `${pair((hundredths / 100) % 60)}.${pair(hundredths % 100)}`;
  return sign + (hours > 0 ? `${hours}:${minutes}:${rest}` : `${minutes}:${rest}`);
}

function oneIn(probability: number): string {
  if (probability > 0.3) return 'one in two or three';
  return `one in ${Number((1 / probability).toPrecision(1))
    .toLocaleString('en')
    .replaceAll(',', '\u00a0')}`;
}

/** How far a call can be trusted, in words. */
export function trustOf({
  quality,
  errorProbability,
  certainty = [],
}: Pick<HeardCall, 'quality' | 'errorProbability'> & Partial<Pick<HeardCall, 'certainty'>>): string {
  const missing = certainty.filter((value) => value < LEAST_CERTAINTY).length;
  if (missing > 0) {
    return `DOUBTFUL: ${missing} of ${certainty.length} characters were not received; their digits print as ?`;
  }
  switch (quality) {
    case 'clean':
      return 'clean: every character was read and the error check agrees';
    case 'recovered':
      return 'recovered with the help of soft information, chance of error below one in 10\u00a0000';
    case 'doubtful':
      return `DOUBTFUL: it may be wrong, chance of error about ${oneIn(errorProbability)}`;
  }
}

/** The facts of a reception: bit rate, centre, strength and what else is out of the ordinary. */
export function factsOf(heard: HeardCall): string {
  const { baud, centreHz, inverted, snrDb, sendings } = heard;
  return [
    `${baud} Bd around ${centreHz.toFixed(0)} Hz`,
    ...(inverted ? ['tones swapped'] : []),
    ...(Number.isFinite(snrDb) ? [`${snrDb.toFixed(0)} dB SNR in 3 kHz`] : []),
    ...(sendings > 1 ? [`${sendings} sendings added up`] : []),
  ].join(', ');
}

/** Qualities from the surest on. */
export const RANK = { clean: 0, recovered: 1, doubtful: 2 } as const;

const COLOUR = { clean: 'green', recovered: 'cyan', doubtful: 'red' } as const;

/** A call for people: when, what, and how it came in. */
export function callBlock(heard: HeardCall & Partial<Judgement>, screen: Screen, channels: boolean): string {
  const { colours, width } = screen;
  const head = `  ${clock(heard.start)}  `;
  const indent = ' '.repeat(head.length);
  const facts = [
    ...placeOf(heard),
    factsOf(heard),
    ...(channels ? [heard.channel === 'mix' ? 'channels mixed' : `channel ${heard.channel}`] : []),
  ];
  const doubt = heard.quality === 'doubtful' ? `${colours.red('Doubtful:')} ` : '';
  const lines = [
    ...wrap(`${doubt}${heard.text ?? describeCall(heard.call)}`, width, indent, colours.bold(head)),
    ...(heard.followText === undefined ? [] : wrap(heard.followText, width, indent, indent)),
    ...wrap(facts.join(', '), width, indent, indent).map((line) => colours.dim(line)),
    ...wrap(trustOf(heard), width, indent, indent).map(colours[COLOUR[heard.quality]]),
    ...[
      ...(heard.problems ?? []).map(problemText),
      ...(heard.wrongPlace === undefined ? [] : [heard.wrongPlace]),
      ...(heard.moreFollowed ? ['More expansions followed than could be read.'] : []),
      ...(heard.follow?.warnings ?? []),
    ]
      .flatMap((text) => wrap(text, width, indent, indent))
      .map((line) => colours.yellow(line)),
  ];
  return lines.join('\n');
}

/** Where in a recording something is, for people: `0:39`. */
export function shortClock(seconds: number): string {
  const whole = Math.round(seconds);
  const pair = (value: number) => String(value).padStart(2, '0');
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  return `${hours > 0 ? `${hours}:${pair(minutes)}` : minutes}:${pair(whole % 60)}`;
}

/** How often a call was received in a row, and from when to when: `5 sendings, 0:03 to 0:39`. */
export function sendingsText({ start, end, sendings }: AttemptGroup<unknown>): string {
  return `${sendings.length} sendings, ${shortClock(start)} to ${shortClock(end)}`;
}

/** What is said of an attempt of several sendings when it is over. */
export function attemptLine(group: AttemptGroup<HeardCall>, { colours, width }: Screen): string {
  const indent = ' '.repeat(`  ${clock(group.start)}  `.length);
  const said = `Call of ${clock(group.start)}: ${sendingsText(group)}; the surest is ${group.best.quality}.`;
  return wrap(said, width, indent, indent).map(colours.bold).join('\n');
}

/** What a receiver tells while it listens, as a line. */
export function eventLine(event: ReceiverEvent, channel: number | 'mix', frequencyHz?: number): string {
  const where = `${event.baud} Bd around ${event.centreHz.toFixed(1)} Hz${event.inverted ? ', tones swapped' : ''}`;
  const words = {
    signal: () => 'signal heard',
    phasing: () => 'phasing reached',
    lost: ({ reason }: Extract<ReceiverEvent, { type: 'lost' }>) => `lost: ${reason}`,
    replaced: ({ by }: Extract<ReceiverEvent, { type: 'replaced' }>) =>
      `the doubtful call is replaced by that of ${clock(by)}, read from several sendings`,
  };
  const what = words[event.type](event as never);
  const place = frequencyHz === undefined ? `channel ${channel}` : formatFrequency(frequencyHz);
  return `  ${clock(event.time)}  ${place}, ${where}: ${what}`;
}
