/**
 * The recording for a room: its order and times, and that a receiver hears in it what the single files hold, however often
 * it is played and whatever announces it.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { makePaper, roomFiles, roomRecording, type Paper } from '../../src/exam/index.js';
import { beepNumber } from '../../src/exam/room.js';
import { receiveCalls } from '../../src/receiver/index.js';
import { readWav } from '../../src/wav/index.js';

const RATE = 8000;
const call = (self: string) => ({ kind: 'testCall', to: { station: '299123456' }, self }) as const;
let paper: Paper;
beforeAll(() => {
  paper = makePaper({
    secret: 'grey petrel at noon, 2031',
    sampleRate: RATE,
    pictures: false,
    exercises: ['002991234', '299204518', '002990224'].map((self) => ({
      frequencyHz: 156_525_000,
      calls: [{ call: call(self) }],
    })),
  });
});

describe('the recording for a room', () => {
  it.each([
    ['beeps', undefined],
    [
      'a voice',
      () => Float32Array.from({ length: RATE }, (_, n) => 0.3 * Math.sin(n / 3) * Math.sin(n / 700)),
    ],
  ])('has each exercise twice behind its number, announced by %s', (_, speak) => {
    const { wav, seconds, moments } = roomRecording(paper, { pauseSeconds: 2, answerSeconds: 4, speak });
    const { channels, sampleRate } = readWav(wav);
    expect(channels[0].length / sampleRate).toBeCloseTo(seconds, 3);
    expect(
      moments.map(({ exercise, what }) => `${exercise} ${what === 'number' ? what : what.time}`),
    ).toEqual(['1 number', '1 1', '1 2', '2 number', '2 1', '2 2', '3 number', '3 1', '3 2']);
    const heard = receiveCalls(channels[0], { sampleRate });
    expect(heard.map(({ call: own }) => ('self' in own ? own.self : undefined))).toEqual(
      ['002991234', '299204518', '002990224'].flatMap((self) => [self, self]),
    );
    // Each call lies where the table says that its exercise is played.
    const played = moments.filter(({ what }) => what !== 'number');
    heard.forEach(({ start }, i) => {
      expect(start).toBeGreaterThan(played[i].startSeconds);
      expect(start).toBeLessThan(played[i].endSeconds);
    });
    const [first, second, third] = played;
    expect(second.startSeconds - first.endSeconds).toBeCloseTo(2, 3);
    // Time to answer, the next number and 1.5 s behind it.
    const number = moments[3];
    expect(number.startSeconds - second.endSeconds).toBeCloseTo(4, 3);
    expect(third.startSeconds - number.endSeconds).toBeCloseTo(1.5, 3);
  });

  it('beeps a long low one for each ten, a short high one for each unit', () => {
    const beeps = (number: number) => {
      const samples = beepNumber(number, RATE);
      const found: { seconds: number; hertz: number }[] = [];
      let begun: number | undefined;
      let crossings = 0;
      for (let n = 1; n <= samples.length; n++) {
        const isSilent = n === samples.length || samples.subarray(n, n + 40).every((value) => value === 0);
        if (begun === undefined && !isSilent) [begun, crossings] = [n, 0];
        if (samples[n - 1] < 0 && samples[n] >= 0) crossings++;
        if (begun !== undefined && isSilent) {
          const seconds = (n - begun) / RATE;
          found.push({ seconds, hertz: crossings / seconds });
          begun = undefined;
        }
      }
      return found.map(
        ({ seconds, hertz }) => `${hertz > 550 ? 'high' : 'low'} ${seconds > 0.4 ? 'long' : 'short'}`,
      );
    };
    expect(beeps(1)).toEqual(['high short']);
    expect(beeps(10)).toEqual(['low long']);
    expect(beeps(23)).toEqual(['low long', 'low long', 'high short', 'high short', 'high short']);
    // No beep is near the tones of DSC, and none is louder than a call.
    expect(Math.max(...beepNumber(60, RATE))).toBeLessThanOrEqual(0.2);
  });

  it('comes with a table of what is heard when', () => {
    const [wav, csv] = roomFiles(paper, { times: 1, pauseSeconds: 0, answerSeconds: 0 });
    expect([wav.name, csv.name]).toEqual(['room.wav', 'room.csv']);
    expect(String(csv.content).split('\r\n')[1]).toMatch(/^1,number,2,2\.2$/);
    expect(String(csv.content).trim().split('\r\n')).toHaveLength(7);
  });

  it.each([
    [{ times: 0 }, /times/],
    [{ times: 1.5 }, /times: .*whole number/],
    [{ pauseSeconds: -1 }, /pauseSeconds/],
    [{ answerSeconds: 601 }, /answerSeconds/],
  ])('is refused with %j', (options, message) => {
    expect(() => roomRecording(paper, options)).toThrow(message);
  });

  it('is refused where it would last for hours', () => {
    const many = { ...paper, exercises: Array.from({ length: 60 }, () => paper.exercises[0]) };
    expect(() => roomRecording(many, { times: 5, answerSeconds: 600 })).toThrow(/at most 240 minutes/);
  });
});
