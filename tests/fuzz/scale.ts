/**
 * What an input costs at worst for its length: `npx tsx --expose-gc tests/fuzz/scale.ts`.
 *
 * Each door gets the costliest input known for it, 64 KiB of it and then 16 times as much: where the time for a KiB stays
 * the same, time grows as the input does. Memory is what the process held more at the end,
 * garbage included.
 */
import { encodeCall, fromSentences, readCall, type Call } from '../../src/calls/index.js';
import { errorCheck } from '../../src/symbols/index.js';
import { parseChannel } from '../../src/channel/index.js';
import { parseCallJson } from '../../src/cli/calljson.js';
import { markAnswers, parsePaperPlan } from '../../src/exam/index.js';
import { createReceiver } from '../../src/receiver/index.js';
import { createOwnPosition } from '../../src/navigation/index.js';
import { addressBookFromCsv, addressBookFromJson } from '../../src/records/index.js';
import { parseScenario, SCENARIOS } from '../../src/simulation/index.js';
import { createRawReader, createWavReader, readWav, writeWav } from '../../src/wav/index.js';
import { createChoices } from '../scenes/random.js';
import { orRefused } from './target.js';
import { withChecksum } from './targets/sentences.js';

const KIB = 1024;
const SIZES = [64 * KIB, 1024 * KIB];
const choices = createChoices(1);

/** As much of a repeated piece as fits. */
const repeated = (piece: string, bytes: number) => piece.repeat(Math.floor(bytes / piece.length));
const rows = (bytes: number, row: (i: number) => string) => {
  const lines: string[] = [];
  for (let length = 0, i = 0; length < bytes; i++) {
    lines.push(row(i));
    length += lines[i].length;
  }
  return lines;
};
const noise = (count: number) => Float32Array.from({ length: count }, () => choices.uniform(-1, 1));
const withCheck = (symbols: readonly number[]) => [...symbols, errorCheck(symbols)];
const ALERT: Call = {
  kind: 'distressAlert',
  self: '299000001',
  nature: 'fire',
  position: 'none',
  time: 'none',
  followOn: 'j3e',
};
const identity = (i: number) => `299${String(i % 1_000_000).padStart(6, '0')}`;
const KEY = {
  title: 'A paper',
  number: '4821 0937 5512',
  questions: [
    {
      id: 'Q1.1',
      text: 'What?',
      choices: [
        { letter: 'a', text: 'a' },
        { letter: 'b', text: 'b' },
      ],
      answer: 'a',
      because: 'a',
    },
  ],
};

/** For each door: an input of so many bytes, made beforehand, and what is done with it. */
const DOORS: Readonly<Record<string, (bytes: number) => () => unknown>> = {
  'WAV, whole, 16 bits': (bytes) => {
    const file = writeWav({ channels: [noise(bytes / 2)], sampleRate: 48_000 });
    return () => readWav(file);
  },
  'WAV, whole, µ-law': (bytes) => {
    const file = writeWav({ channels: [noise(bytes)], sampleRate: 8000, bitDepth: 8 });
    file[20] = 7;
    return () => readWav(file);
  },
  'WAV, a byte at a time': (bytes) => {
    const file = writeWav({ channels: [noise(bytes / 2)], sampleRate: 48_000 });
    return () => {
      const reader = createWavReader();
      for (let at = 0; at < file.length; at++) reader.push(file.subarray(at, at + 1));
    };
  },
  'raw samples': (bytes) => {
    const samples = new Uint8Array(bytes).fill(3);
    return () => createRawReader({ format: 's16', sampleRate: 48_000 }).push(samples);
  },
  'receiver, noise, 8 kHz, 16 bits': (bytes) => {
    const samples = noise(bytes / 2);
    return () => createReceiver({ sampleRate: 8000 }).push(samples);
  },
  'characters with expansions': (bytes) => {
    const expansion = withCheck([...Array.from({ length: bytes }, (_, i) => [103, 1, 2][i % 3]), 127]);
    return () => readCall(encodeCall(ALERT).symbols, { expansions: [expansion] });
  },
  'characters of no kind': (bytes) => {
    const symbols = withCheck([120, ...Array.from({ length: bytes }, (_, i) => i % 128), 127]);
    return () => readCall(symbols);
  },
  'call in JSON': (bytes) => {
    const one = JSON.stringify({ kind: 'speed', value: 1, joined: true });
    const expansions = `{"kind":"speed","value":1},${repeated(`${one},`, bytes)}${one}`;
    const text = JSON.stringify(ALERT).replace(/}$/, `,"expansions":[${expansions}]}`);
    return () => parseCallJson(text, 'call.json');
  },
  'channel in JSON': (bytes) => {
    const stages = Array.from({ length: Math.floor(bytes / 16) }, () => ({ kind: 'inversion' }));
    return () => parseChannel({ stages });
  },
  'scenario in JSON': (bytes) => {
    const event = { at: 1, station: SCENARIOS['false-alert'].own, do: 'say', text: 'x'.repeat(40) };
    const events = Array.from({ length: Math.floor(bytes / JSON.stringify(event).length) }, () => event);
    return () => parseScenario({ ...SCENARIOS['false-alert'], events });
  },
  'plan in JSON': (bytes) => {
    const stage = { kind: 'offset', offsetHz: 1 };
    const calls = Array.from({ length: 8 }, () => ({
      call: ALERT,
      path: Array.from({ length: 64 }, () => stage),
    }));
    const exercises = Array.from({ length: Math.ceil(bytes / JSON.stringify(calls).length) }, () => ({
      calls,
      frequencyHz: 2_187_500,
    }));
    return () => parsePaperPlan({ exercises });
  },
  'answers in CSV': (bytes) => {
    const text = `candidate,Q1.1\n${rows(bytes, (i) => `${i},a\n`).join('')}`;
    return () => markAnswers(KEY, text);
  },
  'address book in CSV': (bytes) => {
    const text = `name,identity\n${rows(bytes, (i) => `A${i},${identity(i)}\n`).join('')}`;
    return () => addressBookFromCsv(text);
  },
  'address book in JSON': (bytes) => {
    const stations = rows(bytes, (i) => JSON.stringify({ name: `A${i}`, identity: identity(i) }));
    const text = `{"stations":[${stations.join(',')}]}`;
    return () => addressBookFromJson(text);
  },
  'sentences with a call': (bytes) => {
    const most = Math.floor(bytes / 45);
    const lines = Array.from({ length: most }, (_, i) =>
      withChecksum(`CDDSE,${most},${i + 1},A,2990000010,00,12345678`),
    );
    return () =>
      fromSentences([withChecksum('CDDSC,12,2990000010,12,00,09,9999999999,8888,,,S,E'), ...lines]);
  },
  'position sentences': (bytes) => {
    const text = repeated(`${withChecksum('GPGLL,5030.1234,N,00412.5000,W,120002.00,A,A')}\r\n`, bytes);
    return () => {
      createOwnPosition({ clock: () => 0 }).push(text);
    };
  },
};

const MIB = 1_048_576;
const { gc } = globalThis as { gc?: () => void };
const taken = () => {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
};

for (const [name, prepare] of Object.entries(DOORS)) {
  const figures = SIZES.map((bytes) => {
    const act = prepare(bytes);
    for (let i = 0; i < 3; i++) orRefused(act);
    gc?.();
    const before = taken();
    const started = process.cpuUsage();
    orRefused(act);
    const { user, system } = process.cpuUsage(started);
    const grown = Math.max(0, taken() - before);
    return `${((user + system) / 1000 / (bytes / KIB)).toFixed(3)} ms and ${(grown / bytes).toFixed(0)} bytes (${(grown / MIB).toFixed(1)} MiB)`;
  });
  process.stdout.write(`${name.padEnd(32)} for 64 KiB: ${figures[0]}; for 1 MiB: ${figures[1]}\n`);
}
