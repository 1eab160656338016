/**
 * `npm run demo`: calls become audio, the audio becomes noisy, and the noise gives the calls back. Everybody in
 * it is invented.
 */
import { mkdir } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { describeCall, encodeCall, type Call } from '../calls/index.js';
import { applyChannel } from '../channel/index.js';
import { writeWavFile } from '../wav/node.js';
import { DECODED_DISTRESS_CAUTION, transmitCaution } from './cautions.js';
import { decodeFile } from './decoding.js';
import type { HeardCall } from './heardcall.js';
import { callBlock } from './report.js';
import { callToAudio } from '../transmitter/index.js';
import { screenOf, wrap } from './terminal.js';

const FOLDER = 'demo-output';
const SAMPLE_RATE = 12_000;
const LEVEL = 0.1;
const SEED = 2187;

const SHIP = '299123456';
const COAST_STATION = '002991234';

const ALERT: Call = {
  kind: 'distressAlert',
  self: SHIP,
  nature: 'flooding',
  position: { latitude: 48.2, longitude: -12.75 },
  time: '09:30',
  followOn: 'j3e',
};
const TEST_CALL: Call = { kind: 'testCall', to: { station: COAST_STATION }, self: SHIP };
const TEST_ACKNOWLEDGEMENT: Call = {
  kind: 'testAcknowledgement',
  to: { station: SHIP },
  self: COAST_STATION,
};

/** One recording of the scenario. */
interface Scene {
  readonly name: string;
  readonly title: string;
  readonly calls: readonly Call[];
  /** Signal-to-noise ratio in 3 kHz. */
  readonly snrDb: number;
}

const SCENES: readonly Scene[] = [
  {
    name: 'alert',
    title: 'The motor vessel Quillwater takes in water and alerts every station on 2187.5 kHz',
    calls: [ALERT],
    snrDb: -8,
  },
  {
    name: 'test',
    title: 'Another day she tests her set with Sable Holm Radio, which acknowledges',
    calls: [TEST_CALL, TEST_ACKNOWLEDGEMENT],
    snrDb: -6,
  },
];

const { width, colours } = screenOf(process.stdout);
const say = (text = '', indent = '') => {
  process.stdout.write(`${wrap(text, width, indent, indent).join('\n')}\n`);
};

/** The calls as audio, one after the other, with a second and a half of silence around each. */
function compose(calls: readonly Call[]): Float32Array {
  const gap = 1.5 * SAMPLE_RATE;
  const parts = calls.map((call) =>
    callToAudio(call, { band: 'mf-hf', sampleRate: SAMPLE_RATE, level: LEVEL }),
  );
  const audio = new Float32Array(parts.reduce((sum, part) => sum + part.length + gap, gap));
  let at = gap;
  for (const part of parts) {
    audio.set(part, at);
    at += part.length + gap;
  }
  return audio;
}

async function heardIn(file: string): Promise<HeardCall[]> {
  const calls: HeardCall[] = [];
  await decodeFile(file, { channel: 0, bands: ['mf-hf', 'vhf'] }, (message) => {
    if (message.type === 'call') calls.push(message.call);
    if (message.type === 'error') throw new Error(message.text);
  });
  return calls;
}

/** Plays one scene; whether everything that was sent was heard, and nothing else. */
async function play({ name, title, calls, snrDb }: Scene): Promise<boolean> {
  say();
  say(colours.bold(title));
  for (const call of calls) {
    say(describeCall(call), '  ');
    say(colours.dim(`characters ${encodeCall(call).symbols.join(' ')}`), '  ');
  }
  const clean = compose(calls);
  const noisy = applyChannel(clean, {
    sampleRate: SAMPLE_RATE,
    seed: SEED,
    signalLevelDb: 10 * Math.log10(LEVEL ** 2 / 2),
    stages: [{ kind: 'noise', snrDb }],
  });
  const files = [join(FOLDER, `${name}.wav`), join(FOLDER, `${name}-noisy.wav`)];
  await writeWavFile(files[0], { sampleRate: SAMPLE_RATE }, [[clean]]);
  await writeWavFile(files[1], { sampleRate: SAMPLE_RATE }, [[noisy]]);
  say(
    `Written to ${files[0]}, and with noise, ${snrDb} dB SNR in 3 kHz, to ${files[1]}. Decoded from the noise:`,
  );
  const heard = await heardIn(files[1]);
  for (const call of heard) process.stdout.write(`${callBlock(call, { width, colours }, false)}\n`);
  const sent = calls.map((call) => encodeCall(call).symbols.join());
  const isRight = heard.map((call) => call.symbols.join()).join(';') === sent.join(';');
  say(isRight ? colours.green('  ✓ what was sent, nothing else') : colours.red('  ✗ not what was sent'));
  return isRight;
}

await mkdir(FOLDER, { recursive: true });
say('An invented scenario: ships, stations and identities in it do not exist.');
const results: boolean[] = [];
for (const scene of SCENES) results.push(await play(scene));
say();
say(`The recordings are in ${relative('.', FOLDER)}. To look closer:`);
say(`npx dotphase explain ${join(FOLDER, 'alert-noisy.wav')}`, '  ');
say(`npx dotphase decode --json ${join(FOLDER, 'test-noisy.wav')}`, '  ');
say();
say(colours.yellow(DECODED_DISTRESS_CAUTION));
say(colours.yellow(transmitCaution(encodeCall(ALERT).symbols) ?? ''));
process.exitCode = results.every(Boolean) ? 0 : 1;
