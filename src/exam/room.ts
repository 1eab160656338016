/**
 * One long recording for a room: each exercise announced by its number, spoken or beeped, and played several times with
 * pauses.
 */
import { joinSamples } from '../dsp/index.js';
import { DotphaseError, requireNumber } from '../errors.js';
import { writeCsv } from './csv.js';
import type { PaperFile } from './files.js';
import { readWav, writeWav } from '../wav/index.js';
import type { Paper } from './paper.js';

/** How the exercises of a paper follow each other in a room. */
export interface RoomOptions {
  /** How often each exercise is played, 1 to 5; default 2. */
  readonly times?: number | undefined;
  /** Seconds before an exercise is played again, 0 to 120; default 5. */
  readonly pauseSeconds?: number | undefined;
  /** Seconds to answer in, behind the last time of each exercise, 0 to 600; default 30. */
  readonly answerSeconds?: number | undefined;
  /**
   * Speaks a text: its samples at the paper's rate. Default: the number of the exercise in beeps, a long low one for each
   * ten and a short high one for each unit.
   */
  readonly speak?: ((text: string) => Float32Array) | undefined;
}

/** When something is to be heard. */
export interface RoomMoment {
  /** Of the exercise, from 1. */
  readonly exercise: number;
  /** The announcement of its number, or which time it is played, from 1. */
  readonly what: 'number' | { readonly time: number };
  readonly startSeconds: number;
  readonly endSeconds: number;
}

/** One long recording. */
export interface RoomRecording {
  readonly wav: Uint8Array;
  readonly seconds: number;
  readonly moments: readonly RoomMoment[];
}

/** Beeps: far from the tones of DSC, which lie from 1300 to 2100 Hz (common practice, no source). */
const TENS = { hertz: 440, seconds: 0.6 };
const UNITS = { hertz: 660, seconds: 0.18 };
const BEEP_GAP_SECONDS = 0.18;
const BEEP_LEVEL = 0.15;
/** Rise and fall of a beep, so that it does not click. */
const EDGE_SECONDS = 0.015;
const LEAD_SECONDS = 2;
/** Between a number and its exercise. */
const AFTER_NUMBER_SECONDS = 1.5;
/** Longer papers would make a recording of more than an hour. */
const LONGEST_SECONDS = 4 * 3600;

function beep({ hertz, seconds }: typeof TENS, sampleRate: number): Float32Array {
  const length = Math.round(seconds * sampleRate);
  const edge = EDGE_SECONDS * sampleRate;
  return Float32Array.from({ length }, (_, n) => {
    const shape = Math.min(1, n / edge, (length - 1 - n) / edge);
    return BEEP_LEVEL * shape * Math.sin((2 * Math.PI * hertz * n) / sampleRate);
  });
}

/** A number from 1 to 99 in beeps. */
export function beepNumber(number: number, sampleRate: number): Float32Array {
  const beeps = [
    ...Array.from({ length: Math.floor(number / 10) }, () => beep(TENS, sampleRate)),
    ...Array.from({ length: number % 10 }, () => beep(UNITS, sampleRate)),
  ];
  const gap = new Float32Array(Math.round(BEEP_GAP_SECONDS * sampleRate));
  return joinSamples(beeps.flatMap((each, i) => (i === 0 ? [each] : [gap, each])));
}

/**
 * One long recording of a paper for a room: the number of each exercise, the exercise, a pause, the exercise again, and
 * time to answer.
 *
 * @throws DotphaseError for options out of range, and where it would last more than four hours
 */
export function roomRecording(paper: Paper, options: RoomOptions = {}): RoomRecording {
  const { sampleRate, exercises } = paper;
  const { times = 2, pauseSeconds = 5, answerSeconds = 30, speak } = options;
  if (!Number.isInteger(times)) throw new DotphaseError('times', times, 'a whole number from 1 to 5');
  requireNumber('times', times, 1, 5);
  requireNumber('pauseSeconds', pauseSeconds, 0, 120, 's');
  requireNumber('answerSeconds', answerSeconds, 0, 600, 's');
  const length = exercises.reduce(
    (sum, { seconds }) => sum + times * (seconds + pauseSeconds) + answerSeconds,
    0,
  );
  if (length > LONGEST_SECONDS) {
    const given = `${Math.round(length / 60)} minutes`;
    throw new DotphaseError(
      'recording for the room',
      given,
      'at most 240 minutes: fewer exercises, times or pauses',
    );
  }
  const parts: Float32Array[] = [];
  const moments: RoomMoment[] = [];
  let at = 0;
  const add = (samples: Float32Array) => {
    parts.push(samples);
    at += samples.length;
  };
  const pause = (seconds: number) => {
    add(new Float32Array(Math.round(seconds * sampleRate)));
  };
  const sound = (exercise: number, what: RoomMoment['what'], samples: Float32Array) => {
    const startSeconds = at / sampleRate;
    add(samples);
    moments.push({ exercise, what, startSeconds, endSeconds: at / sampleRate });
  };
  pause(LEAD_SECONDS);
  for (const { number, wav } of exercises) {
    sound(number, 'number', speak?.(`Exercise ${number}.`) ?? beepNumber(number, sampleRate));
    pause(AFTER_NUMBER_SECONDS);
    const [samples] = readWav(wav).channels;
    for (let time = 1; time <= times; time++) {
      sound(number, { time }, samples);
      pause(time < times ? pauseSeconds : answerSeconds);
    }
  }
  return { wav: writeWav({ sampleRate, channels: [joinSamples(parts)] }), seconds: at / sampleRate, moments };
}

/** The recording for a room and a table of what is to be heard in it when, as files. */
export function roomFiles(paper: Paper, options: RoomOptions = {}): PaperFile[] {
  const { wav, moments } = roomRecording(paper, options);
  const rows = moments.map(({ exercise, what, startSeconds, endSeconds }) => [
    exercise,
    what === 'number' ? 'number' : `time ${what.time}`,
    Number(startSeconds.toFixed(1)),
    Number(endSeconds.toFixed(1)),
  ]);
  return [
    { name: 'room.wav', content: wav },
    { name: 'room.csv', content: writeCsv([['exercise', 'what', 'from (s)', 'to (s)'], ...rows]) },
  ];
}
