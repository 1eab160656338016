/**
 * Audio files of every kind, encoded and decoded by programs of others, compared sample by sample.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { receiveCalls } from '../../src/receiver/index.js';
import { callToAudio } from '../../src/transmitter/index.js';
import { readWav, writeWav } from '../../src/wav/index.js';
import { writeWavFile } from '../../src/wav/node.js';
import { audioKindOf, readAudioBlocks, type AudioFileEnd } from '../../src/containers/index.js';
import { audioFileBlocks } from '../../src/containers/node.js';

const RATE = 12_000;
const CALL = { kind: 'testCall', to: { station: '002991234' }, self: '299123456' } as const;
const SILENCE = new Float32Array(RATE / 2);
let folder: string;
const path = (name: string) => join(folder, name);
const bytesOf = (name: string) => new Uint8Array(readFileSync(path(name)));

interface Whole extends AudioFileEnd {
  readonly sampleRate: number;
  readonly channels: Float32Array[];
}

function joined(parts: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

function* pieces(bytes: Uint8Array, length: number): Generator<Uint8Array> {
  for (let at = 0; at < bytes.length; at += length) yield bytes.subarray(at, at + length);
}

async function read(bytes: Uint8Array, options = {}, length = 5000): Promise<Whole> {
  const source = readAudioBlocks(pieces(bytes, length), options);
  const parts: Float32Array[][] = [];
  let sampleRate = 0;
  for (;;) {
    const next = await source.next();
    if (next.done) {
      const channels = (parts.at(0) ?? []).map((_, i) => joined(parts.map((part) => part[i])));
      return { ...next.value, sampleRate, channels };
    }
    sampleRate = next.value.sampleRate;
    parts.push(next.value.channels);
  }
}

/** What sox, or opusdec, makes of a file, as samples. */
function decodedByOthers(name: string): Float32Array {
  const wav = path(`${name}.reference.wav`);
  if (name.endsWith('.opus'))
    execFileSync('opusdec', ['--quiet', '--float', '--rate', '48000', path(name), wav]);
  else execFileSync('sox', ['-D', path(name), '-e', 'float', '-b', '32', wav], { stdio: 'pipe' });
  return readWav(readFileSync(wav)).channels[0];
}

function largestDifference(a: Float32Array, b: Float32Array): number {
  return b.reduce((most, sample, i) => Math.max(most, Math.abs(sample - a[i])), 0);
}

const calls = (samples: Float32Array, sampleRate: number) =>
  receiveCalls(samples, { sampleRate }).map(({ call, quality }) => ({ call, quality }));

beforeAll(async () => {
  for (const program of ['sox', 'opusenc']) {
    const found = spawnSync(program, ['--version']).status === 0;
    if (!found) {
      throw new Error(`${program} is needed to compare with: apt-get install sox libsox-fmt-mp3 opus-tools`);
    }
  }
  folder = mkdtempSync(join(tmpdir(), 'containers-'));
  const audio = joined([SILENCE, callToAudio(CALL, { band: 'mf-hf', sampleRate: RATE }), SILENCE]);
  const [right, left] = [audio.map((sample) => sample / 2), audio];
  await writeWavFile(path('call.wav'), { sampleRate: RATE }, [[audio]]);
  await writeWavFile(path('two.wav'), { sampleRate: RATE, channels: 2 }, [[left, right]]);
  const sox = (...args: string[]) => execFileSync('sox', ['-D', ...args], { stdio: 'pipe' });
  for (const kind of ['flac', 'mp3', 'ogg', 'aiff', 'aiffc']) sox(path('call.wav'), path(`call.${kind}`));
  sox(path('call.wav'), '-b', '8', path('8.aiff'));
  sox(path('call.wav'), '-b', '24', path('24.aiff'));
  sox(path('call.wav'), '-b', '24', path('24.flac'));
  sox(path('two.wav'), path('two.flac'));
  sox(path('two.wav'), path('two.ogg'));
  execFileSync('opusenc', ['--quiet', path('call.wav'), path('call.opus')], { stdio: 'pipe' });
});

afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('a recording', () => {
  // FLAC agrees to a step of its samples: one decoder divides by 2^(n−1), the other by one less. Decoders of what is
  // lossy may round apart, by less than a step of 12 bits. Of MP3 the other program leaves the last frame out, 576
  // samples (ISO/IEC 13818-3, half rates).
  it.each([
    ['call.flac', 'flac', 2 ** -15],
    ['24.flac', 'flac', 2 ** -23],
    ['call.aiff', 'aiff', 0],
    ['call.aiffc', 'aiff', 0],
    ['8.aiff', 'aiff', 0],
    ['24.aiff', 'aiff', 0],
    ['call.mp3', 'mp3', 2 ** -11, 576],
    ['call.ogg', 'ogg-vorbis', 2 ** -11],
    ['call.opus', 'ogg-opus', 2 ** -11],
  ])('%s reads as another program reads it, in pieces of any length', async (name, kind, most, more = 0) => {
    const theirs = decodedByOthers(name);
    const whole = await read(bytesOf(name));
    expect(whole).toMatchObject({ kind, warnings: [], frames: theirs.length + more });
    expect(largestDifference(whole.channels[0], theirs)).toBeLessThanOrEqual(most);
    expect(calls(whole.channels[0], whole.sampleRate)).toEqual([{ call: CALL, quality: 'clean' }]);
    const again = await read(bytesOf(name), {}, 997);
    expect(again.channels).toEqual(whole.channels);
  });

  it.each(['two.flac', 'two.ogg'])('%s gives the channels that are asked for', async (name) => {
    const { channels } = await read(bytesOf(name));
    const only = async (channel: number | 'mix') => (await read(bytesOf(name), { channel })).channels[0];
    expect(channels).toHaveLength(2);
    expect(await only(1)).toEqual(channels[1]);
    const mean = channels[0].map((sample, i) => (sample + channels[1][i]) / 2);
    expect(largestDifference(await only('mix'), mean)).toBeLessThan(1e-6);
    await expect(read(bytesOf(name), { channel: 2 })).rejects.toThrow(
      /channel: got 2, expected a channel below 2/,
    );
  });

  it('is told by its content, not its name', async () => {
    expect(audioKindOf(bytesOf('call.flac'))).toBe('flac');
    expect(audioKindOf(Uint8Array.of(0xff, 0xfb, 0x90, 0x64))).toBe('mp3');
    // Layer 0 is AAC (ISO/IEC 13818-7), which is not read.
    expect(audioKindOf(Uint8Array.of(0xff, 0xf1, 0x50, 0x80))).toBeUndefined();
    expect(audioKindOf(new Uint8Array(0))).toBeUndefined();
    await expect(read(new Uint8Array(500))).rejects.toThrow(
      /file: got a file of another kind, expected a WAV, FLAC/,
    );
  });

  it('on disk tells how far it was read', async () => {
    const seen: (number | undefined)[][] = [];
    const onProgress = (...progress: (number | undefined)[]) => void seen.push(progress);
    let frames = 0;
    for await (const { channels } of audioFileBlocks(path('call.flac'), { onProgress }))
      frames += channels[0].length;
    const size = bytesOf('call.flac').length;
    expect(seen.at(-1)).toEqual([size, size]);
    expect(frames).toBe(readWav(bytesOf('call.wav')).channels[0].length);
    await expect(audioFileBlocks(path('none.flac')).next()).rejects.toThrow(/there is no such file/);
  });
});

describe('a damaged file', () => {
  const broken = (name: string, from: number, count: number) =>
    bytesOf(name).map((byte, i) => (i >= from && i < from + count ? byte ^ 0x5a : byte));

  it('of FLAC loses the damaged frame alone, and times stay right', async () => {
    const whole = await read(bytesOf('call.flac'));
    const damaged = await read(broken('call.flac', 20_000, 40));
    expect(damaged.warnings.map(({ text }) => text)).toEqual([
      expect.stringMatching(/^One part is damaged, the first at about \d\.\d s; the rest was read\.$/),
    ]);
    expect(damaged.frames).toBe(whole.frames);
    const differs = [...damaged.channels[0].keys()].filter(
      (i) => damaged.channels[0][i] !== whole.channels[0][i],
    );
    // The reference encoder makes blocks of 4096 frames at most.
    expect(differs.length).toBeGreaterThan(0);
    expect((differs.at(-1) ?? 0) - differs[0]).toBeLessThan(4096);
  });

  it.each([
    ['call.flac', /^The file ends early: \d+ of the \d+ frames that it promises are there\.$/],
    ['call.aiff', /^The file ends early: \d+ of the \d+ frames that it promises are there\.$/],
    ['call.ogg', /^The file ends early: its last page is not there\.$/],
    ['call.opus', /^The file ends early: its last page is not there\.$/],
  ])('of %s that is cut gives what is there, and says so', async (name, said) => {
    const bytes = bytesOf(name);
    const whole = await read(bytes);
    const cut = await read(bytes.subarray(0, Math.floor(bytes.length * 0.6)));
    expect(cut.warnings.map(({ text }) => text)).toEqual([expect.stringMatching(said)]);
    expect(cut.frames).toBeGreaterThan(whole.frames * 0.3);
    expect(cut.frames).toBeLessThan(whole.frames);
    expect(cut.channels[0].subarray(0, 20_000)).toEqual(whole.channels[0].subarray(0, 20_000));
  });

  it('of MP3 that is cut gives what is there', async () => {
    const bytes = bytesOf('call.mp3');
    const cut = await read(bytes.subarray(0, Math.floor(bytes.length * 0.6)));
    expect(cut.frames).toBeGreaterThan((await read(bytes)).frames * 0.4);
  });

  it('of Ogg says which pages are damaged or missing', async () => {
    const bytes = bytesOf('call.ogg');
    const damaged = await read(broken('call.ogg', bytes.length - 2000, 40));
    expect(damaged.warnings).toEqual([{ text: '1 of its pages are damaged: what they hold may be wrong.' }]);
  });

  it.each([
    ['a FLAC file without a sound in it', 'fLaC\0\0\0\x22'],
    ['a FLAC file without its first block', 'fLaC\x04\0\0\x22'],
    ['an Ogg Vorbis file without a sound in it', `OggS${'\0'.repeat(24)}\x01vorbis`],
    ['an Ogg Opus file without a sound in it', `OggS${'\0'.repeat(24)}OpusHead`],
    ['an MP3 file without a sound in it', 'ID3\x04\0\0\0\0\0\0'],
    ['an AIFF file that ends before its samples', 'FORM\0\0\0\x20AIFF'],
    ['an AIFF file with its samples before its COMM chunk', 'FORM\0\0\0\x20AIFFSSND\0\0\0\x10'],
    ['an AIFF file with a COMM chunk of 4294967295 bytes', 'FORM\0\0\0\x20AIFFCOMM\xff\xff\xff\xff'],
  ])('that is %s is refused', async (said, begins) => {
    const bytes = new Uint8Array(3000);
    bytes.set(Buffer.from(begins, 'latin1'));
    await expect(read(bytes)).rejects.toThrow(`file: got ${said}`);
  });
});

it('reads WAV as the room of WAV does', async () => {
  const bytes = writeWav({ sampleRate: 8000, channels: [Float32Array.of(0, 0.5, -0.5, 0.25)] });
  const whole = await read(bytes);
  expect(whole).toMatchObject({ kind: 'wav', sampleRate: 8000, frames: 4 });
  expect(whole.channels).toEqual(readWav(bytes).channels);
});
