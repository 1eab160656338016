/**
 * Decoded calls as they end, in the form that was asked for.
 */
import { isReceivedWhole, toSentences } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { formatFrequency } from '../../frequencies/index.js';
import { addToAttempts, type AttemptGroup } from '../../receiver/index.js';
import type { DecodeSettings } from '../decoding.js';
import { warn } from '../exit.js';
import type { HeardCall } from '../heardcall.js';
import { frequencyHeard, judge } from '../judgement.js';
import {
  MultiFrequencyAttempts,
  beginningOf,
  frequenciesOf,
  frequenciesText,
  spanText,
  surestOf,
  type MultiFrequencyAttempt,
} from '../multifrequency.js';
import { momentIn, type Origin } from '../origin.js';
import type { Profile } from '../profile/profile.js';
import { RANK, attemptLine, callBlock, callLine, clock, type JudgedCall } from '../report.js';
import { screenOf, wrap } from '../terminal.js';

/** In which form calls are shown; without any, for people. */
export interface OutputFlags {
  readonly json?: true;
  readonly sentences?: true;
}

/** Which sending of its attempt on several frequencies a call is, for a line of JSON. */
function numberOf({ frequencyHz }: JudgedCall, attempt: MultiFrequencyAttempt | undefined) {
  if (!attempt || frequencyHz === undefined) return {};
  const sending = frequenciesOf(attempt.sendings).indexOf(frequencyHz) + 1;
  return { multiFrequencyAttempt: { id: attempt.id, sending } };
}

/** Shows calls as they end, each on what was asked for. */
export class Output {
  private readonly out = screenOf(process.stdout);
  private name = '';
  private attempts: AttemptGroup<HeardCall>[] = [];
  private readonly together = new MultiFrequencyAttempts();
  /** How many sendings of an attempt on several frequencies were told when it was over. */
  private readonly told = new Map<number, number>();

  constructor(
    private readonly flags: OutputFlags,
    private readonly profile: Profile,
    private readonly settings: DecodeSettings,
  ) {}

  call(name: string, heard: HeardCall, origin: Origin): void {
    const { json, sentences } = this.flags;
    const [start, end] = [momentIn(origin, heard.start), momentIn(origin, heard.end)];
    const judged = judge(heard, {
      profile: this.profile,
      frequencyHz: frequencyHeard(heard, origin.frequencyHz),
      ...(start !== undefined && end !== undefined && { utc: { start, end } }),
    });
    if (sentences) this.sentences(name, heard);
    else {
      const attempt = this.together.add(judged);
      if (json) process.stdout.write(`${callLine({ ...judged, ...numberOf(judged, attempt) })}\n`);
      else this.lines(name, judged, attempt);
    }
  }

  /** Tells of an attempt that is over how many sendings of it were received. */
  over(attempt: number): void {
    const group = this.attempts.find(({ id }) => id === attempt);
    this.attempts = this.attempts.filter((other) => other !== group);
    if (!group) return;
    if (group.sendings.length > 1) process.stdout.write(`${attemptLine(group, this.out)}\n`);
    const several = this.together.begunBy(group.best.file, attempt);
    if (several) this.tellTogether(several);
  }

  /** All recordings were read: tells of attempts on several frequencies whose sendings stand in several of them. */
  finish(): void {
    if (this.flags.json || this.flags.sentences) return;
    for (const several of this.together.several())
      if (this.told.get(several.id) !== several.sendings.length) this.tellTogether(several);
  }

  private tellTogether(several: MultiFrequencyAttempt): void {
    const { id, sendings } = several;
    this.told.set(id, sendings.length);
    const indent = ' '.repeat(12);
    const text = `Call of ${beginningOf(several)}: ${frequenciesText(sendings)}, begun ${spanText(sendings)}; the surest is ${surestOf(sendings)}.`;
    process.stdout.write(
      `${wrap(text, this.out.width, indent, indent).map(this.out.colours.bold).join('\n')}\n`,
    );
  }

  /** A recording ended, and with it its attempts. */
  end(): void {
    this.attempts = [];
  }

  /** The first sending of an attempt at once and whole; of the others only what is surer, or on another frequency. */
  private lines(name: string, heard: JudgedCall, several: MultiFrequencyAttempt | undefined): void {
    const before = this.attempts.find(({ id }) => id === heard.attempt.id);
    this.attempts = addToAttempts(this.attempts, heard);
    if (before && RANK[heard.quality] >= RANK[before.best.quality]) return;
    if (this.name !== name) process.stdout.write(`${this.out.colours.bold(name)}\n`);
    this.name = name;
    const earlier = several?.sendings.slice(0, -1) ?? [];
    if (several && earlier.length > 0 && RANK[heard.quality] >= RANK[surestOf(earlier)]) {
      this.further(heard, several);
      return;
    }
    const isOneOfSeveral = this.settings.channel !== 'best' || heard.channel !== 0;
    const channels = isOneOfSeveral && heard.frequencyHz === undefined;
    process.stdout.write(`${callBlock(heard, this.out, channels)}\n`);
  }

  /** A sending of an attempt that was told already, on another frequency or in another recording. */
  private further(heard: JudgedCall, several: MultiFrequencyAttempt): void {
    const { frequencyHz = 0, quality } = heard;
    const head = `  ${clock(heard.start)}  `;
    const before = frequenciesOf(several.sendings.slice(0, -1));
    const what = before.includes(frequencyHz) ? 'the same sending as before' : `sending ${before.length + 1}`;
    const text = `On ${formatFrequency(frequencyHz)}, ${what} of the call of ${beginningOf(several)}, ${quality}.`;
    const lines = wrap(text, this.out.width, ' '.repeat(head.length), head);
    process.stdout.write(`${lines.map(this.out.colours.dim).join('\n')}\n`);
  }

  private sentences(name: string, { quality, call, start }: HeardCall): void {
    const where = `${name}, ${clock(start)}`;
    if (quality === 'doubtful') {
      warn(`${where}: a doubtful call is left out, as sentences cannot say that it is`);
      return;
    }
    if (!isReceivedWhole(call)) {
      warn(
        `${where}: no sentence carries this call: it was not received whole, and an empty field would say something else`,
      );
      return;
    }
    try {
      process.stdout.write(
        toSentences(call)
          .map((sentence) => `${sentence}\r\n`)
          .join(''),
      );
    } catch (error) {
      if (!(error instanceof DotphaseError)) throw error;
      warn(`${where}: no sentence carries this call: ${error.message}`);
    }
  }
}
