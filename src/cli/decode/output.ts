/**
 * Decoded calls as they end, in the form that was asked for.
 */
import { isReceivedWhole, toSentences } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { addToAttempts, type AttemptGroup } from '../../receiver/index.js';
import type { DecodeSettings } from '../decoding.js';
import { warn } from '../exit.js';
import type { HeardCall } from '../heardcall.js';
import { frequencyHeard, judge } from '../judgement.js';
import { momentIn, type Origin } from '../origin.js';
import type { Profile } from '../profile/profile.js';
import { RANK, attemptLine, callBlock, callLine, clock, type JudgedCall } from '../report.js';
import { screenOf } from '../terminal.js';

/** In which form calls are shown; without any, for people. */
export interface OutputFlags {
  readonly json?: true;
  readonly sentences?: true;
}

/** Shows calls as they end, each on what was asked for. */
export class Output {
  private readonly out = screenOf(process.stdout);
  private name = '';
  private attempts: AttemptGroup<HeardCall>[] = [];

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
    if (json) process.stdout.write(`${callLine(judged)}\n`);
    else if (sentences) this.sentences(name, heard);
    else this.lines(name, judged);
  }

  /** Tells of an attempt that is over how many sendings of it were received. */
  over(attempt: number): void {
    const group = this.attempts.find(({ id }) => id === attempt);
    this.attempts = this.attempts.filter((other) => other !== group);
    if (group && group.sendings.length > 1) process.stdout.write(`${attemptLine(group, this.out)}\n`);
  }

  /** A recording ended, and with it its attempts. */
  end(): void {
    this.attempts = [];
  }

  /** The first sending of an attempt at once and whole; of the others only what is surer. */
  private lines(name: string, heard: JudgedCall): void {
    const before = this.attempts.find(({ id }) => id === heard.attempt.id);
    this.attempts = addToAttempts(this.attempts, heard);
    if (before && RANK[heard.quality] >= RANK[before.best.quality]) return;
    if (this.name !== name) process.stdout.write(`${this.out.colours.bold(name)}\n`);
    this.name = name;
    const isOneOfSeveral = this.settings.channel !== 'best' || heard.channel !== 0;
    const channels = isOneOfSeveral && heard.frequencyHz === undefined;
    process.stdout.write(`${callBlock(heard, this.out, channels)}\n`);
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
