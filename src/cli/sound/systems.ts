/**
 * The programs that systems record and play with, and how each is told to take raw samples: s16, one channel.
 */
import type { CommandLine } from './command.js';

/** How one family of programs is called. */
export interface SoundSystem {
  readonly record: (rateHz: number, device: string | undefined) => CommandLine;
  readonly play: (rateHz: number, device: string | undefined) => CommandLine;
  /** The systems that it is for. */
  readonly platforms: readonly NodeJS.Platform[];
  /** Whether a device must be named for recording. */
  readonly needsInput?: readonly NodeJS.Platform[];
}

const withDevice = (flag: string, device: string | undefined) => (device === undefined ? [] : [flag, device]);

const alsa = (rateHz: number, device: string | undefined) =>
  ['-q', ...withDevice('-D', device), '-t', 'raw', '-f', 'S16_LE', '-c', '1', '-r', String(rateHz)] as const;

const pulse = (rateHz: number, device: string | undefined, latencyMs: number) =>
  [
    '--raw',
    '--format=s16le',
    '--channels=1',
    `--rate=${rateHz}`,
    `--latency-msec=${latencyMs}`,
    ...(device === undefined ? [] : [`--device=${device}`]),
  ] as const;

/** Samples through a pipe, to SoX. */
const soxPipe = (rateHz: number) =>
  ['-t', 'raw', '-e', 'signed-integer', '-b', '16', '-c', '1', '-r', String(rateHz), '-'] as const;

/** The kind of device that SoX uses on each system. */
const SOX_DEVICE: Partial<Record<NodeJS.Platform, string>> = { darwin: 'coreaudio', win32: 'waveaudio' };

const soxDevice = (device: string | undefined) => {
  const kind = SOX_DEVICE[process.platform] ?? 'alsa';
  return ['-t', kind, device ?? 'default'] as const;
};

/** Samples through a pipe, to FFmpeg. */
const ffmpegPipe = (rateHz: number) => ['-f', 's16le', '-ar', String(rateHz), '-ac', '1'] as const;

const ffmpegInput = (device: string | undefined): readonly string[] => {
  switch (process.platform) {
    case 'darwin':
      return ['-f', 'avfoundation', '-i', `:${device ?? 'default'}`];
    case 'win32':
      return ['-f', 'dshow', '-audio_buffer_size', '50', '-i', `audio=${device ?? ''}`];
    default:
      return ['-f', 'alsa', '-i', device ?? 'default'];
  }
};

const FFMPEG = ['ffmpeg', '-hide_banner', '-loglevel', 'error', '-nostdin'] as const;

const ffmpegOutput = (device: string | undefined) =>
  process.platform === 'darwin' ? ['audiotoolbox', '-'] : ['alsa', device ?? 'default'];

/** Raw samples are one channel unless told otherwise; the option for that differs between editions. */
const FFPLAY = [
  'ffplay',
  ...['-hide_banner', '-loglevel', 'error', '-nodisp', '-autoexit', '-f', 's16le'],
] as const;

/** The names of the sound systems, in the order in which they are tried. */
export const SOUND_SYSTEM_NAMES = ['alsa', 'pulse', 'sox', 'ffmpeg'] as const;

/** The name of a sound system. */
export type SoundSystemName = (typeof SOUND_SYSTEM_NAMES)[number];

/** Every system by its name. */
export const SOUND_SYSTEMS: Readonly<Record<SoundSystemName, SoundSystem>> = {
  alsa: {
    record: (rateHz, device) => ['arecord', ...alsa(rateHz, device)],
    play: (rateHz, device) => ['aplay', ...alsa(rateHz, device)],
    platforms: ['linux'],
  },
  pulse: {
    record: (rateHz, device) => ['parec', ...pulse(rateHz, device, 50)],
    play: (rateHz, device) => ['pacat', ...pulse(rateHz, device, 250)],
    platforms: ['linux', 'freebsd'],
  },
  sox: {
    record: (rateHz, device) => ['sox', '-q', ...soxDevice(device), ...soxPipe(rateHz)],
    play: (rateHz, device) => ['sox', '-q', ...soxPipe(rateHz), ...soxDevice(device)],
    platforms: ['linux', 'darwin', 'win32'],
  },
  ffmpeg: {
    record: (rateHz, device) => [...FFMPEG, ...ffmpegInput(device), ...ffmpegPipe(rateHz), '-'],
    play: (rateHz, device) =>
      process.platform === 'win32'
        ? [...FFPLAY, '-sample_rate', String(rateHz), '-i', '-']
        : [...FFMPEG, ...ffmpegPipe(rateHz), '-i', '-', '-f', ...ffmpegOutput(device)],
    platforms: ['linux', 'darwin', 'win32'],
    needsInput: ['win32'],
  },
};
