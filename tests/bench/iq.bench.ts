/**
 * How fast slices of spectrum are read on one core: `npx tsx tests/bench/iq.bench.ts`. Seconds of the slice for each
 * second of processor time, the calls in it read; and how much a channel's place costs in sensitivity.
 */
import { encodeCall } from '../../src/calls/index.js';
import { DSC_FREQUENCIES } from '../../src/frequencies/index.js';
import { createTuner, isWithinSlice, type RadioChannel } from '../../src/radio/index.js';
import { createReceiver } from '../../src/receiver/index.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice, type Slice, type SliceOptions } from '../scenes/slice.js';

const cpuSeconds = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Receives a slice and gives the calls of each channel that are sure. */
function receive(options: Omit<SliceOptions, 'seconds'>, hz: readonly number[], { i, q }: Slice): string[][] {
  const channels = hz.map((one): RadioChannel => ({ hz: one, mode: 'ssb' }));
  const tuner = createTuner({ ...options, channels });
  const receivers = channels.map((_, n) =>
    createReceiver({ sampleRate: tuner.sampleRates[n], bands: ['mf-hf'], centreHz: 1700 }),
  );
  const read = channels.map((): string[] => []);
  const note = (channel: number, calls: ReturnType<(typeof receivers)[number]['push']>) => {
    for (const { quality, symbols } of calls) if (quality !== 'doubtful') read[channel].push(symbols.join());
  };
  const take = (channel: number, audio: Float32Array) => {
    note(channel, receivers[channel].push(audio));
  };
  const piece = 65_536;
  for (let at = 0; at < i.length; at += piece)
    tuner.push(i.subarray(at, at + piece), q.subarray(at, at + piece), take);
  tuner.flush(take);
  receivers.forEach((receiver, channel) => {
    note(channel, receiver.flush());
  });
  return read;
}

/** The DSC frequencies of a slice. */
const within = (options: Omit<SliceOptions, 'seconds'>) =>
  DSC_FREQUENCIES.map(({ hz }) => hz).filter((hz) => isWithinSlice({ hz, mode: 'ssb' }, options));

console.log('slice | channels | calls read | × real time');
for (const [sampleRate, seconds] of [
  [192_000, 30],
  [2_400_000, 10],
] as const) {
  const options = { sampleRate, tunedHz: 8_430_000 };
  const channels = within(options);
  const choices = createChoices(sampleRate);
  const calls = channels.map((hz, n) => ({
    symbols: encodeCall(randomCall(choices, 'distressAlert')).symbols,
    hz,
    at: 0.5 + 0.2 * n,
    amplitude: 0.01,
  }));
  const slice = createSlice({ ...options, seconds }, calls, -60, 1);
  receive(options, channels, { i: slice.i.subarray(0, sampleRate), q: slice.q.subarray(0, sampleRate) });
  const begin = cpuSeconds();
  const read = receive(options, channels, slice);
  const speed = seconds / (cpuSeconds() - begin);
  const right = calls.filter(({ symbols }, n) => read[n].includes(symbols.join())).length;
  console.log(`${sampleRate} Hz | ${channels.length} | ${right} of ${calls.length} | ${speed.toFixed(1)}`);
}

const COUNT = Number(process.argv[2] ?? 40);
const RATIOS_DB = [-13, -12, -11, -10];
console.log(`\nplace in the slice | share of ${COUNT} alerts read at ${RATIOS_DB.join(', ')} dB in 3 kHz`);
for (const share of [0, 0.45, 0.89]) {
  const options = { sampleRate: 48_000, tunedHz: 8_414_500 - (share * 48_000) / 2 + Math.sign(share) * 600 };
  const shares = RATIOS_DB.map((snrDb) => {
    let right = 0;
    for (let n = 0; n < COUNT; n++) {
      const { symbols } = encodeCall(randomCall(createChoices(n), 'distressAlert'));
      const call = { symbols, hz: 8_414_500, at: 0.5, amplitude: 0.01 };
      const slice = createSlice({ ...options, seconds: 8.5 }, [call], -40 - snrDb, n);
      if (receive(options, [8_414_500], slice)[0].includes(symbols.join())) right++;
    }
    return `${Math.round((100 * right) / COUNT)} %`;
  });
  console.log(`${Math.round(100 * share)} % of the half width | ${shares.join(', ')}`);
}
