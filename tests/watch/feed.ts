/**
 * Audio of an invented sea for ever: noise with calls in it, from a seed, as 16-bit samples on standard output, as fast as
 * they are taken. The same seed gives the same audio. Run by watches that are put to the test:
 * `npx tsx tests/watch/feed.ts --seed 1 --hours 1 --calls-per-hour 30 --gap 600`.
 */
import { once } from 'node:events';
import { parseArgs } from 'node:util';
import { Random } from '../../src/dsp/index.js';
import { callToAudio, type Call } from '../../src/index.js';
import { createChoices } from '../scenes/random.js';

export const FEED_RATE = 8000;

/** A call in the feed. */
export interface FedCall {
  /** Seconds from the beginning to its first dot. */
  readonly at: number;
  readonly call: Call;
}

/** The calls of a feed: test calls of invented ships, one in each stretch of equal length. */
export function* fedCalls(seed: number, hours: number, callsPerHour: number): Generator<FedCall> {
  const choices = createChoices(seed);
  const stretch = 3600 / callsPerHour;
  for (let n = 0; (n + 1) * stretch <= hours * 3600; n++) {
    const ship = String(Math.floor(choices.uniform(0, 1e6))).padStart(6, '0');
    const at = n * stretch + choices.uniform(1, stretch - 12);
    yield { at, call: { kind: 'testCall', to: { station: '002991234' }, self: `299${ship}` } };
  }
}

async function feed(seed: number, hours: number, callsPerHour: number): Promise<void> {
  const random = new Random(seed, 'noise');
  const calls = fedCalls(seed, hours, callsPerHour);
  let next = calls.next();
  let playing: { audio: Float32Array; from: number } | undefined;
  const seconds = Math.round(hours * 3600);
  for (let second = 0; second < seconds; second++) {
    const first = second * FEED_RATE;
    const bytes = Buffer.alloc(2 * FEED_RATE);
    if (!playing && !next.done && next.value.at < second + 1) {
      const { at, call } = next.value;
      playing = {
        audio: callToAudio(call, { band: 'mf-hf', sampleRate: FEED_RATE }),
        from: Math.round(at * FEED_RATE),
      };
      next = calls.next();
    }
    for (let n = 0; n < FEED_RATE; n++) {
      const noise = 0.04 * (random.uniform() + random.uniform() - 1);
      const sample = noise + 0.2 * (playing?.audio[first + n - playing.from] ?? 0);
      bytes.writeInt16LE(Math.round(32_767 * sample), 2 * n);
    }
    if (playing && first + FEED_RATE > playing.from + playing.audio.length) playing = undefined;
    if (!process.stdout.write(bytes)) await once(process.stdout, 'drain');
  }
}

if (process.argv[1]?.endsWith('feed.ts')) {
  const { values } = parseArgs({
    options: {
      seed: { type: 'string', default: '1' },
      hours: { type: 'string', default: '1' },
      'calls-per-hour': { type: 'string', default: '30' },
    },
  });
  process.stdout.on('error', () => process.exit(0));
  await feed(Number(values.seed), Number(values.hours), Number(values['calls-per-hour']));
}
