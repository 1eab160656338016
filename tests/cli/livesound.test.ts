/** The parts of live sound: levels, the own sound, commands as they are typed, the programs of each system. */
import { describe, expect, it, vi } from 'vitest';
import { splitCommand } from '../../src/cli/sound/command.js';
import { InputLevel } from '../../src/cli/sound/level.js';
import { SOUND_SYSTEMS } from '../../src/cli/sound/systems.js';

const RATE = 8000;

const sine = (seconds: number, peak: number) =>
  Float32Array.from({ length: seconds * RATE }, (_, n) =>
    Math.max(-1, Math.min(1, peak * Math.sin((2 * Math.PI * 440 * n) / RATE))),
  );

describe('the level of an input', () => {
  it('is told once when it is silent for five seconds, and again after sound', () => {
    const level = new InputLevel(RATE);
    const silence = () => Array.from({ length: 7 }, () => level.push(new Float32Array(RATE))).flat();
    expect(silence()).toEqual([expect.stringContaining('silent')]);
    expect(silence()).toEqual([]);
    level.push(sine(1, 0.1));
    expect(silence()).toEqual([expect.stringContaining('silent')]);
  });

  it('is not silent with the least of noise', () => {
    const level = new InputLevel(RATE);
    const noise = Float32Array.from({ length: 10 * RATE }, (_, n) => (n % 2 === 0 ? 3 : -3) / 32_768);
    expect(level.push(noise)).toEqual([]);
  });

  it('is told when it is clipped, and not at full scale', () => {
    const level = new InputLevel(RATE);
    expect(level.push(sine(2, 0.98))).toEqual([]);
    expect(level.push(sine(2, 2))).toEqual([expect.stringContaining('clipped')]);
  });

  // A sine of full scale is 0 dBFS (AES17).
  it('is that of a sine', () => {
    const level = new InputLevel(RATE);
    for (let i = 0; i < 50; i++) level.push(sine(0.1, 0.1));
    expect(level.levelDb).toBeCloseTo(-20, 0);
  });
});

describe('a command line', () => {
  it.each([
    ['arecord -q  -D hw:1', ['arecord', '-q', '-D', 'hw:1']],
    [`"C:\\Program Files\\rec.exe" -i 'Line In'`, ['C:\\Program Files\\rec.exe', '-i', 'Line In']],
    [`audio="Line In" ""`, ['audio=Line In', '']],
  ])('%s', (text, words) => {
    expect(splitCommand(text, '--recorder')).toEqual(words);
  });

  it.each(['', '   ', 'x "y', `'`])('refuses %j', (text) => {
    expect(() => splitCommand(text, '--recorder')).toThrow('a program with its arguments');
  });
});

describe('the programs of each system', () => {
  const on = (platform: NodeJS.Platform, system: keyof typeof SOUND_SYSTEMS, device?: string) => {
    vi.stubGlobal('process', { ...process, platform });
    try {
      return [SOUND_SYSTEMS[system].record(48_000, device), SOUND_SYSTEMS[system].play(48_000, device)].map(
        (words) => words.join(' '),
      );
    } finally {
      vi.unstubAllGlobals();
    }
  };

  it('take raw samples of one channel at the rate and the device that are asked for', () => {
    expect(on('linux', 'alsa', 'hw:1')).toEqual([
      'arecord -q -D hw:1 -t raw -f S16_LE -c 1 -r 48000',
      'aplay -q -D hw:1 -t raw -f S16_LE -c 1 -r 48000',
    ]);
    expect(on('darwin', 'sox')).toEqual([
      'sox -q -t coreaudio default -t raw -e signed-integer -b 16 -c 1 -r 48000 -',
      'sox -q -t raw -e signed-integer -b 16 -c 1 -r 48000 - -t coreaudio default',
    ]);
    expect(on('win32', 'sox')[0]).toContain('-t waveaudio default');
    expect(on('win32', 'ffmpeg', 'Line In')[0]).toContain('-f dshow -audio_buffer_size 50 -i audio=Line In');
    expect(on('win32', 'ffmpeg')[1]).toMatch(/^ffplay .* -i -$/);
    expect(on('darwin', 'ffmpeg')[1]).toContain('-f audiotoolbox -');
  });
});
