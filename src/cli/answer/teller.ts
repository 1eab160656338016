/**
 * What an answering station heard and answered, for people and for the log.
 */
import { describeCall, encodeCall, type Call, type DecodedCall, type Identity } from '../../calls/index.js';
import { formatFrequency } from '../../frequencies/index.js';
import type { RuleName } from '../../procedures/index.js';
import { RULES, describeRefusal } from '../../procedures/texts/index.js';
import { attemptLogger, callEntry, type LogContext } from '../../records/index.js';
import { createOwnSound, type OwnSound, type ReceivedCall } from '../../receiver/index.js';
import type { AnsweringEvent } from '../../simulation/index.js';
import type { LogFile } from '../log/file.js';
import type { Profile } from '../profile/profile.js';
import { trustOf } from '../report.js';
import { screenOf, wrap } from '../terminal.js';
import { utcClock } from '../utc.js';

/** Whose call an acknowledgement answers. */
function answeredStation(call: Call): Identity | undefined {
  const station =
    call.kind === 'distressAcknowledgement'
      ? call.casualty
      : 'to' in call && typeof call.to === 'object' && 'station' in call.to
        ? call.to.station
        : undefined;
  return typeof station === 'string' ? station : undefined;
}

/** What was heard and answered: on standard error, and in the log. */
export class Teller {
  answers = 0;
  private readonly screen = screenOf(process.stderr);
  /** The log's entry of the call that each sender sent last. */
  private readonly entries = new Map<string, number>();
  private readonly logReceived = attemptLogger();
  /** When the audio began, milliseconds since 1970 UTC. */
  private start = 0;
  /** The answer that goes out: its entry once it is logged, and when it ends. */
  private sending: { entry?: number; readonly end: number } | undefined;
  private readonly ownSound: OwnSound | undefined;

  constructor(
    private readonly log: LogFile,
    private readonly profile: Profile,
    private readonly output: Pick<LogContext, 'direction' | 'file'>,
    private readonly input: Pick<LogContext, 'file' | 'recording'>,
    { isLive }: { readonly isLive: boolean },
    /** The rule by which a call is not answered, if it is not. */
    private readonly whySilent: (received: ReceivedCall, frequencyHz: number) => RuleName | undefined,
  ) {
    // Only a sound card may give back what was just played; in a recording the same call is another's.
    if (isLive) this.ownSound = createOwnSound();
  }

  /** Takes when the audio began, and gives it. */
  begin(start: number): number {
    this.start = start;
    return start;
  }

  /** Notes in the log that an answer was broken off, where so many seconds went out and it is not at its end. */
  breakOff(seconds: number): void {
    const { sending } = this;
    if (sending && sending.end > this.start + seconds * 1000 + 1) {
      this.log.owe(({ calls }) => {
        if (sending.entry !== undefined) calls.stop(sending.entry);
      });
    }
    this.sending = undefined;
  }

  /** The answer that went out did so whole. */
  wentOut(): void {
    this.sending = undefined;
  }

  /** A call in a sentence, with names. */
  private describe(call: DecodedCall): string {
    return describeCall(call, { station: (identity) => this.profile.describe(identity) });
  }

  caution(text: string): void {
    process.stderr.write(`${this.screen.colours.yellow(wrap(text, this.screen.width).join('\n'))}\n`);
  }

  take(event: AnsweringEvent): void {
    const { time } = event;
    if (event.type === 'received') {
      const { received, frequencyHz } = event;
      if (this.ownSound?.isOwn(received, this.start + received.start * 1000)) return;
      this.line(time, `Heard: ${this.describe(received.call)}`, trustOf(received));
      const silent = this.whySilent(received, frequencyHz);
      if (silent !== undefined) this.line(time, RULES[silent].text, RULES[silent].source);
      const { file, recording } = this.input;
      const offset = received.start;
      const setting = {
        time: this.start + offset * 1000,
        frequencyHz,
        file,
        ...(recording !== undefined && { recording, offset }),
      };
      this.log.owe(({ calls }) => {
        const { from, id } = this.logReceived(calls, received, setting);
        if (from !== undefined) this.entries.set(from, id);
      });
    } else if (event.type === 'answering') {
      const { call, frequencyHz, identity, seconds } = event;
      this.answers++;
      this.ownSound?.add(encodeCall(call).symbols, time, time + seconds * 1000);
      const setting = `as ${this.profile.describe(identity)}, ${formatFrequency(frequencyHz)}, ${seconds.toFixed(1)} s`;
      this.line(time, `Answers: ${this.describe(call)}`, setting);
      const to = answeredStation(call);
      const sending: typeof this.sending = { end: time + seconds * 1000 };
      this.sending = sending;
      this.log.owe(({ calls }) => {
        sending.entry = calls.add(callEntry(call, { ...this.output, time, frequencyHz })).id;
      });
      this.log.owe(({ calls }) => {
        const entry = to === undefined ? undefined : this.entries.get(to);
        if (entry !== undefined) calls.acknowledge(entry, time);
      });
    } else if (event.action.type === 'refuse') {
      this.line(time, describeRefusal(event.action), RULES[event.action.rule].source);
    }
  }

  /** Something to mind, at a time. */
  warn(time: number, text: string): void {
    this.line(time, this.screen.colours.yellow(text), '');
  }

  private line(time: number, text: string, setting: string): void {
    const { colours, width } = this.screen;
    const head = `${utcClock(time)}  `;
    const indent = ' '.repeat(head.length);
    const lines = [
      ...wrap(text, width, indent, colours.bold(head)),
      ...(setting === '' ? [] : wrap(setting, width, indent, indent)).map((line) => colours.dim(line)),
    ];
    process.stderr.write(`${lines.join('\n')}\n`);
  }
}
