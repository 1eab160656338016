/**
 * Decoded calls as they end, in the form that was asked for.
 */
import { describeCall, isReceivedWhole, toSentences } from '../../calls/index.js';
import { DotphaseError } from '../../errors.js';
import { maritimeBand } from '../../frequencies/index.js';
import { addToAttempts, type AttemptGroup } from '../../receiver/index.js';
import { BIT_RATE } from '../../symbols/index.js';
import { followUpOfCall, followUpText, frequencyOf, frequencyWarning, problemsOf } from '../advice.js';
import type { DecodeSettings } from '../decoding.js';
import { warn } from '../exit.js';
import type { HeardCall } from '../heardcall.js';
import { momentIn, type Origin } from '../origin.js';
import type { Profile } from '../profile/profile.js';
import { attemptLine, callBlock, callLine, clock, type JudgedCall } from '../report.js';
import { screenOf } from '../terminal.js';

/** In which form calls are shown; without any, for people. */
export interface OutputFlags {
  readonly json?: true;
  readonly sentences?: true;
}

/** Qualities from the surest on. */
const RANK = { clean: 0, recovered: 1, doubtful: 2 } as const;

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
    const judged = this.judge(heard, origin);
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
    const channels = this.settings.channel !== 'best' || heard.channel !== 0;
    process.stdout.write(`${callBlock(heard, this.out, channels)}\n`);
  }

  /** A call with names and advice. */
  private judge(heard: HeardCall, origin: Origin): JudgedCall {
    const { call } = heard;
    const [start, end] = [momentIn(origin, heard.start), momentIn(origin, heard.end)];
    const band = heard.baud === BIT_RATE.vhf ? 'vhf' : 'mf-hf';
    const hz = frequencyHeard(heard, origin.frequencyHz);
    const text = describeCall(call, { station: (identity) => this.profile.describe(identity) });
    const wrongPlace = hz === undefined ? undefined : frequencyWarning(call, hz);
    const follow = hz === undefined ? undefined : followUpOfCall(call, hz);
    const followText = hz === undefined ? undefined : followUpText(call, follow);
    return {
      ...heard,
      text,
      problems: problemsOf(call, band, hz),
      ...(start !== undefined && end !== undefined && { utc: { start, end } }),
      ...(hz !== undefined && { frequencyHz: hz }),
      ...(wrongPlace !== undefined && { wrongPlace }),
      ...(follow !== undefined && { follow }),
      ...(followText !== undefined && { followText }),
    };
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

/** The DSC frequency a call was heard on: at 1200 Bd channel 70, at 100 Bd as given. */
export function frequencyHeard({ baud }: HeardCall, given: number | undefined): number | undefined {
  if (baud === BIT_RATE.vhf) return frequencyOf(undefined, 'vhf');
  return given === undefined || maritimeBand(given) === 'VHF' ? undefined : given;
}
