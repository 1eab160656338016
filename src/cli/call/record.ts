/**
 * Logs an exchange: what was sent, heard, acknowledged and stopped, each with its time.
 */
import type { Call } from '../../calls/index.js';
import type { ReceivedCall } from '../../receiver/index.js';
import { attemptLogger, callEntry } from '../../records/index.js';
import type { LogFile } from '../log/file.js';
import type { Profile } from '../profile/profile.js';

/** Writes an exchange into a log. */
export class ExchangeRecord {
  private readonly logReceived = attemptLogger();
  /** The entry of the latest sending. */
  private sent: number | undefined;
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
    const entry = this.log.write((log) =>
      log.add(callEntry(call, { ...where, ...this.naming(), frequencyHz, time })),
    );
    this.sent = entry?.id;
    this.isOnAir = true;
  }

  /** It went out whole. */
  wentOut(): void {
    this.isOnAir = false;
  }

  /** What is going out is broken off. */
  breakOff(): void {
    const { sent } = this;
    if (this.isOnAir && sent !== undefined) this.log.write((log) => log.stop(sent));
    this.isOnAir = false;
  }

  /** A call came in. */
  heard(received: ReceivedCall, frequencyHz: number, time: number): void {
    this.log.write((log) => this.logReceived(log, received, { ...this.naming(), frequencyHz, time }));
  }

  /** What was sent last was acknowledged by what came at this time. */
  acknowledged(time: number): void {
    const { sent } = this;
    if (sent !== undefined) this.log.write((log) => log.acknowledge(sent, time));
  }

  private naming() {
    return { station: (identity: string) => this.profile.describe(identity) };
  }
}
