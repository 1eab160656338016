/** Hours of what is no call: noise, and what sounds like one. */
import { execFileSync } from 'node:child_process';
import { createChannel, type ChannelStage } from '../../src/channel/index.js';
import { phasingSymbol } from '../../src/frames/index.js';
import { dotBits } from '../../src/frames/sequence.js';
import { MODULATIONS, modulateBits, type Modulation } from '../../src/modem/index.js';
import { createReceiver, type ReceivedCall } from '../../src/receiver/index.js';
import { PHASING_DX, symbolToBits } from '../../src/symbols/index.js';
import { readWav } from '../../src/wav/index.js';
import { createChoices, randomBits, type Choices } from './random.js';
import { SIGNAL_LEVEL_DB } from './transmission.js';

const SAMPLE_RATE = 12_000;
/** Audio is made and received so many seconds at a time. */
const PIECE_SECONDS = 20;
/** Noise under everything that is keyed or spoken, dB below it in 3 kHz. */
const SNR_DB = 20;

/** Makes the next piece of audio. */
type Source = (seconds: number) => Float32Array;

interface LookAlike {
  readonly title: string;
  readonly sampleRate: number;
  /** Sets up endless audio. */
  readonly create: (seed: number) => Source;
}

function through(seed: number, stages: readonly ChannelStage[]): Source {
  const channel = createChannel({ sampleRate: SAMPLE_RATE, seed, signalLevelDb: SIGNAL_LEVEL_DB, stages });
  return (seconds) => channel.push(new Float32Array(seconds * SAMPLE_RATE));
}

function stages(title: string, list: readonly ChannelStage[], snrDb = SNR_DB): LookAlike {
  return {
    title,
    sampleRate: SAMPLE_RATE,
    create: (seed) => through(seed, [...list, { kind: 'noise', snrDb }]),
  };
}

/** Adds noise to audio that is made piece by piece. */
function noisy(seed: number, sampleRate: number, make: Source, snrDb = SNR_DB): Source {
  const channel = createChannel({
    sampleRate,
    seed,
    signalLevelDb: SIGNAL_LEVEL_DB,
    stages: [{ kind: 'noise', snrDb }],
  });
  return (seconds) => channel.push(make(seconds));
}

/** Endless keying: a function gives the next bits, a piece of audio's worth at a time. */
function keyed(
  title: string,
  modulation: Modulation,
  next: (choices: Choices, count: number) => ArrayLike<number>,
): LookAlike {
  return {
    title,
    sampleRate: SAMPLE_RATE,
    create: (seed) => {
      const choices = createChoices(seed);
      return noisy(seed, SAMPLE_RATE, (seconds) =>
        modulateBits(next(choices, seconds * modulation.baud), { sampleRate: SAMPLE_RATE, modulation }),
      );
    },
  };
}

/** So many bits of the characters that `next` gives. */
function characters(count: number, next: (slot: number) => number): Uint8Array {
  const bits = new Uint8Array(count);
  for (let slot = 0; 10 * slot < count; slot++)
    bits.set(symbolToBits(next(slot)).subarray(0, count - 10 * slot), 10 * slot);
  return bits;
}

/** The same pages of bits again and again, one page after another, each repeated for a minute. */
function repeated(
  title: string,
  page: (choices: Choices) => ArrayLike<number>,
  snrDb: number = SNR_DB,
): LookAlike {
  const modulation = MODULATIONS['mf-hf'];
  return {
    title,
    sampleRate: SAMPLE_RATE,
    create: (seed) => {
      const choices = createChoices(seed);
      let bits: ArrayLike<number> = [];
      let at = 0;
      let left = 0;
      const next = (count: number) =>
        Uint8Array.from({ length: count }, () => {
          if (left-- <= 0) {
            bits = page(choices);
            left = 60 * modulation.baud;
            at = 0;
          }
          return bits[at++ % bits.length];
        });
      const make = (seconds: number) =>
        modulateBits(next(seconds * modulation.baud), { sampleRate: SAMPLE_RATE, modulation });
      return noisy(seed, SAMPLE_RATE, make, snrDb);
    },
  };
}

/** Letters of direct printing (ITU-R M.476: four Y and three B of seven bits), as many bits. */
function pageOfText(choices: Choices, count: number): Uint8Array {
  const bits = new Uint8Array(count);
  for (let at = 0; at < count; at += 7) {
    const letter = [0, 0, 0, 1, 1, 1, 1].map((bit) => ({ bit, key: choices.uniform(0, 1) }));
    letter.sort((a, b) => a.key - b.key);
    bits.set(letter.map(({ bit }) => bit).slice(0, count - at), at);
  }
  return bits;
}

/** The phasing of a call and random characters behind it: as long as a distress alert. */
function phasingAndAnything(choices: Choices): Uint8Array {
  const slots = 52;
  return characters(10 * slots, (slot) => phasingSymbol(slot) ?? choices.integer(0, 127));
}

/** A carrier that is there for half of every so many seconds. */
function keyedCarrier(seed: number, hertz: number, period: number): Source {
  let at = 0;
  return noisy(seed, SAMPLE_RATE, (seconds) =>
    Float32Array.from({ length: seconds * SAMPLE_RATE }, () => {
      const time = at++ / SAMPLE_RATE;
      return time % period < period / 2 ? 0.5 * Math.sin(2 * Math.PI * hertz * time) : 0;
    }),
  );
}

const FSK: readonly (readonly [number, number])[] = [
  [45.45, 85],
  [45.45, 170],
  [50, 170],
  [50, 450],
  [75, 170],
  [75, 850],
  [100, 85],
  [100, 170],
  [100, 850],
];

/** Partials of notes, from 110 to 1760 Hz, that change a few times a second. */
function chords(seed: number): Source {
  const choices = createChoices(seed);
  const phases = new Float64Array(32);
  let steps = new Float64Array(32);
  let left = 0;
  return noisy(seed, SAMPLE_RATE, (seconds) =>
    Float32Array.from({ length: seconds * SAMPLE_RATE }, () => {
      if (left-- <= 0) {
        left = Math.round(choices.uniform(0.08, 0.6) * SAMPLE_RATE);
        const notes = Array.from({ length: 4 }, () => 110 * 2 ** (choices.integer(0, 48) / 12));
        steps = Float64Array.from({ length: 32 }, (_, i) => notes[i >> 3] * ((i & 7) + 1));
      }
      let sum = 0;
      for (let i = 0; i < 32; i++) {
        phases[i] += (2 * Math.PI * steps[i]) / SAMPLE_RATE;
        if (steps[i] < 3500) sum += Math.sin(phases[i]) / ((i & 7) + 1);
      }
      return 0.15 * sum;
    }),
  );
}

/** A tone that runs from 200 to 3400 Hz and back, each time at another speed. */
function sweeps(seed: number): Source {
  const choices = createChoices(seed);
  let frequency = 200;
  let rate = 500;
  let phase = 0;
  return noisy(seed, SAMPLE_RATE, (seconds) =>
    Float32Array.from({ length: seconds * SAMPLE_RATE }, () => {
      frequency += rate / SAMPLE_RATE;
      if (frequency > 3400 || frequency < 200) {
        rate = (frequency > 3400 ? -1 : 1) * 2 ** choices.uniform(4, 15);
      }
      phase += (2 * Math.PI * frequency) / SAMPLE_RATE;
      return 0.5 * Math.sin(phase);
    }),
  );
}

const ESPEAK_RATE = 22_050;
const WORDS =
  'mayday pan securite vessel position latitude longitude north south east west over out radio call frequency sinking fire wind sea state message seven two one eight zero nine five four three six'.split(
    ' ',
  );

function speak(options: readonly string[]): Buffer {
  try {
    return execFileSync('espeak-ng', ['--stdout', ...options], { maxBuffer: 2 ** 26 });
  } catch (error) {
    // As it stands it cannot leave the worker, for it refers to itself.
    throw new Error(`speech needs espeak-ng: ${String(error)}`, { cause: error });
  }
}

/** Speech made by espeak-ng: random words in several voices. */
function speech(seed: number): Source {
  const choices = createChoices(seed);
  return (seconds) => {
    const audio = new Float32Array(seconds * ESPEAK_RATE);
    for (let at = 0; at < audio.length;) {
      const text = Array.from({ length: 30 }, () => choices.pick(WORDS)).join(' ');
      const voice = choices.pick(['en', 'de', 'fr', 'es', 'en+f3', 'en+m7', 'en+whisper']);
      const speed = String(choices.integer(110, 240));
      const pitch = String(choices.integer(20, 90));
      const bytes = speak(['-v', voice, '-s', speed, '-p', pitch, text]);
      const spoken = readWav(bytes).channels[0].subarray(0, audio.length - at);
      audio.set(spoken, at);
      at += spoken.length;
    }
    return audio;
  };
}

/** Everything that must not be taken for a call, by name. */
export const LOOK_ALIKES: Readonly<Record<string, LookAlike>> = {
  noise: stages('white noise', [], 0),
  nbdp: stages('direct printing at 1700 Hz (M.625 collective mode, 100 Bd, 170 Hz)', [
    { kind: 'nbdp', levelDb: 0 },
  ]),
  nbdpFading: stages('direct printing that fades (F.1487 moderate)', [
    { kind: 'nbdp', levelDb: 0 },
    { kind: 'fading', condition: 'mid-latitude-moderate' },
  ]),
  ...Object.fromEntries(
    FSK.map(([baud, shiftHz]) => [
      `fsk${baud}/${shiftHz}`,
      stages(`random FSK, ${baud} Bd, ${shiftHz} Hz`, [{ kind: 'fsk', levelDb: 0, baud, shiftHz }]),
    ]),
  ),
  bits100: keyed('random bits, 100 Bd, 170 Hz, 1700 Hz', MODULATIONS['mf-hf'], randomBits),
  bits1200: keyed('random bits, 1200 Bd, 800 Hz, 1700 Hz', MODULATIONS.vhf, randomBits),
  characters100: keyed(
    'random characters of the ten-unit code, 100 Bd',
    MODULATIONS['mf-hf'],
    (choices, count) => characters(count, () => choices.integer(0, 127)),
  ),
  dots100: keyed('pure dot pattern, 100 Bd', MODULATIONS['mf-hf'], (_, count) => dotBits(count)),
  dots1200: keyed('pure dot pattern, 1200 Bd', MODULATIONS.vhf, (_, count) => dotBits(count)),
  phasing100: keyed('125 without a call, 100 Bd', MODULATIONS['mf-hf'], (_, count) =>
    characters(count, () => PHASING_DX),
  ),
  phasing1200: keyed('125 without a call, 1200 Bd', MODULATIONS.vhf, (_, count) =>
    characters(count, () => PHASING_DX),
  ),
  phasingDx: keyed('125 in DX, random characters in RX, 100 Bd', MODULATIONS['mf-hf'], (choices, count) =>
    characters(count, (slot) => (slot % 2 ? choices.integer(0, 127) : PHASING_DX)),
  ),
  page520: repeated('a page of text of 520 bits again and again, 100 Bd', (choices) =>
    pageOfText(choices, 520),
  ),
  page720: repeated('a page of text of 720 bits again and again, 100 Bd', (choices) =>
    pageOfText(choices, 720),
  ),
  pageWeak: repeated(
    'the same of 520 bits, 12 dB below the noise',
    (choices) => pageOfText(choices, 520),
    -12,
  ),
  phasingRepeated: repeated('phasing and random characters, again and again, 100 Bd', phasingAndAnything),
  phasingWeak: repeated('the same, 14 dB below the noise', phasingAndAnything, -14),
  keyedCarrier: {
    title: 'a carrier keyed every 5.2 s',
    sampleRate: SAMPLE_RATE,
    create: (seed) => keyedCarrier(seed, 1615, 5.2),
  },
  carriers: stages('three carriers', [
    { kind: 'carrier', levelDb: 0, frequencyHz: 1615 },
    { kind: 'carrier', levelDb: 0, frequencyHz: 1785 },
    { kind: 'carrier', levelDb: -6, frequencyHz: 1000 },
  ]),
  sweeps: { title: 'sweeping tones', sampleRate: SAMPLE_RATE, create: sweeps },
  chords: { title: 'chords', sampleRate: SAMPLE_RATE, create: chords },
  impulses: stages('crashes of static', [{ kind: 'impulses', levelDb: 20, ratePerSecond: 20 }], 0),
  voice: stages('noise shaped like speech', [{ kind: 'voice', levelDb: 0 }]),
  speech: { title: 'synthesised speech', sampleRate: ESPEAK_RATE, create: speech },
};

/** So many seconds of one look-alike. */
export interface LookAlikeJob {
  name: string;
  seconds: number;
  seed: number;
}

/** What the receiver made of it. */
export interface FalseCalls {
  name: string;
  seconds: number;
  /** Calls reported as `clean` or `recovered`. */
  sure: number;
  /** Calls reported as `doubtful`. */
  doubtful: number;
  /** Distress alerts among the doubtful ones. */
  doubtfulAlerts: number;
  /** Times the receiver thought it heard a call begin. */
  signals: number;
  /** What was reported, for people. */
  reports: string[];
}

/** Listens to a look-alike. */
export function runLookAlikeJob({ name, seconds, seed }: LookAlikeJob): FalseCalls {
  const { create, sampleRate } = LOOK_ALIKES[name];
  let signals = 0;
  const receiver = createReceiver({
    sampleRate,
    onEvent: ({ type }) => {
      if (type === 'signal') signals++;
    },
  });
  const source = create(seed);
  const calls: ReceivedCall[] = [];
  for (let done = 0; done < seconds; done += PIECE_SECONDS) {
    calls.push(...receiver.push(source(Math.min(PIECE_SECONDS, seconds - done))));
  }
  calls.push(...receiver.flush());
  const doubtful = calls.filter(({ quality }) => quality === 'doubtful');
  return {
    name,
    seconds,
    sure: calls.length - doubtful.length,
    doubtful: doubtful.length,
    doubtfulAlerts: doubtful.filter(({ call }) => call.kind === 'distressAlert').length,
    signals,
    reports: calls.map(
      (call) =>
        `seed ${seed}, ${call.start.toFixed(1)} s: ${call.quality} ${call.errorProbability.toPrecision(2)} ${call.symbols.join(' ')}`,
    ),
  };
}
