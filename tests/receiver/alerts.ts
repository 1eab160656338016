/** Alerts through a channel, and how many of them are read right. */
import type { ChannelName } from '../scenes/channels.js';
import { judge, runDecodeJob, type DecodeJob, type Outcome } from '../scenes/decode.js';

export function send(
  channel: ChannelName,
  snrDb: number,
  count: number,
  options: Partial<DecodeJob> = {},
): Outcome[] {
  return runDecodeJob({ channel, snrDb, count, calls: 'alerts', seed: 4000, textbook: false, ...options });
}

export const right = (outcomes: readonly Outcome[]) =>
  outcomes.filter((outcome) => judge(outcome).right).length;
