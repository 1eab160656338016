/** How much audio after a call's last bit the receiver needs before it reports the call. */
import { encodeCall, type TableKind } from '../../src/calls/index.js';
import { frameCall } from '../../src/frames/index.js';
import type { Band } from '../../src/symbols/index.js';
import { createReceiver } from '../../src/receiver/index.js';
import { KINDS, randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { impair, transmit } from '../scenes/transmission.js';

const SAMPLE_RATE = 12_000;
const BLOCK = SAMPLE_RATE / 100;
const BEFORE = 0.5;

/** Calls to time. */
export interface LatencyJob {
  band: Band;
  /** Signal-to-noise ratio in 3 kHz, dB. */
  snrDb: number;
  /** Calls of each kind. */
  count: number;
  seed: number;
}

/** Seconds of audio between the last bit of a call and its report, for those that were reported. */
export interface Latencies {
  band: Band;
  snrDb: number;
  sent: number;
  seconds: { kind: TableKind; seconds: number }[];
}

/** Sends calls of each kind and takes the time until each is reported, to 10 ms. */
export function runLatencyJob({ band, snrDb, count, seed }: LatencyJob): Latencies {
  const seconds: Latencies['seconds'] = [];
  const kinds = KINDS.flatMap((kind) => Array.from({ length: count }, () => kind));
  kinds.forEach((kind, i) => {
    const symbols = encodeCall(randomCall(createChoices(seed + i), kind)).symbols;
    const audio = impair(
      transmit(symbols, { sampleRate: SAMPLE_RATE, band, before: BEFORE, after: 2 }),
      SAMPLE_RATE,
      seed + i,
      [{ kind: 'noise', snrDb }],
    );
    const end = BEFORE + frameCall(symbols, { band }).duration;
    const receiver = createReceiver({ sampleRate: SAMPLE_RATE });
    for (let at = 0; at < audio.length; at += BLOCK) {
      const isReported = receiver
        .push(audio.subarray(at, at + BLOCK))
        .some((received) => received.symbols.join() === symbols.join());
      if (!isReported) continue;
      seconds.push({ kind, seconds: (at + BLOCK) / SAMPLE_RATE - end });
      break;
    }
  });
  return { band, snrDb, sent: kinds.length, seconds };
}
