/**
 * Slices of spectrum on one core: `npm run bench -- iq [parts...] [--calls 100] [--runs 4] [--write]`; parts: speed,
 * places. With --write the figures are kept in docs/slices.json and drawn.
 *
 * speed: seconds of the slice for each second of processor time, in noise and with an alert on every channel, after as
 * much of noise. places: what a channel's place costs in sensitivity; each call with its noise is read out of the slice,
 * and out of the same samples brought to audio by one long Fourier transform.
 */
import { Argument, Command } from 'commander';
import FFT from 'fft.js';
import { encodeCall } from '../../src/calls/index.js';
import { createTuner, type IqBlock, type RadioChannel } from '../../src/radio/index.js';
import { createReceiver, receiveCalls } from '../../src/receiver/index.js';
import { randomCall } from '../scenes/calls.js';
import { createChoices } from '../scenes/random.js';
import { createSlice, type SliceOptions } from '../scenes/slice.js';
import { positive } from './positive.js';
import { writeSliceFigures, type SlicePlace, type SliceSpeed } from './scalefigures.js';

const PARTS = ['speed', 'places'];
const program = new Command('bench iq')
  .addArgument(new Argument('[parts...]', 'what to measure').choices(PARTS).default(PARTS))
  .option('--calls <number>', 'alerts at each ratio and place', positive, 100)
  .option('--runs <number>', 'runs of each speed', positive, 4)
  .option('--write', 'keep the figures in docs and draw them')
  .parse();
const [parts] = program.processedArgs as [string[]];
const { calls: COUNT, runs: RUNS, write } = program.opts<{ calls: number; runs: number; write?: true }>();

const cpuSeconds = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

type Place = Omit<SliceOptions, 'seconds'>;

const isSure = ({ quality }: { quality: string }) => quality !== 'doubtful';

/** A receiver for each channel of a slice; the calls of each that are sure. */
function createReceivers(options: Place, hz: readonly number[]) {
  const channels = hz.map((one): RadioChannel => ({ hz: one, mode: 'ssb' }));
  const tuner = createTuner({ ...options, channels });
  const receivers = channels.map((_, n) =>
    createReceiver({ sampleRate: tuner.sampleRates[n], bands: ['mf-hf'], centreHz: 1700 }),
  );
  const read = channels.map((): string[] => []);
  const note = (channel: number, calls: ReturnType<(typeof receivers)[number]['push']>) => {
    for (const { symbols } of calls.filter(isSure)) read[channel].push(symbols.join());
  };
  const take = (channel: number, audio: Float32Array) => {
    note(channel, receivers[channel].push(audio));
  };
  const piece = 65_536;
  return {
    push({ i, q }: IqBlock) {
      for (let at = 0; at < i.length; at += piece)
        tuner.push(i.subarray(at, at + piece), q.subarray(at, at + piece), take);
    },
    /** Ends the slice and gives what was read. */
    end() {
      tuner.flush(take);
      receivers.forEach((receiver, channel) => {
        note(channel, receiver.flush());
      });
      return read;
    },
  };
}

function receive(options: Place, hz: readonly number[], slice: IqBlock): string[][] {
  const receivers = createReceivers(options, hz);
  receivers.push(slice);
  return receivers.end();
}

/** Eleven channels, as many as a band has with its national ones. */
const ELEVEN = Array.from({ length: 11 }, (_, n) => 8_414_500 + 2500 * n);

/** Runs each speed and prints it. */
function measureSpeeds(): SliceSpeed[] {
  console.log('slice | channels | alerts read | × real time, each run');
  const speeds: SliceSpeed[] = [];
  for (const [sampleRate, seconds] of [
    [192_000, 60],
    [2_400_000, 8],
  ] as const) {
    const options = { sampleRate, tunedHz: 8_430_000 };
    const choices = createChoices(sampleRate);
    const calls = ELEVEN.map((hz, n) => ({
      symbols: encodeCall(randomCall(choices, 'distressAlert')).symbols,
      hz,
      at: 0.1 + 0.05 * n,
      amplitude: 0.01,
    }));
    const noise = createSlice({ ...options, seconds }, [], -60, 1);
    for (const isBusy of [false, true]) {
      const slice = isBusy ? createSlice({ ...options, seconds }, calls, -60, 1) : noise;
      let right = 0;
      const timesRealTime = Array.from({ length: RUNS }, () => {
        const receivers = createReceivers(options, ELEVEN);
        receivers.push(noise);
        const begin = cpuSeconds();
        receivers.push(slice);
        const read = receivers.end();
        right = calls.filter(({ symbols }, n) => read[n].includes(symbols.join())).length;
        return seconds / (cpuSeconds() - begin);
      });
      speeds.push({ sampleRate, channels: ELEVEN.length, isBusy, timesRealTime });
      const said = timesRealTime.map((times) => times.toFixed(1)).join(', ');
      console.log(`${sampleRate} Hz | ${ELEVEN.length} | ${right} | ${said}`);
    }
  }
  return speeds;
}

const AUDIO_RATE = 12_000;

/** The channel as audio, its middle at 1700 Hz: a transform of the whole slice, what lies from 0 to 6 kHz of it back. */
function asAudio({ sampleRate, tunedHz }: Place, hz: number, { i, q }: IqBlock): Float32Array {
  const size = 2 ** Math.ceil(Math.log2(i.length));
  const fft = new FFT(size);
  const input = fft.createComplexArray() as number[];
  input.fill(0);
  // The middle comes to 1700 Hz by turning the samples.
  const turn = (1700 - (hz - tunedHz)) / sampleRate;
  for (let n = 0; n < i.length; n++) {
    const angle = 2 * Math.PI * ((turn * n) % 1);
    input[2 * n] = i[n] * Math.cos(angle) - q[n] * Math.sin(angle);
    input[2 * n + 1] = i[n] * Math.sin(angle) + q[n] * Math.cos(angle);
  }
  const spectrum = fft.createComplexArray() as number[];
  fft.transform(spectrum, input);
  const above = Math.round((0.45 * AUDIO_RATE * size) / sampleRate);
  spectrum.fill(0, 2 * above);
  fft.inverseTransform(input, spectrum);
  const step = sampleRate / AUDIO_RATE;
  return Float32Array.from({ length: Math.floor(i.length / step) }, (_, n) => input[2 * n * step]);
}

const RATIOS_DB = [-13, -12.5, -12, -11.5];
const HZ = 8_414_500;
const RATE = 48_000;

/** Measures each place and prints it. */
function measurePlaces(): SlicePlace[] {
  console.log(
    `\nplace in the slice, of its half width | ratio in 3 kHz: of ${COUNT} read in the slice, as audio | loss`,
  );
  const places: SlicePlace[] = [];
  for (const share of [0, 0.45, 0.9]) {
    // The channel's edge, 600 Hz from its middle, lies at that share.
    const options = { sampleRate: RATE, tunedHz: HZ - Math.max(0, (share * RATE) / 2 - 600) };
    const points = RATIOS_DB.map((snrDb) => {
      const point = { slice: 0, audio: 0, differ: 0 };
      for (let n = 0; n < COUNT; n++) {
        const seed = n + 1000 * Math.round(-10 * snrDb);
        const { symbols } = encodeCall(randomCall(createChoices(seed), 'distressAlert'));
        const call = { symbols, hz: HZ, at: 0.5, amplitude: 0.01 };
        const slice = createSlice({ ...options, seconds: 8.5 }, [call], -40 - snrDb, seed);
        const inSlice = receive(options, [HZ], slice)[0].includes(symbols.join());
        const asSound = receiveCalls(asAudio(options, HZ, slice), {
          sampleRate: AUDIO_RATE,
          bands: ['mf-hf'],
          centreHz: 1700,
        })
          .filter(isSure)
          .some((heard) => heard.symbols.join() === symbols.join());
        point.slice += Number(inSlice);
        point.audio += Number(asSound);
        point.differ += Number(inSlice !== asSound);
      }
      return point;
    });
    const sum = (key: 'slice' | 'audio' | 'differ') => points.reduce((total, point) => total + point[key], 0);
    const pairs = COUNT * RATIOS_DB.length;
    // How many more are read for each decibel, by a straight line through the points.
    const middle = RATIOS_DB.reduce((a, b) => a + b) / RATIOS_DB.length;
    const spread = RATIOS_DB.reduce((total, ratio) => total + (ratio - middle) ** 2, 0);
    const slope =
      points.reduce((total, { audio }, n) => total + (RATIOS_DB[n] - middle) * audio, 0) / spread / COUNT;
    const loss = (sum('audio') - sum('slice')) / pairs / slope;
    const error = Math.sqrt(sum('differ')) / pairs / slope;
    places.push({
      share,
      points: points.map(({ slice, audio }, n) => ({ snrDb: RATIOS_DB[n], sent: COUNT, slice, audio })),
      lossDb: loss,
      errorDb: error,
    });
    const counts = points.map(({ slice, audio }, n) => `${RATIOS_DB[n]} dB: ${slice}, ${audio}`).join('; ');
    console.log(`${Math.round(100 * share)} % | ${counts} | ${loss.toFixed(2)} ± ${error.toFixed(2)} dB`);
  }
  return places;
}

const command = (part: string, size: string) => `npm run bench -- iq ${part} ${size}`;
const speed = parts.includes('speed')
  ? { command: command('speed', `--runs ${RUNS}`), data: measureSpeeds() }
  : undefined;
const places = parts.includes('places')
  ? { command: command('places', `--calls ${COUNT}`), data: measurePlaces() }
  : undefined;
if (write) await writeSliceFigures({ ...(speed && { speed }), ...(places && { places }) });
