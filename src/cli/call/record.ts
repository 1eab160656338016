/**
 * Logs an exchange: what was sent, heard, acknowledged and stopped, each with its time.
 */
import type { Call } from '../../calls/index.js';
import type { ReceivedCall } from '../../receiver/index.js';
import { attemptLogger, callEntry } from '../../records/index.js';
import type { LogFile } from '../log/file.js';
import type { Profile } from '../profile/profile.js';

/** What was sent, and its entry once it is logged. */
interface Sending {
  entry?: number;
}

/** Writes an exchange into a log. */
export class ExchangeRecord {
  private readonly logReceived = attemptLogger();
  /** The latest one. */
  private sent: Sending | undefined;
  private isOnAir = false;

  /**
   * @param file - the file that what is sent goes into, where it goes no further
   */
  constructor(
    private readonly log: LogFile,
    private readonly profile: Profile,
    private readonly file: string | undefined,
  ) {}

  /** A call goes out from now on. */
  sending(call: Call, frequencyHz: number, time: number): void {
    const { file } = this;
    const where =
      file === undefined ? ({ direction: 'sent' } as const) : ({ direction: 'made', file } as const);
    const sending: Sending = {};
    this.log.owe(({ calls }) => {
      sending.entry = calls.add(callEntry(call, { ...where, ...this.naming(), frequencyHz, time })).id;
    });
    this.sent = sending;
    this.isOnAir = true;
  }

  /** It went out whole. */
  wentOut(): void {
    this.isOnAir = false;
  }

  /** What is going out is broken off. */
  breakOff(): void {
    const { sent } = this;
    if (this.isOnAir) {
      this.log.owe(({ calls }) => {
        if (sent?.entry !== undefined) calls.stop(sent.entry);
      });
    }
    this.isOnAir = false;
  }

  /** A call came in. */
  heard(received: ReceivedCall, frequencyHz: number, time: number): void {
    this.log.owe(({ calls }) => {
      this.logReceived(calls, received, { ...this.naming(), frequencyHz, time });
    });
  }

  /** What was sent last was acknowledged by what came at this time. */
  acknowledged(time: number): void {
    const { sent } = this;
    this.log.owe(({ calls }) => {
      if (sent?.entry !== undefined) calls.acknowledge(sent.entry, time);
    });
  }

  private naming() {
    return { station: (identity: string) => this.profile.describe(identity) };
  }
}
